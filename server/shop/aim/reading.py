"""What the wheels will read once a plan is carried out, and how likely that is to be enough."""

from collections.abc import Iterator
from math import radians

import numpy as np

from server.compute.answer import Answer
from server.compute.realign import Cause, Shortfall
from server.compute.show import System, show
from server.compute.unit import Quantity
from server.shop.aim.aim import Aim, shown
from server.shop.realign import Outlook
from server.shop.wheel_record import HANDS

PREDICTED = "the linkage's readings after the change, calibrated by those before it"
SOURCE = "closed-form linkage in space; ± is 90 % of ten thousand draws (JCGM 101:2008)"
BAND = "camber and caster within 1/2°, toe within 1/16 in (1.6 mm), common practice"
_STRAIGHT_rad = radians(0.005)
_CAUSE = {
    Cause.NONE_LEFT: "a pack cannot be less than none",
    Cause.LIMIT: "the limits on the spec sheet stand against more",
    Cause.DRAWER: "the drawer comes no nearer",
}


def reading_aims(subject: str, once: str, place: str, outlook: Outlook, system: System) -> Iterator[Aim]:
    """Camber, caster and toe to come at one wheel."""
    move, record = outlook.move(place), outlook.record(place)
    if move is None or record is None:
        return
    predicted, captures = move.predicted.stacked, record.captures
    names = ("camber", "caster", "toe") if record.toe else ("camber", "caster")
    for row, name in enumerate(names):
        answer = Answer(
            float(predicted[row]), float(move.off_rad[row]), Quantity.ANGLE, PREDICTED, SOURCE, ()
        )
        of = "Toe of this wheel" if name == "toe" else name.capitalize()
        way = _way(float(predicted[row])) if name == "toe" else ""
        says = f"{of} {once}: {shown(answer, system)}{way}.{_short(name, place, outlook, system)}"
        yield Aim(f"{subject}.{name}", place, says, answer, captures, outlook.specs)


def _way(toe_rad: float) -> str:
    """Which way a toe with that sign points; nothing where it is nothing to speak of."""
    if abs(toe_rad) < _STRAIGHT_rad:
        return ""
    return ", toe-in" if toe_rad > 0 else ", toe-out"


def likely_aim(subject: str, outlook: Outlook, *, again: str = "") -> Aim:
    """How often it will be enough, or why that cannot be told.

    again      what has to be looked at again, as a sentence after a space
    """
    rests_on = tuple({one.id: one for record in outlook.records for one in record.captures}.values())
    key = f"{subject}.likely"
    if outlook.plan is None:
        return Aim(key, "car", outlook.refused, None, rests_on, outlook.specs)
    likely = outlook.plan.likely
    answer = Answer(likely, 0.0, Quantity.NUMBER, "share of the draws inside the band", SOURCE, ())
    enough = f"Angles near enough for the drive to the rack {often(likely)}: {BAND}."
    says = f"{enough}{again}{_measure_next(outlook)}"
    return Aim(key, "car", says, answer, rests_on, outlook.specs)


def often(likely: float) -> str:
    """`in 9 of 10 cases`; no certainty either way."""
    if likely < 0.05:
        return "in fewer than 1 of 20 cases"
    if likely > 0.95:
        return "in more than 19 of 20 cases"
    return f"in about {round(likely * 10)} of 10 cases"


def _measure_next(outlook: Outlook) -> str:
    """The length whose guess costs most, if any was guessed."""
    if outlook.plan is None:
        return ""
    moves, band = outlook.plan.moves, outlook.question.band
    each = band.rad / (1, 1, len(moves))  # the toe's band is that of all wheels together
    shares = (move.budget.measure_next(each) for move in moves)
    share = max(
        (one for one in shares if one), key=lambda one: float(np.sum((one.spread / each) ** 2)), default=None
    )
    if share is None or share.dimension is None:
        return ""
    return f" To be surer, measure next: {share.dimension.name[0].lower()}{share.dimension.name[1:]}."


def _short(name: str, place: str, outlook: Outlook, system: System) -> str:
    for one in outlook.plan.short if outlook.plan else ():
        if one.reading == name and one.hand is HANDS[place]:
            return f" {_missed(one, system)}"
    return ""


def _missed(one: Shortfall, system: System) -> str:
    side = "more" if one.by_rad > 0 else "less"
    by = show(abs(one.by_rad), Quantity.ANGLE, system=system)
    return f"That is {by} {side} than wanted: {_CAUSE[one.cause]}."
