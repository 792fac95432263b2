import pytest
from sqlmodel import select

from server.store.tables import Spec, Target
from tests.web.work import open_work

LINE = "/vehicles/1/spec/torque.wheel-nut"


@pytest.fixture
def car(app, people, clock):
    """A car here for its tie rods, its torques written by Ann."""
    return open_work(app, people, clock, scopes=["tie-rods"])


def lines(store, key="torque.wheel-nut"):
    with store.reading() as db:
        return list(db.exec(select(Spec).where(Spec.key == key).order_by(Spec.id)))


def correct(phone, store, **form):
    form = {"text": "90 lbf·ft", "source": "Manual p. 9", "reason": "misread"} | form
    return phone.fill_in(LINE, supersedes=str(lines(store)[-1].id), **form)


def test_a_correction_stands_and_what_it_corrected_stays_readable(bo, store, car):
    answer = correct(bo, store)

    assert (answer.status_code, answer.headers["location"]) == (303, "/vehicles/1/spec")
    text = bo.get(LINE).text
    assert text.index("90 lbf·ft") < text.index("<s>60 to 75 lbf·ft</s>")
    assert "Corrected: misread" in text
    assert "Ann Adler" in text
    assert "Bo Berg" in text


def test_a_correction_without_a_reason_keeps_what_was_typed(bo, store, car):  # A28
    answer = correct(bo, store, reason=" ")

    assert answer.status_code == 422
    assert 'id="field-reason-error">Say why it is corrected.' in answer.text
    assert 'value="90 lbf·ft"' in answer.text
    assert "Manual p. 9" in answer.text
    assert len(lines(store)) == 1


def test_what_was_corrected_already_is_not_corrected_again(bo, cy, store, car):  # A28
    first = str(lines(store)[0].id)
    correct(bo, store)

    answer = cy.fill_in(LINE, supersedes=first, text="95", source="Manual", reason="also")

    assert answer.status_code == 409
    assert "Someone has written Wheel nut meanwhile." in answer.text
    assert len(lines(store)) == 2


@pytest.mark.parametrize("supersedes", ["999", "x", "-1", "٣"])
def test_a_correction_of_what_never_stood_here_is_refused(bo, store, car, supersedes):  # A28
    answer = bo.fill_in(LINE, supersedes=supersedes, text="95", source="Manual", reason="also")

    assert answer.status_code == 422
    assert "That is not what stands on this line." in answer.text
    assert len(lines(store)) == 1


def test_another_lines_value_is_not_corrected_from_here(bo, store, car):  # A28
    other = lines(store, "torque.link-nut")[0]

    answer = bo.fill_in(LINE, supersedes=str(other.id), text="95", source="Manual", reason="also")

    assert answer.status_code == 422
    assert len(lines(store)) == len(lines(store, "torque.link-nut")) == 1


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("5 lb", "lb is the unit of a force or a mass"),  # A13
        ("1e309", "Type the figure out in full"),  # A6
        ("0", "A torque of 0 is no torque"),  # A16
        ("7500 Nm", "is outside the usual"),  # A17
        ("75 to 60", "A range runs from the smaller value to the larger."),
    ],
)
def test_bad_input_is_said_beside_the_value_and_nothing_is_written(bo, store, car, text, sentence):
    answer = correct(bo, store, text=text)

    assert answer.status_code == 422
    error = answer.text.split('id="field-text-error">')[1].split("</p>")[0]
    assert sentence in error
    assert f'value="{text}"' in answer.text
    assert len(lines(store)) == 1


def test_only_what_can_be_read_but_not_believed_may_be_confirmed(bo, store, car):
    readable, unreadable = correct(bo, store, text="7500 Nm"), correct(bo, store, text="75 mm")

    assert 'name="confirmed"' in readable.text
    assert 'name="confirmed"' not in unreadable.text

    assert correct(bo, store, text="75 mm", confirmed="yes").status_code == 422
    assert correct(bo, store, text="7500 Nm", confirmed="yes").status_code == 303


def generic(phone, key="torque.link-nut", **asked):
    asked = {"grade": "SAE 5", "thread": "3/8-24", "finish": "zinc"} | asked
    return phone.get(f"/vehicles/2/spec/{key}", params=asked)


@pytest.fixture
def bare(bo, people):
    """A second car, with nothing written of it."""
    form = {"make": "Brantham", "model": "Vale", "year": "", "drive": "LHD", "front_end": "coil-on-lower-arm"}
    for plate in ("A 1", "B 2"):
        bo.fill_in("/jobs", **form, plate=plate, bay="", sides="both", scopes=["shocks"])


def test_a_generic_torque_is_shown_with_what_it_rests_on_and_never_as_the_makers(bo, bare):
    text = generic(bo).text

    for word in (
        "not the maker&#39;s",
        "Whole scatter",
        "Proof load",
        "T = K · F · d",
        "The maker&#39;s manual comes first.",
    ):
        assert word in text
    assert 'id="field-generic" type="checkbox" name="generic" value="yes" checked' in text
    assert "Take it over as generic" in text


def test_one_tap_takes_it_over_as_generic_with_its_source(bo, store, bare):
    page = generic(bo).text
    text = page.split('id="field-text" name="text" type="text" value="')[1].split('"')[0]
    source = page.split('id="field-source"')[1].split(">", 1)[1].split("</textarea>")[0]

    bo.fill_in(
        "/vehicles/2/spec/torque.link-nut", text=text, source=source.replace("&#39;", "'"), generic="yes"
    )

    [kept] = lines(store, "torque.link-nut")
    assert kept.generic
    assert kept.source.startswith("Generic, not the maker's: SAE 5, 3/8-24")
    assert '<span class="spec__generic">Generic</span>' in bo.get("/vehicles/2/spec").text


def test_the_usual_thread_is_filled_in_and_nothing_is_worked_out_unasked(bo, bare):
    text = bo.get("/vehicles/2/spec/torque.link-nut").text

    assert 'name="thread" type="text" value="3/8-24"' in text
    assert "Whole scatter" not in text
    assert 'name="generic" value="yes" checked' not in text


@pytest.mark.parametrize(
    ("field", "typed"), [("grade", "SAE 6"), ("thread", "half inch"), ("finish", "gold")]
)
def test_what_is_not_known_of_the_joint_is_said_beside_its_field(bo, bare, field, typed):
    answer = generic(bo, **{field: typed})

    assert answer.status_code == 422
    assert f'id="field-{field}-error"' in answer.text
    assert "Whole scatter" not in answer.text


def test_where_a_makers_value_stands_no_generic_one_is_offered(bo, car):
    assert "Work it out" not in bo.get(LINE).text


def test_only_a_torque_can_be_generic(bo, car):
    text = bo.get("/vehicles/1/spec/ride-height").text

    assert 'name="generic"' not in text
    assert "Work it out" not in text


def test_writing_a_line_works_out_anew_what_rests_on_it(bo, store, car):
    bo.fill_in("/vehicles/1/spec/toe.total", text="1/16 in toe-in", source="Manual p. 20")

    with store.reading() as db:
        assert "toe.total" in {one.key for one in db.exec(select(Target))}


@pytest.mark.parametrize("key", ["torque.flux", "Wheel", "..", "torque.wheel-nut'"])
def test_a_line_that_is_not_there_is_not_found(bo, car, key):
    assert bo.get(f"/vehicles/1/spec/{key}").status_code == 404
