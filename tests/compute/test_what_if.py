"""What-if against a free rigid body solved by scipy, against slopes by difference, and there and back."""

import numpy as np
import pytest

from server.compute.adjust import calibrated, restood
from server.compute.answer import Known
from server.compute.corner import Hand
from server.compute.dimension import SHORT
from server.compute.layout import Steer, short
from server.compute.linkage import Setting, at_travel, posed
from server.compute.pose import Fault, readings
from server.compute.scatter import NINETY, Scatter, Wheel
from server.compute.what_if import FIGURES, BUMP_m, Change, what_if
from tests.compute import by_least_squares

FOUND = readings(*np.radians((0.5, 1.5, 0.1)))
SPREAD = readings(*np.radians((0.1, 0.3, 0.05)))
WANTED = readings(*np.radians((0.25, 2.0, 0.05)))
LIFT_m = 0.019
TRIED = Change(LIFT_m, 0.0016, -0.0008, 0.0005)
BACK_m = 1e-9


def layout(steer=Steer.BEHIND):
    return short({}, steer)


def wheel(hand=Hand.LEFT):
    return Wheel(hand, FOUND, SPREAD)


def row(figures, name):
    return figures[FIGURES.index(name)]


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("steer", Steer)
def test_lift_and_packs_agree_with_a_free_body_pulled_into_place(hand, steer):
    corner = calibrated(layout(steer).corner(hand), FOUND)
    lifted = by_least_squares.at_travel(corner, -LIFT_m, Setting())
    after = by_least_squares.at_arm(restood(at_travel(corner, -LIFT_m)), 0.0, TRIED.setting)

    only_lifted = what_if(layout(steer), wheel(hand), Change(LIFT_m), WANTED)
    both = what_if(layout(steer), wheel(hand), TRIED, WANTED)

    for found, other in ((only_lifted, lifted), (both, after)):
        for name in ("camber", "caster", "toe"):
            assert np.degrees(row(found.after, name)) == pytest.approx(getattr(other, name), abs=0.005)
        for name in ("scrub", "trail"):
            assert row(found.after, name) == pytest.approx(getattr(other, name), abs=5e-5)


def test_bump_steer_and_motion_ratio_are_the_slopes_where_it_then_stands():
    found = what_if(layout(), wheel(), Change(LIFT_m), WANTED)
    corner = calibrated(layout().corner(Hand.LEFT), FOUND)
    lower, higher = (at_travel(corner, -LIFT_m + step) for step in (-1e-4, 1e-4))

    toe = (higher.readings.toe_rad - lower.readings.toe_rad) / 2e-4
    ratio = -(higher.spring_m - lower.spring_m) / 2e-4
    assert row(found.after, "bump steer") == pytest.approx(float(toe) * BUMP_m, rel=1e-4)
    assert row(found.after, "motion ratio") == pytest.approx(float(ratio), rel=1e-5)


@pytest.mark.parametrize("hand", Hand)
def test_the_way_back_makes_the_changed_corner_read_what_is_wanted(hand):
    found = what_if(layout(), wheel(hand), TRIED, WANTED)
    lifted = restood(at_travel(calibrated(layout().corner(hand), FOUND), -LIFT_m))
    back = Setting(
        TRIED.front_m + found.back.front_m,
        TRIED.rear_m + found.back.rear_m,
        TRIED.tie_rod_m + found.back.tie_rod_m,
    )

    assert posed(lifted, back).readings.stacked == pytest.approx(WANTED.stacked, abs=BACK_m)


def test_nothing_changed_is_the_same_after_as_before():
    found = what_if(layout(), wheel(), Change(), FOUND)

    assert found.after == pytest.approx(found.before, abs=1e-9)
    assert (found.back.front_m, found.back.rear_m, found.back.tie_rod_m) == pytest.approx((0, 0, 0), abs=1e-9)


def test_left_and_right_are_alike():
    left, right = (what_if(layout(), wheel(hand), TRIED, WANTED) for hand in Hand)

    assert left.after == pytest.approx(right.after, abs=1e-9)
    assert left.after_off == pytest.approx(right.after_off, rel=1e-6)


def test_its_uncertainty_is_that_of_the_budget_without_the_models_own_choices():
    change = Change(front_m=0.003)
    (budget,) = Scatter(layout(), (wheel(),), (change.setting,)).budgets()
    first_order = NINETY * np.sqrt(sum(one.spread**2 for one in budget.shares[:-1]))

    drawn = what_if(layout(), wheel(), change, WANTED).after_off[:3]

    assert drawn == pytest.approx(first_order, rel=0.12)


def test_a_lift_that_is_not_sure_makes_what_comes_of_it_less_sure():
    measured = short({one.key: Known(one.usual_m) for one in SHORT}, Steer.BEHIND)
    sure, unsure = (what_if(measured, wheel(), Change(LIFT_m, lift_off_m=off), WANTED) for off in (0, 0.008))

    assert row(unsure.after_off, "roll centre") > 5 * row(sure.after_off, "roll centre")
    assert unsure.before_off == pytest.approx(sure.before_off)


def test_a_lift_that_is_not_sure_is_a_flat_band():
    """Nine tenths of its half-width hold nine tenths of it (GUM 4.3.7); nothing else is uncertain here."""
    sure = short({one.key: Known(one.usual_m) for one in SHORT}, Steer.BEHIND)
    read = Wheel(Hand.LEFT, FOUND, readings(0.0, 0.0, 0.0))
    low, high = (what_if(sure, read, Change(LIFT_m + off), WANTED).after for off in (-0.0072, 0.0072))

    drawn = what_if(sure, read, Change(LIFT_m, lift_off_m=0.008), WANTED).after_off

    assert drawn == pytest.approx(np.abs(high - low) / 2, rel=0.03)


def test_drawn_corners_that_do_not_reach_the_height_do_not_count():
    found = what_if(layout(), wheel(), Change(0.1), WANTED)

    assert found.fault is Fault.NONE
    assert np.all(np.isfinite(found.back.off_m))


def test_a_pose_that_cannot_be_names_its_link_and_gives_no_figure():
    found = what_if(layout(), wheel(), Change(lift_m=0.4), WANTED)

    assert found.fault is Fault.UPPER_ARM
    assert np.all(np.isnan(found.after))
    assert np.all(np.isfinite(found.before))
    assert found.back is None
