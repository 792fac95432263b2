import pytest
from sqlmodel import select

from server.procedure.model import FastenerAct
from server.shop.refusal import Refusal
from server.shop.tightening import Tightening, awaits_pin, lacking, needs_second, records_of, unverified
from server.shop.torque_record import Pull, correct, pin, verify
from server.store.tables import Spec, TorqueRecord
from tests.shop.conftest import library


def fastener(name):
    return library()["coil-on-lower-arm"].fastener(name)


def tightening(name, low_Nm, high_Nm, act="torque"):
    spec = Spec(client_id="x", vehicle_id=1, key="x", text="", quantity="torque", source="", person_id=1)
    spec.low, spec.high = low_Nm, high_Nm
    return Tightening(fastener(name), act, spec, ())


# Windows


@pytest.mark.parametrize(("stage", "ends_Nm"), [(1, (40.0, 50.0)), (2, (80.0, 100.0))])
def test_a_range_is_the_window_and_a_stage_is_its_share_of_it(stage, ends_Nm):
    assert tightening("wheel-nut", 80.0, 100.0).window_Nm(stage) == pytest.approx(ends_Nm)


@pytest.mark.parametrize(("stage", "ends_Nm"), [(1, (45.0, 55.0)), (2, (90.0, 110.0))])
def test_a_single_torque_is_widened_by_a_tenth_either_way(stage, ends_Nm):
    # The standard tolerance of US Army TM 9-2320-362-14&P, appendix F.
    assert tightening("wheel-nut", 100.0, 100.0).window_Nm(stage) == pytest.approx(ends_Nm)


def test_a_slotted_nut_with_a_single_torque_may_go_on_to_its_next_slot():
    # Never back, so the window reaches upward; by how much before a second look is our own choice.
    assert tightening("lower-joint-nut", 100.0, 100.0).window_Nm(1) == pytest.approx((90.0, 150.0))


def test_a_slotted_nut_with_a_range_stays_in_it():
    assert tightening("lower-joint-nut", 80.0, 100.0).window_Nm(1) == pytest.approx((80.0, 100.0))


def test_without_a_line_on_the_spec_sheet_there_is_no_window():
    with pytest.raises(Refusal, match="no torque for the wheel nut"):
        Tightening(fastener("wheel-nut"), "torque", None, ()).window_Nm(1)


# What is to be tightened, and in which order


def test_a_star_is_crossed_and_a_line_goes_from_its_middle():
    # Every other one for five: US Army TM 10-4320-344-24, para 2.23.1. From the middle out: common practice.
    assert tightening("wheel-nut", 1, 2).order == (1, 3, 5, 2, 4)
    assert tightening("bar-bracket-bolt", 1, 2).order == (2, 3, 1, 4)
    assert tightening("link-nut", 1, 2).order == (1,)


@pytest.mark.parametrize(
    ("name", "is_castle"), [("lower-joint-nut", True), ("wheel-nut", False), ("link-nut", False)]
)
def test_only_nuts_with_slots_go_on_to_the_next(name, is_castle):
    assert tightening(name, 1, 2).is_castle is is_castle


def test_a_cotter_has_one_stage_whatever_its_nut_has():
    assert tightening("wheel-nut", 1, 2, act="cotter").stages == (1.0,)


def test_a_step_tightens_and_pins_in_the_order_of_its_procedure(at):
    here = at("tie-rod", "up")

    seen = here.tightenings(here.step("tie-rod", "up"))

    assert [(one.fastener.id, one.act) for one in seen] == [
        ("outer-tie-rod-nut", "torque"),
        ("outer-tie-rod-nut", "cotter"),
        ("inner-tie-rod-nut", "torque"),
        ("inner-tie-rod-nut", "cotter"),
    ]
    assert all(one.spec.text == "60 to 75 lbf·ft" for one in seen)


@pytest.mark.parametrize(
    ("stop", "operation", "direction"),
    [(("tie-rod", "down"), "tie-rod", "down"), (("shock", "up"), "lower-pivots", "up")],
)
def test_nothing_is_tightened_on_the_way_down_or_where_a_nut_is_only_run_snug(at, stop, operation, direction):
    here = at(*stop)

    assert here.tightenings(here.step(operation, direction)) == []


