"""What a single entry cannot know: references between entries, and order."""

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from server.procedure.document import Path
from server.procedure.fact import kind_and_variable
from server.procedure.model import Facts, FrontEnd, Move, Operation, PlaceKind


class Wrong(NamedTuple):
    """Where in the file something is wrong, and what."""

    path: Path
    what: str


class _Made(NamedTuple):
    kind: PlaceKind
    variable: str
    value: str


def check(front_end: FrontEnd) -> Iterator[Wrong]:
    """Everything that is wrong between the entries; nothing if the front end is whole."""
    yield from _doubled(front_end)
    yield from _unknown_facts(front_end)
    for path, operation in _operations(front_end):
        yield from _unknown_names(front_end, operation, path)
        yield from _way_back(front_end, operation, path)
    yield from _unequal_captures(front_end)
    yield from _achievers(front_end)
    yield from _cycles(front_end)


def _operations(front_end: FrontEnd) -> Iterator[tuple[Path, Operation]]:
    for place, operation in enumerate(front_end.operations):
        yield ("operations", place), operation


def _moves(path: Path, operation: Operation) -> Iterator[tuple[Path, Move]]:
    if operation.down:
        yield (*path, "down"), operation.down
    if operation.up:
        yield (*path, "up"), operation.up


def _doubled(front_end: FrontEnd) -> Iterator[Wrong]:
    for section in ("parts", "fasteners", "hazards", "operations", "scopes"):
        seen: set[str] = set()
        for place, entry in enumerate(getattr(front_end, section)):
            if entry.id in seen:
                yield Wrong((section, place, "id"), f"{entry.id!r} is doubled in {section}")
            seen.add(entry.id)


def _unknown_facts(front_end: FrontEnd) -> Iterator[Wrong]:
    for place, scope in enumerate(front_end.scopes):
        yield from _unknown(front_end, scope.reach, "corner", ("scopes", place, "reach"))
    for path, operation in _operations(front_end):
        yield from _unknown(front_end, operation.when, operation.place, (*path, "when"))
        for way, move in _moves(path, operation):
            for field in ("needs", "needs_shaft_side", "makes"):
                yield from _unknown(front_end, getattr(move, field), operation.place, (*way, field))


def _unknown(front_end: FrontEnd, facts: Facts, kind: PlaceKind, path: Path) -> Iterator[Wrong]:
    for name, value in facts.items():
        where, variable = kind_and_variable(name, kind)
        values = getattr(front_end.states, where).get(variable)
        if values is None:
            yield Wrong((*path, name), f"unknown state {variable!r} of a {where}")
        elif value not in values:
            yield Wrong((*path, name), f"{name} cannot be {value!r}, only one of: {', '.join(values)}")


def _unknown_names(front_end: FrontEnd, operation: Operation, path: Path) -> Iterator[Wrong]:
    parts = {part.id for part in front_end.parts}
    fasteners = {fastener.id for fastener in front_end.fasteners}
    hazards = {hazard.id for hazard in front_end.hazards}
    for field in ("parts", "drawing"):
        yield from _missing(getattr(operation, field), parts, "part", (*path, field))
    for way, move in _moves(path, operation):
        yield from _missing(move.hazards_begin, hazards, "hazard", (*way, "hazards_begin"))
        yield from _missing(move.hazards_end, hazards, "hazard", (*way, "hazards_end"))
        used = tuple(act.fastener for act in move.fasteners)
        yield from _missing(used, fasteners, "fastener", (*way, "fasteners"))
        counted = Counter(wanted.id for wanted in move.captures)
        for place, wanted in enumerate(move.captures):
            if counted[wanted.id] > 1:
                yield Wrong((*way, "captures", place), f"capture {wanted.id!r} is doubled in this step")


def _missing(names: tuple[str, ...], known: set[str], noun: str, path: Path) -> Iterator[Wrong]:
    for place, name in enumerate(names):
        if name not in known:
            yield Wrong((*path, place), f"unknown {noun} {name!r}")


