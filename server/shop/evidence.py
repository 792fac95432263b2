"""What a job's targets can rest on: standing captures, the car's spec sheet, decisions, the drawer."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlmodel import Session

from server.compute.answer import Known
from server.procedure.model import FrontEnd
from server.shop import capture
from server.shop.decision import standing_decisions
from server.shop.move import Rung
from server.shop.row import known
from server.shop.shim import drawer
from server.shop.spec import sheet
from server.shop.step import steps_seen
from server.store.tables import Capture, Decision, Job, Shim, Spec


@dataclass(frozen=True, slots=True)
class Evidence:
    """The inputs of every target of one job."""

    captures: dict[tuple[str, str, str], Capture]  # by key, place and the direction of its step
    specs: dict[str, Spec]
    decisions: dict[tuple[str, str], Decision]  # by part and place
    drawer: tuple[Shim, ...]
    asked: frozenset[str]  # the figures that the steps after the strip ask for
    tightened: frozenset[str]  # the fasteners that they tighten

    def found(self, key: str, place: str) -> Capture | None:
        """The figure as found, if it was measured."""
        return self._figure(key, place, ("down",))

    def left(self, key: str, place: str) -> Capture | None:
        """The figure as it is now, or as left."""
        return self._figure(key, place, ("after", "up", "bench"))

    def answer(self, key: str, place: str) -> Capture | None:
        """What was chosen at the bench; none where it was only said why it could not be."""
        chosen = self.captures.get((key, place, "bench"))
        return chosen if chosen is not None and chosen.kind == "note" else None

    def spec(self, key: str) -> Spec | None:
        """That line of the spec sheet."""
        return self.specs.get(key)

    def lacks_specs(self, *keys: str) -> tuple[str, ...]:
        """Which of these lines the spec sheet has not."""
        return tuple(key for key in keys if key not in self.specs)

    def is_renewed(self, part: str, place: str) -> bool:
        """Whether the bench decided to renew that part."""
        decision = self.decisions.get((part, place))
        return decision is not None and decision.verdict == "renew"

    def _figure(self, key: str, place: str, directions: Iterable[str]) -> Capture | None:
        for direction in directions:
            taken = self.captures.get((key, place, direction))
            if taken is not None and taken.value is not None:
                return taken
        return None


def gather(db: Session, job: Job, front_end: FrontEnd) -> Evidence:
    """Everything the targets of a job can rest on."""
    steps = steps_seen(db, known(job.id))
    directions = {step.id: step.direction for step in steps}
    moves = [Rung.of(front_end, step).move for step in steps if step.direction != "down"]
    standing = capture.standing(db, job_id=known(job.id))
    return Evidence(
        captures={
            (one.capture.key, one.capture.place, directions[one.capture.step_id]): one.capture
            for one in standing
        },
        specs=sheet(db, job.vehicle_id),
        decisions={(one.part, one.place): one for one in standing_decisions(db, known(job.id))},
        drawer=tuple(drawer(db, job.shop_id)),
        asked=frozenset(wanted.id for move in moves for wanted in move.captures),
        tightened=frozenset(act.fastener for move in moves for act in move.fasteners if act.act == "torque"),
    )


def of_capture(taken: Capture) -> Known:
    """A captured figure with the uncertainty its writing implies; raises ValueError where there is none."""
    if taken.value is None:
        raise ValueError("there is no figure in this capture")
    return Known(taken.value, taken.uncertainty or 0.0)


def of_spec(line: Spec) -> Known:
    """The middle of a spec line, uncertain by half its range."""
    return Known((line.low + line.high) / 2, (line.high - line.low) / 2)
