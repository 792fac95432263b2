"""The height on another spring, against energy and against the corner's own figures."""

import numpy as np
import pytest

from server.compute.adjust import calibrated
from server.compute.answer import Known
from server.compute.corner import Hand
from server.compute.dimension import SHORT
from server.compute.layout import Steer, short
from server.compute.linkage import at_travel
from server.compute.motion import rates
from server.compute.pose import readings
from server.compute.refusal import Refused
from server.compute.ride_height import corner_drop_m
from server.compute.stand import Coil, lift_m, lift_off_m, wheel_load_N

CORNER = short({}, Steer.BEHIND).corner(Hand.LEFT)
OLD = Coil(60e3, 0.36)
RATIO = float(rates(at_travel(CORNER)).motion_ratio)


def test_the_load_is_what_lifting_the_wheel_costs_in_spring_energy():
    """Virtual work, by a difference of energies: no motion ratio in it."""
    up, down = (
        0.5 * OLD.rate_N_per_m * (OLD.free_length_m - float(at_travel(CORNER, z).spring_m)) ** 2
        for z in (1e-4, -1e-4)
    )
    assert float(wheel_load_N(CORNER, OLD)) == pytest.approx((up - down) / 2e-4, rel=1e-6)


@pytest.mark.parametrize("hand", Hand)
def test_the_load_is_the_same_before_and_after(hand):
    corner = short({}, Steer.BEHIND).corner(hand)
    new = Coil(75e3, 0.37)

    pose = at_travel(corner, -lift_m(corner, OLD, new))
    after = new.force_N(pose.spring_m) * rates(pose).motion_ratio

    assert float(after) == pytest.approx(float(wheel_load_N(corner, OLD)), rel=1e-6)


def test_the_same_spring_lifts_nothing():
    assert float(lift_m(CORNER, OLD, OLD)) == pytest.approx(0.0, abs=1e-6)


def _wheel_rate() -> float:
    """Rate times motion ratio squared, and the force times what the motion ratio gains with travel."""
    up, down = (float(rates(at_travel(CORNER, z)).motion_ratio) for z in (1e-3, -1e-3))
    force = float(OLD.force_N(at_travel(CORNER).spring_m))
    return OLD.rate_N_per_m * RATIO**2 + force * (up - down) / 2e-3


def test_a_little_longer_spring_lifts_by_its_force_over_the_wheel_rate():
    """To first order; the wheel rate with its term of the changing motion ratio (Milliken, from memory)."""
    lift = float(lift_m(CORNER, OLD, Coil(60e3, 0.3601)))

    assert lift == pytest.approx(60e3 * 1e-4 * RATIO / _wheel_rate(), rel=0.01)


def test_with_the_motion_ratio_held_it_would_be_the_plain_lever():
    """SP-32's relation leaves that term out: the same order, and here 12 % less."""
    plain = corner_drop_m(longer_m=0.3601, shorter_m=0.36, motion_ratio=RATIO)

    assert float(lift_m(CORNER, OLD, Coil(60e3, 0.3601))) == pytest.approx(plain, rel=0.2)


def test_many_springs_at_once():
    lifts = lift_m(CORNER, OLD, Coil(np.array((60e3, 70e3)), np.array((0.37, 0.36))))

    assert lifts.shape == (2,)
    assert float(lifts[1]) == pytest.approx(float(lift_m(CORNER, OLD, Coil(70e3, 0.36))), abs=1e-6)


def test_a_spring_that_would_not_push_is_refused():
    with pytest.raises(Refused, match="would not push at all"):
        lift_m(CORNER, Coil(60e3, 0.2), OLD)


def test_a_spring_that_can_carry_it_at_no_height_is_refused():
    with pytest.raises(Refused, match="At no height"):
        lift_m(CORNER, OLD, Coil(1e3, 0.3))


def test_a_spring_that_does_not_push_at_all_is_refused_and_one_that_hardly_does_is_not():
    length_m = float(at_travel(CORNER).spring_m)
    with pytest.raises(Refused, match="would not push at all"):
        lift_m(CORNER, Coil(60e3, length_m), OLD)

    hardly = Coil(0.5, length_m + 0.1)
    assert float(lift_m(CORNER, hardly, hardly)) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    "figures", [(0.0, 0.36), (60e3, 0.0), (60e3, -0.1), (float("nan"), 0.36), (60e3, float("inf"))]
)
def test_a_spring_without_a_rate_or_a_length_is_refused(figures):
    with pytest.raises(Refused, match="rate"):
        Coil(*figures)


def test_a_lift_is_as_unsure_as_the_lengths_it_is_reckoned_from():
    """Against drawn lengths: the middle 90 % of 2,000 lifts."""
    layout = short({one.key: Known(one.usual_m, 0.005) for one in SHORT}, Steer.BEHIND)
    found, new = readings(0.0, 0.02, 0.002), Coil(70e3, 0.355)

    drawn = layout.corner(Hand.LEFT, layout.drawn_m(np.random.default_rng(3), 2000))
    low, high = np.percentile(lift_m(calibrated(drawn, found), OLD, new), (5, 95))

    assert lift_off_m(layout, Hand.LEFT, found, OLD, new) == pytest.approx((high - low) / 2, rel=0.1)


def test_a_measured_spring_length_makes_the_lift_surer():
    found, new = readings(0.0, 0.02, 0.002), Coil(70e3, 0.355)
    guessed = short({}, Steer.BEHIND)
    measured = guessed.with_measured("spring-length", Known(0.255, 0.002))

    surer, unsure = (lift_off_m(one, Hand.LEFT, found, OLD, new) for one in (measured, guessed))

    assert surer < unsure / 2
