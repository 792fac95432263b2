"""Scope in, order out: the least strip that safely reaches the scope, and its refit."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from typing import Literal, NamedTuple

from server.procedure.fact import CORNERS, Corner, Fact, Place, State, holds, initial, places, resolve
from server.procedure.model import Facts, FrontEnd, Move, Operation, Phase

Sides = Literal["left", "right", "both"]
Drive = Literal["LHD", "RHD"]
Direction = Literal["down", "bench", "up", "after"]

_CHOSEN: dict[Sides, tuple[Corner, ...]] = {"left": ("LF",), "right": ("RF",), "both": CORNERS}
SHAFT_AT: dict[Drive, Corner] = {"LHD": "LF", "RHD": "RF"}
_DIRECTION: dict[Phase, Direction] = {"strip": "up", "bench": "bench", "refit": "up", "after": "after"}


class PlanError(ValueError):
    """No order exists; names the operation that is stuck and the fact it lacks."""

    def __init__(self, operation: str, place: Place | None, what: str) -> None:
        super().__init__(f"{operation} at {place}: {what}" if place else f"{operation}: {what}")
        self.operation = operation


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """One operation at one place in one direction, `seq`-th in the order (from 1)."""

    seq: int
    operation: str
    place: Place
    direction: Direction
    needs: frozenset[Fact]
    makes: frozenset[Fact]
    acute: bool  # an acute hazard stands at its place before or after it


@dataclass(frozen=True, slots=True)
class Plan:
    """The order of work for a scope: strip, bench, refit and what follows."""

    front_end: str
    scopes: tuple[str, ...]
    sides: Sides
    drive: Drive
    steps: tuple[PlannedStep, ...]


class _Work(NamedTuple):
    """A step that has no number yet."""

    operation: Operation
    move: Move
    place: Place
    direction: Direction
    needs: frozenset[Fact]
    makes: frozenset[Fact]


def plan(front_end: FrontEnd, scopes: Iterable[str], *, sides: Sides, drive: Drive) -> Plan:
    """The least work that reaches every scope on the chosen sides, and puts the car back together.

    scopes     ids of the front end's scopes, at least one
    drive      tells at which corner the steering shaft is
    raises     PlanError, KeyError for an unknown scope
    """
    wanted = tuple(dict.fromkeys(scopes))
    goals = frozenset(
        fact
        for scope_id in wanted
        for corner in _CHOSEN[sides]
        for fact in resolve(front_end.scope(scope_id).reach, corner)
    )
    if not goals:
        raise PlanError("plan", None, "no scope is chosen")
    shaft = SHAFT_AT[drive]
    state = initial(front_end)
    strip = _ordered(_strip(front_end, goals, shaft), state)
    _refuse_acute_hazard(front_end, strip)
    order = strip + _ordered(_refit(front_end, strip, state, shaft), state)
    steps = (
        PlannedStep(seq, work.operation.id, work.place, work.direction, work.needs, work.makes, acute)
        for seq, (work, acute) in enumerate(zip(order, _acute(front_end, order), strict=True), start=1)
    )
    return Plan(front_end.id, wanted, sides, drive, tuple(steps))


def waits_for(plan: Plan) -> dict[int, frozenset[int]]:
    """For each step the earlier ones that have to be done first.

    Two steps keep their order if one changes what the other needs, or both change the same thing to
    different ends. So every order that keeps these meets the same facts at each step as the plan does.
    Nor does anything else at a corner pass by a step with an acute hazard, except what is done on the bench.
    """
    return {
        later.seq: frozenset(earlier.seq for earlier in plan.steps[:at] if _order_matters(earlier, later))
        for at, later in enumerate(plan.steps)
    }


def ready(plan: Plan, done: set[int]) -> set[int]:
    """The steps not yet done that may be started now, by whoever is free."""
    return {seq for seq, earlier in waits_for(plan).items() if seq not in done and earlier <= done}


def _order_matters(earlier: PlannedStep, later: PlannedStep) -> bool:
    return (
        _touch(earlier.makes, later.needs)
        or _touch(earlier.needs, later.makes)
        or _share_danger(earlier, later)
        or any(
            (one.place, one.variable) == (other.place, other.variable) and one.value != other.value
            for one, other in product(earlier.makes, later.makes)
        )
    )


def _share_danger(earlier: PlannedStep, later: PlannedStep) -> bool:
    at_the_car = "bench" not in (earlier.direction, later.direction)
    return at_the_car and earlier.place == later.place and (earlier.acute or later.acute)


def _touch(some: frozenset[Fact], others: frozenset[Fact]) -> bool:
    return not {(fact.place, fact.variable) for fact in some}.isdisjoint(
        (fact.place, fact.variable) for fact in others
    )


def _strip(front_end: FrontEnd, goals: frozenset[Fact], shaft: Corner) -> list[_Work]:
    """Every way down that a goal needs, directly or through another, in order of priority."""
    ladder = [
        _work(operation, place, "down", operation.down, shaft)
        for operation, place in _rungs(front_end.operations, shaft)
        if operation.down
    ]
    state = initial(front_end)
    needed: set[int] = set()
    open_facts = set(goals)
    while open_facts:
        fact = open_facts.pop()
        if state[fact.place, fact.variable] == fact.value:
            continue
        achiever = next((at for at, work in enumerate(ladder) if fact in work.makes), None)
        if achiever is None:
            raise PlanError("plan", None, f"nothing makes {fact}")
        if achiever not in needed:
            needed.add(achiever)
            open_facts |= ladder[achiever].needs
    return [work for at, work in enumerate(ladder) if at in needed]


def _refit(front_end: FrontEnd, strip: list[_Work], end: State, shaft: Corner) -> list[_Work]:
    """Bench work, the climb back up and what follows, in order of priority."""
    stripped = {(work.operation.id, work.place) for work in strip}
    rungs = list(_rungs(front_end.operations, shaft))
    climb = list(_rungs(front_end.operations[::-1], shaft, climbing=True))
    order = (
        *((rung, place) for rung, place in rungs if rung.phase == "bench"),
        *((rung, place) for rung, place in climb if rung.phase in ("strip", "refit")),
        *((rung, place) for rung, place in rungs if rung.phase == "after"),
    )
    return [
        _work(rung, place, _DIRECTION[rung.phase], rung.up, shaft)
        for rung, place in order
        if rung.up
        and ((rung.id, place) in stripped if rung.phase == "strip" else holds(resolve(rung.when, place), end))
    ]


def _rungs(
    operations: tuple[Operation, ...], shaft: Corner, *, climbing: bool = False
) -> Iterator[tuple[Operation, Place]]:
    """Operations with their places: vehicle and front side by side, then one corner after the other."""
    groups = [
        [(rung, place) for rung in operations if rung.group == group for place in places(rung.place)]
        for group in ("vehicle", "front", "corner")
    ]
    groups[2].sort(key=lambda rung: CORNERS.index(rung[1]))
    for group in reversed(groups) if climbing else groups:
        for rung, place in group:
            if rung.only_on is None or place == shaft:
                yield rung, place


def _work(operation: Operation, place: Place, direction: Direction, move: Move, shaft: Corner) -> _Work:
    needs: Facts = {**move.needs, **(move.needs_shaft_side if place == shaft else {})}
    return _Work(operation, move, place, direction, resolve(needs, place), resolve(move.makes, place))


def _ordered(works: list[_Work], state: State) -> list[_Work]:
    """The works so that each finds what it needs, by priority among those that do; moves `state` along."""
    waiting, order = list(works), []
    while waiting:
        work = next((work for work in waiting if holds(work.needs, state)), None)
        if work is None:
            raise _stuck(waiting[0], state)
        waiting.remove(work)
        order.append(work)
        state.update({(fact.place, fact.variable): fact.value for fact in work.makes})
    return order


def _stuck(work: _Work, state: State) -> PlanError:
    missing = sorted(fact for fact in work.needs if state[fact.place, fact.variable] != fact.value)
    return PlanError(work.operation.id, work.place, f"stuck, lacking {', '.join(map(str, missing))}")


def _standing(front_end: FrontEnd, order: Iterable[_Work]) -> Iterator[frozenset[tuple[str, Place]]]:
    """The acute hazards that stand after each of the works."""
    standing: frozenset[tuple[str, Place]] = frozenset()
    for work in order:
        standing -= {(hazard, work.place) for hazard in work.move.hazards_end}
        standing |= {(h, work.place) for h in work.move.hazards_begin if front_end.hazard(h).acute}
        yield standing


def _refuse_acute_hazard(front_end: FrontEnd, strip: list[_Work]) -> None:
    for hazard, place in list(_standing(front_end, strip))[-1]:
        raise PlanError(strip[-1].operation.id, place, f"the strip would end with {hazard} standing")


def _acute(front_end: FrontEnd, order: list[_Work]) -> list[bool]:
    after = list(_standing(front_end, order))
    before = [frozenset[tuple[str, Place]](), *after]
    return [
        any(place == work.place for _, place in earlier | later)
        for work, earlier, later in zip(order, before, after, strict=False)
    ]
