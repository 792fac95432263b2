"""Flags: a target that reads otherwise after a step that rested on it was done is a hold at that step."""

from collections.abc import Iterable
from datetime import datetime

from sqlmodel import Session

from server.compute.show import System, show
from server.compute.unit import Quantity
from server.procedure.model import FrontEnd
from server.shop.hold import open_hold
from server.shop.job import PLACES
from server.shop.move import Rung
from server.shop.row import known
from server.shop.step import steps_of
from server.shop.use import rests_on
from server.store.tables import Job, Step, Target

Change = tuple[Target, Target]  # what it was, what it is


def flag_done_steps(
    db: Session,
    job: Job,
    front_end: FrontEnd,
    changes: Iterable[Change],
    *,
    system: System,
    now: datetime,
) -> None:
    """Open a hold at each done step that rested on what a target was; nothing that was done is changed."""
    differ = [(was, is_now) for was, is_now in changes if reads_otherwise(was, is_now, system)]
    if not differ:
        return
    for step in steps_of(db, known(job.id)):
        rung = Rung.of(front_end, step)
        for was, is_now in differ:
            if step.state == "done" and rests_on(
                rung, front_end, place=step.place, key=was.key, at=was.place
            ):
                key = f"changed: {was.key} {was.place}"
                text = f"{_name(rung, step)}: {_say(was, is_now, system)}"
                hold = open_hold(db, step, key=key, text=text, needs_role="technician", now=now, anew=True)
                hold.text = text


def _name(rung: Rung, step: Step) -> str:
    """Which step it is, where the flag is read far from it."""
    name = rung.operation.name
    return name if step.place == "car" else f"{name}, {PLACES[step.place].lower()}"


def _say(was: Target, is_now: Target, system: System) -> str:
    return (
        "what was done still fits, or has been put right, though its target has changed since,"
        f" from {_read(was, system)} to {_read(is_now, system)}: {is_now.says}"
    )


def reads_otherwise(was: Target, is_now: Target, system: System) -> bool:
    """Whether a page shows another figure; what is smaller than its ± is no change to anyone."""
    if was.value is None or is_now.value is None:
        return was.value is not is_now.value
    quantity, off = Quantity(was.quantity), was.uncertainty or None
    before, after = (show(one, quantity, system=system, uncertainty=off) for one in (was.value, is_now.value))
    return before != after


def _read(target: Target, system: System) -> str:
    if target.value is None:
        return "no figure"
    quantity = Quantity(target.quantity)
    return show(target.value, quantity, system=system, uncertainty=target.uncertainty or None)
