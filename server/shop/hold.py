"""Hold points: nobody goes past one until a qualified person has confirmed it in their own name."""

from datetime import datetime

from sqlmodel import Session, col, select

from server.shop.refusal import Conflict, Forbidden
from server.shop.row import known
from server.store.tables import Hold, Person, Step

MAY_CONFIRM = {"technician": ("technician", "foreman"), "foreman": ("foreman",)}


def holds_at(db: Session, step: Step) -> dict[str, Hold]:
    """The newest hold of each key at a step, open or confirmed."""
    rows = db.exec(select(Hold).where(Hold.step_id == step.id).order_by(col(Hold.id)))
    return {hold.key: hold for hold in rows}


def open_hold(
    db: Session, step: Step, *, key: str, text: str, needs_role: str, now: datetime, anew: bool = False
) -> Hold:
    """Stop here until somebody confirms; the hold that is there already, if it is.

    anew  what it is about has happened again, so that a confirmation of before does not count
    """
    standing = holds_at(db, step).get(key)
    if standing is not None and not (anew and standing.confirmed_at is not None):
        return standing
    hold = Hold(
        job_id=step.job_id, step_id=known(step.id), key=key, text=text, needs_role=needs_role, opened_at=now
    )
    db.add(hold)
    db.flush()
    return hold


def reopen_holds(db: Session, step: Step, *, now: datetime) -> None:
    """What was confirmed at a step wants confirming again; the old confirmations stay readable."""
    for hold in holds_at(db, step).values():
        if hold.confirmed_at is not None:
            db.add(
                Hold(
                    **hold.model_dump(exclude={"id", "opened_at", "confirmed_at", "confirmed_by"}),
                    opened_at=now,
                )
            )


def confirm(hold: Hold, *, by: Person, now: datetime) -> None:
    """Confirm a hold in one's own name.

    raises  Forbidden for a person who is not qualified for it, Conflict where it is confirmed already
    """
    if not may_confirm(hold, by):
        who = "a foreman" if hold.needs_role == "foreman" else "a technician or a foreman"
        raise Forbidden(f"This is for {who} to confirm, in their own name.")
    if hold.confirmed_at is not None:
        raise Conflict("This has been confirmed already.")
    hold.confirmed_at, hold.confirmed_by = now, known(by.id)


def waits(hold: Hold, step: Step) -> bool:
    """Whether it is to be confirmed now; the step's own start and end only once the step has come to them."""
    return hold.confirmed_at is None and (hold.key not in ("start", "end") or step.state == "on hold")


def may_confirm(hold: Hold, person: Person) -> bool:
    """Whether this person could confirm it."""
    return person.role in MAY_CONFIRM[hold.needs_role]
