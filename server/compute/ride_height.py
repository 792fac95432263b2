"""What a spring's own figures mean at the wheel: rate, sag, height. Small movements about one position.

Motion ratio: spring travel over wheel travel at that position; below 1 for a spring on a control arm.
"""

from math import pi, sqrt

from server.compute.answer import formula
from server.compute.refusal import Refused
from server.compute.unit import Quantity


@formula(Quantity.RATE, "kw = k·MR²", "Barton & Fieldhouse, Automotive Chassis Engineering, Eqs 3.29-3.33")
def wheel_rate_N_per_m(*, rate_N_per_m: float, motion_ratio: float) -> float:
    """The rate felt at the wheel; leaves out what the changing motion ratio adds."""
    _check(motion_ratio)
    return rate_N_per_m * motion_ratio**2


@formula(Quantity.FREQUENCY, "f = √(kw/m) / 2π", "Khurmi & Gupta, Theory of Machines, Ex 4.3; OpenStax 16.3")
def frequency_Hz(*, wheel_rate_N_per_m: float, mass_kg: float) -> float:
    """How often the corner bounces in a second, undamped.

    mass_kg    sprung, resting on that wheel
    validity   one corner alone; tyre, bushes and damper left out
    """
    if wheel_rate_N_per_m <= 0 or mass_kg <= 0:
        raise Refused("The rate at the wheel and the mass on it are above 0.")
    return sqrt(wheel_rate_N_per_m / mass_kg) / (2 * pi)


@formula(Quantity.FORCE, "ΔF = k·(L0 longer − L0 shorter)", "Hooke's law")
def sag_force_N(*, rate_N_per_m: float, longer_m: float, shorter_m: float) -> float:
    """How much less the sagged spring pushes at the same length; equal rates taken."""
    return rate_N_per_m * (longer_m - shorter_m)


@formula(Quantity.LENGTH, "drop = (L0 longer − L0 shorter)/MR", "equal load on both, equal rates; derived")
def corner_drop_m(*, longer_m: float, shorter_m: float, motion_ratio: float) -> float:
    """How much lower the corner with the sagged spring stands; the roll bar evens it out a little."""
    _check(motion_ratio)
    return (longer_m - shorter_m) / motion_ratio


@formula(
    Quantity.LENGTH,
    "Δh = [(L0 new − F/k new) − (L0 old − F/k old)]/MR",
    "Hooke's law at equal load; motion ratio taken as constant; derived",
)
def height_change_m(
    *,
    force_N: float,
    old_free_length_m: float,
    old_rate_N_per_m: float,
    new_free_length_m: float,
    new_rate_N_per_m: float,
    motion_ratio: float,
) -> float:
    """How far another spring lifts the corner, below 0 when it lowers it.

    force_N    of the old spring at ride height
    """
    _check(motion_ratio)
    old_m = old_free_length_m - force_N / old_rate_N_per_m
    new_m = new_free_length_m - force_N / new_rate_N_per_m
    return (new_m - old_m) / motion_ratio


def _check(motion_ratio: float) -> None:
    if motion_ratio <= 0:
        raise Refused("The motion ratio is spring travel over wheel travel, above 0.")
