"""What a step still lacks before it may be said to be done."""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlmodel import Session

from server.procedure.fact import CORNERS
from server.procedure.model import FrontEnd, Wanted
from server.shop import capture, tag, tightening
from server.shop.decision import to_decide
from server.shop.hold import holds_at
from server.shop.move import Rung, undone_by
from server.shop.row import known
from server.store.tables import Step


@dataclass(frozen=True, slots=True)
class Lack:
    """One thing still open, as a sentence, and where it is put right."""

    sentence: str
    href: str


def asked(step: Step, rung: Rung) -> list[tuple[Wanted, str]]:
    """The captures a step asks for, each with the place its figure belongs to."""
    return [
        (wanted, place)
        for wanted in rung.move.captures
        for place in (CORNERS if wanted.per_side else (step.place,))
    ]


def lacks(db: Session, step: Step, rung: Rung, front_end: FrontEnd, *, put_back: set[int]) -> list[Lack]:
    """Everything a step lacks, in the order of its page.

    put_back  the tags that were ticked as back on the car
    """
    here = f"/steps/{step.id}"
    return [
        *(Lack(sentence, f"{here}#captures") for sentence in _captures(db, step, rung)),
        *(Lack(sentence, f"{here}#decisions") for sentence in _decisions(db, step, rung, front_end)),
        *(Lack(sentence, f"{here}#torque") for sentence in tightening.lacking(db, step, rung, front_end)),
        *(Lack(sentence, f"{here}#holds") for sentence in _holds(db, step)),
        *(Lack(sentence, f"{here}#tags") for sentence in _tags(db, step, front_end, put_back)),
    ]


def _captures(db: Session, step: Step, rung: Rung) -> Iterator[str]:
    taken = capture.standing(db, job_id=step.job_id, step_ids=[known(step.id)])
    for wanted, place in asked(step, rung):
        if wanted.required and not any(capture.answers(one.capture, wanted, place) for one in taken):
            side = f" {place}" if wanted.per_side else ""
            yield f"{wanted.name}{side} is not captured yet."


def _decisions(db: Session, step: Step, rung: Rung, front_end: FrontEnd) -> Iterator[str]:
    if rung.operation.decides:
        for one in to_decide(db, step, front_end):
            if one.decision is None:
                yield f"Nobody has decided on the {one.part.name.lower()} yet."


def _holds(db: Session, step: Step) -> Iterator[str]:
    for key, hold in holds_at(db, step).items():
        if key not in ("start", "end") and hold.confirmed_at is None:
            yield hold.text


def _tags(db: Session, step: Step, front_end: FrontEnd, put_back: set[int]) -> Iterator[str]:
    if step.direction == "up":
        seen = tag.tags_of_job(db, step.job_id, front_end)
        for one in tag.on_rungs(seen, undone_by(front_end, step.operation), step.place, state="out"):
            if one.tag.number not in put_back:
                yield f"Tag {one.tag.number}, {one.name.lower()}, is not ticked as back on the car."
