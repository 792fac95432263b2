"""The handover sheet: what leaves with the car, gathered once from the record."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from server.compute.show import System
from server.procedure.model import FrontEnd
from server.shop import capture, tightening
from server.shop.capture import Taken
from server.shop.comparison import Compared, comparisons, names
from server.shop.correction import Corrected, corrections
from server.shop.decision import standing_decisions
from server.shop.evidence import gather
from server.shop.hazard import LiveHazard, live_hazards
from server.shop.move import Rung
from server.shop.release import LooseEnd, loose_ends
from server.shop.row import known
from server.shop.step import steps_of
from server.shop.target import histories
from server.shop.tightening import Recorded
from server.store.tables import Capture, Decision, Hold, Job, Person, Shop, Spec, Step, Vehicle

ON_SHEET = (
    "ride-height",
    "ride-height.frame",
    "camber",
    "caster",
    "toe.total",
    "toe.angle",
    "tie-rod.length",
    "pack.front",
    "pack.rear",
)


@dataclass(frozen=True, slots=True)
class PartLine:
    """What became of a part, and on what evidence."""

    name: str
    decision: Decision
    evidence: str
    by: str


@dataclass(frozen=True, slots=True)
class TorqueLine:
    """The last pull on a safety-critical fastener at a step, with the pin that secures it."""

    name: str
    step: Step
    pulled: Recorded
    pinned: Recorded | None
    wants_pin: bool
    source: str


@dataclass(frozen=True, slots=True)
class HoldLine:
    """A hold point and who confirmed it."""

    hold: Hold
    step: Step
    by: str


@dataclass(frozen=True, slots=True)
class NoteLine:
    """What somebody wrote, or why something was not taken."""

    name: str
    taken: Taken
    step: Step


@dataclass(frozen=True, slots=True)
class Handover:
    """Everything on the sheet."""

    shop: Shop
    job: Job
    vehicle: Vehicle
    scopes: tuple[str, ...]
    opened_by: str
    released_by: str
    miles_in: Capture | None
    miles_out: Capture | None
    figures: tuple[Compared, ...]
    is_disturbed: bool  # whether something that sets the alignment was opened
    parts: tuple[PartLine, ...]
    torques: tuple[TorqueLine, ...]
    holds: tuple[HoldLine, ...]
    parting: tuple[NoteLine, ...]  # written at the release, for the owner and the alignment shop
    notes: tuple[NoteLine, ...]
    gaps: tuple[NoteLine, ...]
    corrections: tuple[Corrected, ...]
    loose_ends: tuple[LooseEnd, ...]
    hazards: tuple[LiveHazard, ...]


def handover(db: Session, job: Job, front_ends: dict[str, FrontEnd], *, system: System) -> Handover:
    """Gather a job's sheet, released or not."""
    front_end, job_id = front_ends[job.front_end], known(job.id)
    steps = {known(step.id): step for step in steps_of(db, job_id)}
    people = dict(db.exec(select(Person.id, Person.name).where(Person.shop_id == job.shop_id)).all())
    taken = capture.standing(db, job_id=job_id)
    notes = list(_notes(taken, steps, front_end, kind="note"))
    miles = [one.capture for one in taken if one.capture.key == "odometer"]
    is_open = job.released_at is None
    compared = comparisons(gather(db, job, front_end), histories(db, job))
    return Handover(
        shop=db.get_one(Shop, job.shop_id),
        job=job,
        vehicle=db.get_one(Vehicle, job.vehicle_id),
        scopes=tuple(front_end.scope(scope).name for scope in job.scopes),
        opened_by=people.get(job.opened_by, ""),
        released_by=people.get(job.released_by, ""),
        miles_in=next((one for one in miles if steps[one.step_id].direction == "down"), None),
        miles_out=next((one for one in miles if steps[one.step_id].direction == "after"), None),
        figures=tuple(one for one in compared if one.key in ON_SHEET),
        is_disturbed=_is_disturbed(steps.values(), front_end),
        parts=tuple(_parts(db, job_id, front_end, people)),
        torques=tuple(_torques(db, job, steps, front_end)),
        holds=tuple(_holds(db, job_id, steps, people)),
        parting=tuple(one for one in notes if Rung.of(front_end, one.step).is_release),
        notes=tuple(one for one in notes if not Rung.of(front_end, one.step).is_release),
        gaps=tuple(_notes(taken, steps, front_end, kind="missing")),
        corrections=tuple(corrections(db, job, front_end, system=system)),
        loose_ends=tuple(loose_ends(db, job, front_ends)) if is_open else (),
        hazards=tuple(live_hazards(db, [job_id], front_ends=front_ends)),
    )


def _is_disturbed(steps: Iterable[Step], front_end: FrontEnd) -> bool:
    """Whether a step of this job, as planned, opens what sets the alignment."""
    facts = ("car.alignment", "alignment")
    return any(
        Rung.of(front_end, step).move.makes.get(fact) == "disturbed" for step in steps for fact in facts
    )


def _parts(
    db: Session, job_id: int, front_end: FrontEnd, people: dict[int | None, str]
) -> Iterator[PartLine]:
    called = names(front_end)
    for decision in standing_decisions(db, job_id):
        evidence = db.get(Capture, decision.evidence_id) if decision.evidence_id else None
        yield PartLine(
            front_end.part(decision.part).name,
            decision,
            _evidence(evidence, called),
            people.get(decision.person_id, ""),
        )


def _evidence(evidence: Capture | None, called: dict[str, str]) -> str:
    if evidence is None:
        return ""
    return "photo" if evidence.kind == "photo" else f"{called.get(evidence.key, '')}: {evidence.text}"


def _torques(db: Session, job: Job, steps: dict[int, Step], front_end: FrontEnd) -> Iterator[TorqueLine]:
    records = sorted(tightening.records_of(db, job), key=lambda one: steps[one.record.step_id].seq)
    sheet = list(db.exec(select(Spec).where(Spec.vehicle_id == job.vehicle_id).order_by(col(Spec.id))))
    pins = {(one.record.step_id, one.record.fastener): one for one in records if one.record.act == "cotter"}
    for one in records:
        if not tightening.needs_second(one.record, front_end):
            continue
        fastener, step = front_end.fastener(one.record.fastener), steps[one.record.step_id]
        yield TorqueLine(
            fastener.name,
            step,
            one,
            pins.get((one.record.step_id, fastener.id)),
            fastener.cotter,
            _source(sheet, fastener.torque, one.record.at),
        )


def _source(sheet: list[Spec], key: str, at: datetime) -> str:
    """Where the torque came from that stood on the sheet when it was pulled."""
    stood = [line for line in sheet if line.key == key and line.at <= at]
    if not stood:
        return ""
    return f"{stood[-1].source} (generic, not the maker's)" if stood[-1].generic else stood[-1].source


def _holds(
    db: Session, job_id: int, steps: dict[int, Step], people: dict[int | None, str]
) -> Iterator[HoldLine]:
    for hold in db.exec(select(Hold).where(Hold.job_id == job_id).order_by(col(Hold.id))):
        yield HoldLine(hold, steps[hold.step_id], people.get(hold.confirmed_by, ""))


def _notes(
    taken: Iterable[Taken], steps: dict[int, Step], front_end: FrontEnd, *, kind: str
) -> Iterator[NoteLine]:
    called = names(front_end)
    for one in taken:
        if one.capture.kind == kind:
            step = steps[one.capture.step_id]
            name = called.get(one.capture.key) or front_end.operation(step.operation).name
            yield NoteLine(name, one, step)
