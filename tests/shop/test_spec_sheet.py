import pytest

from server.shop.refusal import Refusal
from server.shop.spec import line_of, sheet
from server.shop.spec_sheet import (
    SheetRefused,
    Typed,
    spec_sheet,
    thread_of,
    torques_missing,
    torques_needed,
    write_lines,
)
from server.shop.step import steps_of
from server.shop.vehicle import take_in
from server.store.tables import Vehicle
from tests.shop import conftest
from tests.shop.conftest import NOW, library

FRONT_END = library()["coil-on-lower-arm"]
WHEEL, CALIPER, HEIGHT = "torque.wheel-nut", "torque.caliper-bolt", "ride-height"


@pytest.fixture
def car(store, crew):
    """A car with nothing on its sheet."""
    with store.writing() as db:
        return take_in(
            db,
            make="Corvane",
            model="Tarnlight",
            year="",
            plate="ZZ 9",
            drive="LHD",
            front_end=FRONT_END.id,
            front_ends=library(),
            by=crew.foreman,
            now=NOW,
        )


def write(store, crew, car, *typed, source="Manual p. 3"):
    lines = [Typed(line_of(FRONT_END, key), text, confirmed=False) for key, text in typed]
    with store.writing() as db:
        return write_lines(db, car, lines, client_id="c" * 20, source=source, by=crew.technician, now=NOW)


def test_several_lines_are_written_from_one_source_and_empty_ones_passed_over(store, crew, car):
    write(store, crew, car, (WHEEL, "75"), (CALIPER, "  "), (HEIGHT, "14 in"))

    with store.reading() as db:
        assert {key: one.source for key, one in sheet(db, car.id).items()} == {
            WHEEL: "Manual p. 3",
            HEIGHT: "Manual p. 3",
        }


def test_all_that_is_wrong_is_said_at_once_and_nothing_is_written(store, crew, car):
    with pytest.raises(SheetRefused) as refused:
        write(store, crew, car, (WHEEL, "75 mm"), (CALIPER, "35"), (HEIGHT, "1/0"))

    assert set(refused.value.by_key) == {WHEEL, HEIGHT}
    assert refused.value.sentence == "2 lines are not right yet. Nothing was written."
    with store.reading() as db:
        assert sheet(db, car.id) == {}


def test_no_source_and_no_value_are_refused(store, crew, car):
    with pytest.raises(Refusal) as without_source:
        write(store, crew, car, (WHEEL, "75"), source=" ")
    with pytest.raises(Refusal) as without_value:
        write(store, crew, car, (WHEEL, ""))

    assert without_source.value.field == "source"
    assert without_value.value.sentence == "No line has a value yet."


def test_a_sheet_tells_which_torques_the_job_asks_for(store, crew):
    job = conftest.take_in(store, crew, scopes=["tie-rods"])
    with store.reading() as db:
        steps = steps_of(db, job.id)
        lines = spec_sheet(db, db.get_one(Vehicle, job.vehicle_id), FRONT_END, steps)

    needed = {one.line.key for one in lines if one.needed}
    assert needed == torques_needed(steps, FRONT_END)
    assert {"torque.outer-tie-rod-nut", "torque.wheel-nut"} <= needed
    assert "torque.upper-arm-nut" not in needed


def test_what_is_missing_counts_down_as_torques_are_written(store, crew, car):
    job = conftest.take_in(store, crew, scopes=["tie-rods"])
    with store.reading() as db:
        steps = steps_of(db, job.id)
        before = torques_missing(db, car, FRONT_END, steps)

    write(store, crew, car, (WHEEL, "75"))

    with store.reading() as db:
        assert before == len(torques_needed(steps, FRONT_END))
        assert torques_missing(db, car, FRONT_END, steps) == before - 1


def test_only_a_torque_without_a_makers_value_wants_a_proposal(store, crew, car):
    write(store, crew, car, (WHEEL, "75"))

    with store.reading() as db:
        wants = {one.line.key: one.wants_proposal for one in spec_sheet(db, car, FRONT_END)}

    assert not wants[WHEEL]
    assert wants[CALIPER]
    assert not wants[HEIGHT]


def test_a_torque_line_knows_the_usual_thread_of_its_fastener():
    assert thread_of(FRONT_END, WHEEL) == FRONT_END.fastener("wheel-nut").thread
    assert thread_of(FRONT_END, HEIGHT) == ""
