"""Targets: the one place where captures meet compute, worked out anew when what they rest on changes.

The corner's linkage will enter here as one more subject in `aim`: what it needs is already in the evidence.
"""

from datetime import datetime
from typing import Any

from sqlmodel import Session, col, select

from server.compute.show import System
from server.procedure.model import FrontEnd
from server.shop.aim import Aim, aims
from server.shop.evidence import gather
from server.shop.hazard import say_energy
from server.shop.row import known
from server.store.tables import Capture, Job, Shop, Spec, Target


def refresh(db: Session, job: Job, front_end: FrontEnd, *, now: datetime) -> None:
    """Work out every target of a job; keep those that changed as new rows that supersede the old."""
    system: System = "metric" if db.get_one(Shop, job.shop_id).system == "metric" else "inch"
    standing = {(one.key, one.place): one for one in targets_of(db, job)}
    for aim in aims(gather(db, job), front_end, system=system):
        before = standing.get((aim.key, aim.place))
        target = _row(job, aim, now)
        if before is None or _meaning(before) != _meaning(target):
            target.supersedes_id = before.id if before else None
            db.add(target)
        if aim.key == "spring.energy" and aim.answer is not None:
            say_energy(
                db, job_id=known(job.id), place=aim.place, kind="spring-compressed", energy_J=aim.answer.value
            )
    db.flush()


def targets_of(db: Session, job: Job) -> list[Target]:
    """The targets that stand on a job, in the order first worked out."""
    rows = db.exec(select(Target).where(Target.job_id == job.id).order_by(col(Target.id)))
    return list({(one.key, one.place): one for one in rows}.values())


def earlier(db: Session, target: Target) -> list[Target]:
    """What this target was before, newest first."""
    rows = db.exec(
        select(Target)
        .where(
            Target.job_id == target.job_id,
            Target.key == target.key,
            Target.place == target.place,
            col(Target.id) < target.id,
        )
        .order_by(col(Target.id).desc())
    )
    return list(rows)


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
        inputs=[*map(_captured, aim.captures), *map(_specified, aim.specs)],
        capture_ids=[known(one.id) for one in aim.captures],
        spec_ids=[known(one.id) for one in aim.specs],
        at=now,
    )


def _captured(capture: Capture) -> dict[str, Any]:
    return {
        "name": capture.key,
        "text": capture.read_as or capture.text,
        "from": "captured",
        "step_id": capture.step_id,
    }


def _specified(line: Spec) -> dict[str, Any]:
    return {"name": line.key, "text": line.text, "from": line.source, "step_id": None}


def _meaning(target: Target) -> tuple[object, ...]:
    return (target.value, target.uncertainty, target.says, target.source, target.capture_ids, target.spec_ids)
