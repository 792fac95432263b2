"""Loose ends of a job, and its release in one's own name."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.shop.capture import Hand
from server.shop.refusal import Refusal
from server.shop.release import LooseEnd, loose_ends, release, write_note
from server.store.tables import Person
from server.web.car import AtCar, Here
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.page import saved
from server.web.write import write

router = APIRouter()

KINDS = {
    "hazard": "Hazards",
    "step": "Steps not done",
    "hold": "Hold points",
    "torque": "Torques that want a second person",
    "tag": "Tags still out",
    "decision": "Sent out",
}


@router.get("/jobs/{job_id}/release")
def show_release(here: Here) -> Response:
    return _show(here)


@router.post("/jobs/{job_id}/release")
def create_release(here: Here, form: Annotated[Fields, Depends(fields("note"))]) -> Response:
    person = here.visitor.person

    def act(db: Session) -> str:
        job = here.job(db)
        release(db, job, here.library, by=person, now=here.now)
        if form["note"].strip():
            write_note(db, job, here.library, form["note"], Hand(person, here.now, form.client_id))
        return f"/jobs/{here.job_id}/release"

    try:
        path = write(here.store, here.visitor, form, f"release {here.job_id}", act, now=here.now)
    except Refusal as refusal:
        return _show(here, note=form["note"], refusal=refusal)
    return saved(here.request, path)


def _show(here: AtCar, *, note: str = "", refusal: Refusal | None = None) -> Response:
    with here.store.reading() as db:
        car = here.car(db)
        ends = [] if car.job.released_at else loose_ends(db, car.job, here.library)
        released_by = db.get(Person, car.job.released_by) if car.job.released_by else None
    return here.page(
        "release/show.html",
        status=status_of(refusal) if refusal else 200,
        car=car,
        groups=_groups(ends),
        count=len(ends),
        released_by=released_by,
        note=note,
        refusal=refusal,
    )


def _groups(ends: list[LooseEnd]) -> list[tuple[str, list[LooseEnd]]]:
    """By kind, the dangerous first."""
    grouped = [(name, [end for end in ends if end.kind == kind]) for kind, name in KINDS.items()]
    return [(name, group) for name, group in grouped if group]
