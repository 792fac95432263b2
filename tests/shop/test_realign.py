"""The record put to the linkage: what counts as found, what as wanted, and when there is no plan."""

from math import asin, degrees, radians, sqrt

import numpy as np
import pytest

from server.compute.adjust import calibrated
from server.compute.answer import Known
from server.compute.corner import Hand
from server.compute.linkage import at_travel
from server.compute.motion import rates
from server.compute.pose import readings
from server.compute.stand import Coil, lift_m
from server.shop.geometry import layout_of
from server.shop.realign import joint_change, outlook
from tests.shop.bench_top import INCH_m, evidence

WORDS = {"corner.steer": "behind", "corner.shaft-at": "inboard"}
WANTED = {"camber": "0.25° ± 0.5°", "caster": "1.25° ± 0.5°", "toe.total": "1/8 in toe-in"}
DRAWER = {"1/64 in": 6, "1/32 in": 10, "1/16 in": 10, "1/8 in": 10}
SPRINGS = {
    "spring.rate": "340 lbf/in",
    "spring.free-length": "15 1/2 in",
    "new-spring.rate": "340 lbf/in",
    "new-spring.free-length": "16 in",
}


def found(place="LF", camber="1.25", caster="0.5"):
    return {
        ("camber", place): camber,
        ("caster", place): caster,
        ("pack.front", place): "3/16 in",
        ("pack.rear", place): "1/4 in",
    }


TAPE = {("toe.tape-front", "car"): "58 1/4 in", ("toe.tape-rear", "car"): "58 1/4 in"}


def test_the_refit_is_planned_from_what_was_found_toward_the_sheet():
    one = outlook(evidence(down=found() | TAPE, sheet=WORDS | WANTED, drawer=DRAWER), "found")

    predicted = np.degrees(one.move("LF").predicted.stacked)
    assert predicted[:2] == pytest.approx([0.25, 1.25], abs=0.15)
    assert predicted[2] == pytest.approx(degrees(0.125 * INCH_m / 2 / 0.65), rel=1e-3)  # half the toe, F10
    assert one.refused == ""
    assert one.move("RF") is None
    assert {"camber", "caster", "toe.total", "corner.steer", "corner.shaft-at"} <= {s.key for s in one.specs}


def test_a_plan_rests_on_the_ratio_by_which_a_steering_wheel_was_brought_straight():
    taken = found() | TAPE | {("steering-wheel.off", "car"): "12"}

    one = outlook(
        evidence(down=taken, sheet=WORDS | WANTED | {"steering.ratio": "24"}, drawer=DRAWER), "found"
    )

    assert "steering.ratio" in {spec.key for spec in one.specs}


@pytest.mark.parametrize(("places", "share"), [(("LF",), 0.5), (("LF", "RF"), 1.0)])
def test_a_wheel_alone_has_its_half_of_the_toe_that_is_tolerated(places, share):
    """1/16 in over the tyre's 0.65 m: t = 2·arcsin(T/2D) in total (F10)."""
    taken = TAPE | {at: text for place in places for at, text in found(place).items()}

    one = outlook(evidence(down=taken, sheet=WORDS | WANTED, drawer=DRAWER), "found")

    assert one.question.band.toe_rad == pytest.approx(share * 2 * asin(INCH_m / 16 / (2 * 0.65)))


@pytest.mark.parametrize(("toe", "shared"), [(TAPE, True), ({("toe.wheel", "LF"): "0.1"}, False)])
def test_a_tapes_error_is_passed_on_as_one_for_both_wheels(toe, shared):
    one = outlook(evidence(down=found() | toe, sheet=WORDS | WANTED, drawer=DRAWER), "found")

    assert one.move("LF").standing.wheel.is_toe_shared is shared


@pytest.mark.parametrize(
    "given",
    [
        {"down": found(), "sheet": WANTED},
        {"down": found(), "sheet": WANTED | {"corner.steer": "behind"}},
        {"down": found(), "sheet": WANTED | {"corner.shaft-at": "inboard"}},
        {"sheet": WORDS | WANTED},
        {"down": found(), "sheet": WORDS},
    ],
    ids=["no geometry", "no shaft side", "no steer side", "no readings", "nothing aimed at"],
)
def test_without_geometry_readings_or_an_aim_there_is_no_plan(given):
    assert outlook(evidence(**given), "found") is None


def test_a_toe_that_nobody_measured_is_kept_as_it_was():
    sheet = WORDS | {key: WANTED[key] for key in ("camber", "caster", "toe.total")}

    one = outlook(evidence(down=found(), sheet=sheet, drawer=DRAWER), "found")

    assert one.record("LF").toe is None
    assert one.move("LF").predicted.toe_rad == pytest.approx(0.0, abs=1e-9)
    assert abs(one.move("LF").tie_rod_m) > 1e-5  # the packs alone would have changed it


def test_what_no_setting_can_reach_is_said_in_words():
    one = outlook(evidence(down=found(), sheet=WORDS | {"caster": "60°"}), "found")

    assert one.plan is None
    assert one.move("LF") is None
    assert one.refused == "No shims and no tie-rod length can make this corner read that."


