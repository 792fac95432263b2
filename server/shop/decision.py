"""Bench decisions: what becomes of each part that came off, why, and on what evidence."""

from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd, Part
from server.shop.refusal import Conflict, Refusal
from server.shop.row import known
from server.shop.text import line
from server.store.tables import Capture, Decision, Person, Step

LONGEST_REASON = 300
VERDICTS = {"reuse": "Reuse", "renew": "Renew", "repair": "Repair", "send out": "Send out"}


@dataclass(frozen=True, slots=True)
class ToDecide:
    """A part that is off and wants a decision, with the one that stands and those before it."""

    part: Part
    decision: Decision | None
    history: tuple[Decision, ...]


def to_decide(db: Session, step: Step, front_end: FrontEnd) -> list[ToDecide]:
    """The parts off at this step's place that the bench has to decide on, in the order they came off."""
    off = db.exec(
        select(Step.operation)
        .where(Step.job_id == step.job_id, Step.place == step.place, Step.direction == "down")
        .order_by(col(Step.seq))
    )
    parts = [front_end.part(part) for operation in off for part in front_end.operation(operation).parts]
    made = _decisions(db, step.job_id, step.place)
    return [_seen(part, made.get(part.id, [])) for part in parts if part.decide]


def decide(
    db: Session,
    step: Step,
    part: Part,
    *,
    client_id: str,
    verdict: str,
    reason: str,
    evidence: Capture | None,
    by: Person,
    now: datetime,
    supersedes: Decision | None = None,
) -> Decision:
    """Say what becomes of a part. A change of mind is a new decision that supersedes.

    raises  Refusal without a verdict, a reason, or a photo or measurement of the same job to rest on;
            Conflict where someone decided meanwhile
    """
    if verdict not in VERDICTS:
        raise Refusal("Choose what becomes of it.", field="verdict")
    if not reason.strip():
        raise Refusal("Say why, in a few words.", field="reason")
    if evidence is None or evidence.job_id != step.job_id or evidence.kind not in ("photo", "measurement"):
        raise Refusal(
            "A decision rests on a photo or a measurement: add one or choose one.", field="evidence"
        )
    before = _decisions(db, step.job_id, step.place).get(part.id, [])
    if (before[-1].id if before else None) != (supersedes.id if supersedes else None):
        raise Conflict(f"Someone has decided on {part.name} meanwhile. Look at it, then decide again.")
    decision = Decision(
        client_id=client_id,
        job_id=step.job_id,
        step_id=known(step.id),
        part=part.id,
        place=step.place,
        verdict=verdict,
        reason=line(reason, field="reason", longest=LONGEST_REASON),
        evidence_id=evidence.id,
        person_id=known(by.id),
        at=now,
        supersedes_id=supersedes.id if supersedes else None,
    )
    db.add(decision)
    db.flush()
    return decision


def standing_decisions(db: Session, job_id: int) -> list[Decision]:
    """The decisions that stand on a job, in the order first made."""
    last = {(one.part, one.place): one for one in _in_order(db, job_id)}
    return list(last.values())


def _in_order(db: Session, job_id: int) -> list[Decision]:
    return list(db.exec(select(Decision).where(Decision.job_id == job_id).order_by(col(Decision.id))))


def _decisions(db: Session, job_id: int, place: str) -> dict[str, list[Decision]]:
    made: dict[str, list[Decision]] = {}
    for one in _in_order(db, job_id):
        if one.place == place:
            made.setdefault(one.part, []).append(one)
    return made


def _seen(part: Part, made: list[Decision]) -> ToDecide:
    if not made:
        return ToDecide(part, None, ())
    return ToDecide(part, made[-1], tuple(reversed(made[:-1])))
