"""Steps: started, put on hold, done, reopened; and everything a step still lacks before it may be done."""

from collections.abc import Iterable
from datetime import datetime
from typing import NamedTuple, TypeVar

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.shop import hazard, tag
from server.shop.hold import confirm, may_confirm, open_hold, reopen_holds, waits
from server.shop.job import PLACES
from server.shop.lack import Lack, lacks
from server.shop.move import CLOSED, Rung, undone_by
from server.shop.refusal import Conflict, Forbidden, Refusal
from server.shop.row import known
from server.store.tables import Hold, Job, Person, Step

BEGUN = ("in hand", "on hold", "done")


class NotYet(Refusal):
    """A step that cannot be done yet, with all that it lacks."""

    def __init__(self, sentence: str, lacking: list[Lack]) -> None:
        super().__init__(sentence)
        self.lacking = lacking


class StepSeen(NamedTuple):
    """What the way through a job needs of each of its hundred steps; much quicker to read than the rows."""

    id: int
    seq: int
    operation: str
    place: str
    direction: str
    after: list[int]
    state: str


AnyStep = TypeVar("AnyStep", Step, StepSeen)

# Put together once: every page of a step asks it.
_SEEN = (
    sa.select(*(getattr(Step, name) for name in StepSeen._fields))
    .where(col(Step.job_id) == sa.bindparam("job_id"))
    .order_by(col(Step.seq))
)


def steps_of(db: Session, job_id: int) -> list[Step]:
    """The steps of a job in their planned order."""
    return list(db.exec(select(Step).where(Step.job_id == job_id).order_by(col(Step.seq))))


def steps_seen(db: Session, job_id: int) -> list[StepSeen]:
    """The same, to look at only."""
    return [StepSeen._make(row) for row in db.execute(_SEEN, {"job_id": job_id})]


def waits_for(step: Step, steps: Iterable[AnyStep]) -> list[AnyStep]:
    """The steps that have to be done before this one may be touched, and are not."""
    before = set(step.after)
    return [one for one in steps if one.seq in before and one.state not in CLOSED]


def ready(steps: Iterable[Step]) -> list[Step]:
    """The steps that can be started now, by whoever is free, in their planned order."""
    return [one for one in within_reach(steps) if one.state == "to do"]


def within_reach(steps: Iterable[AnyStep]) -> list[AnyStep]:
    """The steps that are open and wait for nothing, begun or not, in their planned order."""
    open_steps = [one for one in steps if one.state not in CLOSED]
    still_open = {one.seq for one in open_steps}
    return [one for one in open_steps if still_open.isdisjoint(one.after)]


def start(db: Session, job: Job, step: Step, front_end: FrontEnd, *, by: Person, now: datetime) -> None:
    """Take a step in hand. Its hazards begin now, from the first touch; its tags are hung.

    A hold that must be confirmed before the first touch puts it on hold instead.
    raises  Refusal on a released or parked job; NotYet where earlier steps are not done
    """
    _check_open(job)
    if step.state in BEGUN:
        return
    missing = waits_for(step, steps_seen(db, known(job.id)))
    if missing:
        raise NotYet(
            "This comes after other steps.",
            [Lack(f"{_named(front_end, one)} comes first.", f"/steps/{one.id}") for one in missing],
        )
    rung = Rung.of(front_end, step)
    step.revision += 1
    if rung.move.hold and rung.move.hold_at == "start":
        hold = open_hold(db, step, key="start", text=rung.move.hold, needs_role="technician", now=now)
        if hold.confirmed_at is None:
            step.state, step.started_by = "on hold", known(by.id)
            return
    _take_in_hand(db, step, rung, front_end, by=by, now=now)


def finish(
    db: Session,
    job: Job,
    step: Step,
    front_end: FrontEnd,
    *,
    client_id: str,
    revision: int,
    put_back: set[int],
    by: Person,
    now: datetime,
) -> None:
    """Say that a step is done. A hold that must be confirmed first puts it on hold instead.

    revision  of the step as the person saw it
    put_back  the tags they ticked as back on the car
    raises    Conflict where the step changed meanwhile; NotYet with all that is lacking
    """
    _check_open(job)
    if step.state == "done" or step.revision != revision:
        raise Conflict(_what_happened(db, step))
    if step.state != "in hand":
        raise Refusal("Start the step first." if step.state == "to do" else "This step is on hold.")
    rung = Rung.of(front_end, step)
    if rung.is_release:
        raise Refusal("A car is released from its list of loose ends.")
    lacking = lacks(db, step, rung, front_end, put_back=put_back)
    if lacking:
        raise NotYet("This step is not done yet.", lacking)
    if rung.move.hold and rung.move.hold_at == "end":
        hold = open_hold(db, step, key="end", text=rung.move.hold, needs_role="technician", now=now)
        if hold.confirmed_at is None:
            step.state, step.done_by = "on hold", known(by.id)
            step.revision += 1
            return
    _close(db, step, rung, front_end, client_id=client_id, by=by, now=now)


