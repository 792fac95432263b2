"""The pre-alignment page: readings by the step's own rules, the next move, and how it comes nearer."""

import re
from html import unescape

import pytest
from sqlmodel import select

from seed_demo.corner import TAPED_in
from server.shop import spec
from server.shop.geometry import SHORT_LINES, WORD_LINES
from server.shop.target import histories
from server.store.tables import Capture, Job, Shim, Step, Vehicle
from tests.web.next_door import phone_next_door
from tests.web.work import open_work

PAGE = "/jobs/1/alignment"
SHEET = {
    "camber": "0.5° ± 0.25°",
    "caster": "1° ± 0.5°",
    "toe.total": "0 to 1/8 in toe-in",
    "tie-rod.pitch": "1.411 mm",
    "steering.ratio": "24",
}
READ = {
    "camber@LF": "-0.1°",
    "camber@RF": "1.1°",
    "caster@LF": "0.2°",
    "camber.turned-out@RF": "0.5",
    "camber.turned-in@RF": "-0.8",
    "toe.tape-front@car": "58 1/4 in",
    "toe.tape-rear@car": "58 3/16 in",
    "toe.tape-diameter@car": "26 in",
}


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["upper-arms", "tie-rods"], "pre-alignment", "after")


@pytest.fixture
def step(store):
    with store.reading() as db:
        return db.exec(select(Step).where(Step.operation == "pre-alignment")).one()


def write_sheet(store, people, clock, lines):
    with store.writing() as db:
        car = db.exec(select(Vehicle)).first()
        known = {one.key: one for one in (*spec.COMMON_LINES, *WORD_LINES, *SHORT_LINES)}
        for number, (key, text) in enumerate(lines.items()):
            spec.write_line(
                db,
                car,
                known[key],
                client_id=f"aligned-{number:014d}",
                text=text,
                source="Maker's manual p. 3-14",
                generic=False,
                by=people["Ann Adler"],
                now=clock(),
            )
        for text, thickness_m in (("1/32 in", 0.79375e-3), ("1/16 in", 1.5875e-3), ("1/8 in", 3.175e-3)):
            db.add(Shim(shop_id=car.shop_id, text=text, thickness_m=thickness_m, count=10))


@pytest.fixture
def measured(store, people, clock):
    """The car's corner and what to aim at are on the spec sheet."""
    write_sheet(store, people, clock, TAPED_in | SHEET)


def seen_on(page):
    return dict(re.findall(r'name="(seen:[^"]+)" value="(\d+)"', page.text))


def read(phone, readings, **form):
    """As the page sends it: with the readings that it showed."""
    return phone.fill_in(PAGE, **({"reason": ""} | seen_on(phone.get(PAGE)) | readings | form))


def kept(store, step):
    with store.reading() as db:
        rows = db.exec(select(Capture).where(Capture.step_id == step.id).order_by(Capture.id))
        return [(f"{one.key}@{one.place}", one.text) for one in rows]


def beside(answer, name):
    """What is said beside a field."""
    found = re.search(rf'id="field-{re.escape(name)}-error">([^<]*)<', answer.text)
    return unescape(found[1]) if found else None


def words(text):
    return " ".join(unescape(re.sub("<[^>]+>", " ", text)).split())


def side(answer, place):
    return words(re.search(rf'id="move-{place}".*?</article>', answer.text, re.DOTALL)[0])


# ---- Readings


def test_one_save_keeps_every_reading_and_takes_the_step_in_hand(bo, store, step):
    answer = read(bo, READ)

    assert (answer.status_code, answer.headers["location"]) == (303, f"{PAGE}#move")
    assert dict(kept(store, step)) == READ
    with store.reading() as db:
        assert db.get_one(Step, step.id).state == "in hand"


