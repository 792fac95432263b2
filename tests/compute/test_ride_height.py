"""Springs felt at the wheel."""

from math import pi

import pytest

from server.compute.refusal import Refused
from server.compute.ride_height import corner_drop_m, frequency_Hz, height_change_m, wheel_rate_N_per_m

OLD = {"old_free_length_m": 0.400, "old_rate_N_per_m": 60e3}


def test_the_same_spring_changes_nothing() -> None:
    same = {"new_free_length_m": 0.400, "new_rate_N_per_m": 60e3}

    assert height_change_m(force_N=8000.0, **OLD, **same, motion_ratio=0.5) == 0


def test_a_longer_spring_lifts_the_corner_by_more_than_its_own_length() -> None:
    longer = {"new_free_length_m": 0.410, "new_rate_N_per_m": 60e3}

    assert height_change_m(force_N=8000.0, **OLD, **longer, motion_ratio=0.5) == pytest.approx(0.020)


def test_a_stiffer_spring_lifts_the_corner() -> None:
    stiffer = {"new_free_length_m": 0.400, "new_rate_N_per_m": 66e3}

    assert height_change_m(force_N=8000.0, **OLD, **stiffer, motion_ratio=0.5) > 0


@pytest.mark.parametrize("motion_ratio", [0.0, -0.5])
def test_a_motion_ratio_that_cannot_be_is_refused(motion_ratio: float) -> None:
    with pytest.raises(Refused):
        wheel_rate_N_per_m(rate_N_per_m=60e3, motion_ratio=motion_ratio)
    with pytest.raises(Refused):
        corner_drop_m(longer_m=0.4, shorter_m=0.39, motion_ratio=motion_ratio)


def test_four_times_the_rate_bounces_twice_as_often_and_four_times_the_mass_half() -> None:
    once = frequency_Hz(wheel_rate_N_per_m=20e3, mass_kg=350.0)

    assert frequency_Hz(wheel_rate_N_per_m=80e3, mass_kg=350.0) == pytest.approx(2 * once)
    assert frequency_Hz(wheel_rate_N_per_m=20e3, mass_kg=1400.0) == pytest.approx(once / 2)


@pytest.mark.parametrize(("rate", "mass"), [(0.0, 350.0), (20e3, 0.0), (-20e3, -350.0)])
def test_nothing_bounces_without_rate_or_mass(rate: float, mass: float) -> None:
    with pytest.raises(Refused):
        frequency_Hz(wheel_rate_N_per_m=rate, mass_kg=mass)


def test_little_rate_and_little_mass_bounce_too() -> None:
    assert frequency_Hz(wheel_rate_N_per_m=0.5, mass_kg=0.5) == pytest.approx(1 / (2 * pi))
