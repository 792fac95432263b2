"""The screw of a spring compressor: torque against load.

Friction decides: give it as a range. Steel on steel 0.11 to 0.17 oiled, 0.15 to 0.25 dry (Shigley Tables 8-5
and 8-6, from memory). More torque than predicted is a warning; less is no proof of safety.
"""

from math import atan, cos, pi, tan

from server.compute.answer import formula
from server.compute.refusal import Refused
from server.compute.unit import Quantity

_SOURCE = "Bhandari ch. 6; Jindal ch. 16; Shigley 9th ed. p. 415"


def _angles_rad(
    mean_diameter_m: float, lead_m: float, friction: float, flank_rad: float
) -> tuple[float, float]:
    """Lead angle and friction angle."""
    if mean_diameter_m <= 0 or lead_m <= 0 or friction < 0:
        raise Refused("A screw's mean diameter and lead are above 0, its friction not below.")
    return atan(lead_m / (pi * mean_diameter_m)), atan(friction / cos(flank_rad))


@formula(Quantity.TORQUE, "T = W·dm/2·tan(λ + φ) + µc·W·rc", _SOURCE)
def raise_Nm(
    *,
    load_N: float,
    mean_diameter_m: float,
    lead_m: float,
    friction: float,
    flank_rad: float = 0.0,
    collar_friction: float = 0.0,
    collar_radius_m: float = 0.0,
) -> float:
    """The torque that turns the screw against the load.

    mean_diameter_m   of the thread, half-way up its flanks
    lead_m            advance in one turn: pitch times starts
    flank_rad         half the thread angle: 30° for a V thread, 15° trapezoidal, 0 square
    collar_radius_m   effective radius of the thrust face
    """
    lead_rad, grip_rad = _angles_rad(mean_diameter_m, lead_m, friction, flank_rad)
    return load_N * _arm_m(lead_rad + grip_rad, mean_diameter_m, collar_friction, collar_radius_m)


@formula(Quantity.TORQUE, "T = W·dm/2·tan(φ − λ) + µc·W·rc", _SOURCE)
def lower_Nm(
    *,
    load_N: float,
    mean_diameter_m: float,
    lead_m: float,
    friction: float,
    flank_rad: float = 0.0,
    collar_friction: float = 0.0,
    collar_radius_m: float = 0.0,
) -> float:
    """The torque that lets the load down; below 0 the screw runs back by itself."""
    lead_rad, grip_rad = _angles_rad(mean_diameter_m, lead_m, friction, flank_rad)
    return load_N * _arm_m(grip_rad - lead_rad, mean_diameter_m, collar_friction, collar_radius_m)


@formula(Quantity.FORCE, "W = T / (dm/2·tan(λ + φ) + µc·rc)", _SOURCE)
def load_N(
    *,
    torque_Nm: float,
    mean_diameter_m: float,
    lead_m: float,
    friction: float,
    flank_rad: float = 0.0,
    collar_friction: float = 0.0,
    collar_radius_m: float = 0.0,
) -> float:
    """The load behind a torque that has just turned the screw."""
    lead_rad, grip_rad = _angles_rad(mean_diameter_m, lead_m, friction, flank_rad)
    return torque_Nm / _arm_m(lead_rad + grip_rad, mean_diameter_m, collar_friction, collar_radius_m)


@formula(Quantity.NUMBER, "η = l / (2π·(dm/2·tan(λ + φ) + µc·rc))", f"W·l/(2π·T); {_SOURCE}")
def efficiency(
    *,
    mean_diameter_m: float,
    lead_m: float,
    friction: float,
    flank_rad: float = 0.0,
    collar_friction: float = 0.0,
    collar_radius_m: float = 0.0,
) -> float:
    """The share of the work at the handle that reaches the load."""
    lead_rad, grip_rad = _angles_rad(mean_diameter_m, lead_m, friction, flank_rad)
    arm_m = _arm_m(lead_rad + grip_rad, mean_diameter_m, collar_friction, collar_radius_m)
    return lead_m / (2 * pi * arm_m)


def _arm_m(slope_rad: float, mean_diameter_m: float, collar_friction: float, collar_radius_m: float) -> float:
    """Torque for each newton of load, on a slope that steep."""
    return mean_diameter_m / 2 * tan(slope_rad) + collar_friction * collar_radius_m


def holds_itself(
    *, mean_diameter_m: float, lead_m: float, lowest_friction: float, flank_rad: float = 0.0
) -> bool:
    """Whether the thread alone keeps the load when let go; judged by the lowest friction, not the usual."""
    lead_rad, grip_rad = _angles_rad(mean_diameter_m, lead_m, lowest_friction, flank_rad)
    return grip_rad > lead_rad
