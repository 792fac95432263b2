"""Jobs: one vehicle's strip and refit, opened from a scope, parked, taken up again."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import cast

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.procedure.plan import Drive, Plan, Sides, plan, waits_for
from server.shop.hazard import LiveHazard, live_hazards, make_safe
from server.shop.refusal import Missing, Refusal
from server.shop.row import known
from server.shop.text import line
from server.shop.vehicle import DRIVES
from server.store.tables import Bay, Job, Person, Step, Vehicle

SIDES = {"both": "Both sides", "left": "Left side", "right": "Right side"}
DIRECTIONS = {"down": "Strip", "bench": "Bench", "up": "Refit", "after": "After"}
LONGEST_WORDS = 200
PLACES = {"car": "Whole car", "centre": "Front centre", "LF": "Left front", "RF": "Right front"}


class Dangerous(Refusal):
    """Something that may not be done while hazards are live."""

    def __init__(self, sentence: str, hazards: Iterable[LiveHazard]) -> None:
        super().__init__(sentence)
        self.hazards = list(hazards)


def open_job(
    db: Session,
    vehicle: Vehicle,
    *,
    bay: Bay | None,
    scopes: list[str],
    sides: str,
    front_end: FrontEnd,
    by: Person,
    now: datetime,
) -> Job:
    """Open a job and lay out its ladder: scope in, order out.

    raises  Refusal, with the field: no scope or side chosen, the bay taken, the car here already
    """
    laid_out = lay_out(front_end, scopes=scopes, sides=sides, drive=vehicle.drive)
    _check_free(db, bay)
    if _open_in(db, Job.vehicle_id == vehicle.id):
        raise Refusal("This car has an open job already.", field="plate")
    job = Job(
        shop_id=vehicle.shop_id,
        vehicle_id=known(vehicle.id),
        bay_id=bay.id if bay else None,
        front_end=vehicle.front_end,
        scopes=scopes,
        sides=sides,
        drive=vehicle.drive,
        opened_at=now,
        opened_by=known(by.id),
    )
    db.add(job)
    db.flush()
    after = waits_for(laid_out)
    for planned in laid_out.steps:
        db.add(
            Step(
                job_id=known(job.id),
                seq=planned.seq,
                operation=planned.operation,
                place=planned.place,
                direction=planned.direction,
                after=sorted(after[planned.seq]),
            )
        )
    db.flush()
    return job


def lay_out(front_end: FrontEnd, *, scopes: list[str], sides: str, drive: str) -> Plan:
    """The least work that reaches the scope; raises Refusal, with the field, where one is not chosen."""
    if not scopes or not set(scopes) <= {scope.id for scope in front_end.scopes}:
        raise Refusal("Choose what has to be reached.", field="scopes")
    if sides not in SIDES:
        raise Refusal("Choose the side, or both.", field="sides")
    if drive not in DRIVES:
        raise Refusal("Say on which side the steering shaft is.", field="drive")
    return plan(front_end, scopes, sides=cast(Sides, sides), drive=cast(Drive, drive))


def find_job(db: Session, job_id: int, *, shop_id: int) -> Job:
    """The job of that id in this shop; raises Missing."""
    job = db.get(Job, job_id)
    if job is None or job.shop_id != shop_id:
        raise Missing("There is no such job here.")
    return job


def park(
    db: Session,
    job: Job,
    *,
    why: str,
    made_safe: Mapping[int, str],
    front_ends: dict[str, FrontEnd],
    by: Person,
    now: datetime,
) -> None:
    """Leave a car standing, for parts or for another day.

    Nobody parks past an acute hazard. One that may stand (a car on confirmed stands, a caliper on its
    wire) may only do so once a named person has said how it is kept safe; it stays live.

    made_safe  what was said of each standing hazard, by its id
    raises     Dangerous with the acute hazards, Refusal where nothing is said of a standing one
    """
    if job.released_at is not None or job.parked_at is not None:
        raise Refusal("Only a car that is being worked on can be parked.")
    live = live_hazards(db, [known(job.id)], front_ends=front_ends)
    acute = [one for one in live if one.kind.acute]
    if acute:
        names = ", ".join(one.kind.name.lower() for one in acute)
        raise Dangerous(f"Nobody walks away from this: {names}. End it first.", acute)
    if not why.strip():
        raise Refusal("Say what it waits for.", field="why")
    job.parked_why = line(why, field="why", longest=LONGEST_WORDS)
    for one in live:
        make_safe(one.hazard, how=made_safe.get(known(one.hazard.id), ""), by=by)
    job.parked_at, job.parked_by = now, known(by.id)


def take_up(job: Job) -> None:
    """Go on with a parked car; raises Refusal where it is not parked."""
    if job.parked_at is None:
        raise Refusal("This car is not parked.")
    job.parked_at, job.parked_by, job.parked_why = None, None, ""


def move(db: Session, job: Job, bay: Bay | None, *, front_ends: dict[str, FrontEnd]) -> None:
    """Push the car into another bay, or out of any.

    raises  Dangerous while anything stands on or under it, Refusal where the bay is taken or the car has left
    """
    if job.released_at is not None:
        raise Refusal("This car has been released.")
    if job.bay_id == (bay.id if bay else None):
        return
    live = live_hazards(db, [known(job.id)], front_ends=front_ends)
    if live:
        names = ", ".join(one.kind.name.lower() for one in live)
        raise Dangerous(f"This car is not moved as it stands: {names}.", live)
    _check_free(db, bay)
    job.bay_id = bay.id if bay else None


def open_jobs(db: Session, shop_id: int) -> list[tuple[Job, Vehicle]]:
    """The jobs not yet released, in the order they were opened."""
    return list(
        db.exec(
            select(Job, Vehicle)
            .join(Vehicle, col(Vehicle.id) == Job.vehicle_id)
            .where(Job.shop_id == shop_id, col(Job.released_at).is_(None))
            .order_by(col(Job.id))
        ).all()
    )


def released_jobs(
    db: Session, shop_id: int, *, at_most: int, before: Job | None = None
) -> list[tuple[Job, Vehicle]]:
    """The jobs last released, newest first; `before` is the last one of the page before."""
    query = (
        select(Job, Vehicle)
        .join(Vehicle, col(Vehicle.id) == Job.vehicle_id)
        .where(Job.shop_id == shop_id, col(Job.released_at).is_not(None))
    )
    if before is not None:
        query = query.where(sa.tuple_(Job.released_at, Job.id) < (before.released_at, before.id))
    newest_first = query.order_by(col(Job.released_at).desc(), col(Job.id).desc())
    return list(db.exec(newest_first.limit(at_most)).all())


def _check_free(db: Session, bay: Bay | None) -> None:
    if bay is not None and _open_in(db, Job.bay_id == bay.id):
        raise Refusal(f"{bay.name} has a car in it.", field="bay")


def _open_in(db: Session, where: object) -> bool:
    query = select(Job.id).where(where, col(Job.released_at).is_(None))  # type: ignore[arg-type]
    return db.exec(query).first() is not None
