"""Where a step's row meets the procedure: the operation it does, and the move in its direction."""

from dataclasses import dataclass
from typing import Protocol

from server.procedure.model import FrontEnd, Move, Operation

CLOSED = ("done", "not needed")  # the states of a step that nothing waits for any more


class StepLike(Protocol):
    """A step's row, or as much of it as is read to look at."""

    @property
    def operation(self) -> str: ...
    @property
    def direction(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Rung:
    """One operation going one way."""

    operation: Operation
    move: Move

    @classmethod
    def of(cls, front_end: FrontEnd, step: StepLike) -> "Rung":
        """The rung of a step; raises KeyError where the library no longer knows the operation."""
        operation = front_end.operation(step.operation)
        move = operation.down if step.direction == "down" else operation.up
        if move is None:
            raise KeyError(f"{step.operation} has no way {step.direction}")
        return cls(operation, move)

    @property
    def is_release(self) -> bool:
        """Whether this is the last step of all, done by releasing the car."""
        return self.operation.id == "release"

    @property
    def minutes(self) -> float:
        """Nominal minutes of this rung."""
        minutes = (
            self.operation.minutes_down if self.move is self.operation.down else self.operation.minutes_up
        )
        return minutes or 0.0


def undone_by(front_end: FrontEnd, operation: str) -> list[str]:
    """The operations undone when this one is done going up: itself, and those that go back with it."""
    return [operation, *(one.id for one in front_end.operations if one.goes_back_with == operation)]
