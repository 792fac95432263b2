"""Readings of the wheels on the floor: taken at the pre-alignment step, many at once, all of them or none."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.compute.show import System
from server.procedure.fact import CORNERS
from server.procedure.model import FrontEnd, Wanted
from server.shop.capture import Correction, Hand, measure_at
from server.shop.lack import asked
from server.shop.move import Rung
from server.shop.refusal import Missing, Refusal
from server.shop.row import known
from server.shop.step import start
from server.store.tables import Capture, Job, Step

OPERATION = "pre-alignment"
PER_WHEEL = (
    "camber",
    "caster",
    "camber.turned-out",
    "camber.turned-in",
    "toe.wheel",
    "pack.front",
    "pack.rear",
)
OF_CAR = ("toe.tape-front", "toe.tape-rear", "toe.tape-diameter", "steering-wheel.off")
PLACES = {f"{key}@{place}": (key, place) for key in PER_WHEEL for place in CORNERS} | {
    f"{key}@car": (key, "car") for key in OF_CAR
}


@dataclass(frozen=True, slots=True)
class Typed:
    """A reading as typed, and the one that stood before the person's eyes while they typed it."""

    text: str
    seen: Capture | None
    confirmed: bool


class ReadingsRefused(Refusal):
    """Some of the readings cannot be kept, so none was; why, by the field."""

    def __init__(self, by_field: dict[str, Refusal]) -> None:
        how_many = f"{len(by_field)} fields are" if len(by_field) > 1 else "One field is"
        super().__init__(f"{how_many} not right yet. Nothing was kept.")
        self.by_field = by_field


def has_alignment(db: Session, job_id: int) -> bool:
    """Whether the job disturbs the alignment, so that it is set before the car leaves."""
    here = Step.job_id == job_id, Step.operation == OPERATION
    return db.exec(select(Step.id).where(*here).limit(1)).first() is not None


def step_of(db: Session, job: Job) -> Step:
    """The pre-alignment of a job; raises Missing."""
    here = Step.job_id == job.id, Step.operation == OPERATION
    step = db.exec(select(Step).where(*here).order_by(col(Step.seq))).first()
    if step is None:
        raise Missing("This job leaves the alignment alone: it has no pre-alignment.")
    return step


def take(
    db: Session,
    job: Job,
    step: Step,
    front_end: FrontEnd,
    typed: Mapping[str, Typed],
    hand: Hand,
    *,
    reason: str,
    system: System,
) -> list[Capture]:
    """Keep readings by their fields' names, by the rules that hold at the step itself.

    reason     why those are read again that stand already
    raises     Refusal where nothing was typed or the step cannot be begun; ReadingsRefused with the rest
    """
    filled = {name: one for name, one in typed.items() if one.text.strip()}
    if not filled:
        raise Refusal("No reading is filled in yet.")
    start(db, job, step, front_end, by=hand.by, now=hand.now)
    wanted = dict(_wanted(step, front_end))
    taken, refused = [], dict[str, Refusal]()
    for number, (name, one) in enumerate(filled.items()):
        each = Hand(hand.by, hand.now, f"{hand.client_id}.{number}")
        try:
            taken.append(_take(db, step, wanted[name], PLACES[name][1], one, each, reason, system))
        except Refusal as refusal:
            refused["reason" if refusal.field == "reason" else name] = refusal
    if refused:
        raise ReadingsRefused(refused)
    return taken


def _take(
    db: Session,
    step: Step,
    wanted: Wanted,
    place: str,
    typed: Typed,
    hand: Hand,
    reason: str,
    system: System,
) -> Capture:
    return measure_at(
        db,
        step,
        wanted,
        hand,
        place=place,
        text=typed.text,
        confirmed=typed.confirmed,
        system=system,
        correction=Correction(typed.seen, reason) if typed.seen else None,
    )


def _wanted(step: Step, front_end: FrontEnd) -> Iterable[tuple[str, Wanted]]:
    """What the step asks for, by the name of its field."""
    return ((f"{one.id}@{place}", one) for one, place in asked(step, Rung.of(front_end, step)))


def seen_at(db: Session, step: Step, capture_id: int, name: str) -> Capture:
    """The capture that a page said stood in a field; raises Refusal where there is none such."""
    seen = db.get(Capture, capture_id)
    if seen is None or (seen.step_id, seen.key, seen.place) != (known(step.id), *PLACES[name]):
        raise Refusal("There is no such reading to take the place of. Load the page again.")
    return seen