def test_a_torque_on_the_way_down_would_not_be_asked_for(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    assert FastenerAct(fastener="outer-tie-rod-nut", act="torque") in here.rung(step).move.fasteners

    step.direction, rung = "down", here.rung(step)

    assert list(lacking(here.db, step, rung, here.front_end)) == []


# What has been recorded


def test_the_next_stage_is_the_first_that_is_not_recorded(at):
    here = at("wheel-nuts", "up")
    step = here.step("wheel-nuts", "up")

    assert here.tightening(step, "wheel-nut").next_stage == 1
    here.pull(step, "wheel-nut", "34 lbf·ft")
    assert here.tightening(step, "wheel-nut").next_stage == 2
    here.pull(step, "wheel-nut", "68 lbf·ft")
    assert here.tightening(step, "wheel-nut").next_stage is None


def test_what_is_recorded_stands_by_stage_with_who_pulled_who_verified_and_what_it_superseded(at):
    here = at("wheel-nuts", "up")
    step = here.step("wheel-nuts", "up")
    first = here.pull(step, "wheel-nut", "34 lbf·ft")
    second = here.pull(step, "wheel-nut", "68 lbf·ft")
    again = correct(
        here.db,
        step,
        here.tightening(step, "wheel-nut"),
        first,
        here.hand(here.crew.foreman),
        Pull("33 lbf·ft"),
        reason="read the wrong scale",
    )
    verify(here.db, second, here.hand(here.crew.second))

    stage_1, stage_2 = here.tightening(step, "wheel-nut").recorded

    assert (stage_1.record, stage_1.by, stage_1.verified_by) == (again, "Ilse", None)
    assert stage_1.history == (first,)
    assert (stage_2.record, stage_2.by, stage_2.verified_by, stage_2.history) == (second, "Tom", "Nadia", ())


def test_the_torque_and_the_cotter_of_one_nut_are_kept_apart(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    record = here.pull(step, "outer-tie-rod-nut")
    pinned = pin(here.db, step, here.tightening(step, "outer-tie-rod-nut", "cotter"), here.hand())

    assert [one.record for one in here.tightening(step, "outer-tie-rod-nut").recorded] == [record]
    assert [one.record for one in here.tightening(step, "outer-tie-rod-nut", "cotter").recorded] == [pinned]
    assert here.tightening(step, "inner-tie-rod-nut").recorded == ()


@pytest.mark.parametrize(
    ("name", "act", "stage", "wanted"),
    [
        ("wheel-nut", "torque", 2, True),
        ("wheel-nut", "torque", 1, False),
        ("caliper-bolt", "torque", 1, True),
        ("outer-tie-rod-nut", "cotter", 1, False),
        ("link-nut", "torque", 1, False),
    ],
)
def test_the_last_stage_of_what_is_safety_critical_wants_a_second_person(name, act, stage, wanted):
    record = TorqueRecord(fastener=name, act=act, stage=stage)

    assert needs_second(record, library()["coil-on-lower-arm"]) is wanted


def test_what_nobody_has_verified_is_told_until_somebody_has(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    assert unverified(here.db, here.job, here.front_end) == []

    record = here.pull(step, "caliper-bolt")
    assert unverified(here.db, here.job, here.front_end) == [record]
    assert records_of(here.db, here.job)[-1].record == record

    verify(here.db, record, here.hand(here.crew.second))
    assert unverified(here.db, here.job, here.front_end) == []


def test_the_records_of_a_job_are_those_that_stand_in_the_order_made(at):
    here = at("settle", "up")

    made = [one.record for one in records_of(here.db, here.job)]

    assert [one.id for one in made] == sorted(one.id for one in made)
    assert len(made) == len(here.db.exec(select(TorqueRecord)).all()) > 5


def test_a_nut_awaits_its_pin_until_that_is_recorded(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    record, other = here.pull(step, "outer-tie-rod-nut"), here.pull(step, "inner-tie-rod-nut")
    assert awaits_pin(here.tightenings(step), record)

    pin(here.db, step, here.tightening(step, "outer-tie-rod-nut", "cotter"), here.hand())

    assert not awaits_pin(here.tightenings(step), record)
    assert awaits_pin(here.tightenings(step), other)


def test_a_nut_without_a_pin_awaits_none(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")

    assert not awaits_pin(here.tightenings(step), here.pull(step, "caliper-bolt"))
