"""The tags of a job as its people look for them: what hangs on each, where it lies, what became of it."""

from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, select

from server.procedure.model import FrontEnd
from server.shop import tag
from server.shop.move import undone_by
from server.shop.row import known
from server.shop.step import steps_of
from server.shop.tag import TagSeen
from server.store.tables import Job, Person, Step, TagMove


@dataclass(frozen=True, slots=True)
class Moved:
    """One thing that happened to a tag."""

    words: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class TagLine:
    """A tag with all that is known of it."""

    seen: TagSeen
    moves: tuple[Moved, ...]  # newest first
    goes_back: Step | None  # the step in which it goes back on the car
    stays: str  # why it may not be thrown away; "" where it may

    @property
    def may_be_discarded(self) -> bool:
        """Whether the old part may be thrown away now."""
        return not self.stays

    @property
    def is_kept(self) -> bool:
        """Whether it is to be thrown away, but not yet."""
        return self.seen.tag.state == "out" and self.seen.to_be_discarded and bool(self.stays)


def tag_lines(db: Session, job: Job, front_end: FrontEnd) -> list[TagLine]:
    """Every tag of a job in the order of their numbers."""
    job_id = known(job.id)
    moves = tag.moves_of_job(db, job_id)
    names = dict(db.exec(select(Person.id, Person.name).where(Person.shop_id == job.shop_id)).all())
    back = {
        (operation, step.place): step
        for step in steps_of(db, job_id)
        if step.direction == "up"
        for operation in undone_by(front_end, step.operation)
    }
    return [
        TagLine(
            seen,
            tuple(_moved(seen, moves.get(known(seen.tag.id), []), names.get(seen.tag.made_by, ""))),
            None if seen.to_be_discarded else back.get((seen.step.operation, seen.step.place)),
            tag.why_it_stays(seen, is_still_needed=tag.is_still_needed(db, seen.tag, front_end)),
        )
        for seen in tag.tags_of_job(db, job_id, front_end)
    ]


def _moved(seen: TagSeen, moves: list[tuple[TagMove, str]], made_by: str) -> list[Moved]:
    happened = [Moved("Tag hung", made_by, seen.tag.made_at)]
    before = "out"
    for move, name in moves:
        happened.append(Moved(_words(before, move.state, move.shelf), name, move.at))
        before = move.state
    return happened[::-1]


def _words(before: str, state: str, shelf: str) -> str:
    if state == "refitted":
        return "Back on the car"
    if state == "discarded":
        return "Discarded"
    return f"Put on: {shelf}" if before == "out" else "Off the car again"
