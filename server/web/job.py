"""A job's page: where the car stands. Parked, taken up again, pushed into another bay."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.shop import job as rule
from server.shop.bay import bays
from server.shop.job_sheet import job_sheet
from server.shop.refusal import Refusal
from server.store.tables import Bay, Job
from server.web.car import AtCar, Here
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.ladder import columns
from server.web.page import saved
from server.web.write import write

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Tried:
    """A form that was refused: which one, what was typed, and why."""

    form: str  # parking | taking-up | bay
    typed: Fields
    refusal: Refusal

    @property
    def made_safe(self) -> dict[int, str]:
        """What was typed of each hazard, by its id."""
        return _made_safe(self.typed)


@router.get("/jobs/{job_id}")
def show_job(here: Here) -> Response:
    return _show(here)


@router.post("/jobs/{job_id}/parking")
def park_job(
    here: Here, form: Annotated[Fields, Depends(fields("why", many=("hazard", "made_safe")))]
) -> Response:
    def act(db: Session, job: Job) -> None:
        rule.park(
            db,
            job,
            why=form["why"],
            made_safe=_made_safe(form),
            front_ends=here.library,
            by=here.visitor.person,
            now=here.now,
        )

    return _write(here, form, "parking", act)


@router.post("/jobs/{job_id}/taking-up")
def take_up_job(here: Here, form: Annotated[Fields, Depends(fields())]) -> Response:
    return _write(here, form, "taking-up", lambda db, job: rule.take_up(job))


@router.post("/jobs/{job_id}/bay")
def move_job(here: Here, form: Annotated[Fields, Depends(fields("bay"))]) -> Response:
    def act(db: Session, job: Job) -> None:
        bay = chosen_bay(db, form["bay"], shop_id=job.shop_id)
        rule.move(db, job, bay, front_ends=here.library)

    return _write(here, form, "bay", act)


def chosen_bay(db: Session, text: str, *, shop_id: int) -> Bay | None:
    """The bay that a form's choice means, none for ""; raises Refusal for one that is not there."""
    bay = next((bay for bay in bays(db, shop_id) if str(bay.id) == text), None)
    if text and bay is None:
        raise Refusal("There is no such bay. Choose one of these.", field="bay")
    return bay


def _write(here: AtCar, form: Fields, kind: str, act: Callable[[Session, Job], None]) -> Response:
    def inside(db: Session) -> str:
        act(db, here.job(db))
        return f"/jobs/{here.job_id}"

    try:
        path = write(here.store, here.visitor, form, f"{kind} {here.job_id}", inside, now=here.now)
    except Refusal as refusal:
        return _show(here, Tried(kind, form, refusal), status=status_of(refusal))
    return saved(here.request, path)


def _show(here: AtCar, tried: Tried | None = None, *, status: int = 200) -> Response:
    with here.store.reading() as db:
        sheet = job_sheet(db, here.job(db), here.library)
    return here.page(
        "job/show.html",
        status=status,
        sheet=sheet,
        columns=columns(sheet.car.ladders, sheet.names),
        bays=[("", "In no bay"), *((bay.id, bay.name) for bay in sheet.bays)],
        tried=tried,
    )


def _made_safe(form: Fields) -> dict[int, str]:
    """What was said of each hazard, by the id that the page gave along with it."""
    pairs = zip(form.many("hazard"), form.many("made_safe"), strict=False)
    return {int(hazard): how for hazard, how in pairs if hazard.isascii() and hazard.isdigit()}
