"""The corner's two pages: lengths by tape, and hard points."""

import re
from html import unescape

import pytest
from sqlmodel import col, select

from server.shop.geometry import LONG_LINES, SHORT_LINES, lacking, layout_of
from server.shop.spec import sheet
from server.store.tables import Spec
from server.web.corner import GROUPS
from tests.shop.test_geometry import POINTS, WORDS
from tests.web.work import open_work

LENGTHS, POINT_PAGE = "/vehicles/1/corner", "/vehicles/1/points"
ARM, LOW_ARM = "corner.upper-arm", "corner.lower-arm"
BALL_UP = "point.upper-ball.up"


@pytest.fixture
def car(app, people, clock):
    """A car that is here for its tie rods, whose corner nobody has measured."""
    open_work(app, people, clock, scopes=["tie-rods"])


def measure(phone, lines, page=LENGTHS, source="Tape, Bo", **more):
    return phone.fill_in(page, source=source, **lines, **more)


def kept(store):
    """The corner's rows as typed, by key."""
    with store.reading() as db:
        rows = db.exec(select(Spec).where(col(Spec.key).regexp_match("^(corner|point)[.]")))
        return {one.key: one.text for one in rows}


def beside(answer, key):
    """What is said beside a field."""
    found = re.search(f'id="field-{re.escape(key)}-error">([^<]*)<', answer.text)
    return unescape(found[1]) if found else None


def box(answer, key):
    """A line's own part of the page."""
    return answer.text.split(f'id="line-{key}"')[1].split('id="line-')[0]


def test_every_length_stands_in_one_group():
    grouped = [f"corner.{key}" for _, keys in GROUPS for key in keys]

    assert sorted(grouped) == sorted(one.key for one in SHORT_LINES)


@pytest.mark.usefixtures("car")
def test_the_page_starts_with_the_danger_then_what_is_lacking_then_the_two_words(bo):
    text = bo.get(LENGTHS).text

    places = [
        text.index(words)
        for words in (
            "on its wheels on level ground, chocked, or on stands that somebody has shaken and confirmed",
            "A jack lifts; it never holds.",
            "Say whether the tie rods lie ahead of the axle or behind it.",
            'value="behind"',
            'value="inboard"',
            "<h2>Heights above the floor</h2>",
        )
    ]
    assert places == sorted(places)


@pytest.mark.usefixtures("car")
def test_words_and_lengths_are_written_at_once_and_a_corner_can_be_computed(bo, store):
    answer = measure(bo, {**WORDS, ARM: "8 1/16 in", LOW_ARM: "380 ± 2 mm"})

    assert (answer.status_code, answer.headers["location"]) == (303, LENGTHS)
    assert kept(store) == {**WORDS, ARM: "8 1/16 in", LOW_ARM: "380 ± 2 mm"}
    with store.reading() as db:
        assert layout_of(sheet(db, 1)) is not None


@pytest.mark.usefixtures("car")
def test_what_stands_is_shown_in_both_systems_with_its_width_its_source_and_by_whom(bo):
    measure(bo, {**WORDS, ARM: "8 1/16 in"})

    page = bo.get(LENGTHS)
    shown = box(page, ARM)
    assert ">8 1/16 in</p>" in shown
    assert "± 0.03 in · 204.8 mm" in shown
    assert "Tape, Bo" in shown
    assert "Bo Berg" in shown
    assert "Behind the axle" in box(page, "corner.steer")
    assert f'name="{ARM}"' not in page.text


@pytest.mark.usefixtures("car")
def test_a_figure_without_a_unit_is_shown_as_it_was_meant(bo):
    measure(bo, {ARM: "8 1/16"})

    assert ">8 1/16 in</p>" in box(bo.get(LENGTHS), ARM)


