"""What a person needs to see of a job: where it stands, who is on what, and what can be done next."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlmodel import Session, col, func, select

from server.procedure.model import FrontEnd
from server.shop.bay import bays
from server.shop.board import CarInHand, cars_in_hand
from server.shop.job import SIDES
from server.shop.person import people
from server.shop.row import known
from server.shop.spec_sheet import torques_missing
from server.store.tables import Bay, Job, Tag, Vehicle


@dataclass(frozen=True, slots=True)
class JobSheet:
    """Everything on a job's page."""

    car: CarInHand
    bay: Bay | None
    bays: tuple[Bay, ...]
    scope: str  # in words
    names: Mapping[int, str]  # of the shop's people, by id
    tags_out: int
    torques_missing: int  # torques the job asks for that the spec sheet lacks


def job_sheet(db: Session, job: Job, front_ends: dict[str, FrontEnd]) -> JobSheet:
    """Gather a job's sheet."""
    front_end = front_ends[job.front_end]
    vehicle = db.get_one(Vehicle, job.vehicle_id)
    (car,) = cars_in_hand(db, [(job, vehicle)], front_ends)
    steps = [step for ladder in car.ladders for step in ladder.steps]
    all_bays = bays(db, job.shop_id)
    out = select(func.count(col(Tag.id))).where(Tag.job_id == job.id, Tag.state == "out")
    return JobSheet(
        car=car,
        bay=next((bay for bay in all_bays if bay.id == job.bay_id), None),
        bays=tuple(all_bays),
        scope=scope_words(job, front_end),
        names={known(person.id): person.name for person in people(db, job.shop_id)},
        tags_out=db.exec(out).one(),
        torques_missing=torques_missing(db, vehicle, front_end, steps),
    )


def scope_words(job: Job, front_end: FrontEnd) -> str:
    """`Tie rods, springs · both sides`."""
    first, *others = (front_end.scope(scope).name for scope in job.scopes)
    return f"{', '.join([first, *map(str.lower, others)])} · {SIDES[job.sides].lower()}"
