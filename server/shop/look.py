"""What of a job's targets has changed since a person last saw them."""

from collections.abc import Iterable
from datetime import UTC, datetime

from sqlmodel import Session, select

from server.shop.row import known
from server.shop.target import Histories
from server.store.tables import Job, Look, Person, Target

NEVER = datetime.min.replace(tzinfo=UTC)


def look(db: Session, job: Job, *, by: Person, now: datetime) -> None:
    """This person has seen every target of the job."""
    seen = _last(db, job, by)
    if seen is None:
        db.add(Look(person_id=known(by.id), job_id=known(job.id), at=now))
    else:
        seen.at = now


def changed_since_seen(db: Session, job: Job, person: Person, histories: Histories) -> dict[int, Target]:
    """Each standing target that reads otherwise than this person saw it, by its id, with what it was then.

    histories  of the job's targets, newest first
    returns    for somebody who never looked, what each changed one was at first
    """
    seen = _last(db, job, person)
    at = seen.at if seen else NEVER
    return {
        known(newest.id): next((one for one in before if one.at <= at), before[-1])
        for newest, *before in histories.values()
        if before and newest.at > at
    }


def unseen(db: Session, job: Job, person: Person, targets: Iterable[Target]) -> set[int]:
    """Which of these standing targets have changed since this person saw them; ids."""
    changed = [one for one in targets if one.supersedes_id is not None]
    if not changed:
        return set()
    seen = _last(db, job, person)
    return {known(one.id) for one in changed if seen is None or one.at > seen.at}


def _last(db: Session, job: Job, person: Person) -> Look | None:
    return db.exec(select(Look).where(Look.person_id == person.id, Look.job_id == job.id)).first()
