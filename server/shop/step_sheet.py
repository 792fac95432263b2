"""What a person needs to see at a step: gathered once, from the record, for the page."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import cast

from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd, Wanted
from server.procedure.plan import SHAFT_AT, Drive
from server.shop import capture, tag, tightening
from server.shop.capture import Taken
from server.shop.decision import ToDecide, to_decide
from server.shop.hazard import LiveHazard, live_hazards
from server.shop.hold import holds_at, waits
from server.shop.lack import asked
from server.shop.move import Rung, undone_by
from server.shop.row import known
from server.shop.step import AnyStep, StepSeen, steps_seen, waits_for, within_reach
from server.shop.tag import TagSeen
from server.shop.target import targets_of
from server.shop.tightening import Tightening
from server.shop.use import shows
from server.store.tables import Hold, Job, Person, Photo, Step, Target, Vehicle

# What a step asks for again and aims at anew: there the refit's own targets of it count no more.
AIMED_ANEW = {"pre-alignment": frozenset({"pack"})}


@dataclass(frozen=True, slots=True)
class Asked:
    """One capture a step asks for: what has been taken, and beside it what was found and what is aimed at."""

    wanted: Wanted
    place: str
    taken: tuple[Taken, ...]  # what answers it, in the order taken
    photos: tuple["PhotoSeen", ...]  # taken for it: the answer itself, or what its mark is put on
    as_found: Taken | None
    target: Target | None

    @property
    def last(self) -> Taken | None:
        """The one that stands for it."""
        return self.taken[-1] if self.taken else None


@dataclass(frozen=True, slots=True)
class PhotoSeen:
    """A photo with the marks on it, in the order made."""

    taken: Taken
    photo: Photo
    marks: tuple[Taken, ...]


@dataclass(frozen=True, slots=True)
class StepSheet:
    """Everything on a step's page."""

    job: Job
    vehicle: Vehicle
    step: Step
    rung: Rung
    front_end: FrontEnd
    on_shaft_side: bool
    number: int  # of how many going this way at this place, from 1
    of: int
    hazards: tuple[LiveHazard, ...]
    waits_for: tuple[tuple[StepSeen, str], ...]
    holds: tuple[Hold, ...]  # to be confirmed now
    confirmed: tuple[tuple[Hold, str], ...]  # with who confirmed it
    asked: tuple[Asked, ...]
    notes: tuple[Taken, ...]  # free notes, not asked for
    photos: tuple[PhotoSeen, ...]  # free ones, not asked for
    found_photos: tuple[PhotoSeen, ...]  # going up: what was photographed here on the way down
    found_figures: tuple[tuple[str, Taken], ...]  # with the name they were asked for under
    found_notes: tuple[Taken, ...]
    decisions: tuple[ToDecide, ...]
    tags_here: tuple[TagSeen, ...]  # hung at this step
    tags_back: tuple[TagSeen, ...]  # going up: still to be put back
    tightenings: tuple[Tightening, ...]
    targets: tuple[Target, ...]
    off: frozenset[str]  # parts that are off the car now
    started_by: str
    done_by: str
    next_step: StepSeen | None


def step_sheet(db: Session, job: Job, step: Step, front_ends: dict[str, FrontEnd]) -> StepSheet:
    """Gather a step's sheet."""
    front_end = front_ends[job.front_end]
    rung = Rung.of(front_end, step)
    steps = steps_seen(db, known(job.id))
    below = _mirror(step, steps, front_end)
    at = [known(step.id), *below]
    taken = capture.standing(
        db, job_id=known(job.id), step_ids=at, keys=[wanted.id for wanted in rung.move.captures]
    )
    here = [one for one in taken if one.capture.step_id == step.id]
    found = [one for one in taken if one.capture.step_id in below]
    tags = tag.tags_of_job(db, known(job.id), front_end, step_ids=at)
    targets = _still_counting(rung, targets_of(db, job)) if step.direction != "down" else []
    photos = _photos(db, [*here, *found])
    photos_here = [seen for seen in photos if seen.taken.capture.step_id == step.id]
    holds = holds_at(db, step)
    names = _names(db, [step.started_by, step.done_by, *(hold.confirmed_by for hold in holds.values())])
    same_way = [one.id for one in steps if (one.place, one.direction) == (step.place, step.direction)]
    return StepSheet(
        job=job,
        vehicle=db.get_one(Vehicle, job.vehicle_id),
        step=step,
        rung=rung,
        front_end=front_end,
        on_shaft_side=step.place == SHAFT_AT[cast(Drive, job.drive)],
        number=same_way.index(known(step.id)) + 1,
        of=len(same_way),
        hazards=tuple(live_hazards(db, [known(job.id)], front_ends=front_ends)),
        waits_for=tuple((one, front_end.operation(one.operation).name) for one in waits_for(step, steps)),
        holds=tuple(hold for hold in holds.values() if waits(hold, step)),
        confirmed=tuple(
            (hold, names[hold.confirmed_by]) for hold in holds.values() if hold.confirmed_at is not None
        ),
        asked=tuple(_asked(step, rung, here, photos_here, taken, steps, targets)),
        notes=tuple(one for one in here if one.capture.kind == "note" and not one.capture.key),
        photos=tuple(seen for seen in photos_here if not seen.taken.capture.key),
        found_photos=tuple(seen for seen in photos if seen.taken.capture.step_id in below),
        found_figures=tuple(_named(found, steps, front_end)),
        found_notes=tuple(one for one in found if one.capture.kind == "note"),
        decisions=tuple(to_decide(db, step, front_end)) if rung.operation.decides else (),
        tags_here=tuple(one for one in tags if one.tag.step_id == step.id),
        tags_back=tuple(
            tag.on_rungs(tags, undone_by(front_end, step.operation), step.place, state="out")
            if step.direction == "up"
            else ()
        ),
        tightenings=tuple(tightening.tightenings(db, step, rung, front_end)),
        targets=tuple(one for one in targets if shows(rung, place=step.place, key=one.key, at=one.place)),
        off=_off(steps, front_end, step.place),
        started_by=names.get(step.started_by, ""),
        done_by=names.get(step.done_by, ""),
        next_step=next_ready(steps, step),
    )


