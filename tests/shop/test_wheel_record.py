"""What a record says of a wheel, by hand calculations beside each."""

from math import asin, degrees, hypot, radians, sin, sqrt

import pytest

from server.shop.wheel_record import GAUGE_rad, TYRE_m, diameter_m, wheels
from tests.shop.bench_top import INCH_m, evidence

PACKS = {("pack.front", "LF"): "3/16 in", ("pack.rear", "LF"): "1/4 in"}
FOUND = {**PACKS, ("camber", "LF"): "1.25", ("caster", "LF"): "0.5"}
TAPE = {
    ("toe.tape-front", "car"): "58 1/4 in",
    ("toe.tape-rear", "car"): "58 3/8 in",
    ("toe.tape-diameter", "car"): "26 in",
}


def left_wheel(when="found", **given):
    (wheel,) = wheels(evidence(**given), when)
    return wheel


def test_a_wheel_is_known_by_camber_caster_and_both_packs():
    wheel = left_wheel(down=FOUND)

    assert wheel.place == "LF"
    assert degrees(wheel.camber.value) == pytest.approx(1.25)
    assert degrees(wheel.caster.value) == pytest.approx(0.5)
    assert wheel.front.value == pytest.approx(3 / 16 * INCH_m)
    assert wheel.rear.value == pytest.approx(1 / 4 * INCH_m)
    assert wheel.toe is None
    assert {one.key for one in wheel.captures} == {"camber", "caster", "pack.front", "pack.rear"}


@pytest.mark.parametrize("lacking", list(FOUND))
def test_without_any_one_of_them_there_is_no_wheel(lacking):
    rest = {at: text for at, text in FOUND.items() if at != lacking}

    assert wheels(evidence(down=rest), "found") == []


def test_no_gauge_is_taken_as_perfect_and_a_coarse_reading_is_no_better_than_written():
    """A half-width is a flat band (GUM 4.3.7), and the gauge's own spread comes on top."""
    fine, coarse = left_wheel(down=FOUND), left_wheel(down=FOUND | {("camber", "LF"): "1"})

    assert fine.camber.spread == pytest.approx(hypot(radians(0.005) / sqrt(3), GAUGE_rad["camber"]), rel=0.01)
    assert coarse.camber.spread == pytest.approx(hypot(radians(0.5) / sqrt(3), GAUGE_rad["camber"]), rel=0.01)


def test_toe_by_tape_is_half_of_it_at_each_wheel():
    """T = 2·D·sin t (F10): 1/8 in over 26 in."""
    wheel = left_wheel(down=FOUND | TAPE)

    assert wheel.toe.value == pytest.approx(asin(0.125 / (2 * 26)))
    assert {"toe.tape-front", "toe.tape-rear"} <= {one.key for one in wheel.captures}
    assert wheel.is_toe_shared


def test_a_gauge_at_the_wheel_alone_goes_before_the_tape():
    wheel = left_wheel(down=FOUND | TAPE | {("toe.wheel", "LF"): "-0.3"})

    assert degrees(wheel.toe.value) == pytest.approx(-0.3)
    assert not wheel.is_toe_shared


def test_a_steering_wheel_off_straight_shifts_the_toe_from_one_wheel_to_the_other():
    """Turned 12° left on a straight road at 24 to 1: put straight, both wheels steer 0.5° to the right, which
    toes the left one in and the right one out (ISO 8855: a left wheel toed in by t is steered by −t)."""
    both = {(key, place): text for (key, _), text in FOUND.items() for place in ("LF", "RF")}
    given = evidence(down=both | TAPE | {("steering-wheel.off", "car"): "12"}, sheet={"steering.ratio": "24"})

    left, right = wheels(given, "found")

    half = degrees(asin(0.125 / 52))
    assert degrees(left.toe.value) == pytest.approx(half + 0.5)
    assert degrees(right.toe.value) == pytest.approx(half - 0.5)


def test_a_steering_wheel_is_no_surer_than_it_was_read_nor_its_ratio_than_the_sheet():
    """12° ± 0.5°, as whole degrees are written, at 24 ± 3: hypot(0.5, 12·3/24)/24 to first order (GUM)."""
    given = FOUND | TAPE | {("steering-wheel.off", "car"): "12"}

    sure, unsure = left_wheel(down=FOUND | TAPE), left_wheel(down=given, sheet={"steering.ratio": "21 to 27"})

    more = radians(hypot(0.5, 1.5) / 24) / sqrt(3)
    assert unsure.toe.spread == pytest.approx(hypot(sure.toe.spread, more))


def test_a_toe_rests_on_everything_that_it_is_worked_out_from():
    given = FOUND | TAPE | {("steering-wheel.off", "car"): "12"}

    wheel = left_wheel(down=given, sheet={"steering.ratio": "24"})

    assert {"toe.tape-diameter", "steering-wheel.off"} <= {one.key for one in wheel.captures}


def test_without_the_ratio_a_steering_wheel_off_straight_says_nothing():
    given = FOUND | TAPE | {("steering-wheel.off", "car"): "12"}

    assert left_wheel(down=given).toe.value == pytest.approx(asin(0.125 / 52))


def test_caster_comes_from_the_sweep_where_no_gauge_shows_it():
    """Standard gauge relation (SAE 850219, F13), 20° each way."""
    swept = {("camber.turned-out", "LF"): "2", ("camber.turned-in", "LF"): "-0.1"}
    rest = {at: text for at, text in FOUND.items() if at[0] != "caster"}

    wheel = left_wheel("left", later=rest | swept)

    assert degrees(wheel.caster.value) == pytest.approx(2.1 / (2 * sin(radians(20))))


def test_a_pack_made_up_anew_counts_now_and_the_one_found_counts_as_found():
    given = {"down": FOUND, "later": FOUND | {("pack.front", "LF"): "1/2 in"}}

    assert left_wheel("found", **given).front.value == pytest.approx(3 / 16 * INCH_m)
    assert left_wheel("left", **given).front.value == pytest.approx(1 / 2 * INCH_m)


def test_a_pack_that_went_back_as_it_came_off_is_in_now():
    now = {at: text for at, text in FOUND.items() if at[0] in ("camber", "caster")}

    assert left_wheel("left", down=PACKS, later=now).rear.value == pytest.approx(1 / 4 * INCH_m)


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({"down": TAPE, "sheet": {"toe.diameter": "25 in"}}, 26 * INCH_m),
        ({"sheet": {"toe.diameter": "25 in"}}, 25 * INCH_m),
        ({}, TYRE_m),
    ],
)
def test_the_diameter_is_as_measured_else_by_the_sheet_else_usual(given, expected):
    assert diameter_m(evidence(**given), "found") == pytest.approx(expected)