@pytest.mark.usefixtures("car")
def test_a_guess_is_shown_as_a_guess_with_its_cost_and_the_dearest_comes_first(bo):
    measure(bo, WORDS)

    page = bo.get(LENGTHS)
    assert re.search(
        r"Not measured: 6 in ± 1\.6 in guessed\. <strong>It costs ± 0\.\d\d° caster\.",
        box(page, "corner.stud-spacing"),
    )
    assert "costs next to nothing" in box(page, "corner.spring-length")
    next_key = re.search(r'Measure next:</strong> <a href="#line-([^"]+)"', page.text)[1]
    measure(bo, {next_key: "8 5/8 in" if "height" in next_key else "6 in"})
    again = re.search(r'Measure next:</strong> <a href="#line-([^"]+)"', bo.get(LENGTHS).text)
    assert again is not None
    assert again[1] != next_key


@pytest.mark.usefixtures("car")
def test_no_cost_is_named_before_both_words_are_known(bo):
    page = bo.get(LENGTHS)

    assert "Measure next" not in page.text
    assert "costs" not in box(page, ARM)


@pytest.mark.usefixtures("car")
def test_one_wrong_field_is_said_beside_it_nothing_is_written_and_everything_typed_stays(bo, store):
    typed = {**WORDS, ARM: "8 Nm", LOW_ARM: "15 in"}

    answer = measure(bo, typed, source="Tape, Bo and Cy")

    assert answer.status_code == 422
    assert "One line is not right yet. Nothing was written." in answer.text.split("sign--warning")[0]
    assert beside(answer, ARM).startswith("Nm is the unit of a torque")
    assert beside(answer, LOW_ARM) is None
    for text in ("8 Nm", "15 in", "Tape, Bo and Cy"):
        assert f'value="{text}"' in answer.text
    assert 'value="behind" checked' in answer.text
    assert kept(store) == {}


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        (ARM, "0", "The lower end cannot be below zero here."),
        (ARM, "-8 in", "It cannot be below zero here; type a length like 12 5/8 in or 320.7 mm."),
        (ARM, "1/0", "A fraction cannot have 0 below the line."),
        (ARM, "8 1/7 in", "8 1/7 is not on an inch rule; its parts are halves down to 64ths."),
        (ARM, "8\u200b1", "There is an invisible character in it; type it again by hand."),
        ("corner.steer", "sideways", "Choose one of: ahead, behind."),
        ("corner.shaft-at", "inside", "Choose one of: inboard, outboard."),
    ],
)
@pytest.mark.usefixtures("car")
def test_every_refusal_stands_beside_its_field(bo, store, key, text, says):
    answer = measure(bo, {key: text})

    assert answer.status_code == 422
    assert beside(answer, key) == says
    assert kept(store) == {}


@pytest.mark.usefixtures("car")
def test_a_length_hard_to_believe_is_asked_about_again(bo, store):
    answer = measure(bo, {ARM: "22 in", LOW_ARM: "15 in"})

    assert answer.status_code == 422
    assert f'name="confirmed" value="{ARM}"' in answer.text
    assert f'name="confirmed" value="{LOW_ARM}"' not in answer.text
    assert kept(store) == {}

    measure(bo, {ARM: "22 in", LOW_ARM: "15 in"}, confirmed=[ARM])
    assert kept(store) == {ARM: "22 in", LOW_ARM: "15 in"}


@pytest.mark.usefixtures("car")
def test_nobody_writes_without_saying_who_measured(bo, store):
    answer = measure(bo, {ARM: "8 in"}, source=" ")

    assert answer.status_code == 422
    assert beside(answer, "source").startswith("Say where the value comes from")
    assert 'value="8 in"' in answer.text
    assert kept(store) == {}


@pytest.mark.usefixtures("car")
def test_nothing_typed_is_no_write(bo, store):
    answer = measure(bo, {})

    assert answer.status_code == 422
    assert "No line has a value yet." in answer.text


@pytest.mark.usefixtures("car")
def test_what_somebody_wrote_meanwhile_stands_and_the_other_figure_is_said(ann, bo, store):
    measure(ann, {ARM: "8 1/2 in"}, source="Tape, Ann")

    answer = measure(bo, {ARM: "8 in", LOW_ARM: "15 in"})

    assert answer.status_code == 409
    assert "Someone has written Upper arm, shaft to ball joint meanwhile." in answer.text
    assert "You typed 8 in." in box(answer, ARM)
    assert 'value="15 in"' in answer.text
    assert kept(store) == {ARM: "8 1/2 in"}


