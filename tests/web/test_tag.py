import re

import pytest
from sqlmodel import select

from server.store.tables import Decision, Job, Step, Tag, TagMove
from server.web.tag import qr_code
from tests.web.next_door import phone_next_door
from tests.web.phone import PARTIAL

SCRIPT = "<script>alert(1)</script>"


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    """Both tie rods off, the bench about to decide."""
    return shop_at_step(["tie-rods"], "inspect", "bench")


@pytest.fixture
def rod(store, people):
    """The tag of the left tie rod, which somebody decided to renew."""
    with store.writing() as db:
        bench = db.exec(select(Step).where(Step.operation == "inspect", Step.place == "LF")).one()
        db.add(
            Decision(
                client_id="decision-tie-rod",
                job_id=bench.job_id,
                step_id=bench.id,
                part="tie-rod",
                place="LF",
                verdict="renew",
                reason="boot torn",
                person_id=people["Bo Berg"].id,
                at=bench.done_at or people["Bo Berg"].created_at,
            )
        )
    return find(store, "tie-rod")


def find(store, part, place="LF"):
    with store.reading() as db:
        return db.exec(select(Tag).where(Tag.part == part, Tag.place == place)).one()


def moves(store, tag):
    with store.reading() as db:
        return list(db.exec(select(TagMove).where(TagMove.tag_id == tag.id)))


def shelve(phone, tag, shelf, **sent):
    return phone.fill_in(f"/tags/{tag.code}/shelf", shelf=shelf, **sent)


def card(text, tag):
    """What the page shows of one tag."""
    return re.search(rf'<li class="tag" id="tag-{tag.number}">.*?\n</li>', text, re.DOTALL)[0]


def preset_done(store, place):
    with store.writing() as db:
        db.exec(select(Step).where(Step.operation == "preset", Step.place == place)).one().state = "done"


# The list


def test_each_tag_shows_number_part_corner_and_state(bo, rod):
    shown = card(bo.get("/jobs/1/tags").text, rod)

    assert f'aria-label="Tag {rod.number}"' in shown
    for words in ("Tie-rod assembly", "Left front", "Off the car", "Renew", "boot torn", "Tag hung"):
        assert words in shown
    assert "by Bo Berg" in shown


def test_a_car_that_nothing_has_come_off_yet_says_so(bo, store):
    with store.writing() as db:
        job = db.get_one(Job, 1)
        db.add(Job(**job.model_dump(exclude={"id"})))

    assert "Nothing has come off this car yet" in bo.get("/jobs/2/tags").text


def test_the_list_of_another_shops_job_is_not_shown(app, clock, people):
    phone = phone_next_door(app, clock)

    assert phone.get("/jobs/1/tags").status_code == 404
    assert phone.get("/jobs/1/labels").status_code == 404


# Where it lies


def test_where_a_part_lies_is_kept_in_the_name_of_who_said_it(dee, store, rod, people):
    answer = shelve(dee, rod, "Shelf 3, left")

    assert answer.status_code == 303
    assert answer.headers["location"] == f"/jobs/1/tags#tag-{rod.number}"
    [move] = moves(store, rod)
    assert (move.shelf, move.person_id) == ("Shelf 3, left", people["Dee Dunn"].id)
    shown = card(dee.get("/jobs/1/tags").text, rod)
    assert "<strong>Shelf 3, left</strong>" in shown
    assert "Put on: Shelf 3, left" in shown


@pytest.mark.parametrize("shelf", ["", "  ", "x" * 81, "a\u202eb", "\u200b", "e" + "\u0301" * 5000])
def test_a_place_that_cannot_be_read_is_refused_beside_its_field_with_what_was_typed(bo, store, rod, shelf):
    answer = shelve(bo, rod, shelf)

    assert answer.status_code == 422
    shown = card(answer.text, rod)
    assert f'id="shelf-{rod.number}-error"' in shown
    assert f'value="{shelf}"' in shown
    assert moves(store, rod) == []


