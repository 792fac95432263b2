"""The shim packs: how thick, which shims out of the drawer, and what the wheels read with them."""

from collections.abc import Iterator

from server.compute.answer import Answer, Known
from server.compute.realign import Move
from server.compute.show import System, show_both
from server.compute.unit import Quantity
from server.shop import pack
from server.shop.aim.aim import Aim, as_found, shown
from server.shop.aim.reading import reading_aims
from server.shop.evidence import Evidence, of_capture
from server.shop.realign import Outlook
from server.store.tables import Capture

END = dict(zip(pack.KEYS, ("front", "rear"), strict=True))
PACK_RULE = "; shims for the least error over all packs, then the fewest"
PLAN_RULE = "pack = as found + what brings camber and caster to the spec sheet"
PLAN_SOURCE = "the corner's linkage in space, calibrated by the readings as found, lower arm held"


def pack_aims(
    evidence: Evidence, place: str, shims: dict[pack.PackAt, str], outlook: Outlook | None, system: System
) -> Iterator[Aim]:
    """Both packs of a corner: by the linkage where there is a plan, else as found."""
    move = outlook.move(place) if outlook else None
    for key in pack.KEYS:
        found = evidence.found(key, place)
        if found is None:
            continue
        if move is not None and outlook is not None:
            yield _planned(evidence, key, found, move, outlook, system)
        else:
            yield _back(key, found, shims.get((key, place), ""), evidence, outlook, system)
    if move is not None and outlook is not None:
        yield from reading_aims("packs", "with these packs", place, outlook, system)


def _back(
    key: str, found: Capture, which: str, evidence: Evidence, outlook: Outlook | None, system: System
) -> Aim:
    """The pack that came off goes back."""
    formula = f"pack = as found{PACK_RULE if which else ''}"
    answer = as_found(of_capture(found), formula, "the pack that came off goes back")
    made = f"Make up the {END[key]} pack to {shown(answer, system)}, as found. {which}"
    says = made if found.value else f"No shims at the {END[key]} stud, as found."
    why_not = f" {outlook.refused}" if outlook else ""
    return Aim(
        key,
        found.place,
        f"{says}{why_not}".strip(),
        answer,
        (found,),
        drawer=evidence.drawer if which else (),
    )


def _planned(
    evidence: Evidence, key: str, found: Capture, move: Move, outlook: Outlook, system: System
) -> Aim:
    """The pack that the linkage calls for; the nearest that can be, where it calls for less than none."""
    is_front = key == pack.KEYS[0]
    chosen = move.front if is_front else move.rear
    exact_m = move.exact.front_m if is_front else move.exact.rear_m
    off_m = move.exact.front_off_m if is_front else move.exact.rear_off_m
    can_be = exact_m >= 0 and abs(chosen.error_m) <= off_m
    answer = Answer(
        exact_m if can_be else chosen.thickness_m, off_m, Quantity.LENGTH, PLAN_RULE, PLAN_SOURCE, ()
    )
    is_open = evidence.left(key, found.place) is None
    made_of = f" {pack.said_planned(chosen, evidence, system)}" if is_open else ""
    change = _change(answer.value, of_capture(found), system)
    says = f"Make up the {END[key]} pack to {shown(answer, system)}: {change}.{made_of}"
    record = outlook.record(found.place)
    captures = record.captures if record else (found,)
    return Aim(
        key, found.place, says, answer, captures, outlook.specs, drawer=evidence.drawer if is_open else ()
    )


def _change(wanted_m: float, found: Known, system: System) -> str:
    more_m = wanted_m - found.value
    if abs(more_m) < pack.ALIKE_m:
        return "as found"
    amount = show_both(abs(more_m), Quantity.LENGTH, system=system, uncertainty=found.uncertainty or None)
    return f"{amount} {'more' if more_m > 0 else 'less'} than found, for camber and caster"
