"""Ladders: a corner's steps in order, down while stripping and up the same rungs while refitting."""

from collections.abc import Iterable
from dataclasses import dataclass

from server.procedure.model import FrontEnd
from server.shop.job import PLACES
from server.shop.move import CLOSED
from server.store.tables import Step


@dataclass(frozen=True, slots=True)
class RungSeen:
    """One rung with its step each way, where it has one."""

    name: str
    down: Step | None
    up: Step | None


@dataclass(frozen=True, slots=True)
class Ladder:
    """The rungs of one place, top rung first, and how far each way it is done."""

    place: str
    name: str
    rungs: tuple[RungSeen, ...]

    @property
    def steps(self) -> list[Step]:
        """Every step of this ladder."""
        return [step for rung in self.rungs for step in (rung.down, rung.up) if step is not None]

    def done(self, direction: str) -> tuple[int, int]:
        """How many steps of that direction are done, of how many."""
        steps = [one for one in self.steps if (one.direction == "down") == (direction == "down")]
        return sum(one.state in CLOSED for one in steps), len(steps)


def ladders(steps: Iterable[Step], front_end: FrontEnd) -> list[Ladder]:
    """The ladders of a job. Rungs its scope doesn't touch aren't there.

    What has no way down (bench work, final torque at ride height, the checks afterwards) stands as rungs of
    its own above the rest, where a refit that climbs comes to them last.
    """
    by_place: dict[str, list[Step]] = {place: [] for place in PLACES}
    for step in steps:
        by_place[step.place].append(step)
    return [
        Ladder(place, PLACES[place], tuple(_rungs(of_place, front_end)))
        for place, of_place in by_place.items()
        if of_place
    ]


def _rungs(steps: list[Step], front_end: FrontEnd) -> list[RungSeen]:
    down = {step.operation: step for step in steps if step.direction == "down"}
    others = {step.operation: step for step in steps if step.direction != "down"}
    extra = [step for step in reversed(steps) if step.direction != "down" and step.operation not in down]
    names = {operation.id: operation.name for operation in front_end.operations}
    return [
        *(RungSeen(names[step.operation], None, step) for step in extra),
        *(RungSeen(names[operation], step, others.get(operation)) for operation, step in down.items()),
    ]
