"""Torque records: each fastener tightened, by the person who pulled the wrench, and seen by a second one."""

from dataclasses import dataclass
from functools import partial

from sqlmodel import Session, select

from server.compute import measure
from server.procedure.model import Fastener
from server.shop.capture import Hand, NeedsConfirming
from server.shop.hold import open_hold
from server.shop.person import is_qualified
from server.shop.refusal import Conflict, Forbidden, Refusal
from server.shop.row import known
from server.shop.text import line, words
from server.shop.tightening import Tightening
from server.store.crash import crash_point
from server.store.tables import Person, Step, TorqueRecord, Verification

LONGEST_LINE = 160
LONGEST_REASON = 2000


@dataclass(frozen=True, slots=True)
class Pull:
    """What the person who pulled the wrench says."""

    text: str
    wrench: str = ""
    setting: str = ""
    paint: bool = False  # the stripe is across nut and thread
    confirmed: bool = False  # although it is outside the window


def pull(db: Session, step: Step, tightening: Tightening, hand: Hand, said: Pull) -> TorqueRecord:
    """Record the torque of the next stage.

    A pull outside the window is kept as it was, and held for a foreman; so is one from generic values.
    raises  Refusal where it cannot be read or the stripe is missing, NeedsConfirming outside the window,
            Conflict where every stage has been recorded
    """
    stage = tightening.next_stage
    if stage is None:
        raise Conflict(f"The {tightening.fastener.name.lower()} has been recorded already.")
    value_Nm, outside = _read(tightening, stage, said)
    if stage == len(tightening.stages) and tightening.fastener.safety and not said.paint:
        raise Refusal("Paint the stripe across nut and thread, then tick it.", field="paint")
    return _append(db, step, tightening, hand, said, stage=stage, value_Nm=value_Nm, outside=outside)


def correct(
    db: Session,
    step: Step,
    tightening: Tightening,
    before: TorqueRecord,
    hand: Hand,
    said: Pull,
    *,
    reason: str,
) -> TorqueRecord:
    """Correct a record. The old one stays readable, and the new one wants verifying again.

    raises  Refusal without a reason, Conflict where it has been corrected already
    """
    reason = words(reason, field="reason", longest=LONGEST_REASON, nothing="Say why it is corrected.")
    if before.id not in [one.record.id for one in tightening.recorded]:
        raise Conflict("This record has been corrected already. Look at what stands now.")
    value_Nm, outside = _read(tightening, before.stage, said)
    said = Pull(said.text, before.wrench, before.setting, before.paint, said.confirmed)
    return _append(
        db,
        step,
        tightening,
        hand,
        said,
        stage=before.stage,
        value_Nm=value_Nm,
        outside=outside,
        supersedes=before,
        reason=reason,
    )


def pin(db: Session, step: Step, tightening: Tightening, hand: Hand) -> TorqueRecord:
    """Record that new cotter pins are in and their ends bent.

    raises  Conflict where that is recorded, Refusal where the nut's torque is not: a pin goes in after it
    """
    name = tightening.fastener.name.lower()
    if tightening.next_stage is None:
        raise Conflict(f"The new cotter pin of the {name} has been recorded.")
    if not _is_torqued(db, step, tightening.fastener):
        raise Refusal(f"Record the torque of the {name} first. The pin goes in after it.")
    return _append(db, step, tightening, hand, Pull("new, ends bent"), stage=1)


def verify(db: Session, record: TorqueRecord, hand: Hand) -> Verification:
    """A second person has looked: torque, pin and stripe.

    raises  Forbidden for those who pulled the wrench or corrected the figure, and for an apprentice;
            Conflict where it is verified already or no longer stands
    """
    if hand.by.id in _hands(db, record):
        raise Forbidden("The second person is somebody else than the one who pulled the wrench.")
    if not is_qualified(hand.by):
        raise Forbidden("A technician or a foreman verifies a torque.")
    if db.exec(select(TorqueRecord.id).where(TorqueRecord.supersedes_id == record.id)).first() is not None:
        raise Conflict("This record has been corrected meanwhile. Verify the one that stands.")
    if db.exec(select(Verification.id).where(Verification.record_id == record.id)).first() is not None:
        raise Conflict("This has been verified already.")
    seen = Verification(
        client_id=hand.client_id, record_id=known(record.id), person_id=known(hand.by.id), at=hand.now
    )
    db.add(seen)
    db.flush()
    return seen


