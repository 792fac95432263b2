"""The board: every bay at a glance."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.shop.alignment import OPERATION as ALIGNMENT
from server.shop.bay import bays
from server.shop.hazard import LiveHazard, live_hazards
from server.shop.job import open_jobs
from server.shop.ladder import Ladder, ladders
from server.shop.move import CLOSED
from server.shop.row import known
from server.shop.step import ready
from server.shop.waiting import Waiting, waits
from server.store.tables import Bay, Job, Person, Step, Vehicle


@dataclass(frozen=True, slots=True)
class StepNamed:
    """A step, its operation's name, and who has it in hand, "" if nobody."""

    step: Step
    name: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class CarInHand:
    """One open job as the board shows it."""

    job: Job
    vehicle: Vehicle
    ladders: tuple[Ladder, ...]
    hazards: tuple[LiveHazard, ...]
    at_work: tuple[StepNamed, ...]
    ready: tuple[StepNamed, ...]
    waiting: tuple[Waiting, ...]
    phase: str

    @property
    def has_alignment(self) -> bool:
        """Whether the job disturbs the alignment, so that it is set before the car leaves."""
        return any(step.operation == ALIGNMENT for ladder in self.ladders for step in ladder.steps)


@dataclass(frozen=True, slots=True)
class BayRow:
    """One bay, with its car if there is one. Cars that stand in no bay come in a row without."""

    bay: Bay | None
    car: CarInHand | None


def board(db: Session, shop_id: int, front_ends: dict[str, FrontEnd]) -> list[BayRow]:
    """All bays in their order. The number of queries does not depend on how many jobs there are or were."""
    cars = cars_in_hand(db, open_jobs(db, shop_id), front_ends)
    in_bay = {car.job.bay_id: car for car in cars}
    rows = [BayRow(bay, in_bay.get(bay.id)) for bay in bays(db, shop_id)]
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
    waiting = waits(db, [job for job, _ in jobs], front_ends)
    shops = {job.shop_id for job, _ in jobs}
    names = dict(db.exec(select(Person.id, Person.name).where(col(Person.shop_id).in_(shops))).all())
    return [
        _car(
            job,
            vehicle,
            steps[known(job.id)],
            front_ends[job.front_end],
            hazards=tuple(one for one in hazards if one.hazard.job_id == job.id),
            waiting=tuple(waiting[known(job.id)]),
            names=names,
        )
        for job, vehicle in jobs
    ]


def phase(job: Job, steps: Iterable[Step]) -> str:
    """Where a job is, in a word: the direction of the first step not yet done."""
    if job.released_at is not None:
        return "Released"
    words = {"down": "Strip", "bench": "Bench", "up": "Refit", "after": "Checks"}
    return next((words[step.direction] for step in steps if step.state not in CLOSED), "Done")


def _car(
    job: Job,
    vehicle: Vehicle,
    steps: list[Step],
    front_end: FrontEnd,
    *,
    hazards: tuple[LiveHazard, ...],
    waiting: tuple[Waiting, ...],
    names: Mapping[int | None, str],
) -> CarInHand:
    in_hand = [step for step in steps if step.state in ("in hand", "on hold")]
    return CarInHand(
        job=job,
        vehicle=vehicle,
        ladders=tuple(ladders(steps, front_end)),
        hazards=hazards,
        at_work=tuple(_named(step, front_end, names.get(step.started_by, "")) for step in in_hand),
        ready=tuple(_named(step, front_end) for step in ready(steps)),
        waiting=waiting,
        phase=phase(job, steps),
    )


def _named(step: Step, front_end: FrontEnd, by: str = "") -> StepNamed:
    return StepNamed(step, front_end.operation(step.operation).name, by)
