"""The demo's figures against one another, against the sheets, and against the computation."""

from math import degrees, radians, sin

import pytest
from sqlmodel import select

from server.compute.constants import INCH_m
from server.compute.shims import make_up
from server.compute.spring import shortest_m
from server.shop.target import targets_of
from server.store.tables import Hazard, Shim, TorqueRecord

INCH = float(INCH_m)
SIDES = ("LF", "RF")


def inside(value: float, line) -> bool:
    """Whether a value lies on a line of the sheet, its ends included."""
    return line.value - line.uncertainty - 1e-9 <= value <= line.value + line.uncertainty + 1e-9


def springs_out(visit):
    """The sides on which the compressed length was taken."""
    return [side for side in SIDES if visit.evidence.found("spring.compressed-length", side)]


def test_the_car_came_in_with_a_toe_that_one_can_drive_with(visit):
    toe = visit.found("toe.tape-rear", "car").value - visit.found("toe.tape-front", "car").value

    # Common practice, no source: what is set is around 1/16 to 1/8 in; a quarter inch more scrubs the tyres.
    assert abs(toe - visit.spec("toe.total").value) <= INCH / 4
    assert visit.found("toe.tape-diameter", "car").value == visit.spec("toe.diameter").value


def test_ride_heights_are_those_of_one_car(visit):
    left, right = (visit.found("ride-height", side).value for side in SIDES)
    frame_left, frame_right = (visit.found("ride-height.frame", side).value for side in SIDES)

    # Our own choice: what a sagged spring does to a car that still drove in.
    assert abs(left - right) <= INCH / 2
    assert abs(frame_left - frame_right) <= INCH / 2
    assert (left < right) == (frame_left < frame_right)
    assert abs((left + right) / 2 - visit.spec("ride-height").value) <= INCH


def test_tie_rods_left_and_right_are_about_as_long(visit):
    left, right = (visit.found("tie-rod.length", side).value for side in SIDES)

    # Within 1/8 in (3 mm): US Army TM 9-2320-280-20-2, para 6-19 (read).
    assert 0 < abs(left - right) <= INCH / 8


def test_a_compressed_spring_pushes_and_stays_clear_of_solid_and_of_the_rating(visit):
    rate, free = visit.spec("spring.rate").value, visit.spec("spring.free-length").value
    solid = visit.spec("spring.solid-length").value
    assert springs_out(visit)

    for side in springs_out(visit):
        length = visit.found("spring.compressed-length", side).value
        force = rate * (free - length)  # Hooke's law
        assert solid < shortest_m(free_length_m=free, solid_length_m=solid) < length < free
        assert 0 < force < 0.8 * visit.spec("compressor.rating").value


def test_the_hazard_holds_the_energy_that_the_sheet_gives(db, mid_strip):
    hazard = db.exec(
        select(Hazard).where(Hazard.job_id == mid_strip.job.id, Hazard.kind == "spring-compressed")
    ).one()
    pressed = (
        mid_strip.spec("spring.free-length").value - mid_strip.found("spring.compressed-length", "LF").value
    )

    # U = k x²/2, Hooke's law: 320 lbf/in by 16 1/4 - 11 7/16 in, over 12 in to the foot.
    assert hazard.energy_J == pytest.approx(320 * 4.8125**2 / 2 / 12 * 1.3558179483, rel=1e-6)
    assert hazard.energy_J == pytest.approx(mid_strip.spec("spring.rate").value * pressed**2 / 2)


@pytest.mark.parametrize("make", ["on_bench", "released"])
def test_the_drawer_makes_up_all_four_packs_as_found(db, request, make):
    visit = request.getfixturevalue(make)
    stock = {shim.thickness_m: shim.count for shim in db.exec(select(Shim))}
    wanted = [visit.found(key, side).value for side in SIDES for key in ("pack.front", "pack.rear")]

    packs = make_up(wanted, stock, tolerance_m=INCH / 1000)  # as far as a micrometer tells

    assert [pack.thickness_m for pack in packs] == pytest.approx(wanted, abs=INCH / 1000)


@pytest.mark.parametrize("make", ["refit", "released"])
def test_new_tie_rods_are_set_to_the_old_length_and_hold(db, request, make):
    visit = request.getfixturevalue(make)
    pitch, thread = visit.spec("tie-rod.pitch").value, visit.spec("tie-rod.thread").value

    for side in SIDES:
        assert visit.left("tie-rod.length", side).value == visit.found("tie-rod.length", side).value
        showing = [visit.left(f"tie-rod.threads-{end}", side).value for end in ("inner", "outer")]
        held = [visit.left("tie-rod.thread-length", side).value - count * pitch for count in showing]
        # At least one thread diameter in the sleeve: common practice, no source.
        assert min(held) > thread
        # About the same number at both ends: US Army TM 9-2320-387-24-1, para 8-13 (read).
        assert abs(showing[0] - showing[1]) <= 1


def test_the_old_rods_threads_add_up_with_the_new_ones(refit):
    """Twice the pitch a turn: whatever was screwed out to reach the length shows at both ends."""
    for side in SIDES:
        turns = (refit.left("tie-rod.length", side).value - refit.left("tie-rod.lies-at", side).value) / (
            2 * refit.spec("tie-rod.pitch").value
        )
        showing = min(refit.left(f"tie-rod.threads-{end}", side).value for end in ("inner", "outer"))
        assert 0 < turns < showing


def test_the_released_car_left_inside_its_sheet(released):
    toe = released.left("toe.tape-rear", "car").value - released.left("toe.tape-front", "car").value
    assert inside(toe, released.spec("toe.total"))
    for side in SIDES:
        for key in ("camber", "caster", "ride-height"):
            assert inside(released.left(key, side).value, released.spec(key)), (key, side)


def test_the_released_car_had_reason_to_come(released):
    toe = released.found("toe.tape-rear", "car").value - released.found("toe.tape-front", "car").value

    assert not inside(toe, released.spec("toe.total"))
    assert not inside(released.found("camber", "LF").value, released.spec("camber"))


def test_caster_by_sweep_agrees_with_caster_as_read(released):
    for side in SIDES:
        swing = released.left("camber.turned-out", side).value - released.left("camber.turned-in", side).value
        # The standard gauge relation for a sweep of 20° each way: SAE 850219.
        swept = degrees(swing / (2 * sin(radians(20))))
        assert swept == pytest.approx(degrees(released.left("caster", side).value), abs=0.15)


def test_the_road_test_added_a_few_miles(released):
    miles = (released.left("odometer", "car").value - released.found("odometer", "car").value) / 1609.344

    assert 2 < miles < 20


def test_every_target_that_can_be_worked_out_is(db, visit):
    without = [(one.key, one.says) for one in targets_of(db, visit.job) if one.value is None]

    assert without == []


def test_pulls_stand_in_the_middle_of_their_windows(db, visit):
    for record in db.exec(select(TorqueRecord).where(TorqueRecord.job_id == visit.job.id)):
        if record.act == "torque" and record.supersedes_id is None:
            share = (record.value - record.low) / (record.high - record.low)
            assert 0.3 < share < 0.7, (record.fastener, record.text)
