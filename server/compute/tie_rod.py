"""The new tie-rod set from the old: length, sleeve turns and which way, threads left in the sleeve.

The sleeve has a right-hand thread at one end and a left-hand thread at the other, of the same pitch.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import ceil

from server.compute.answer import Answer, Known, formula
from server.compute.refusal import Refused
from server.compute.show import show_both
from server.compute.unit import Quantity, plain

MOST_UNEQUAL = 1.0  # threads, as near as one can count; equal: US Army TM 9-2320-387-24-1 para 8-13
_ENGAGED = "geometry; at least one thread diameter is common practice, no source"


class TooFewThreads(Refused):
    """A rod end would hold by too few threads."""


class Side(StrEnum):
    """Which side of the car."""

    LEFT = "left"
    RIGHT = "right"


class End(StrEnum):
    """Which end of the tie-rod."""

    OUTER = "outer"
    INNER = "inner"


@formula(
    Quantity.LENGTH, "length = old + change", "length between stud centres, as found; changes added to it"
)
def preset_m(*, old_m: float, change_m: float = 0.0) -> float:
    """What the new assembly is set to between its stud centres."""
    if old_m <= 0 or old_m + change_m <= 0:
        raise Refused("The length between the stud centres is above 0.")
    return old_m + change_m


@formula(Quantity.NUMBER, "turns = (wanted − now) / 2P", "both ends move one pitch a turn; geometry")
def sleeve_turns(*, wanted_m: float, now_m: float, pitch_m: float) -> float:
    """Turns of the sleeve, above 0 to lengthen."""
    if pitch_m <= 0:
        raise Refused("The thread's pitch must be above 0.")
    return (wanted_m - now_m) / (2 * pitch_m)


@formula(Quantity.LENGTH, "engaged = thread length − threads showing · P", _ENGAGED)
def engaged_m(*, thread_length_m: float, showing: float, pitch_m: float) -> float:
    """How far a rod end's thread is inside the sleeve."""
    return thread_length_m - showing * pitch_m


def top_goes(turns: float, *, side: Side, right_hand: End) -> str:
    """Which way the top of the sleeve moves, in words for someone lying under the car.

    right_hand   the end with the right-hand thread
    source       geometry: seen from the right-hand end, clockwise unscrews both ends and lengthens the rod
    """
    if turns == 0:
        return "leave the sleeve as it is"
    rearward = (turns > 0) ^ (side is Side.RIGHT) ^ (right_hand is End.INNER)
    verb = "lengthen" if turns > 0 else "shorten"
    return f"{verb}: top of the sleeve toward the {'rear' if rearward else 'front'}"


@dataclass(frozen=True, slots=True)
class RodEnd:
    """One threaded end as it sits in the sleeve."""

    thread_length: Known  # m, all of the thread
    showing: Known  # threads outside the sleeve


@dataclass(frozen=True, slots=True)
class Seated:
    """One end once the sleeve has been turned."""

    showing: float  # threads
    engaged: Answer


@dataclass(frozen=True, slots=True)
class Preset:
    """How to set the new assembly, and whether it then holds."""

    length: Answer
    turns: Answer
    direction: str
    outer: Seated
    inner: Seated
    least_engaged_m: float
    cautions: tuple[str, ...]


def preset(
    *,
    old: Known,
    now: Known,
    outer: RodEnd,
    inner: RodEnd,
    pitch_m: float,
    diameter_m: float,
    side: Side,
    right_hand: End,
    change: Known | float = 0.0,
) -> Preset:
    """The new assembly set from the old one.

    old, now   length between stud centres: of the old assembly as found, of the new one as it lies there
    outer, inner   the new ends as they sit in the sleeve now
    change     what shims, ride height or other joints call for; 0 to keep the old length
    raises     TooFewThreads when an end would hold by less than one thread diameter
    source     one thread diameter: common practice
    """
    length = preset_m.answer(old_m=old, change_m=change)
    turns = sleeve_turns.answer(wanted_m=length.known, now_m=now, pitch_m=pitch_m)
    outer_seated = _seat(outer, End.OUTER, turns, pitch_m=pitch_m, diameter_m=diameter_m)
    inner_seated = _seat(inner, End.INNER, turns, pitch_m=pitch_m, diameter_m=diameter_m)
    direction = top_goes(turns.value, side=side, right_hand=right_hand)
    cautions = _unequal(outer_seated.showing, inner_seated.showing)
    return Preset(length, turns, direction, outer_seated, inner_seated, diameter_m, cautions)


def _seat(rod_end: RodEnd, end: End, turns: Answer, *, pitch_m: float, diameter_m: float) -> Seated:
    """The end after turning: each turn that lengthens the rod brings out one more thread."""
    showing = Known(rod_end.showing.value + turns.value, rod_end.showing.uncertainty + turns.uncertainty)
    if showing.value < 0:
        raise Refused(f"The {end} end would run out of thread before the rod is that short.")
    engaged = engaged_m.answer(thread_length_m=rod_end.thread_length, showing=showing, pitch_m=pitch_m)
    _check_engaged(end, engaged, diameter_m, pitch_m)
    return Seated(showing.value, engaged)


def _check_engaged(end: End, held: Answer, diameter_m: float, pitch_m: float) -> None:
    if held.value < diameter_m:
        length, least = (show_both(x, Quantity.LENGTH, system="inch") for x in (held.value, diameter_m))
        raise TooFewThreads(
            f"The {end} end would hold by {length}; at least one thread diameter, {least} or "
            f"{ceil(diameter_m / pitch_m)} threads, belongs inside the sleeve."
        )


def _unequal(outer_showing: float, inner_showing: float) -> tuple[str, ...]:
    if abs(outer_showing - inner_showing) <= MOST_UNEQUAL:
        return ()
    return (
        f"{plain(outer_showing, 1)} threads show at the outer end, {plain(inner_showing, 1)} at the inner; "
        "screw both ends in equally before setting the length.",
    )
