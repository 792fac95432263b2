"""A job's plan before it is opened: what would be done, in order, and how long it nominally takes."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby

from server.procedure.model import FrontEnd
from server.procedure.plan import Plan, PlannedStep
from server.shop.job import DIRECTIONS, PLACES


@dataclass(frozen=True, slots=True)
class PlannedRung:
    """One step of the plan in words."""

    seq: int
    name: str
    place: str
    time: timedelta  # nominal


@dataclass(frozen=True, slots=True)
class Part:
    """The steps that follow each other in one direction."""

    name: str
    rungs: tuple[PlannedRung, ...]

    @property
    def time(self) -> timedelta:
        """Nominal: one person, nothing going wrong."""
        return sum((rung.time for rung in self.rungs), timedelta())


def parts(laid_out: Plan, front_end: FrontEnd) -> list[Part]:
    """The plan in the order of its steps."""
    return list(_parts(laid_out, front_end))


def _parts(laid_out: Plan, front_end: FrontEnd) -> Iterator[Part]:
    for direction, steps in groupby(laid_out.steps, key=lambda step: step.direction):
        yield Part(DIRECTIONS[direction], tuple(_rung(step, front_end) for step in steps))


def _rung(step: PlannedStep, front_end: FrontEnd) -> PlannedRung:
    operation = front_end.operation(step.operation)
    minutes = operation.minutes_down if step.direction == "down" else operation.minutes_up
    return PlannedRung(step.seq, operation.name, PLACES[step.place], timedelta(minutes=minutes or 0.0))
