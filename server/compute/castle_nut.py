"""From the maker's torque on to the next slot: how far, what it will read there, and whether that is allowed.

A castle nut is never backed off to meet the hole. Source: US Army TM 9-2320-273-20 p. 10-84.7;
FAA AC 43.13-1B para 7-40 f.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import lcm, radians, tau

from server.compute.answer import Answer, Known, formula
from server.compute.constants import STEEL_STIFFNESS_Pa
from server.compute.refusal import Refused
from server.compute.show import show_both
from server.compute.torque import Window
from server.compute.unit import Quantity

_SAME_PLACE_rad = radians(0.5)  # far less than the play of any pin in its slot


def index_rad(*, slots: int, cross_holes: int = 1) -> float:
    """How far it is from one place where the pin goes in to the next.

    cross_holes   1, or 2 at right angles to each other
    source        geometry: the common step of 360°/slots and, with two holes, 90°
    """
    if slots < 4 or slots % 2:
        raise Refused("A castle nut has an even number of slots, at least 4; most have 6.")
    if cross_holes not in (1, 2):
        raise Refused("The stud has one cross hole, or two at right angles.")
    return tau / (slots if cross_holes == 1 else lcm(slots, 4))


def turn_on_rad(*, index_rad: float, slot_past_hole_rad: float) -> float:
    """How far to tighten on until the next slot meets the hole; 0 where one already does.

    slot_past_hole_rad   how far the last slot has been turned past the hole
    """
    turn_rad = -slot_past_hole_rad % index_rad
    return 0.0 if min(turn_rad, index_rad - turn_rad) < _SAME_PLACE_rad else turn_rad


@formula(Quantity.NUMBER, "slope = (T2 − T1) / angle", "two readings on the same nut")
def slope_Nm_per_rad(*, first_Nm: float, second_Nm: float, turn_rad: float) -> float:
    """How steeply the torque rises, from two readings and the angle between them [N·m/rad]."""
    if turn_rad <= 0 or second_Nm <= first_Nm:
        raise Refused("The second reading must come after some turning on, at a higher torque.")
    return (second_Nm - first_Nm) / turn_rad


@formula(Quantity.NUMBER, "slope = K · d · k · P / 2π", "T = K·F·d with F = k·P·angle/2π; derived")
def slope_from_stiffness_Nm_per_rad(
    *, nut_factor: float, diameter_m: float, stiffness_N_per_m: float, pitch_m: float
) -> float:
    """How steeply the torque must rise in a joint of known stiffness [N·m/rad].

    stiffness_N_per_m   of stud and clamped parts in series
    validity            a seated joint, elastic; a taper that still draws in rises less
    """
    return nut_factor * diameter_m * stiffness_N_per_m * pitch_m / tau


@formula(Quantity.RATE, "kb = A·E / L", "Engineering ToolBox page 1164: stretch = F·L/(A·E)")
def bolt_stiffness_N_per_m(*, area_m2: float, grip_m: float, modulus_Pa: float = STEEL_STIFFNESS_Pa) -> float:
    """How hard a bolt is to stretch; no joint with it is stiffer.

    grip_m     what of it is stretched: head, or taper, to nut
    """
    if grip_m <= 0:
        raise Refused("The length that is clamped is above 0.")
    return area_m2 * modulus_Pa / grip_m


@formula(Quantity.TORQUE, "T at the slot = T reached + slope · angle", "straight rise over a small angle")
def torque_at_slot_Nm(*, reached_Nm: float, slope_Nm_per_rad: float, turn_rad: float) -> float:
    """What the wrench will read when the next slot meets the hole."""
    return reached_Nm + slope_Nm_per_rad * turn_rad


class Verdict(StrEnum):
    """What to do with the nut now."""

    TIGHTEN_FIRST = "tighten to the lowest torque first"
    FIT_COTTER = "fit a new cotter pin"
    TIGHTEN_ON = "tighten on to the next slot"
    CHANGE = "change the washer or the nut"


@dataclass(frozen=True, slots=True)
class NextSlot:
    """The verdict on a castle nut, and what it rests on."""

    verdict: Verdict
    reason: str
    turn_rad: float
    at_slot: Answer | None  # the torque to expect there; None where nothing is known about the slope


def next_slot(
    window: Window, *, reached_Nm: float, turn_rad: float, slope: Known | float | None = None
) -> NextSlot:
    """What to do with a castle nut at this torque and this distance from the next slot.

    window     drag included, where there is any
    slope      [N·m/rad]; without it the advice is to go on and stop at the highest torque
    """
    at_slot = None
    if slope is not None:
        at_slot = torque_at_slot_Nm.answer(reached_Nm=reached_Nm, slope_Nm_per_rad=slope, turn_rad=turn_rad)
    verdict, reason = _judge(window, reached_Nm, turn_rad, at_slot)
    return NextSlot(verdict, reason, turn_rad, at_slot)


def _judge(window: Window, reached_Nm: float, turn_rad: float, at_slot: Answer | None) -> tuple[Verdict, str]:
    highest = _say(window.highest_Nm)
    if reached_Nm > window.highest_Nm:
        return Verdict.CHANGE, f"{_say(reached_Nm)} is over the highest, {highest}. Never back it off to fit."
    if reached_Nm < window.lowest_Nm:
        return Verdict.TIGHTEN_FIRST, f"The lowest torque, {_say(window.lowest_Nm)}, comes before the slot."
    if turn_rad == 0:
        return Verdict.FIT_COTTER, "A slot meets the hole and the torque is inside the range."
    if at_slot is None:
        return Verdict.TIGHTEN_ON, f"Stop at {highest}: no slot by then means another washer or nut."
    if at_slot.value - at_slot.uncertainty > window.highest_Nm:
        return Verdict.CHANGE, f"The next slot would need about {_say(at_slot.value)}, more than {highest}."
    if at_slot.value + at_slot.uncertainty > window.highest_Nm:
        return Verdict.TIGHTEN_ON, f"The slot may lie beyond {highest}: watch the wrench and stop there."
    return Verdict.TIGHTEN_ON, f"Expect about {_say(at_slot.value)} at the slot, inside the range."


def _say(torque_Nm: float) -> str:
    return show_both(torque_Nm, Quantity.TORQUE, system="inch")
