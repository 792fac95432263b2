"""The readings of a pre-alignment, round by round, with the move that followed each: how it comes nearer."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from server.compute.alignment import toe_difference_m
from server.compute.answer import Answer
from server.compute.show import System, show, show_made, usual_unit
from server.compute.unit import Quantity
from server.procedure.fact import CORNERS
from server.shop.capture import Taken
from server.shop.evidence import Evidence, of_capture, of_spec
from server.shop.target import TAKEN_BACK
from server.shop.wheel_record import SWEPT, swept_caster
from server.store.tables import Capture, Target

ADVISED = ("pre-alignment.front", "pre-alignment.rear", "pre-alignment.sleeve")
COLUMNS = (("camber", "LF"), ("camber", "RF"), ("caster", "LF"), ("caster", "RF"), ("toe", "car"))

Figures = Mapping[tuple[str, str], Capture]  # by key and place
Histories = Mapping[tuple[str, str], list[Target]]


@dataclass(frozen=True, slots=True)
class Advice:
    """What was said then of one side."""

    place: str
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Round:
    """One round of readings, and the move that followed from it."""

    number: int
    at: datetime
    by: tuple[str, ...]
    cells: tuple[str, ...]  # by COLUMNS, "" where it was not read
    why: tuple[str, ...]  # it was read again
    packs: tuple[tuple[str, str, str], ...]  # place, key and thickness of those that were changed
    advice: tuple[Advice, ...]


def rounds(taken: Iterable[Taken], aimed: Histories, *, system: System) -> list[Round]:
    """The readings of a step in the order taken; a figure that is taken once more begins another round."""
    groups = list(_grouped(taken))
    ends = [*(group[0].capture.at for group in groups[1:]), None]
    return [
        _round(number, group, aimed, ends[number - 1], system) for number, group in enumerate(groups, start=1)
    ]


def as_found(evidence: Evidence, *, system: System) -> tuple[str, ...]:
    """The same figures as the car came in."""
    found = {
        (key, place): one for (key, place, direction), one in evidence.captures.items() if direction == "down"
    }
    return _cells(found, system)


def wanted(evidence: Evidence, *, system: System) -> tuple[str, ...]:
    """The same figures as the spec sheet wants them."""
    keys = ("camber", "camber", "caster", "caster", "toe.total")
    return tuple(_said(evidence, key, system) for key in keys)


def _tape(toe: Answer, system: System) -> str:
    """As fine as the tape reads; the column's head has the unit."""
    text = show(toe.value, Quantity.LENGTH, system=system, uncertainty=toe.uncertainty)
    return text.partition(" ± ")[0].removesuffix(f" {usual_unit(Quantity.LENGTH, system)}")


def _said(evidence: Evidence, key: str, system: System) -> str:
    line = evidence.spec(key)
    if line is None:
        return ""
    text = show(of_spec(line).value, Quantity(line.quantity), system=system)
    return text.removesuffix(f" {usual_unit(Quantity.LENGTH, system)}")


def _grouped(taken: Iterable[Taken]) -> Iterator[list[Taken]]:
    every = [one for standing in taken for one in (standing, *standing.history)]
    group: list[Taken] = []
    for one in sorted(every, key=lambda one: one.capture.id or 0):
        if one.capture.kind != "measurement":
            continue
        if _at(one) in map(_at, group):
            yield group
            group = []
        group.append(one)
    if group:
        yield group


def _at(taken: Taken) -> tuple[str, str]:
    return taken.capture.key, taken.capture.place


def _round(number: int, group: list[Taken], aimed: Histories, end: datetime | None, system: System) -> Round:
    figures = {_at(one): one.capture for one in group}
    packs = [
        (place, key, show_made(one.value or 0.0, system=system))
        for (key, place), one in figures.items()
        if key.startswith("pack.")
    ]
    return Round(
        number=number,
        at=group[0].capture.at,
        by=tuple(dict.fromkeys(one.by for one in group)),
        cells=_cells(figures, system),
        why=tuple(dict.fromkeys(one.capture.reason for one in group if one.capture.reason)),
        packs=tuple(packs),
        advice=tuple(_advice(aimed, end)),
    )


def _advice(aimed: Histories, end: datetime | None) -> Iterator[Advice]:
    """What stood when the next round began."""
    for place in CORNERS:
        said = [_standing(aimed.get((key, place), []), end) for key in ADVISED]
        says = tuple(_short(one.says) for one in said if one)
        if says:
            yield Advice(place, says)


def _short(says: str) -> str:
    """A pack's move without how thick it is then, which the next round shows."""
    change, colon, _ = says.partition(" pack: ")
    return f"{change} pack." if colon else says


def _standing(history: list[Target], end: datetime | None) -> Target | None:
    """The newest of a target that is older than that."""
    found = next((one for one in history if end is None or one.at < end), None)
    return None if found is None or found.says == TAKEN_BACK else found


def _cells(figures: Figures, system: System) -> tuple[str, ...]:
    return tuple(_cell(name, place, figures, system) for name, place in COLUMNS)


def _cell(name: str, place: str, figures: Figures, system: System) -> str:
    if name == "toe":
        return _toe(figures, system)
    one = figures.get((name, place))
    if name == "caster" and (one is None or one.value is None):
        return _swept(place, figures, system)
    return "" if one is None or one.value is None else show(one.value, Quantity.ANGLE, system=system)


def _swept(place: str, figures: Figures, system: System) -> str:
    out, turned_in = (figures.get((key, place)) for key in SWEPT)
    if out is None or turned_in is None or None in (out.value, turned_in.value):
        return ""
    return show(swept_caster(out, turned_in).value, Quantity.ANGLE, system=system)


def _toe(figures: Figures, system: System) -> str:
    """In total: by tape, else of both wheels' gauges together."""
    front, rear = (figures.get((f"toe.tape-{end}", "car")) for end in ("front", "rear"))
    if front is not None and rear is not None and None not in (front.value, rear.value):
        toe = toe_difference_m.answer(rear_m=of_capture(rear), front_m=of_capture(front))
        return _tape(toe, system)
    each = [one.value for place in CORNERS if (one := figures.get(("toe.wheel", place)))]
    angles = [one for one in each if one is not None]
    return show(sum(angles), Quantity.ANGLE, system=system) if len(angles) == len(CORNERS) else ""