def may_verify(person: Person, signed_in: Person) -> bool:
    """Whether this person can be the second one on a phone that somebody else is signed in at."""
    return person.left_at is None and is_qualified(person) and person.id != signed_in.id


def _hands(db: Session, record: TorqueRecord) -> set[int]:
    """Everyone who pulled or corrected it."""
    hands = {record.person_id}
    while record.supersedes_id is not None:
        record = db.get_one(TorqueRecord, record.supersedes_id)
        hands.add(record.person_id)
    return hands


def _is_torqued(db: Session, step: Step, fastener: Fastener) -> bool:
    last = TorqueRecord.act == "torque", TorqueRecord.stage == len(fastener.stages)
    here = TorqueRecord.step_id == step.id, TorqueRecord.fastener == fastener.id
    return db.exec(select(TorqueRecord.id).where(*here, *last)).first() is not None


def _read(tightening: Tightening, stage: int, said: Pull) -> tuple[float, bool]:
    """The torque pulled [N·m], and whether it is outside its window."""
    low, high = tightening.window_Nm(stage)
    try:
        reading = measure.read(
            said.text, measure.Quantity.TORQUE, default_unit="lbf·ft", lowest=low, highest=high
        )
    except measure.Refused as refused:
        raise Refusal(str(refused), field="text") from refused
    if reading.implausible and not said.confirmed:
        raise NeedsConfirming(reading.implausible, field="text")
    return reading.value, bool(reading.implausible)


def _append(
    db: Session,
    step: Step,
    tightening: Tightening,
    hand: Hand,
    said: Pull,
    *,
    stage: int,
    value_Nm: float | None = None,
    outside: bool = False,
    supersedes: TorqueRecord | None = None,
    reason: str = "",
) -> TorqueRecord:
    low, high = tightening.window_Nm(stage) if value_Nm is not None else (None, None)
    record = TorqueRecord(
        client_id=hand.client_id,
        job_id=step.job_id,
        step_id=known(step.id),
        fastener=tightening.fastener.id,
        act=tightening.act,
        stage=stage,
        text=said.text,
        value=value_Nm,
        low=low,
        high=high,
        wrench=_line(said.wrench, "wrench"),
        setting=_line(said.setting, "setting"),
        paint=said.paint,
        confirmed=outside,
        person_id=known(hand.by.id),
        at=hand.now,
        supersedes_id=supersedes.id if supersedes else None,
        reason=reason,
    )
    db.add(record)
    db.flush()
    crash_point("shop: capture row added")
    _hold_for_foreman(db, step, tightening, record)
    return record


def _line(text: str, field: str) -> str:
    return line(text, field=field, longest=LONGEST_LINE) if text.strip() else ""


def _hold_for_foreman(db: Session, step: Step, tightening: Tightening, record: TorqueRecord) -> None:
    """What no technician waves through alone: a value not the maker's, a pull outside its window."""
    name = tightening.fastener.name
    hold = partial(open_hold, db, step, needs_role="foreman", now=record.at)
    if record.act == "torque" and tightening.spec is not None and tightening.spec.generic:
        hold(
            key=f"generic torque: {record.fastener}",
            text=f"{name}: {tightening.spec.text} is generic, not the maker's. A foreman must agree.",
            anew=record.supersedes_id is not None,
        )
    if record.confirmed:
        hold(
            key=f"torque outside: {record.fastener}",
            text=f"{name}: pulled outside its window. A foreman says what becomes of it.",
            anew=True,
        )