def test_without_script_a_refusal_is_shown_at_the_tags_own_page(bo, rod):
    answer = shelve(bo, rod, "")

    assert f"<h1>Tag {rod.number} belongs to Corvane Tarnlight, AB 12</h1>" in answer.text
    assert '<details class="tag__more" open>' in answer.text


@pytest.mark.parametrize(("shelf", "status"), [("Shelf 3", 200), ("", 422)])
def test_htmx_gets_the_tag_alone(bo, rod, shelf, status):
    answer = shelve(bo, rod, shelf, headers=PARTIAL)

    assert answer.status_code == status
    assert answer.text.lstrip().startswith(f'<li class="tag" id="tag-{rod.number}">')
    assert "<html" not in answer.text


def test_a_double_tap_is_recorded_once(bo, store, rod):
    first = shelve(bo, rod, "Shelf 3", client_id="one-tap-or-two-taps")
    second = shelve(bo, rod, "Shelf 3", client_id="one-tap-or-two-taps")

    assert first.headers["location"] == second.headers["location"]
    assert len(moves(store, rod)) == 1


def test_an_id_used_for_one_tag_does_not_do_for_another(bo, store, rod):
    shelve(bo, rod, "Shelf 3", client_id="one-tap-or-two-taps")
    other = find(store, "tie-rod", "RF")

    answer = shelve(bo, other, "Shelf 3", client_id="one-tap-or-two-taps")

    assert answer.status_code == 409
    assert moves(store, other) == []


@pytest.mark.parametrize(
    "shelf",
    [
        SCRIPT,
        '"><img src=x onerror=alert(1)>',
        "</textarea><b>",
        "<a hx-post=/x hx-trigger=load>",
        "'; DROP TABLE tag;--",
        "' OR 1=1",
        "50 %_\\ left",
        "=HYPERLINK(1)",
        "@SUM(1)",
        "{{7*7}} ${7*7}",
    ],
)
def test_whatever_is_typed_stays_text(bo, store, rod, shelf):
    answer = shelve(bo, rod, shelf)

    assert answer.status_code == 303
    assert moves(store, rod)[0].shelf == shelf
    for path in ("/jobs/1/tags", f"/tags/{rod.code}", "/jobs/1/labels"):
        text = bo.get(path).text
        for live in ("<script>alert", "<img src=x", "<a hx-post", "</textarea><b>", "49 "):
            assert live not in text


def test_a_field_that_the_form_does_not_have_is_refused(bo, store, rod):
    answer = shelve(bo, rod, "Shelf 3", state="discarded")

    assert answer.status_code == 422
    assert moves(store, rod) == []


# What the code on a label leads to


def test_a_code_leads_to_the_car_that_the_part_belongs_to(bo, rod):
    text = bo.get(f"/tags/{rod.code}").text

    assert f"<h1>Tag {rod.number} belongs to Corvane Tarnlight, AB 12</h1>" in text
    assert 'href="/jobs/1"' in text


def test_a_code_scanned_before_signing_in_is_come_back_to(phone, rod):
    answer = phone.get(f"/tags/{rod.code}")

    assert answer.status_code == 303
    assert answer.headers["location"] == f"/sign-in?next=%2Ftags%2F{rod.code}"


def test_a_code_of_another_shop_looks_like_one_that_is_not_there(app, clock, people, rod):
    phone = phone_next_door(app, clock)

    there, absent = phone.get(f"/tags/{rod.code}"), phone.get("/tags/AAAAAAAAAAAA")

    assert there.status_code == absent.status_code == 404
    assert _without_ids(there.text) == _without_ids(absent.text)
    assert shelve(phone, rod, "Mine now").status_code == 404


@pytest.mark.parametrize(
    "code",
    [
        "AAAAAAAAAAAA",
        "x" * 2000,
        "%00",
        "https:%2F%2Fevil.example",
        "https://evil.example/",
        "..%2Fjobs",
        "%F0%9F",
    ],
)
def test_whatever_else_is_scanned_leads_nowhere(bo, code):
    answer = bo.get(f"/tags/{code}")

    assert answer.status_code == 404
    assert "location" not in answer.headers
    assert "evil.example" not in answer.text