def test_a_save_that_is_sent_twice_is_kept_once(bo, store, step):
    for _ in range(2):
        answer = bo.fill_in(PAGE, client_id="same-save-00000001", reason="", **READ)
        assert answer.status_code == 303

    assert len(kept(store, step)) == len(READ)


def test_a_wrong_field_has_its_sentence_beside_it_and_nothing_is_half_kept(bo, store, step):
    answer = read(bo, READ | {"camber@RF": "about 1", "toe.tape-rear@car": "58 Nm"})

    assert answer.status_code == 422
    assert "does not start with a figure" in beside(answer, "camber@RF")
    assert "is the unit of a torque" in beside(answer, "toe.tape-rear@car")
    assert beside(answer, "camber@LF") is None
    assert 'value="about 1"' in answer.text
    assert 'value="58 1/4 in"' in answer.text
    assert "2 fields are not right yet. Nothing was kept." in answer.text
    assert kept(store, step) == []
    with store.reading() as db:
        assert db.get_one(Step, step.id).state == "to do"


def test_a_figure_hard_to_believe_is_asked_about_once_more(bo, store, step):
    doubted = read(bo, {"camber@LF": "9°", "camber@RF": "0.5°"})

    assert doubted.status_code == 422
    assert beside(doubted, "camber@LF")
    assert re.findall(r'name="confirmed" value="([^"]+)"', doubted.text) == ["camber@LF"]
    assert read(bo, {"camber@LF": "9°", "camber@RF": "0.5°"}, confirmed="camber@LF").status_code == 303
    with store.reading() as db:
        marked = {
            one.place: one.confirmed for one in db.exec(select(Capture).where(Capture.step_id == step.id))
        }
    assert marked == {"LF": True, "RF": False}


def test_an_empty_form_is_refused(bo, store, step):
    answer = read(bo, {})

    assert answer.status_code == 422
    assert "No reading is filled in yet." in answer.text
    assert kept(store, step) == []


def test_reading_again_wants_a_reason_and_takes_the_old_ones_place(bo, store, step):
    read(bo, READ)

    bare = read(bo, {"camber@LF": "0.4°"})
    assert bare.status_code == 422
    assert beside(bare, "reason") == "Say why it is corrected."
    assert 'value="0.4°"' in bare.text
    assert read(bo, {"camber@LF": "0.4°"}, reason="Packs changed").status_code == 303

    with store.reading() as db:
        first, second = db.exec(
            select(Capture).where(Capture.step_id == step.id, Capture.key == "camber", Capture.place == "LF")
        )
    assert second.supersedes_id == first.id
    assert second.reason == "Packs changed"


def test_a_reading_that_somebody_else_took_again_meanwhile_is_told_beside_its_field(bo, cy, store, step):
    read(bo, READ)
    seen = seen_on(cy.get(PAGE))
    read(bo, {"camber@LF": "0.4°"}, reason="Packs changed")

    answer = cy.fill_in(PAGE, reason="Misread before", **(seen | {"camber@LF": "0.2°"}))

    assert answer.status_code == 422
    assert "has been corrected already" in beside(answer, "camber@LF")
    assert ("camber@LF", "0.2°") not in kept(store, step)


@pytest.mark.parametrize("seen", ["99", "1", "x", "1" * 12])
def test_a_reading_is_not_put_in_the_place_of_something_else(bo, store, step, seen):
    answer = bo.fill_in(PAGE, reason="Misread before", **{"camber@LF": "0.2°", "seen:camber@LF": seen})

    assert answer.status_code == 422
    assert kept(store, step) == []


def test_a_field_that_the_page_does_not_have_is_refused(bo, store, step):
    assert bo.fill_in(PAGE, reason="", **{"camber@LR": "0.2°"}).status_code == 422
    assert kept(store, step) == []


def test_the_step_shows_what_was_read_here_and_leads_here(bo, step):
    read(bo, READ)

    page = bo.get(f"/steps/{step.id}").text
    assert "As left 58 1/4 in" in words(page)
    assert f'href="{PAGE}"' in page
    assert f'href="{PAGE}"' in bo.get("/jobs/1/targets").text
    assert f'href="{PAGE}"' in bo.get("/jobs/1").text


