"""The what-if page: a form whose answer has an address."""

import re
from html import unescape

import pytest
from sqlmodel import func, select

from server.store.tables import Capture, Target
from tests.web.next_door import phone_next_door
from tests.web.test_alignment import READ, SHEET, TAPED_in, read, write_sheet

PAGE = "/jobs/1/what-if"


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["upper-arms", "tie-rods"], "pre-alignment", "after")


@pytest.fixture
def measured(store, people, clock):
    write_sheet(store, people, clock, TAPED_in | SHEET)


def words(text):
    return " ".join(unescape(re.sub("<[^>]+>", " ", text)).split())


def side(answer, place):
    found = re.search(rf'id="what-{place}".*?</article>', answer.text, re.DOTALL)
    return words(found[0]) if found else None


def beside(answer, name):
    found = re.search(rf'id="field-{name}-error">([^<]*)<', answer.text)
    return unescape(found[1]) if found else None


@pytest.mark.usefixtures("measured")
def test_an_empty_form_is_no_mistake(bo):
    answer = bo.get(PAGE)

    assert answer.status_code == 200
    assert "What comes of it" not in answer.text
    assert 'aria-invalid="true"' not in answer.text


@pytest.mark.usefixtures("measured")
def test_a_result_has_an_address_and_keeps_what_was_typed(bo):
    read(bo, READ)

    answer = bo.get(PAGE, params={"lift": "19 mm", "side": "both"})

    assert answer.status_code == 200
    for place in ("LF", "RF"):
        said = side(answer, place)
        assert re.search(r"Camber -?[\d.]+° ± [\d.]+° -?[\d.]+° ± [\d.]+°", said)
        for name in (
            "Caster",
            "Toe of this wheel",
            "Scrub radius",
            "Trail",
            "Motion ratio",
            "Roll centre",
            "Bump steer",
        ):
            assert name in said
        assert re.search(r"(Add|Take) .* the front pack", said)
        assert "tie rod" in said
    assert 'value="19 mm"' in answer.text


@pytest.mark.usefixtures("measured")
def test_it_says_how_much_is_guessed_and_leads_to_what_would_narrow_it(bo):
    answer = bo.get(PAGE, params={"lift": "19 mm"})

    assert re.search(r"Guessed, not measured: \d+ of the corner's 24 lengths\. Each", words(answer.text))
    assert 'href="/vehicles/1/corner?job=1">Corner’s lengths</a></p>' in answer.text


@pytest.mark.usefixtures("measured")
def test_one_side_can_be_tried_alone(bo):
    answer = bo.get(PAGE, params={"lift": "19 mm", "side": "RF"})

    assert side(answer, "LF") is None
    assert side(answer, "RF")


@pytest.mark.usefixtures("measured")
def test_where_nobody_read_the_wheel_it_says_so(bo):
    said = side(bo.get(PAGE, params={"lift": "19 mm", "side": "RF"}), "RF")

    assert "nobody read its camber and caster" in said


@pytest.mark.usefixtures("measured")
def test_a_pose_that_cannot_be_names_the_link(bo):
    answer = bo.get(PAGE, params={"lift": "400 mm"})

    assert answer.status_code == 200
    assert "It cannot be. The upper arm does not reach its ball joint." in side(answer, "LF")
    assert "is outside the usual" in words(answer.text)


@pytest.mark.usefixtures("measured")
def test_what_cannot_be_read_is_said_beside_its_field(bo):
    answer = bo.get(PAGE, params={"lift": "<b>high", "front": "1/16"})

    assert answer.status_code == 422
    assert beside(answer, "lift")
    assert beside(answer, "front") is None
    assert 'value="&lt;b&gt;high"' in answer.text
    assert "What comes of it" not in answer.text


@pytest.mark.usefixtures("measured")
def test_a_spring_without_the_old_ones_figures_leads_to_no_guess(bo):
    answer = bo.get(PAGE, params={"rate": "330 lbf/in", "free": "15 in"})

    assert "of the spring that is in" in beside(answer, "rate")


@pytest.mark.usefixtures("measured")
def test_an_address_with_a_field_twice_is_refused(bo):
    answer = bo.get(f"{PAGE}?lift=1&lift=2")

    assert answer.status_code == 422
    assert "has a field twice" in answer.text


def test_without_a_corner_it_says_what_is_missing_and_where_to_enter_it(bo):
    answer = bo.get(PAGE, params={"lift": "19 mm"})

    assert answer.status_code == 200
    assert "Say whether the tie rods lie ahead of the axle or behind it." in answer.text
    assert 'href="/vehicles/1/corner?job=1"' in answer.text
    assert "Try it" not in answer.text


@pytest.mark.usefixtures("measured")
def test_trying_something_writes_nothing(bo, store):
    def rows():
        with store.reading() as db:
            return [db.scalar(select(func.count()).select_from(table)) for table in (Capture, Target)]

    before = rows()
    bo.get(PAGE, params={"lift": "19 mm"})

    assert rows() == before


@pytest.mark.usefixtures("people")
def test_another_shops_job_is_not_there(app, clock):
    assert phone_next_door(app, clock).get(PAGE).status_code == 404


def test_the_cars_pages_lead_here(bo):
    assert f'href="{PAGE}"' in bo.get("/jobs/1").text
