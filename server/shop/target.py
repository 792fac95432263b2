"""Targets: the one place where captures meet compute, worked out anew when what they rest on changes."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any

from sqlmodel import Session, col, func, select

from server.procedure.model import FrontEnd
from server.shop.aim.aim import Aim
from server.shop.aim.every import aims
from server.shop.evidence import gather
from server.shop.flag import flag_done_steps
from server.shop.geometry import is_geometry
from server.shop.hazard import say_energy
from server.shop.row import known
from server.shop.shop import system_of
from server.store.tables import Capture, Job, Shim, Shop, Spec, Target

# Where an input comes from, besides a step or a source.
MISSING, DRAWER, CORNER = "missing", "drawer", "corner"
Histories = dict[tuple[str, str], list[Target]]  # by key and place, newest first
TAKEN_BACK = "What this rested on was corrected; it does not come out any more."


def refresh(db: Session, job: Job, front_end: FrontEnd, *, now: datetime) -> None:
    """Work out every target of a job; keep those that changed as new rows that supersede the old.

    A done step that rested on one that now reads otherwise is flagged.
    """
    system = system_of(db.get_one(Shop, job.shop_id))
    standing = {(one.key, one.place): one for one in targets_of(db, job)}
    come_out = aims(gather(db, job, front_end), front_end, system=system)
    changes = []
    for aim in [*come_out, *_taken_back(standing, come_out)]:
        before = standing.get((aim.key, aim.place))
        if before is None or _of_row(before) != _of_aim(aim):
            target = _row(job, aim, now)
            target.supersedes_id = before.id if before else None
            db.add(target)
            changes += [(before, target)] if before else []
        if aim.key == "spring.energy" and aim.answer is not None:
            say_energy(
                db, job_id=known(job.id), place=aim.place, kind="spring-compressed", energy_J=aim.answer.value
            )
    flag_done_steps(db, job, front_end, changes, system=system, now=now)
    db.flush()


def targets_of(db: Session, job: Job) -> list[Target]:
    """The targets that stand on a job, in the order first worked out."""
    ends = (
        select(func.min(Target.id).label("first"), func.max(Target.id).label("last"))
        .where(Target.job_id == job.id)
        .group_by(col(Target.key), col(Target.place))
        .subquery()
    )
    return list(db.exec(select(Target).join(ends, col(Target.id) == ends.c.last).order_by(ends.c.first)))


def histories(db: Session, job: Job, *, keys: Iterable[str] | None = None) -> Histories:
    """Each target of a job, or of some keys, with what it was before: newest first, by key and place."""
    query = select(Target).where(Target.job_id == job.id).order_by(col(Target.id))
    found: Histories = {}
    for one in db.exec(query if keys is None else query.where(col(Target.key).in_(keys))):
        found.setdefault((one.key, one.place), []).insert(0, one)
    return found


def _taken_back(standing: dict[tuple[str, str], Target], come_out: list[Aim]) -> list[Aim]:
    """The targets that stand and that nothing carries any more, since what they rested on was corrected."""
    carried = {(aim.key, aim.place) for aim in come_out}
    return [Aim(key, place, TAKEN_BACK) for key, place in standing if (key, place) not in carried]


def _row(job: Job, aim: Aim, now: datetime) -> Target:
    answer = aim.answer
    return Target(
        job_id=known(job.id),
        key=aim.key,
        place=aim.place,
        value=answer.value if answer else None,
        uncertainty=answer.uncertainty if answer else None,
        quantity=answer.quantity.value if answer else "",
        says=aim.says,
        formula=answer.formula if answer else "",
        source=answer.source if answer else "",
        inputs=list(inputs_of(aim)),
        capture_ids=_ids(aim.captures),
        spec_ids=_ids(aim.specs),
        at=now,
    )


def inputs_of(aim: Aim) -> Iterator[dict[str, Any]]:
    """What it rests on; the corner's many lengths as one entry, since they stand on a page of their own."""
    lengths = [line for line in aim.specs if is_geometry(line.key)]
    yield from map(_captured, aim.captures)
    yield from (_specified(line) for line in aim.specs if not is_geometry(line.key))
    if lengths:
        yield {"name": CORNER, "text": f"{len(lengths)} figures", "from": CORNER, "step_id": None}
    yield from map(_missing, aim.missing)
    yield from map(_in_drawer, aim.drawer)


def _captured(capture: Capture) -> dict[str, Any]:
    return {
        "name": capture.key,
        "text": capture.read_as or capture.text,
        "from": "captured",
        "step_id": capture.step_id,
    }


def _specified(line: Spec) -> dict[str, Any]:
    return {"name": line.key, "text": line.text, "from": line.source, "step_id": None}


def _missing(key: str) -> dict[str, Any]:
    return {"name": key, "text": "", "from": MISSING, "step_id": None}


def _in_drawer(shim: Shim) -> dict[str, Any]:
    return {"name": DRAWER, "text": f"{shim.count} × {shim.text}", "from": DRAWER, "step_id": None}


def _of_row(target: Target) -> tuple[object, ...]:
    """What a target means, without when it was worked out."""
    return (target.value, target.uncertainty, target.says, target.source, target.capture_ids, target.spec_ids)


def _of_aim(aim: Aim) -> tuple[object, ...]:
    """What the row of an aim would mean; most are never written, so it is told without making the row."""
    value, off, source = (
        (aim.answer.value, aim.answer.uncertainty, aim.answer.source) if aim.answer else (None, None, "")
    )
    return (value, off, aim.says, source, _ids(aim.captures), _ids(aim.specs))


def _ids(rows: Iterable[Capture] | Iterable[Spec]) -> list[int]:
    return [known(one.id) for one in rows]