@pytest.mark.usefixtures("car")
def test_sent_twice_is_written_once(bo, store):
    for _ in range(2):
        assert measure(bo, {**WORDS, ARM: "8 in"}, client_id="c" * 22).status_code == 303

    assert len(kept(store)) == 3


@pytest.mark.usefixtures("car")
def test_a_field_the_page_does_not_have_writes_nothing(bo, store):
    assert measure(bo, {ARM: "8 in", "corner.role": "foreman"}).status_code == 422
    assert measure(bo, {ARM: "8 in"}, page=POINT_PAGE).status_code == 422
    assert kept(store) == {}


@pytest.mark.usefixtures("car")
def test_whoever_writes_on_the_spec_sheet_measures_too(dee, store, phone):
    assert measure(dee, {ARM: "8 in"}).status_code == 303
    assert phone.get(LENGTHS).status_code == 303
    assert kept(store) == {ARM: "8 in"}


@pytest.mark.usefixtures("car")
def test_a_length_is_corrected_on_its_own_page_with_a_reason(bo, store):
    measure(bo, {ARM: "8 in"})
    page = bo.get(f"{LENGTHS}/{ARM}").text
    row = re.search(r'name="supersedes" value="(\d+)"', page)[1]
    correct = {"text": "8 1/2 in", "source": "Tape, Bo", "supersedes": row}

    refused = bo.fill_in(f"{LENGTHS}/{ARM}", **correct)
    assert beside(refused, "reason") == "Say why it is corrected."
    assert 'value="8 1/2 in"' in refused.text

    answer = bo.fill_in(f"{LENGTHS}/{ARM}", **correct, reason="Read from the hook's end")
    assert (answer.status_code, answer.headers["location"]) == (303, LENGTHS)
    assert "Read from the hook&#39;s end" in bo.get(f"{LENGTHS}/{ARM}").text
    assert ">8 1/2 in</p>" in box(bo.get(LENGTHS), ARM)


@pytest.mark.usefixtures("car")
def test_a_word_is_corrected_by_choosing_the_other(bo, store):
    measure(bo, WORDS)
    page = bo.get(f"{LENGTHS}/corner.steer").text
    row = re.search(r'name="supersedes" value="(\d+)"', page)[1]
    assert 'value="behind" checked' in page

    bo.fill_in(
        f"{LENGTHS}/corner.steer", text="ahead", source="Bo", supersedes=row, reason="Looked from the rear"
    )
    assert "Ahead of the axle" in box(bo.get(LENGTHS), "corner.steer")
    assert "<s>Behind the axle</s>" in bo.get(f"{LENGTHS}/corner.steer").text


@pytest.mark.usefixtures("car")
def test_a_line_stands_on_its_own_page_alone(bo):
    assert bo.get(f"/vehicles/1/spec/{ARM}").status_code == 404
    assert bo.get(f"{POINT_PAGE}/{ARM}").status_code == 404
    assert bo.get(f"{LENGTHS}/camber").status_code == 404
    assert bo.get(f"{POINT_PAGE}/{BALL_UP}").status_code == 200


@pytest.mark.usefixtures("car")
def test_lengths_that_make_no_corner_are_said_in_words(bo, store):
    high = {"corner.upper-pivot-height": "555 mm", "corner.upper-ball-height": "358 mm"}

    measure(bo, {**WORDS, **high, ARM: "150 mm"})

    text = bo.get(LENGTHS).text
    assert "The upper arm is shorter than its own ends are apart; look at its length and heights" in text
    assert bo.get("/jobs/1/targets").status_code == 200


@pytest.mark.usefixtures("car")
def test_points_are_written_from_one_source_and_as_sure_as_their_one_margin(bo, store):
    answer = measure(bo, {**POINTS, BALL_UP: "450 ± 1 mm"}, page=POINT_PAGE, source="Frame", margin="3 mm")

    assert (answer.status_code, answer.headers["location"]) == (303, POINT_PAGE)
    with store.reading() as db:
        specs = sheet(db, 1)
    assert (specs[BALL_UP].low, specs[BALL_UP].high) == (pytest.approx(0.449), pytest.approx(0.451))
    lower = specs["point.lower-ball.up"]
    assert (lower.text, lower.source) == ("200 mm ± 3 mm", "Frame")
    assert (lower.low, lower.high) == (pytest.approx(0.197), pytest.approx(0.203))
    assert lacking(specs) == ("Say on which side of its bracket the upper arm's shaft sits.",)
    assert "They are whole, and used." in bo.get(POINT_PAGE).text
    assert "those are used and not these lengths" in bo.get(LENGTHS).text


