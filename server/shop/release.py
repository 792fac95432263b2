"""Release: a car leaves when nothing is open, nothing is left over, and nothing dangerous stands."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.shop import tag, tightening
from server.shop.capture import Hand, note_at
from server.shop.decision import standing_decisions
from server.shop.hazard import live_hazards
from server.shop.job import PLACES
from server.shop.move import CLOSED, Rung
from server.shop.person import is_qualified
from server.shop.refusal import Conflict, Forbidden, Refusal
from server.shop.row import known
from server.shop.step import steps_of
from server.store.tables import Hold, Job, Person


@dataclass(frozen=True, slots=True)
class LooseEnd:
    """One thing still open on a car, and where to go to close it."""

    kind: str  # hazard | step | hold | torque | tag | decision
    sentence: str
    href: str


class NotReleasable(Refusal):
    """A car that may not leave yet, with every loose end."""

    def __init__(self, ends: list[LooseEnd]) -> None:
        super().__init__(f"{len(ends)} loose end{'s' if len(ends) > 1 else ''}: this car does not leave yet.")
        self.ends = ends


def loose_ends(db: Session, job: Job, front_ends: dict[str, FrontEnd]) -> list[LooseEnd]:
    """Everything still open, the dangerous first."""
    front_end = front_ends[job.front_end]
    return [
        *_hazards(db, job, front_ends),
        *_steps(db, job, front_end),
        *_holds(db, job),
        *_torques(db, job, front_end),
        *_tags(db, job, front_end),
        *_decisions(db, job, front_end),
    ]


def release(db: Session, job: Job, front_ends: dict[str, FrontEnd], *, by: Person, now: datetime) -> None:
    """Let the car go, in one's own name.

    raises  Forbidden for an apprentice, Conflict where it has left already, NotReleasable with the loose ends
    """
    if not is_qualified(by):
        raise Forbidden("A technician or a foreman releases a car.")
    if job.released_at is not None:
        raise Conflict("This car has been released already.")
    ends = loose_ends(db, job, front_ends)
    if ends:
        raise NotReleasable(ends)
    for step in steps_of(db, known(job.id)):
        if step.state != "done":  # the release itself
            step.state, step.done_at, step.done_by = "done", now, known(by.id)
    job.released_at, job.released_by = now, known(by.id)
    job.parked_at, job.parked_by, job.parked_why = None, None, ""


def write_note(db: Session, job: Job, front_ends: dict[str, FrontEnd], text: str, hand: Hand) -> None:
    """What the owner and the alignment shop should know; it goes on the handover sheet. Raises Refusal."""
    front_end = front_ends[job.front_end]
    for step in steps_of(db, known(job.id)):
        rung = Rung.of(front_end, step)
        if rung.is_release:
            wanted = next((one for one in rung.move.captures if one.kind == "note"), None)
            note_at(db, step, hand, text=text, wanted=wanted)


def _hazards(db: Session, job: Job, front_ends: dict[str, FrontEnd]) -> Iterator[LooseEnd]:
    for live in live_hazards(db, [known(job.id)], front_ends=front_ends):
        where = PLACES[live.hazard.place]
        yield LooseEnd("hazard", f"{live.kind.name}: {where}.", f"/steps/{live.hazard.began_step_id}")


def _steps(db: Session, job: Job, front_end: FrontEnd) -> Iterator[LooseEnd]:
    for step in steps_of(db, known(job.id)):
        if step.state not in CLOSED and not Rung.of(front_end, step).is_release:
            name = front_end.operation(step.operation).name
            yield LooseEnd(
                "step", f"{name}, {PLACES[step.place].lower()}: {step.state}.", f"/steps/{step.id}"
            )


def _holds(db: Session, job: Job) -> Iterator[LooseEnd]:
    holds = db.exec(select(Hold).where(Hold.job_id == job.id, col(Hold.confirmed_at).is_(None)))
    for hold in holds:
        yield LooseEnd("hold", f"Waits for a confirmation: {hold.text}", f"/steps/{hold.step_id}#holds")


def _torques(db: Session, job: Job, front_end: FrontEnd) -> Iterator[LooseEnd]:
    places = {known(step.id): step.place for step in steps_of(db, known(job.id))}
    for record in tightening.unverified(db, job, front_end):
        name, where = front_end.fastener(record.fastener).name, PLACES[places[record.step_id]].lower()
        sentence = f"{name}, {where}: no second person has verified the torque."
        yield LooseEnd("torque", sentence, f"/steps/{record.step_id}#torque")


def _tags(db: Session, job: Job, front_end: FrontEnd) -> Iterator[LooseEnd]:
    for seen in tag.tags_of_job(db, known(job.id), front_end):
        if seen.tag.state == "out":
            pending = "renewed, the old one is still here" if seen.to_be_discarded else "not back on the car"
            sentence = (
                f"Tag {seen.tag.number}, {seen.name.lower()}, {PLACES[seen.tag.place].lower()}: {pending}."
            )
            yield LooseEnd("tag", sentence, f"/jobs/{job.id}/tags#tag-{seen.tag.number}")


def _decisions(db: Session, job: Job, front_end: FrontEnd) -> Iterator[LooseEnd]:
    for decision in standing_decisions(db, known(job.id)):
        if decision.verdict == "send out":
            name = front_end.part(decision.part).name
            sentence = f"{name}, {PLACES[decision.place].lower()}: sent out; nobody said what came back."
            yield LooseEnd("decision", sentence, f"/steps/{decision.step_id}#decisions")
