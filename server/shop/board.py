"""The board: every bay at a glance."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.shop.hazard import LiveHazard, live_hazards
from server.shop.job import open_jobs
from server.shop.ladder import Ladder, ladders
from server.shop.row import known
from server.store.tables import Bay, Hold, Job, Person, Step, Vehicle


@dataclass(frozen=True, slots=True)
class AtWork:
    """A step in hand, its operation's name, and who has it."""

    step: Step
    name: str
    by: str


@dataclass(frozen=True, slots=True)
class Waiting:
    """What a car waits for, since when, and where to go to end the wait."""

    sentence: str
    since: datetime
    href: str


@dataclass(frozen=True, slots=True)
class CarInHand:
    """One open job as the board shows it."""

    job: Job
    vehicle: Vehicle
    ladders: tuple[Ladder, ...]
    hazards: tuple[LiveHazard, ...]
    at_work: tuple[AtWork, ...]
    waiting: tuple[Waiting, ...]
    phase: str


@dataclass(frozen=True, slots=True)
class BayRow:
    """One bay, with its car if there is one. Cars that stand in no bay come in a row without."""

    bay: Bay | None
    car: CarInHand | None


def board(db: Session, shop_id: int, front_ends: dict[str, FrontEnd]) -> list[BayRow]:
    """All bays in their order. The number of queries does not depend on how many jobs there are or were."""
    cars = cars_in_hand(db, open_jobs(db, shop_id), front_ends)
    bays = list(db.exec(select(Bay).where(Bay.shop_id == shop_id).order_by(col(Bay.place))))
    in_bay = {car.job.bay_id: car for car in cars}
    rows = [BayRow(bay, in_bay.get(bay.id)) for bay in bays]
    return rows + [BayRow(None, car) for car in cars if car.job.bay_id is None]


def cars_in_hand(
    db: Session, jobs: Iterable[tuple[Job, Vehicle]], front_ends: dict[str, FrontEnd]
) -> list[CarInHand]:
    """These jobs as the board shows them."""
    jobs = list(jobs)
    ids = [known(job.id) for job, _ in jobs]
    steps: dict[int, list[Step]] = {job_id: [] for job_id in ids}
    for step in db.exec(select(Step).where(col(Step.job_id).in_(ids)).order_by(col(Step.seq))):
        steps[step.job_id].append(step)
    hazards = live_hazards(db, ids, front_ends=front_ends)
    holds = db.exec(
        select(Hold).where(col(Hold.job_id).in_(ids), col(Hold.confirmed_at).is_(None)).order_by(col(Hold.id))
    ).all()
    names = dict(
        db.exec(select(Person.id, Person.name).where(col(Person.shop_id).in_({j.shop_id for j, _ in jobs})))
    )
    return [
        CarInHand(
            job=job,
            vehicle=vehicle,
            ladders=tuple(ladders(steps[known(job.id)], front_ends[job.front_end])),
            hazards=tuple(one for one in hazards if one.hazard.job_id == job.id),
            at_work=tuple(_at_work(steps[known(job.id)], front_ends[job.front_end], names)),
            waiting=tuple(_waiting(job, [hold for hold in holds if hold.job_id == job.id])),
            phase=phase(job, steps[known(job.id)]),
        )
        for job, vehicle in jobs
    ]


def phase(job: Job, steps: Iterable[Step]) -> str:
    """Where a job is, in a word: the direction of the first step not yet done."""
    if job.released_at is not None:
        return "Released"
    words = {"down": "Strip", "bench": "Bench", "up": "Refit", "after": "Checks"}
    return next((words[step.direction] for step in steps if step.state not in ("done", "not needed")), "Done")


def _at_work(steps: Iterable[Step], front_end: FrontEnd, names: dict[int | None, str]) -> list[AtWork]:
    return [
        AtWork(step, front_end.operation(step.operation).name, names.get(step.started_by, ""))
        for step in steps
        if step.state in ("in hand", "on hold")
    ]


def _waiting(job: Job, holds: Iterable[Hold]) -> list[Waiting]:
    waits = [Waiting(hold.text, hold.opened_at, f"/steps/{hold.step_id}#holds") for hold in holds]
    if job.parked_at is not None:
        waits.append(Waiting(f"Parked: {job.parked_why}", job.parked_at, f"/jobs/{job.id}"))
    return sorted(waits, key=lambda one: one.since)