def test_another_spring_is_planned_for_at_the_height_at_which_the_car_will_stand():
    given = evidence(down=found() | TAPE, sheet=WORDS | WANTED | SPRINGS, drawer=DRAWER, renewed=("spring",))
    one = outlook(given, "found")

    found_angles = readings(radians(1.25), radians(0.5), 0.0)
    corner = calibrated(layout_of(given.specs).corner(Hand.LEFT), found_angles)
    rate = 340 * 175.1268352  # N/m per lbf/in, exact by the inch and the pound-force
    lift = float(lift_m(corner, Coil(rate, 15.5 * INCH_m), Coil(rate, 16 * INCH_m)))
    assert one.lift("LF").value == pytest.approx(lift, rel=1e-6)
    gain = float(rates(at_travel(corner)).camber_rad_per_m)
    standing = one.move("LF").standing.wheel.found.camber_rad
    assert float(standing) == pytest.approx(np.radians(1.25) - gain * lift, abs=np.radians(0.35))
    assert float(standing) != pytest.approx(np.radians(1.25), abs=np.radians(0.01))


def test_the_angles_at_a_height_to_come_are_no_surer_than_the_height():
    """What the camber turns over the lift's own ± is a flat band's half (GUM 4.3.7)."""
    given = {"down": found() | TAPE, "sheet": WORDS | WANTED | SPRINGS, "drawer": DRAWER}
    same, other = (outlook(evidence(**given, renewed=one), "found") for one in ((), ("spring",)))
    before, after = (one.move("LF").standing.wheel for one in (same, other))

    corner = calibrated(layout_of(evidence(**given).specs).corner(Hand.LEFT), before.found)
    lift = other.lift("LF")
    assert lift.uncertainty > 0.2 * lift.value  # roll bar and settling, and the lengths on top
    less, all_of_it = (
        at_travel(corner, -height).readings.camber_rad
        for height in (lift.value - lift.uncertainty, lift.value)
    )
    by_lift = sqrt(after.spread.camber_rad**2 - before.spread.camber_rad**2)
    assert by_lift == pytest.approx(abs(float(all_of_it - less)) / sqrt(3))


def test_without_packs_to_be_had_another_spring_lifts_the_car_all_the_same():
    sheet = WORDS | WANTED | SPRINGS | {"caster": "60°"}

    one = outlook(evidence(down=found(), sheet=sheet, drawer=DRAWER, renewed=("spring",)), "found")

    assert one.plan is None
    assert one.lift("LF").value > 0.005


def test_without_a_decision_to_renew_it_the_spring_lifts_nothing():
    one = outlook(evidence(down=found(), sheet=WORDS | WANTED | SPRINGS, drawer=DRAWER), "found")

    assert one.lift("LF") is None


def test_on_the_floor_packs_within_the_sheets_tolerance_stay_in():
    now = evidence(down=found(), later=found(camber="0.6", caster="1.0"), sheet=WORDS | WANTED, drawer=DRAWER)

    move = outlook(now, "left").move("LF")

    assert (move.front_change_m, move.rear_change_m) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_packs_that_stay_in_are_judged_by_the_sheet_not_by_what_they_read():
    """0.74° read where 0.25° ± 0.5° is wanted: inside by 0.01°, a fifth of what the gauge is sure of."""
    at_the_edge, in_the_middle = (
        outlook(
            evidence(
                down=found(), later=found(camber=camber, caster="1.25"), sheet=WORDS | WANTED, drawer=DRAWER
            ),
            "left",
        )
        for camber in ("0.74", "0.25")
    )

    assert at_the_edge.move("LF").front_change_m == pytest.approx(0.0, abs=1e-9)
    assert at_the_edge.plan.short == ()
    assert at_the_edge.plan.likely == pytest.approx(0.58, abs=0.03)  # P(N(0, 0.05°) < 0.01°) = Φ(0.2)
    assert in_the_middle.plan.likely > 0.99


def test_the_packs_limits_on_the_sheet_are_kept():
    sheet = WORDS | WANTED | {"pack.most": "1/4 in", "pack.most-apart": "1/8 in"}

    move = outlook(evidence(down=found(), sheet=sheet, drawer=DRAWER), "found").move("LF")

    assert move.front.thickness_m <= INCH_m / 4 + 1e-9
    assert move.rear.thickness_m <= INCH_m / 4 + 1e-9
    assert abs(move.front.thickness_m - move.rear.thickness_m) <= INCH_m / 8 + 1e-9


def test_a_tie_rod_captured_on_the_way_down_takes_the_place_of_its_guess():
    sheet = WORDS | WANTED
    plain = outlook(evidence(down=found(), sheet=sheet, drawer=DRAWER), "found")
    taken = outlook(
        evidence(down=found() | {("tie-rod.length", "LF"): "13 1/2 in"}, sheet=sheet, drawer=DRAWER), "found"
    )

    assert "tie-rod" in plain.question.layout.guessed
    assert "tie-rod" not in taken.question.layout.guessed


def test_the_same_question_is_answered_once():
    given = {"down": found(), "sheet": WORDS | WANTED, "drawer": DRAWER}

    first, second = (outlook(evidence(**given), "found") for _ in range(2))

    assert first.plan is second.plan


def test_a_joint_that_sits_higher_wants_a_rod_as_much_longer_as_the_plain_triangle_says():
    """Usual corner: the outer ball lies 25 mm below the inner, 330 mm apart; up by 10 mm: Pythagoras."""
    given = evidence(sheet=WORDS)

    change = joint_change(given, "LF", Known(0.010, 0.001))

    level = 0.330**2 - 0.025**2
    assert change.value == pytest.approx((level + 0.015**2) ** 0.5 - 0.330, abs=1e-9)
    assert change.uncertainty == pytest.approx(abs((level + 0.014**2) ** 0.5 - (level + 0.015**2) ** 0.5))


def test_without_the_geometry_a_joints_height_says_nothing():
    assert joint_change(evidence(), "LF", Known(0.010)) is None
