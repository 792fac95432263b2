import pytest
from sqlmodel import select

from server.shop.bay import add_bay
from server.store.tables import Job, Shop, Step, Vehicle
from tests.web.phone import PARTIAL

CAR = {
    "make": "Corvane",
    "model": "Tarnlight",
    "year": "1968",
    "plate": "ab 12",
    "drive": "RHD",
    "front_end": "coil-on-lower-arm",
    "bay": "",
    "sides": "left",
    "scopes": ["shocks"],
}


@pytest.fixture
def bay(store, people):
    with store.writing() as db:
        return add_bay(db, shop_id=people["Ann Adler"].shop_id, name="Bay 1")


def everything(store, table):
    with store.reading() as db:
        return list(db.exec(select(table)))


def test_a_car_is_taken_in_and_leads_to_its_job(bo, store, bay):
    answer = bo.fill_in("/jobs", **(CAR | {"bay": str(bay.id)}))

    [job] = everything(store, Job)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/jobs/{job.id}")
    assert (job.bay_id, job.scopes, job.sides, job.drive) == (bay.id, ["shocks"], "left", "RHD")
    [car] = everything(store, Vehicle)
    assert (car.plate, car.year) == ("AB 12", 1968)
    assert "Write the spec sheet" in bo.get(f"/jobs/{job.id}").text


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("make", "", "Type something that one can read."),
        ("make", "\u200b", "Type something that one can read."),
        ("model", "x" * 41, "That is longer than 40 characters."),
        ("plate", " ", "Type something that one can read."),
        ("year", "19O8", "The year is four digits"),
        ("drive", "", "Say on which side the steering shaft is."),
        ("front_end", "strut", "Choose the kind of front end."),
        ("bay", "99", "There is no such bay."),
        ("scopes", [], "Choose what has to be reached."),
        ("scopes", ["wings"], "Choose what has to be reached."),
        ("sides", "top", "Choose the side, or both."),
    ],
)
def test_bad_input_is_said_beside_its_field_what_was_typed_stays_and_nothing_is_kept(
    bo, store, field, typed, sentence
):
    answer = bo.fill_in("/jobs", **(CAR | {field: typed}))

    assert answer.status_code == 422
    assert f'id="field-{field}-error">{sentence}' in answer.text
    for name in {"make", "model", "year", "plate"} - {field}:
        assert f'name="{name}" type="text" value="{CAR[name]}"' in answer.text
    assert everything(store, Job) == everything(store, Vehicle) == everything(store, Step) == []


def test_ticks_and_choices_stay_when_something_else_is_refused(bo, people):
    text = bo.fill_in("/jobs", **(CAR | {"year": "x", "scopes": ["shocks", "springs"]})).text

    for name, value in (("scopes", "shocks"), ("scopes", "springs"), ("sides", "left"), ("drive", "RHD")):
        assert f'name="{name}" value="{value}" checked' in text
    assert 'name="scopes" value="bar" checked' not in text


def test_a_taken_bay_is_refused_beside_its_field_and_not_offered(bo, store, bay):
    bo.fill_in("/jobs", **(CAR | {"bay": str(bay.id)}))

    answer = bo.fill_in("/jobs", **(CAR | {"plate": "ZZ 9", "bay": str(bay.id)}))

    assert answer.status_code == 422
    assert 'id="field-bay-error">Bay 1 has a car in it.' in answer.text
    assert f'<option value="{bay.id}"' not in bo.get("/jobs/new").text


def test_a_bay_tapped_on_the_board_is_chosen_already(bo, bay):
    assert f'<option value="{bay.id}" selected>Bay 1</option>' in bo.get(f"/jobs/new?bay={bay.id}").text


def test_a_double_tap_opens_one_job(bo, store):  # C3
    first = bo.fill_in("/jobs", client_id="d" * 22, **CAR)
    second = bo.fill_in("/jobs", client_id="d" * 22, **CAR)

    assert first.headers["location"] == second.headers["location"]
    assert len(everything(store, Job)) == 1


def test_another_car_sent_under_the_same_id_is_refused(bo, store):  # C3: back, then submit
    bo.fill_in("/jobs", client_id="d" * 22, **CAR)

    answer = bo.fill_in("/jobs", client_id="d" * 22, **(CAR | {"plate": "ZZ 9"}))

    assert answer.status_code == 409
    assert len(everything(store, Job)) == 1


def test_a_field_that_the_page_does_not_have_is_refused(bo, store):  # C4
    answer = bo.fill_in("/jobs", shop_id="2", **CAR)

    assert answer.status_code == 422
    assert everything(store, Job) == []


def test_without_the_forms_key_nothing_is_taken_in(bo, store):  # C1
    answer = bo.post("/jobs", data=CAR | {"client_id": "d" * 22, "form_key": "x"})

    assert answer.status_code == 403
    assert everything(store, Job) == []


def test_the_plan_is_shown_before_anything_is_opened(bo, store):
    answer = bo.fill_in("/jobs", show="plan", **CAR)

    assert answer.status_code == 200
    assert "Shock absorber" in answer.text
    assert f'value="{CAR["plate"]}"' in answer.text
    assert everything(store, Job) == []


def test_the_plan_needs_only_what_it_rests_on(bo, people):
    answer = bo.fill_in("/jobs", show="plan", **(CAR | {"make": "", "model": "", "plate": "", "year": ""}))

    assert "Shock absorber" in answer.text


def test_a_plan_of_nothing_is_refused_beside_the_scopes(bo, people):
    answer = bo.fill_in("/jobs", show="plan", **(CAR | {"scopes": []}))

    assert answer.status_code == 422
    assert 'id="field-scopes-error"' in answer.text


def test_htmx_gets_the_plan_alone_and_what_is_missing_in_words(bo, people):
    asked = "/jobs/plan?front_end=coil-on-lower-arm&sides=both&drive=LHD"

    plan = bo.get(f"{asked}&scopes=shocks&scopes=bar", headers=PARTIAL)
    nothing = bo.get(asked, headers=PARTIAL)

    assert "Shock absorber" in plan.text
    assert "<html" not in plan.text
    assert "Choose what has to be reached." in nothing.text


def test_names_are_text_whatever_they_look_like(bo, people):  # D1
    text = bo.fill_in("/jobs", **(CAR | {"make": '"><img src=x onerror=1>', "year": "x"})).text

    assert "<img src=x" not in text
    assert "&#34;&gt;&lt;img src=x onerror=1&gt;" in text


def test_wildcards_and_quotes_in_a_plate_are_only_themselves(bo, store):  # D2
    bo.fill_in("/jobs", **(CAR | {"plate": "A%_\\\\"}))
    bo.fill_in("/jobs", **(CAR | {"plate": "' OR 1=1"}))

    assert {car.plate for car in everything(store, Vehicle)} == {"A%_\\\\", "' OR 1=1"}


def test_a_bay_of_another_shop_is_no_bay_of_ours(bo, store, clock):
    with store.writing() as db:
        other = Shop(name="Across the Road", created_at=clock())
        db.add(other)
        db.flush()
        theirs = add_bay(db, shop_id=other.id, name="Theirs")

    answer = bo.fill_in("/jobs", **(CAR | {"bay": str(theirs.id)}))

    assert answer.status_code == 422
    assert "Theirs" not in answer.text
