"""What of a job's targets has changed since a person last saw them."""

from collections.abc import Iterable
from datetime import UTC, datetime

from sqlmodel import Session, select

from server.compute.show import System
from server.shop.flag import reads_otherwise
from server.shop.row import known
from server.shop.target import Histories, histories
from server.store.tables import Job, Look, Person, Target

NEVER = datetime.min.replace(tzinfo=UTC)


def look(db: Session, job: Job, *, by: Person, now: datetime) -> None:
    """This person has seen every target of the job."""
    seen = _last(db, job, by)
    if seen is None:
        db.add(Look(person_id=known(by.id), job_id=known(job.id), at=now))
    else:
        seen.at = now


def changed_since_seen(
    db: Session, job: Job, person: Person, history: Histories, *, system: System
) -> dict[int, Target]:
    """Each standing target whose figure reads otherwise than this person saw it, and what it was then, by id.

    history    of the job's targets, newest first
    returns    for somebody who never looked, what each changed one was at first
    """
    seen = _last(db, job, person)
    at = seen.at if seen else NEVER
    found = {}
    for newest, *before in history.values():
        was = next((one for one in before if one.at <= at), before[-1]) if before else newest
        if newest.at > at and reads_otherwise(was, newest, system):
            found[known(newest.id)] = was
    return found


def unseen(
    db: Session, job: Job, person: Person, targets: Iterable[Target], *, system: System
) -> dict[int, Target]:
    """The same for some of a job's standing targets."""
    changed = {one.key for one in targets if one.supersedes_id is not None}
    if not changed:
        return {}
    return changed_since_seen(db, job, person, histories(db, job, keys=changed), system=system)


def _last(db: Session, job: Job, person: Person) -> Look | None:
    return db.exec(select(Look).where(Look.person_id == person.id, Look.job_id == job.id)).first()