def confirm_hold(
    db: Session,
    job: Job,
    step: Step,
    hold: Hold,
    front_end: FrontEnd,
    *,
    client_id: str,
    by: Person,
    now: datetime,
) -> None:
    """Confirm a hold and let the step go on from where it stopped, in the name of whoever stopped there.

    raises  Forbidden for a person who is not qualified, Conflict where it is confirmed already or the step
            has not come to it
    """
    _check_open(job)
    if hold.confirmed_at is None and not waits(hold, step):
        raise Conflict("This step has been opened again. Do it first, then confirm.")
    confirm(hold, by=by, now=now)
    step.revision += 1
    rung = Rung.of(front_end, step)
    if hold.key == "start":
        _take_in_hand(db, step, rung, front_end, by=db.get_one(Person, step.started_by), now=now)
    elif hold.key == "end":
        worker = db.get_one(Person, step.done_by)
        _close(db, step, rung, front_end, client_id=client_id, by=worker, now=now)


def deny_hold(job: Job, step: Step, hold: Hold, *, by: Person) -> None:
    """What a hold asks for is not so: the step goes back to where it was, every hazard standing.

    raises  Forbidden for a person who could not confirm it, Conflict where it is not to be confirmed now
    """
    _check_open(job)
    if not may_confirm(hold, by):
        raise Forbidden("This is for somebody who could confirm it.")
    if not waits(hold, step) or step.state != "on hold":
        raise Conflict("This is not to be confirmed now. Look at what stands.")
    step.state = "to do" if hold.key == "start" else "in hand"
    step.done_by = None
    step.revision += 1


def reopen(
    db: Session,
    job: Job,
    step: Step,
    front_end: FrontEnd,
    *,
    client_id: str,
    revision: int,
    by: Person,
    now: datetime,
) -> None:
    """Put a done step back to be done, as long as nothing that rests on it has been touched.

    What it made safe is not safe any more: the hazards it ended begin again, its holds want confirming anew,
    and what it put back is out again.
    raises  Conflict where the step changed meanwhile, Refusal where later work rests on it
    """
    _check_open(job)
    if step.state != "done" or step.revision != revision:
        raise Conflict(_what_happened(db, step))
    later = [one for one in steps_seen(db, known(job.id)) if step.seq in one.after and one.state in BEGUN]
    if later:
        raise Refusal(f"{_named(front_end, later[0])} rests on this step and has been started.")
    step.state, step.done_at, step.done_by = "to do", None, None
    step.started_at, step.started_by = None, None
    step.revision += 1
    hazard.take_back_end(db, step)
    reopen_holds(db, step, now=now)
    if step.direction == "up":
        seen = tag.tags_of_job(db, step.job_id, front_end)
        for one in tag.on_rungs(seen, undone_by(front_end, step.operation), step.place, state="refitted"):
            tag.take_out(db, one.tag, client_id=f"{client_id}-{one.tag.number}", by=by, now=now)


def _take_in_hand(
    db: Session, step: Step, rung: Rung, front_end: FrontEnd, *, by: Person, now: datetime
) -> None:
    step.state, step.started_at, step.started_by = "in hand", now, known(by.id)
    hazard.begin(db, step, rung.move.hazards_begin, by=by, now=now)
    if step.direction == "down":
        tag.hang(db, step, rung, front_end, by=by, now=now)


def _close(
    db: Session,
    step: Step,
    rung: Rung,
    front_end: FrontEnd,
    *,
    client_id: str,
    by: Person,
    now: datetime,
) -> None:
    if step.direction == "up":
        seen = tag.tags_of_job(db, step.job_id, front_end)
        for one in tag.on_rungs(seen, undone_by(front_end, step.operation), step.place, state="out"):
            tag.put_back(db, one.tag, client_id=f"{client_id}-{one.tag.number}", by=by, now=now)
    hazard.end(db, step, rung.move.hazards_end, by=by, now=now)
    step.state, step.done_at, step.done_by = "done", now, known(by.id)
    step.revision += 1


def _check_open(job: Job) -> None:
    if job.released_at is not None:
        raise Refusal("This job has been released; nothing more is done on it.")
    if job.parked_at is not None:
        raise Refusal("This job is parked. Take it up again first.")


def _named(front_end: FrontEnd, step: Step | StepSeen) -> str:
    where = "" if step.place == "car" else f", {PLACES[step.place].lower()},"
    return f"{front_end.operation(step.operation).name}{where}"


def _what_happened(db: Session, step: Step) -> str:
    if step.state == "done" and step.done_by is not None:
        return f"{db.get_one(Person, step.done_by).name} has finished this step meanwhile."
    if step.state == "in hand" and step.started_by is not None:
        return f"{db.get_one(Person, step.started_by).name} has taken this step in hand meanwhile."
    return "This step has changed meanwhile. Look at what stands now, then go on."
