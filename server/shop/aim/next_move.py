"""The next move on the floor: shims at each stud, turns of each sleeve and which way."""

from collections.abc import Iterator
from fractions import Fraction

from server.compute.answer import Answer, Known
from server.compute.realign import Move
from server.compute.show import System, show_both, show_made_both
from server.compute.tie_rod import sleeve_turns
from server.compute.unit import Quantity
from server.shop import pack
from server.shop.aim.aim import Aim
from server.shop.aim.pack import PLAN_SOURCE
from server.shop.aim.reading import likely_aim, reading_aims
from server.shop.aim.tie_rod import way
from server.shop.evidence import Evidence, of_spec
from server.shop.realign import Outlook, is_toe_tolerated

SUBJECT = "pre-alignment"
CHANGE_RULE = "change = what brings camber and caster to the spec sheet, in whole shims"
SLEEVE_RULE = "turns = length wanted for the toe, with the packs changed, over two pitches"
_LEAST_TURN = 0.05


def next_move_aims(evidence: Evidence, outlook: Outlook | None, system: System) -> Iterator[Aim]:
    """What to do at each corner that was read, and what comes of it."""
    if outlook is None:
        return
    for record in outlook.records:
        move = outlook.move(record.place)
        if move is not None:
            yield from _packs(evidence, record.place, move, outlook, system)
            yield from _sleeve(evidence, record.place, move, outlook, system)
            yield from reading_aims(SUBJECT, "then", record.place, outlook, system)
    yield likely_aim(SUBJECT, outlook)


def _packs(evidence: Evidence, place: str, move: Move, outlook: Outlook, system: System) -> Iterator[Aim]:
    ends = (
        ("front", move.front, move.front_change_m, move.exact.front_off_m),
        ("rear", move.rear, move.rear_change_m, move.exact.rear_off_m),
    )
    for end, chosen, change_m, off_m in ends:
        answer = Answer(change_m, off_m, Quantity.LENGTH, CHANGE_RULE, PLAN_SOURCE, ())
        made_of = pack.said_planned(chosen, evidence, system)
        says = _say_pack(end, change_m, chosen.thickness_m, made_of, system)
        yield _aim(f"{SUBJECT}.{end}", place, says, answer, outlook, evidence)


def _say_pack(end: str, change_m: float, thickness_m: float, made_of: str, system: System) -> str:
    if abs(change_m) < pack.ALIKE_m:
        return f"Leave the {end} pack as it is."
    amount, thick = (show_made_both(one, system=system) for one in (abs(change_m), thickness_m))
    verb, word = ("Add", "to") if change_m > 0 else ("Take", "out of")
    then = f"{thick} then. {made_of}" if thickness_m else "none then."
    return f"{verb} {amount} {word} the {end} pack: {then}"


def _sleeve(evidence: Evidence, place: str, move: Move, outlook: Outlook, system: System) -> Iterator[Aim]:
    record, pitch = outlook.record(place), evidence.spec("tie-rod.pitch")
    if record is None or record.toe is None:
        return
    change = Known(move.tie_rod_m, move.tie_rod_off_m)
    key = f"{SUBJECT}.sleeve"
    if pitch is None:
        amount = show_both(abs(change.value), Quantity.LENGTH, system=system, uncertainty=change.uncertainty)
        says = f"Make the tie rod {amount} {'longer' if change.value > 0 else 'shorter'}."
        answer = Answer(change.value, change.uncertainty, Quantity.LENGTH, SLEEVE_RULE, PLAN_SOURCE, ())
        yield _aim(key, place, says, answer, outlook, evidence, missing=("tie-rod.pitch",))
        return
    turns = sleeve_turns.answer(wanted_m=change, now_m=0.0, pitch_m=of_spec(pitch))
    hand = evidence.answer("tie-rod.right-hand", place)
    which_way = way(turns.value, place, hand)
    figure = f"{abs(turns.value):.2f} ± {turns.uncertainty:.2f} turns"
    says = f"Turn the sleeve {_eighths(turns.value)} ({figure}), {which_way}."
    least = turns.uncertainty if is_toe_tolerated(evidence, "left") else _LEAST_TURN
    if abs(turns.value) < max(least, _LEAST_TURN):
        says = f"Leave the sleeve as it is ({figure})."
    yield _aim(key, place, says, turns, outlook, evidence)


def _eighths(turns: float) -> str:
    """`3/4 turn`, `1 1/8 turns`: as near as a hand turns it."""
    whole, part = divmod(Fraction(round(abs(turns) * 8) or 1, 8), 1)
    figure = " ".join(str(one) for one in (whole, part) if one)
    return f"{figure} {'turn' if whole + part <= 1 else 'turns'}"


def _aim(
    key: str,
    place: str,
    says: str,
    answer: Answer,
    outlook: Outlook,
    evidence: Evidence,
    missing: tuple[str, ...] = (),
) -> Aim:
    record = outlook.record(place)
    captures = record.captures if record else ()
    return Aim(key, place, says, answer, captures, outlook.specs, missing, evidence.drawer)