@pytest.mark.usefixtures("car")
def test_a_margin_in_other_units_leaves_a_bare_figure_in_the_shops_own(bo, store):
    measure(bo, {BALL_UP: "17 3/4"}, page=POINT_PAGE, margin="3 mm")

    assert kept(store) == {BALL_UP: "17 3/4 in ± 3 mm"}


@pytest.mark.usefixtures("car")
def test_a_margin_that_cannot_be_read_is_said_beside_it(bo, store):
    answer = measure(bo, {BALL_UP: "17 3/4"}, page=POINT_PAGE, margin="a bit")

    assert answer.status_code == 422
    assert beside(answer, "margin").startswith("That does not start with a figure")
    assert 'value="a bit"' in answer.text
    assert 'value="17 3/4"' in answer.text
    assert kept(store) == {}


@pytest.mark.usefixtures("car")
def test_a_wrong_point_is_said_beside_it_and_no_other_is_written(bo, store):
    answer = measure(bo, {**POINTS, BALL_UP: "450 kg"}, page=POINT_PAGE)

    assert answer.status_code == 422
    assert beside(answer, BALL_UP).startswith("kg is the unit of a mass")
    assert answer.text.count('aria-invalid="true"') == 1
    assert f'href="#line-{BALL_UP}"' in answer.text.split("sign--warning")[0]
    assert f'id="line-{BALL_UP}"' in answer.text
    assert f'value="{POINTS["point.lower-ball.up"]}"' in answer.text
    assert kept(store) == {}


@pytest.mark.usefixtures("car")
def test_every_point_doubted_at_once_still_fits_a_form(bo):
    far = {one.key: f"{3000 + number} mm" for number, one in enumerate(LONG_LINES)}

    assert measure(bo, far, page=POINT_PAGE).status_code == 422
    assert measure(bo, far, page=POINT_PAGE, confirmed=list(far)).status_code == 303


@pytest.mark.usefixtures("car")
def test_the_way_back_to_the_job_is_kept(bo):
    answer = measure(bo, WORDS, page=f"{LENGTHS}?job=1")

    assert answer.headers["location"] == f"{LENGTHS}?job=1"
    text = bo.get(f"{LENGTHS}?job=1").text
    assert 'href="/jobs/1"' in text
    assert f'href="{POINT_PAGE}?job=1"' in text
    assert f'href="{LENGTHS}/corner.steer?job=1"' in text


@pytest.mark.usefixtures("car")
def test_spec_sheet_and_targets_lead_here_while_something_is_lacking(bo):
    link = f'href="{LENGTHS}?job=1"'
    assert link in bo.get("/vehicles/1/spec?job=1").text
    assert link in bo.get("/jobs/1/targets").text

    measure(bo, WORDS)
    assert "They are worked out once the corner is known." not in bo.get("/jobs/1/targets").text


@pytest.mark.usefixtures("car")
@pytest.mark.parametrize(("page", "lines"), [(LENGTHS, WORDS), (POINT_PAGE, {BALL_UP: "450 mm"})])
def test_what_rests_on_the_corner_is_worked_out_anew_for_the_open_job(bo, page, lines, monkeypatch):
    seen = []
    monkeypatch.setattr("server.web.spec.refresh", lambda db, job, _kind, now: seen.append((job.id, now)))

    measure(bo, lines, page=page)
    measure(bo, {ARM: "8 Nm"})

    assert [job for job, _ in seen] == [1]


@pytest.mark.usefixtures("car")
def test_another_shops_car_is_not_there(bo):
    assert bo.get("/vehicles/99/corner").status_code == 404
    assert bo.get("/vehicles/99/points").status_code == 404
