"""Captures: what was seen, marked and measured at a step. Appended; a correction supersedes."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlmodel import Session, col, select

from server.compute import measure
from server.compute.show import System, usual_unit
from server.procedure.model import Wanted
from server.shop.person import is_qualified
from server.shop.refusal import Conflict, Forbidden, Refusal
from server.shop.row import known
from server.shop.text import words
from server.store.crash import crash_point
from server.store.tables import Capture, Job, Person, Photo, Step

LONGEST_NOTE = 2000
ANSWERED_BY = {
    "photo": "photo",
    "measurement": "measurement",
    "mark": "mark",
    "note": "note",
    "choice": "note",
}


class NeedsConfirming(Refusal):
    """A figure that can be read but is hard to believe: wanted once more, with the reason in view."""


@dataclass(frozen=True, slots=True)
class Hand:
    """Who takes a capture, when, and under which id the phone sent it."""

    by: Person
    now: datetime
    client_id: str


@dataclass(frozen=True, slots=True)
class Correction:
    """Which capture a new one takes the place of, and why."""

    of: Capture
    reason: str


@dataclass(frozen=True, slots=True)
class Taken:
    """A capture that stands, who took it, and what it superseded, newest first."""

    capture: Capture
    by: str
    history: tuple["Taken", ...]


def measure_at(
    db: Session,
    step: Step,
    wanted: Wanted,
    hand: Hand,
    *,
    place: str,
    text: str,
    confirmed: bool,
    system: System,
    last_visit: float | None = None,
    correction: Correction | None = None,
) -> Capture:
    """Take a measurement as typed.

    last_visit  the same figure when the car was last here, for one that only grows
    raises      Refusal where it cannot be read, NeedsConfirming where it is hard to believe
    """
    reading = read(wanted, text, system)
    doubt = reading.implausible
    if last_visit is not None and reading.value < last_visit:
        doubt = f"{reading.read_as} is less than when the car was last here. Confirm it if it is right."
    if doubt and not confirmed:
        raise NeedsConfirming(doubt, field="text")
    return _append(
        db,
        step,
        hand,
        correction,
        key=wanted.id,
        place=place,
        kind="measurement",
        text=text,
        value=reading.value,
        uncertainty=reading.uncertainty,
        quantity=reading.quantity.value,
        read_as=reading.read_as,
        confirmed=bool(doubt),
    )


def read(wanted: Wanted, text: str, system: System) -> measure.Reading:
    """A wanted figure as typed; without a unit it is meant in the shop's own. Raises Refusal.

    However finely it is written, it is no surer than what it was read on.
    """
    quantity = measure.Quantity(wanted.quantity or "")
    try:
        reading = measure.read(
            text,
            quantity,
            default_unit=usual_unit(quantity, system),
            lowest=wanted.lowest_si,
            highest=wanted.highest_si,
            signed=wanted.signed,
        )
    except measure.Refused as refused:
        raise Refusal(str(refused), field="text") from refused
    return replace(reading, uncertainty=max(reading.uncertainty, (wanted.read_to_si or 0.0) / 2))


def note_at(
    db: Session,
    step: Step,
    hand: Hand,
    *,
    text: str,
    wanted: Wanted | None = None,
    place: str = "",
    correction: Correction | None = None,
) -> Capture:
    """Write a note, in free words or as one of the answers offered.

    raises  Refusal where it is empty, too long, or none of the answers
    """
    note = words(text, field="text", longest=LONGEST_NOTE, nothing="Write a few words first.")
    if wanted is not None and wanted.options and note not in wanted.options:
        raise Refusal(f"Choose one of: {', '.join(wanted.options)}.", field="text")
    key = wanted.id if wanted else ""
    return _append(db, step, hand, correction, key=key, place=place or step.place, kind="note", text=note)


def miss_at(
    db: Session,
    step: Step,
    wanted: Wanted,
    hand: Hand,
    *,
    place: str,
    reason: str,
    correction: Correction | None = None,
) -> Capture:
    """Say that a wanted capture could not be taken, and why: an honest gap instead of a made-up figure.

    raises  Refusal without a reason, or with one that is too long; Forbidden for an apprentice where the
            capture is needed
    """
    if wanted.required and not is_qualified(hand.by):
        raise Forbidden("A technician or a foreman says that this cannot be taken.", field="text")
    why = words(reason, field="text", longest=LONGEST_NOTE, nothing="Say why it could not be taken.")
    return _append(
        db,
        step,
        hand,
        correction,
        key=wanted.id,
        place=place,
        kind="missing",
        text=why,
    )


def photograph_at(
    db: Session,
    step: Step,
    hand: Hand,
    photo: Photo,
    *,
    key: str = "",
    place: str = "",
    phone_at: datetime | None = None,
) -> Capture:
    """File a stored photo at a step."""
    if db.get(Photo, photo.digest) is None:
        db.add(photo)
        db.flush()
    return _append(
        db,
        step,
        hand,
        None,
        key=key,
        place=place or step.place,
        kind="photo",
        photo_digest=photo.digest,
        phone_at=phone_at,
    )


def mark_at(
    db: Session,
    step: Step,
    hand: Hand,
    photo: Capture | None,
    *,
    text: str,
    x: float,
    y: float,
    key: str = "",
) -> Capture:
    """Put a pin on a photo: what was marked on the metal there, and with what.

    x, y    fractions of the upright picture's width and height
    raises  Refusal where nothing is said, the pin is off the picture, or there is no picture
    """
    if photo is None or photo.kind != "photo" or photo.step_id != step.id:
        raise Refusal("A mark goes on a photo of this step: take one first.", field="text")
    if not (0 <= x <= 1 and 0 <= y <= 1):
        raise Refusal("Tap the place on the photo.", field="x")
    what = words(text, field="text", longest=LONGEST_NOTE, nothing="Say what was marked, and with what.")
    return _append(
        db,
        step,
        hand,
        None,
        key=key,
        place=photo.place,
        kind="mark",
        text=what,
        on_capture_id=photo.id,
        x=x,
        y=y,
    )


def is_photo_of(db: Session, digest: str, *, shop_id: int) -> bool:
    """Whether this photo was taken in that shop: who may see it follows its capture, not its digest."""
    taken = select(Capture.id).join(Job, col(Job.id) == Capture.job_id)
    here = taken.where(Capture.photo_digest == digest, Job.shop_id == shop_id)
    return db.exec(here.limit(1)).first() is not None


def answers(capture: Capture, wanted: Wanted, place: str) -> bool:
    """Whether a capture is what was asked for there, or says why it could not be taken."""
    asked_for = (capture.key, capture.place) == (wanted.id, place)
    return asked_for and capture.kind in (ANSWERED_BY[wanted.kind], "missing")


def standing(
    db: Session, *, job_id: int, step_ids: Iterable[int] | None = None, keys: Iterable[str] = ()
) -> list[Taken]:
    """What stands now on a job, in the order taken, with the history of each.

    step_ids  only at these steps; none for the whole job
    keys      and, wherever on the job, of these figures. A correction is of the same step and figure, so that
              none is ever here without what it corrects
    """
    query = (
        select(Capture, Person.name)
        .join(Person, col(Person.id) == Capture.person_id)
        .where(Capture.job_id == job_id)
        .order_by(col(Capture.id))
    )
    if step_ids is not None:
        at, of = col(Capture.step_id).in_(list(step_ids)), col(Capture.key).in_(list(keys))
        query = query.where(at | of)
    stand: dict[int, Taken] = {}
    for capture, name in db.exec(query):
        before = stand.pop(capture.supersedes_id or 0, None)
        stand[known(capture.id)] = Taken(capture, name, (before, *before.history) if before else ())
    return list(stand.values())


def _append(
    db: Session,
    step: Step,
    hand: Hand,
    correction: Correction | None,
    *,
    key: str,
    place: str,
    kind: str,
    **what: Any,
) -> Capture:
    capture = Capture(
        client_id=hand.client_id,
        job_id=step.job_id,
        step_id=known(step.id),
        key=key,
        place=place,
        kind=kind,
        person_id=known(hand.by.id),
        at=hand.now,
        **what,
    )
    if correction is not None:
        capture.supersedes_id, capture.reason = correction.of.id, _why(db, capture, correction)
    db.add(capture)
    db.flush()
    crash_point("shop: capture row added")
    return capture


def _why(db: Session, capture: Capture, correction: Correction) -> str:
    """The reason for a correction, if it may be made."""
    before = correction.of
    reason = words(
        correction.reason, field="reason", longest=LONGEST_NOTE, nothing="Say why it is corrected."
    )
    if (before.step_id, before.key, before.place) != (capture.step_id, capture.key, capture.place):
        raise Refusal("A correction belongs to the same thing at the same step.", field="reason")
    if db.exec(select(Capture.id).where(Capture.supersedes_id == before.id)).first() is not None:
        raise Conflict("This has been corrected already. Look at what stands now, then correct that.")
    return reason