def _way_back(front_end: FrontEnd, operation: Operation, path: Path) -> Iterator[Wrong]:
    operations = {other.id: other for other in front_end.operations}
    partner = operation.goes_back_with
    if partner is not None and (partner not in operations or operations[partner].up is None):
        yield Wrong((*path, "goes_back_with"), f"no operation {partner!r} with a way up")
    if operation.parts and operation.up is None and partner is None:
        yield Wrong((*path, "parts"), "parts come off, but there is no way up and no goes_back_with")
    for place, part in enumerate(front_end.parts):
        if part.keep_until is not None and part.keep_until not in operations:
            yield Wrong(("parts", place, "keep_until"), f"unknown operation {part.keep_until!r}")


def _unequal_captures(front_end: FrontEnd) -> Iterator[Wrong]:
    first: dict[str, tuple[str, str | None, str | None]] = {}
    for path, operation in _operations(front_end):
        for way, move in _moves(path, operation):
            for place, wanted in enumerate(move.captures):
                nature = (wanted.kind, wanted.quantity, wanted.unit)
                if first.setdefault(wanted.id, nature) != nature:
                    what = f"capture {wanted.id!r} is another kind or unit than in an earlier step"
                    yield Wrong((*way, "captures", place), what)


def _made_going_down(front_end: FrontEnd) -> dict[_Made, list[str]]:
    made: dict[_Made, list[str]] = {}
    for operation in front_end.operations:
        if operation.down:
            for fact in _seen(operation.down.makes, operation.place):
                made.setdefault(fact, []).append(operation.id)
    return made


def _seen(facts: Facts, kind: PlaceKind) -> list[_Made]:
    return [_Made(*kind_and_variable(name, kind), value) for name, value in facts.items()]


def _needed_going_down(front_end: FrontEnd) -> Iterator[tuple[Path, str | None, _Made]]:
    """Where each fact is needed on the way down, by which operation (None: by a scope)."""
    for place, scope in enumerate(front_end.scopes):
        for name, value in scope.reach.items():
            yield ("scopes", place, "reach", name), None, _Made(*kind_and_variable(name, "corner"), value)
    for path, operation in _operations(front_end):
        if operation.down:
            for field in ("needs", "needs_shaft_side"):
                for name, value in getattr(operation.down, field).items():
                    made = _Made(*kind_and_variable(name, operation.place), value)
                    yield (*path, "down", field, name), operation.id, made


def _achievers(front_end: FrontEnd) -> Iterator[Wrong]:
    made = _made_going_down(front_end)
    for path, _, fact in _needed_going_down(front_end):
        values = getattr(front_end.states, fact.kind).get(fact.variable)
        achievers = made.get(fact, [])
        if values is None or fact.value not in values or fact.value == values[0]:
            continue
        if len(achievers) != 1:
            who = " and ".join(achievers) or "no operation"
            yield Wrong(path, f"{fact.variable} = {fact.value} has to be made by one operation, not by {who}")


def _cycles(front_end: FrontEnd) -> Iterator[Wrong]:
    made = _made_going_down(front_end)
    before: dict[str, dict[str, Path]] = {operation.id: {} for operation in front_end.operations}
    for path, by, fact in _needed_going_down(front_end):
        if by is not None:
            before[by].update(dict.fromkeys(made.get(fact, []), path))
    done: set[str] = set()
    for start in before:
        yield from _cycle_from(start, before, (), done)


def _cycle_from(
    at: str, before: dict[str, dict[str, Path]], trail: tuple[str, ...], done: set[str]
) -> Iterator[Wrong]:
    if at in done:
        return
    for earlier, path in before[at].items():
        if earlier == at or earlier in trail:
            ring = (*trail, at, earlier)
            yield Wrong(path, f"a cycle of steps: {' needs '.join(ring[ring.index(earlier) :])}")
        else:
            yield from _cycle_from(earlier, before, (*trail, at), done)
    done.add(at)
