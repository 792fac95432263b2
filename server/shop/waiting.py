"""What cars wait for: a confirmation, a second person, a part that was sent out, another day."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.shop.job import PLACES
from server.shop.row import known
from server.shop.tightening import needs_second, standing
from server.store.tables import Decision, Hold, Job, Step, TorqueRecord

Jobs = Mapping[int, Job]


@dataclass(frozen=True, slots=True)
class Waiting:
    """What a car waits for, since when, and where to go to end the wait."""

    job_id: int
    sentence: str
    since: datetime
    href: str


def waits(db: Session, jobs: Iterable[Job], front_ends: dict[str, FrontEnd]) -> dict[int, list[Waiting]]:
    """What each of these jobs waits for, the longest wait first; in as many queries for one as for all."""
    of_id = {known(job.id): job for job in jobs}
    all_waits = [
        *_parked(of_id),
        *_holds(db, of_id),
        *_second_persons(db, of_id, front_ends),
        *_sent_out(db, of_id, front_ends),
    ]
    by_job: dict[int, list[Waiting]] = {job_id: [] for job_id in of_id}
    for one in sorted(all_waits, key=lambda one: one.since):
        by_job[one.job_id].append(one)
    return by_job


def _parked(jobs: Jobs) -> Iterator[Waiting]:
    for job_id, job in jobs.items():
        if job.parked_at is not None:
            yield Waiting(job_id, f"Parked, waits for: {job.parked_why}", job.parked_at, f"/jobs/{job_id}")


def _holds(db: Session, jobs: Jobs) -> Iterator[Waiting]:
    not_confirmed = select(Hold).where(col(Hold.job_id).in_(list(jobs)), col(Hold.confirmed_at).is_(None))
    for hold in db.exec(not_confirmed):
        yield Waiting(hold.job_id, hold.text, hold.opened_at, f"/steps/{hold.step_id}#holds")


def _second_persons(db: Session, jobs: Jobs, front_ends: dict[str, FrontEnd]) -> Iterator[Waiting]:
    unseen = []
    for one in standing(db, col(TorqueRecord.job_id).in_(list(jobs))):
        front_end = front_ends[jobs[one.record.job_id].front_end]
        if one.verified_by is None and needs_second(one.record, front_end):
            unseen.append((one.record, front_end.fastener(one.record.fastener).name))
    at_steps = {record.step_id for record, _ in unseen}
    places = dict(db.exec(select(Step.id, Step.place).where(col(Step.id).in_(at_steps))).all())
    for record, name in unseen:
        said = f"Second person: {name.lower()}, {PLACES[places[record.step_id]].lower()}"
        yield Waiting(record.job_id, said, record.at, f"/steps/{record.step_id}#torque")


def _sent_out(db: Session, jobs: Jobs, front_ends: dict[str, FrontEnd]) -> Iterator[Waiting]:
    made = db.exec(select(Decision).where(col(Decision.job_id).in_(list(jobs))).order_by(col(Decision.id)))
    for last in {(one.job_id, one.part, one.place): one for one in made}.values():
        if last.verdict == "send out":
            part = front_ends[jobs[last.job_id].front_end].part(last.part)
            said = f"Sent out: {part.name.lower()}, {PLACES[last.place].lower()}"
            yield Waiting(last.job_id, said, last.at, f"/steps/{last.step_id}#decisions")
