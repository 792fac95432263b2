"""Torque, then angle: how far in all, and what that does along the thread."""

from collections.abc import Sequence
from math import radians, tau

from server.compute.answer import formula
from server.compute.refusal import Refused
from server.compute.unit import Quantity

FLAT_rad = radians(60)  # from flat to flat of a hexagon
ONE_USE = "Bolts tightened by angle past yield are for one use: fit new ones where the manual says so."


def total_rad(turns_rad: Sequence[float]) -> float:
    """All the turns together; each goes on from the one before."""
    if not turns_rad or min(turns_rad) <= 0:
        raise Refused("Every turn goes on, by more than 0°.")
    return sum(turns_rad)


@formula(Quantity.LENGTH, "advance = P · angle / 360°", "geometry of a screw")
def advance_m(*, pitch_m: float, angle_rad: float) -> float:
    """How far a nut travels along its thread for an angle turned."""
    if pitch_m <= 0:
        raise Refused("The thread's pitch must be above 0.")
    return pitch_m * angle_rad / tau
