"""Tags: a numbered label on everything that came off, until it is back on or rightly thrown away."""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, func, select

from server.procedure.model import FrontEnd, Part
from server.shop.move import Rung
from server.shop.refusal import Refusal
from server.shop.row import known
from server.store.tables import Decision, Person, Step, Tag, TagMove

BAG = "fasteners"  # the bag with a step's bolts, nuts and washers


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


def tags_of_job(db: Session, job_id: int, front_end: FrontEnd) -> list[TagSeen]:
    """Every tag of a job in the order of their numbers."""
    decided = {
        (one.part, one.place): one
        for one in db.exec(select(Decision).where(Decision.job_id == job_id).order_by(col(Decision.id)))
    }
    rows = db.exec(
        select(Tag, Step)
        .join(Step, col(Step.id) == Tag.step_id)
        .where(Tag.job_id == job_id)
        .order_by(col(Tag.number))
    ).all()
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
    if not shelf.strip() or len(shelf.strip()) > 80:
        raise Refusal("Say where it lies, in a few words.", field="shelf")
    tag.shelf = shelf.strip()
    _move(db, tag, "out", client_id=client_id, by=by, now=now)


def put_back(db: Session, tag: Tag, *, client_id: str, by: Person, now: datetime) -> None:
    """The part is on the car again."""
    _move(db, tag, "refitted", client_id=client_id, by=by, now=now)


def take_out(db: Session, tag: Tag, *, client_id: str, by: Person, now: datetime) -> None:
    """The part is off the car again."""
    _move(db, tag, "out", client_id=client_id, by=by, now=now)


def discard(
    db: Session,
    seen: TagSeen,
    part: Part,
    *,
    client_id: str,
    kept_until_done: bool,
    by: Person,
    now: datetime,
) -> None:
    """Throw an old part away for good.

    kept_until_done  whether the step that still needs the old part has been done
    raises           Refusal where nobody decided to renew it, or it is still needed to set the new one from
    """
    if seen.tag.state != "out":
        raise Refusal(f"Tag {seen.tag.number} is {seen.tag.state} already.")
    if not seen.to_be_discarded:
        raise Refusal(f"Nobody has decided to renew this part, so tag {seen.tag.number} stays.")
    if part.keep_until and not kept_until_done:
        raise Refusal(f"Keep tag {seen.tag.number}: the new part is still to be set from it.")
    _move(db, seen.tag, "discarded", client_id=client_id, by=by, now=now)


def moves_of(db: Session, tag: Tag) -> list[tuple[TagMove, str]]:
    """What happened to a tag and who did it, oldest first."""
    query = select(TagMove, Person.name).join(Person, col(Person.id) == TagMove.person_id)
    return list(db.exec(query.where(TagMove.tag_id == tag.id).order_by(col(TagMove.id))).all())


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
