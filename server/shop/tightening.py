"""Tightenings: what has to be tightened or pinned at a step, and what has been recorded of it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.compute.torque import order_in_line, order_on_circle, window_about
from server.procedure.model import Fastener, FrontEnd
from server.shop.move import Rung
from server.shop.refusal import Refusal
from server.shop.row import known
from server.shop.spec import sheet
from server.store.tables import Job, Person, Spec, Step, TorqueRecord, Verification

# A slotted nut with a single printed torque goes on to its next slot, and no maximum says how far is too far:
# from half as much again on, somebody looks twice.
SLOTTED_SECOND_LOOK = 1.5


@dataclass(frozen=True, slots=True)
class Recorded:
    """A record that stands, who made it, who verified it, and what it superseded, newest first."""

    record: TorqueRecord
    by: str
    verified_by: str | None
    history: tuple[TorqueRecord, ...]

    @property
    def hands(self) -> set[int]:
        """Everyone who pulled or corrected it: none of them is its second person."""
        return {one.person_id for one in (self.record, *self.history)}


@dataclass(frozen=True, slots=True)
class Tightening:
    """One set of fasteners to be tightened or pinned at a step, and what has been recorded of it."""

    fastener: Fastener
    act: str  # torque | cotter
    spec: Spec | None
    recorded: tuple[Recorded, ...]  # one a stage, in order

    @property
    def stages(self) -> tuple[float, ...]:
        """The stages as fractions of the full torque; a cotter has one."""
        return self.fastener.stages if self.act == "torque" else (1.0,)

    @property
    def next_stage(self) -> int | None:
        """The stage to be pulled next, from 1; none when all are recorded."""
        done = len(self.recorded)
        return done + 1 if done < len(self.stages) else None

    @property
    def order(self) -> tuple[int, ...]:
        """In which order the fasteners of the set are tightened, from 1."""
        by_pattern = order_on_circle if self.fastener.pattern == "star" else order_in_line
        return by_pattern(self.fastener.count)

    @property
    def is_castle(self) -> bool:
        """Whether the nut has slots: torque first, then on to the next slot, never back."""
        return self.fastener.kind in ("castle nut", "slotted nut")

    def window_Nm(self, stage: int) -> tuple[float, float]:
        """Lowest and highest torque of a stage [N·m]; raises Refusal without a line on the spec sheet.

        A single printed value is widened by the standard tolerance; for a slotted nut's last stage, upward
        as far as one may have to go to the next slot.
        """
        if self.spec is None:
            raise Refusal(
                f"The spec sheet has no torque for the {self.fastener.name.lower()}. Write it there first."
            )
        share = self.stages[stage - 1]
        low, high = self.spec.low * share, self.spec.high * share
        if low < high:
            return low, high
        window = window_about(low)
        if self.is_castle and share == 1.0:
            return window.lowest_Nm, low * SLOTTED_SECOND_LOOK
        return window.lowest_Nm, window.highest_Nm


def tightenings(db: Session, step: Step, rung: Rung, front_end: FrontEnd) -> list[Tightening]:
    """What has to be tightened or pinned at a step, in order, with what has been recorded."""
    acts = [act for act in rung.move.fasteners if act.act in ("torque", "cotter")]
    if not acts or step.direction == "down":
        return []
    job = db.get_one(Job, step.job_id)
    specs = sheet(db, job.vehicle_id)
    found = standing(db, TorqueRecord.step_id == step.id)
    seen = []
    for act in acts:
        fastener = front_end.fastener(act.fastener)
        of_set = [one for one in found if (one.record.fastener, one.record.act) == (fastener.id, act.act)]
        seen.append(
            Tightening(
                fastener,
                act.act,
                specs.get(fastener.torque),
                tuple(sorted(of_set, key=lambda one: one.record.stage)),
            )
        )
    return seen


def awaits_pin(tightenings: Iterable[Tightening], record: TorqueRecord) -> bool:
    """Whether the cotter pin of that nut, which its second person has to see, is not recorded yet."""
    return any(
        one.act == "cotter" and one.fastener.id == record.fastener and one.next_stage is not None
        for one in tightenings
    )


def needs_second(record: TorqueRecord, front_end: FrontEnd) -> bool:
    """Whether a record wants a second pair of eyes: the last stage of a safety-critical fastener."""
    fastener = front_end.fastener(record.fastener)
    return fastener.safety and record.act == "torque" and record.stage == len(fastener.stages)


def unverified(db: Session, job: Job, front_end: FrontEnd) -> list[TorqueRecord]:
    """The standing records of a job that nobody else has looked at yet."""
    found = standing(db, TorqueRecord.job_id == job.id)
    return [one.record for one in found if one.verified_by is None and needs_second(one.record, front_end)]


def records_of(db: Session, job: Job) -> list[Recorded]:
    """Every standing record of a job, in the order made."""
    return standing(db, TorqueRecord.job_id == job.id)


def lacking(db: Session, step: Step, rung: Rung, front_end: FrontEnd) -> Iterator[str]:
    """What of a step's fasteners has not been recorded."""
    for one in tightenings(db, step, rung, front_end):
        if one.next_stage is None:
            continue
        if one.act == "cotter":
            yield f"{one.fastener.name}: no new cotter pin is recorded."
        else:
            stage = f", stage {one.next_stage} of {len(one.stages)}" if len(one.stages) > 1 else ""
            yield f"{one.fastener.name}: no torque is recorded{stage}."


def standing(db: Session, where: object) -> list[Recorded]:
    """The records that stand, of those that meet a condition, in the order made."""
    rows = db.exec(
        select(TorqueRecord, Person.name, Verification)
        .join(Person, col(Person.id) == TorqueRecord.person_id)
        .join(Verification, col(Verification.record_id) == TorqueRecord.id, isouter=True)
        .where(where)  # type: ignore[arg-type]
        .order_by(col(TorqueRecord.id))
    ).all()
    names = dict(db.exec(select(Person.id, Person.name)).all()) if any(seen for _, _, seen in rows) else {}
    stand: dict[int, Recorded] = {}
    for record, by, seen in rows:
        before = stand.pop(record.supersedes_id or 0, None)
        history = (before.record, *before.history) if before else ()
        stand[known(record.id)] = Recorded(record, by, names.get(seen.person_id) if seen else None, history)
    return list(stand.values())