def test_a_code_of_a_discarded_part_warns_that_it_must_not_go_back(bo, store, rod):
    with store.writing() as db:
        db.get_one(Tag, rod.id).state = "discarded"

    text = bo.get(f"/tags/{rod.code}").text

    assert "must not go back on a car" in text
    assert "/shelf" not in text


def test_a_code_of_a_released_car_says_that_it_has_left(bo, store, clock, rod):
    with store.writing() as db:
        db.get_one(Job, 1).released_at = clock()

    assert "That car was released" in bo.get(f"/tags/{rod.code}").text


# Thrown away, or not


def test_the_old_tie_rod_is_not_thrown_away_before_the_new_one_is_set_from_it(bo, store, rod):
    preset_done(store, "RF")  # the other side's does not count

    page = card(bo.get("/jobs/1/tags").text, rod)
    answer = bo.fill_in(f"/tags/{rod.code}/discarding")

    sentence = f"Keep tag {rod.number}: the new part is still to be set from it."
    assert sentence in page
    assert "/discarding" not in page
    assert answer.status_code == 422
    assert sentence in answer.text
    assert find(store, "tie-rod").state == "out"


def test_once_it_is_set_the_old_one_may_go(bo, store, rod):
    preset_done(store, "LF")
    assert f'action="/tags/{rod.code}/discarding"' in card(bo.get("/jobs/1/tags").text, rod)

    answer = bo.fill_in(f"/tags/{rod.code}/discarding", client_id="one-tap-or-two-taps")
    again = bo.fill_in(f"/tags/{rod.code}/discarding", client_id="one-tap-or-two-taps")

    assert (answer.status_code, again.status_code) == (303, 303)
    assert find(store, "tie-rod").state == "discarded"
    assert [move.state for move in moves(store, rod)] == ["discarded"]


def test_a_part_that_nobody_renews_has_no_button_to_throw_it_away(bo, store):
    other = find(store, "tie-rod", "RF")

    assert "/discarding" not in card(bo.get("/jobs/1/tags").text, other)
    assert bo.fill_in(f"/tags/{other.code}/discarding").status_code == 422


# Labels


def test_a_label_carries_the_code_of_its_tags_address(bo, rod):
    text = bo.get("/jobs/1/labels").text

    assert str(qr_code(f"http://localhost/tags/{rod.code}")) in text


def test_a_code_is_dark_on_light_with_four_modules_of_quiet_zone_around():
    svg = str(qr_code("http://192.168.7.20:8765/tags/AAAAAAAAAAAA"))

    size = int(re.search(r'viewBox="0 0 (\d+) \1"', svg)[1])
    assert f'<path fill="#fff" d="M0 0h{size}v{size}h-{size}z"/>' in svg
    first_run = re.search(r'stroke="#000" d="M(\d+) (\d+\.5)h7', svg)
    assert (first_run[1], first_run[2]) == ("4", "4.5")  # the finder pattern's edge is seven modules
    assert (size - 8 - 17) % 4 == 0  # ISO/IEC 18004: 17 + 4 · version modules


def test_labels_start_from_the_number_asked_for_and_are_only_of_what_is_off(bo, store, rod):
    with store.writing() as db:
        db.exec(select(Tag).where(Tag.number == rod.number + 1)).one().state = "refitted"

    text = bo.get(f"/jobs/1/labels?from={rod.number}").text

    numbers = [int(number) for number in re.findall(r'tag-label__number">(\d+)<', text)]
    assert numbers[0] == rod.number
    assert rod.number + 1 not in numbers
    assert "No part with such a number is off the car." in bo.get("/jobs/1/labels?from=99").text


def test_labels_printed_under_a_name_that_no_phone_can_reach_say_so(bo):
    assert "lead to this machine only" in bo.get("/jobs/1/labels").text


def _without_ids(text):
    return re.sub(r'(value|name)="[^"]*"', "", text)
