"""Tags: a numbered label on everything that came off, until it is back on or rightly thrown away."""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, func, select

from server.procedure.model import FrontEnd
from server.shop.move import CLOSED, Rung
from server.shop.refusal import Missing, Refusal
from server.shop.row import known
from server.shop.text import line
from server.store.tables import Decision, Job, Person, Step, Tag, TagMove

BAG = "fasteners"  # the bag with a step's bolts, nuts and washers
LONGEST_SHELF = 80


@dataclass(frozen=True, slots=True)
class TagSeen:
    """A tag with what it names and where it came off."""

    tag: Tag
    step: Step
    name: str
    decision: Decision | None

    @property
    def to_be_discarded(self) -> bool:
        """Whether the part is being renewed, so that the old one does not go back on."""
        return self.decision is not None and self.decision.verdict == "renew"


def name_of(front_end: FrontEnd, rung: Rung, part: str) -> str:
    """What stands on the label: the part, or the bag of the operation it came from."""
    if part == BAG:
        return f"Fasteners: {rung.operation.name}"
    return front_end.part(part).name


def hang(db: Session, step: Step, rung: Rung, front_end: FrontEnd, *, by: Person, now: datetime) -> None:
    """Propose the tags a step needs: one for each part that wants one, one for the bag of its fasteners."""
    if db.exec(select(Tag.id).where(Tag.step_id == step.id)).first() is not None:
        return
    parts = [part for part in rung.operation.parts if front_end.part(part).tag]
    if any(act.act == "off" for act in rung.move.fasteners):
        parts.append(BAG)
    highest = db.exec(select(func.max(Tag.number)).where(Tag.job_id == step.job_id)).one() or 0
    for number, part in enumerate(parts, start=highest + 1):
        tag = Tag(
            client_id=f"tag-{step.job_id}-{step.id}-{part}",
            code=secrets.token_urlsafe(9),
            job_id=step.job_id,
            step_id=known(step.id),
            number=number,
            part=part,
            place=step.place,
            made_at=now,
            made_by=known(by.id),
        )
        db.add(tag)


def find_tag(db: Session, code: str, *, shop_id: int) -> Tag:
    """The tag with that code; raises Missing, also for one of another shop."""
    query = select(Tag).join(Job, col(Job.id) == Tag.job_id)
    tag = db.exec(query.where(Tag.code == code, Job.shop_id == shop_id)).first()
    if tag is None:
        raise Missing("There is no such tag here.")
    return tag


def tags_of_job(
    db: Session, job_id: int, front_end: FrontEnd, *, step_ids: Iterable[int] | None = None
) -> list[TagSeen]:
    """The tags of a job in the order of their numbers: every one, or those hung at these steps."""
    query = select(Tag, Step).join(Step, col(Step.id) == Tag.step_id).where(Tag.job_id == job_id)
    if step_ids is not None:
        query = query.where(col(Tag.step_id).in_(list(step_ids)))
    rows = db.exec(query.order_by(col(Tag.number))).all()
    if not rows:
        return []
    decided = {
        (one.part, one.place): one
        for one in db.exec(select(Decision).where(Decision.job_id == job_id).order_by(col(Decision.id)))
    }
    return [
        TagSeen(
            tag,
            step,
            name_of(front_end, Rung.of(front_end, step), tag.part),
            decided.get((tag.part, tag.place)),
        )
        for tag, step in rows
    ]


def on_rungs(seen: Iterable[TagSeen], operations: Iterable[str], place: str, *, state: str) -> list[TagSeen]:
    """The tags of these rungs in that state whose parts go back on the car."""
    wanted = set(operations)
    return [
        one
        for one in seen
        if one.tag.state == state
        and one.step.operation in wanted
        and one.step.place == place
        and not one.to_be_discarded
    ]


def shelve(db: Session, tag: Tag, *, client_id: str, shelf: str, by: Person, now: datetime) -> None:
    """Say where a tagged part lies.

    raises  Refusal where nothing or too much is said, or the part is no longer out
    """
    if tag.state != "out":
        raise Refusal(f"Tag {tag.number} is {tag.state}; it lies nowhere.", field="shelf")
    if not shelf.strip():
        raise Refusal("Say where it lies, in a few words.", field="shelf")
    tag.shelf = line(shelf, field="shelf", longest=LONGEST_SHELF)
    _move(db, tag, "out", client_id=client_id, by=by, now=now)


def put_back(db: Session, tag: Tag, *, client_id: str, by: Person, now: datetime) -> None:
    """The part is on the car again."""
    _move(db, tag, "refitted", client_id=client_id, by=by, now=now)


def take_out(db: Session, tag: Tag, *, client_id: str, by: Person, now: datetime) -> None:
    """The part is off the car again."""
    _move(db, tag, "out", client_id=client_id, by=by, now=now)


def is_still_needed(db: Session, tag: Tag, front_end: FrontEnd) -> bool:
    """Whether the new part is still to be set from this one: the step that does it is not done."""
    until = None if tag.part == BAG else front_end.part(tag.part).keep_until
    if until is None:
        return False
    at_place = Step.job_id == tag.job_id, Step.place == tag.place, Step.operation == until
    return any(state not in CLOSED for state in db.exec(select(Step.state).where(*at_place)))


def why_it_stays(seen: TagSeen, *, is_still_needed: bool) -> str:
    """Why what hangs on a tag may not be thrown away; "" where it may."""
    if seen.tag.state != "out":
        return f"Tag {seen.tag.number} is {seen.tag.state} already."
    if not seen.to_be_discarded:
        return f"Nobody has decided to renew this part, so tag {seen.tag.number} stays."
    if is_still_needed:
        return f"Keep tag {seen.tag.number}: the new part is still to be set from it."
    return ""


def discard(
    db: Session, seen: TagSeen, front_end: FrontEnd, *, client_id: str, by: Person, now: datetime
) -> None:
    """Throw an old part away for good.

    raises  Refusal where nobody decided to renew it, or it is still needed to set the new one from
    """
    stays = why_it_stays(seen, is_still_needed=is_still_needed(db, seen.tag, front_end))
    if stays:
        raise Refusal(stays)
    _move(db, seen.tag, "discarded", client_id=client_id, by=by, now=now)


def moves_of_job(db: Session, job_id: int) -> dict[int, list[tuple[TagMove, str]]]:
    """What happened to each tag of a job and who did it, oldest first, by the tag's id."""
    rows = db.exec(
        select(TagMove, Person.name)
        .join(Tag, col(Tag.id) == TagMove.tag_id)
        .join(Person, col(Person.id) == TagMove.person_id)
        .where(Tag.job_id == job_id)
        .order_by(col(TagMove.id))
    )
    moves: dict[int, list[tuple[TagMove, str]]] = {}
    for move, name in rows:
        moves.setdefault(move.tag_id, []).append((move, name))
    return moves


def _move(db: Session, tag: Tag, state: str, *, client_id: str, by: Person, now: datetime) -> None:
    tag.state = state
    db.add(
        TagMove(
            client_id=client_id,
            tag_id=known(tag.id),
            state=state,
            shelf=tag.shelf,
            person_id=known(by.id),
            at=now,
        )
    )