def next_ready(steps: Iterable[AnyStep], step: Step) -> AnyStep | None:
    """Where to go on: the next step at the same place that can be done now, else the first anywhere."""
    others = [one for one in within_reach(steps) if one.id != step.id]
    return next((one for one in others if one.place == step.place), others[0] if others else None)


def _mirror(step: Step, steps: Iterable[StepSeen], front_end: FrontEnd) -> set[int]:
    """The steps of the same rung going down, as a refit sees them; none for a step that goes down itself."""
    if step.direction == "down":
        return set()
    rungs = set(undone_by(front_end, step.operation))
    return {
        one.id
        for one in steps
        if one.direction == "down" and one.operation in rungs and one.place == step.place
    }


def _asked(
    step: Step,
    rung: Rung,
    here: list[Taken],
    photos: list[PhotoSeen],
    taken: list[Taken],
    steps: Iterable[StepSeen],
    targets: Iterable[Target],
) -> list[Asked]:
    down = {one.id for one in steps if one.direction == "down"}
    found = {
        (one.capture.key, one.capture.place): one
        for one in taken
        if one.capture.step_id in down and one.capture.step_id != step.id
    }
    aims = {(one.key, one.place): one for one in targets}
    return [
        Asked(
            wanted,
            place,
            tuple(one for one in here if capture.answers(one.capture, wanted, place)),
            tuple(
                seen
                for seen in photos
                if (seen.taken.capture.key, seen.taken.capture.place) == (wanted.id, place)
            ),
            found.get((wanted.id, place)),
            aims.get((wanted.id, place)),
        )
        for wanted, place in asked(step, rung)
    ]


def _photos(db: Session, taken: Iterable[Taken]) -> list[PhotoSeen]:
    taken = list(taken)
    digests = {one.capture.photo_digest for one in taken if one.capture.photo_digest}
    if not digests:
        return []
    stored = {one.digest: one for one in db.exec(select(Photo).where(col(Photo.digest).in_(digests)))}
    return [
        PhotoSeen(
            one,
            stored[one.capture.photo_digest or ""],
            tuple(mark for mark in taken if mark.capture.on_capture_id == one.capture.id),
        )
        for one in taken
        if one.capture.kind == "photo"
    ]


def _named(
    taken: Iterable[Taken], steps: Iterable[StepSeen], front_end: FrontEnd
) -> Iterator[tuple[str, Taken]]:
    """Measurements with the names under which their steps asked for them."""
    operations = {step.id: step.operation for step in steps}
    for one in taken:
        down = front_end.operation(operations[one.capture.step_id]).down
        name = next((each.name for each in (down.captures if down else ()) if each.id == one.capture.key), "")
        if one.capture.kind == "measurement":
            yield name, one


def _still_counting(rung: Rung, targets: Iterable[Target]) -> list[Target]:
    anew = AIMED_ANEW.get(rung.operation.id, frozenset())
    return [one for one in targets if one.key.split(".")[0] not in anew]


def _off(steps: Iterable[StepSeen], front_end: FrontEnd, place: str) -> frozenset[str]:
    off: set[str] = set()
    for step in steps:
        if step.place in (place, "centre") and step.state == "done":
            parts = front_end.operation(step.operation).parts
            off = off | set(parts) if step.direction == "down" else off - set(parts)
    return frozenset(off)


def _names(db: Session, people: Iterable[int | None]) -> dict[int | None, str]:
    """What these people are called, by id."""
    ids = {one for one in people if one is not None}
    if not ids:
        return {}
    return dict(db.exec(select(Person.id, Person.name).where(col(Person.id).in_(ids))).all())
