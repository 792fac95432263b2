"""What was changed on a job after it had been written down, and why."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from sqlmodel import Session, col, select

from server.compute.show import System, show_both
from server.compute.unit import Quantity
from server.procedure.model import FrontEnd
from server.shop import capture, tightening
from server.shop.comparison import names
from server.shop.decision import VERDICTS
from server.shop.row import known
from server.shop.step import steps_of
from server.store.tables import Capture, Decision, Job, Person, Spec, TorqueRecord


@dataclass(frozen=True, slots=True)
class Corrected:
    """One entry that took another's place."""

    name: str
    place: str
    was: str
    now: str
    why: str
    by: str
    at: datetime


def corrections(db: Session, job: Job, front_end: FrontEnd, *, system: System) -> list[Corrected]:
    """Every correction of a job by time; of the spec sheet, those made while it was open."""
    people = dict(db.exec(select(Person.id, Person.name).where(Person.shop_id == job.shop_id)).all())
    called = names(front_end)
    found = [
        *_captures(db, job, called),
        *_torques(db, job, front_end, people, system),
        *_decisions(db, job, front_end, people),
        *_specs(db, job, called, people),
    ]
    return sorted(found, key=lambda one: one.at)


def _captures(db: Session, job: Job, called: dict[str, str]) -> Iterator[Corrected]:
    for standing in capture.standing(db, job_id=known(job.id)):
        for before, after in pairwise(reversed((standing, *standing.history))):
            one = after.capture
            yield Corrected(
                called.get(one.key, "Note"),
                one.place,
                _read(before.capture),
                _read(one),
                one.reason,
                after.by,
                one.at,
            )


def _torques(
    db: Session, job: Job, front_end: FrontEnd, people: dict[int | None, str], system: System
) -> Iterator[Corrected]:
    places = {known(step.id): step.place for step in steps_of(db, known(job.id))}
    for standing in tightening.records_of(db, job):
        for before, after in pairwise(reversed((standing.record, *standing.history))):
            name, by = front_end.fastener(after.fastener).name, people.get(after.person_id, "")
            was, now = _pulled(before, system), _pulled(after, system)
            yield Corrected(name, places[after.step_id], was, now, after.reason, by, after.at)


def _decisions(
    db: Session, job: Job, front_end: FrontEnd, people: dict[int | None, str]
) -> Iterator[Corrected]:
    made = {
        one.id: one
        for one in db.exec(select(Decision).where(Decision.job_id == job.id).order_by(col(Decision.id)))
    }
    for one in made.values():
        before = made.get(one.supersedes_id)
        if before is not None:
            name, by = front_end.part(one.part).name, people.get(one.person_id, "")
            was, now = VERDICTS[before.verdict], VERDICTS[one.verdict]
            yield Corrected(name, one.place, was, now, one.reason, by, one.at)


def _specs(
    db: Session, job: Job, called: dict[str, str], people: dict[int | None, str]
) -> Iterator[Corrected]:
    """Of the vehicle's sheet; what was changed before the job began or after it left is no part of it."""
    written = {
        one.id: one
        for one in db.exec(select(Spec).where(Spec.vehicle_id == job.vehicle_id).order_by(col(Spec.id)))
    }
    for one in written.values():
        before = written.get(one.supersedes_id)
        in_time = one.at >= job.opened_at and (job.released_at is None or one.at <= job.released_at)
        if before is not None and in_time:
            name, by = f"Spec sheet: {called.get(one.key, one.key)}", people.get(one.person_id, "")
            yield Corrected(name, "car", before.text, one.text, one.reason, by, one.at)


def _read(capture: Capture) -> str:
    return capture.text if capture.kind != "missing" else f"not taken: {capture.text}"


def _pulled(record: TorqueRecord, system: System) -> str:
    if record.value is None:
        return record.text
    return show_both(record.value, Quantity.TORQUE, system=system)