# ---- What it waits for


def test_a_job_that_leaves_the_alignment_alone_has_no_such_page(bo, app, people, clock):
    open_work(app, people, clock, scopes=["shocks"], plate="CD 34")

    assert bo.get("/jobs/2/alignment").status_code == 404
    assert "/jobs/2/alignment" not in bo.get("/jobs/2").text


def test_before_its_turn_the_page_says_what_comes_first_and_keeps_nothing(bo, app, people, clock, store):
    open_work(app, people, clock, scopes=["tie-rods"], plate="CD 34")

    page = bo.get("/jobs/2/alignment")
    assert "Nothing is read yet. First:" in page.text
    assert "Keep the readings" not in page.text
    answer = bo.fill_in("/jobs/2/alignment", reason="", **{"camber@LF": "0.2°"})
    assert answer.status_code == 422
    assert "This comes after other steps." in answer.text
    assert 'value="0.2°"' in answer.text
    with store.reading() as db:
        assert db.exec(select(Capture).where(Capture.job_id == 2)).all() == []


def test_on_a_parked_job_nothing_is_read(bo, store, clock, step):
    with store.writing() as db:
        job = db.get_one(Job, 1)
        job.parked_at, job.parked_why = clock(), "a spring"

    assert "Parked: a spring" in bo.get(PAGE).text
    assert "This job is parked." in read(bo, READ).text
    assert kept(store, step) == []


def test_on_a_released_job_nothing_is_read(bo, store, clock, step):
    with store.writing() as db:
        db.get_one(Job, 1).released_at = clock()

    assert "Nothing is read on it any more." in bo.get(PAGE).text
    assert read(bo, READ).status_code == 422
    assert kept(store, step) == []


@pytest.mark.usefixtures("people")
def test_another_shops_job_is_not_there(app, clock):
    stranger = phone_next_door(app, clock)

    assert stranger.get(PAGE).status_code == 404
    assert stranger.fill_in(PAGE, reason="", **{"camber@LF": "0.2°"}).status_code == 404


# ---- The next move


@pytest.mark.usefixtures("measured")
def test_the_move_is_what_the_targets_say_side_by_side(bo, store):
    read(bo, READ)

    page = bo.get(PAGE)
    with store.reading() as db:
        says = {at: one[0].says for at, one in histories(db, db.get_one(Job, 1)).items()}
    for place in ("LF", "RF"):
        for what in ("front", "rear", "sleeve"):
            assert says[f"pre-alignment.{what}", place].partition(". ")[0] in side(page, place)
    assert "Camber then" in side(page, "LF")
    assert says["pre-alignment.likely", "car"].partition(". ")[0] in words(page.text)


@pytest.mark.usefixtures("measured")
def test_while_packs_change_the_sleeves_come_after_and_the_car_is_lifted_by_the_rules(bo, store):
    read(bo, READ)

    text = words(bo.get(PAGE).text)
    assert "Next: packs" in text
    assert "After the packs, and toe read again." in text
    assert "on stands, shaken, and confirmed by somebody before a hand goes under" in text
    assert "torqued and verified again" in text
    assert "maker’s manual" in text
    with store.reading() as db:
        shims = db.exec(select(Step).where(Step.operation == "shims", Step.direction == "up")).all()
    assert len(shims) == 2
    assert all(f'href="/steps/{one.id}"' in bo.get(PAGE).text for one in shims)


@pytest.mark.usefixtures("measured")
def test_with_packs_right_the_sleeves_are_next_and_nothing_is_lifted(bo):
    read(
        bo,
        READ
        | {
            "camber@LF": "0.5°",
            "camber@RF": "0.5°",
            "caster@LF": "1°",
            "caster@RF": "1.1°",
            "camber.turned-out@RF": "",
            "camber.turned-in@RF": "",
            "toe.tape-front@car": "58 1/2 in",
        },
    )

    page = bo.get(PAGE)
    text = words(page.text)
    assert "Next: sleeves" in text
    assert "Turn the sleeve" in side(page, "LF")
    assert "After the packs" not in text
    assert "hand goes under" not in text
    assert "Clamps loose before a sleeve turns" in text


@pytest.mark.usefixtures("measured")
def test_the_model_says_what_it_takes_for_granted(bo):
    read(bo, READ)

    text = words(bo.get(PAGE).text)
    assert "lower arm held still" in text
    assert "pivots moved straight across" in text
    assert "The shaft sits inboard of its bracket, the tie rods behind the axle" in text


@pytest.mark.usefixtures("measured")
def test_an_angle_that_cannot_be_reached_says_by_how_much_and_why(bo):
    read(bo, READ | {"camber@LF": "-3°"})

    assert "Camber falls short. That is" in side(bo.get(PAGE), "LF")
    assert "a pack cannot be less than none" in side(bo.get(PAGE), "LF")


def test_without_a_corner_the_page_says_what_is_missing_and_still_holds_readings_to_the_sheet(
    bo, store, people, clock
):
    write_sheet(store, people, clock, SHEET)
    read(bo, READ)

    page = bo.get(PAGE)
    text = words(page.text)
    assert "No move yet" in text
    assert "Say whether the tie rods lie ahead of the axle or behind it." in text
    assert 'href="/vehicles/1/corner?job=1"' in page.text
    assert "Against the spec sheet" in text
    assert "Camber: band 0.25° to 0.75°" in text


@pytest.mark.usefixtures("measured")
def test_what_has_not_been_read_is_asked_for_wheel_by_wheel(bo):
    text = words(bo.get(PAGE).text)

    assert "Both sides Read its camber. Read its caster, by gauge or by sweep. Read toe" in text


@pytest.mark.usefixtures("measured")
def test_move_by_move_one_sees_it_come_nearer(bo, clock):
    read(bo, READ)
    clock.pass_by(minutes=40)
    read(bo, {"camber@LF": "0.4°", "caster@LF": "0.9°", "pack.front@LF": "3/32 in"}, reason="Packs changed")

    page = bo.get(PAGE)
    rows = re.findall(r'<tr[^>]*><th scope="row">(\w+)</th>(.*?)</tr>', page.text)
    cells = {name: words(row.replace("</td>", "|")) for name, row in rows}
    assert cells["1"] == "-0.1°| 1.1°| 0.2°| 1.9°| -1/16|"
    assert cells["2"] == "0.4°| –| 0.9°| –| –|"
    assert cells["Wanted"].startswith("0.5°| 0.5°| 1°| 1°|")
    history = words(page.text.partition('align__history">')[2])
    assert "Bo Berg: packs changed" in history
    assert "Left front, front pack 3/32 in" in history
    assert re.search(r"^1 .*?Left front: (Take|Add) .*? 2 Wed", history)


@pytest.mark.usefixtures("measured")
def test_a_pack_written_here_is_what_the_next_move_starts_from(bo, store):
    read(bo, READ | {"pack.front@LF": "1/4 in", "pack.rear@LF": "1/4 in"})

    with store.reading() as db:
        front = histories(db, db.get_one(Job, 1))["pre-alignment.front", "LF"][0]
    said = {one["name"]: one["text"] for one in front.inputs}
    assert said["pack.front"].startswith("1/4 in")


def test_order_of_work_is_said_with_the_ride_height_first(bo):
    text = words(bo.get(PAGE).text)

    places = [
        text.index(one) for one in ("Ride height. Every angle", "by the packs", "Read again.", "Toe last")
    ]
    assert places == sorted(places)
    assert "Left front 14 1/4 in" in text
