"""Taking a car in: which car, where it stands, what has to be reached; and the plan that follows from it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response
from sqlmodel import Session

from server.procedure.model import FrontEnd
from server.shop.bay import free_bays
from server.shop.job import SIDES, lay_out, open_job
from server.shop.plan import Part, parts
from server.shop.refusal import Refusal
from server.shop.vehicle import DRIVES, take_in
from server.store import engine
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.job import chosen_bay
from server.web.library import Library
from server.web.page import page, saved
from server.web.visitor import Now, Signed, Store, Visitor
from server.web.write import write

router = APIRouter()

NAMES = ("make", "model", "year", "plate", "drive", "front_end", "bay", "sides")
Short = Annotated[str, Query(max_length=60)]
Several = Annotated[list[str], Query(max_length=60)]


@dataclass(frozen=True, slots=True)
class Intake:
    """What is on the form: as typed, or as it starts."""

    typed: Mapping[str, str]
    scopes: tuple[str, ...] = ()

    @classmethod
    def of(cls, form: Fields) -> "Intake":
        return cls({name: form[name] for name in NAMES}, tuple(form.many("scopes")))

    def plan(self, library: Mapping[str, FrontEnd]) -> list[Part]:
        """The plan that follows from it; raises Refusal where something is not chosen."""
        front_end = library.get(self.typed["front_end"])
        if front_end is None:
            raise Refusal("Choose the kind of front end.", field="front_end")
        chosen = list(self.scopes)
        return parts(
            lay_out(front_end, scopes=chosen, sides=self.typed["sides"], drive=self.typed["drive"]), front_end
        )


@router.get("/jobs/new")
def show_intake(
    request: Request, visitor: Signed, store: Store, library: Library, bay: Short = ""
) -> Response:
    start = {"bay": bay, "sides": "both", "front_end": next(iter(library)) if len(library) == 1 else ""}
    return _page(request, visitor, store, library, Intake(dict.fromkeys(NAMES, "") | start))


@router.get("/jobs/plan")
def show_plan(
    request: Request,
    visitor: Signed,
    library: Library,
    scopes: Several = [],  # noqa: B006 - FastAPI copies it
    sides: Short = "",
    drive: Short = "",
    front_end: Short = "",
) -> Response:
    """The plan alone, for the form to show while it is filled in."""
    asked = Intake({"sides": sides, "drive": drive, "front_end": front_end}, tuple(scopes))
    try:
        return page(request, "job/_plan.html", plan=asked.plan(library), missing="")
    except Refusal as refusal:
        return page(request, "job/_plan.html", plan=None, missing=refusal.sentence)


@router.post("/jobs")
def create_job(
    request: Request,
    visitor: Signed,
    store: Store,
    library: Library,
    now: Now,
    form: Annotated[Fields, Depends(fields(*NAMES, "show", many=("scopes",)))],
) -> Response:
    intake = Intake.of(form)

    def open_it(db: Session) -> str:
        bay = chosen_bay(db, form["bay"], shop_id=visitor.shop_id)
        car = take_in(
            db,
            make=form["make"],
            model=form["model"],
            year=form["year"],
            plate=form["plate"],
            drive=form["drive"],
            front_end=form["front_end"],
            front_ends=library,
            by=visitor.person,
            now=now,
        )
        job = open_job(
            db,
            car,
            bay=bay,
            scopes=list(intake.scopes),
            sides=form["sides"],
            front_end=library[car.front_end],
            by=visitor.person,
            now=now,
        )
        return f"/jobs/{job.id}"

    try:
        if form["show"] == "plan":
            return _page(request, visitor, store, library, intake, plan=intake.plan(library))
        path = write(store, visitor, form, "intake", open_it, now=now)
    except Refusal as refusal:
        return _page(request, visitor, store, library, intake, refusal=refusal)
    return saved(request, path)


def _page(
    request: Request,
    visitor: Visitor,
    store: engine.Store,
    library: Mapping[str, FrontEnd],
    intake: Intake,
    *,
    plan: list[Part] | None = None,
    refusal: Refusal | None = None,
) -> Response:
    with store.reading() as db:
        free = [(bay.id, bay.name) for bay in free_bays(db, visitor.shop_id)]
    front_end = library.get(intake.typed["front_end"]) or next(iter(library.values()))
    return page(
        request,
        "job/new.html",
        status=status_of(refusal) if refusal else 200,
        intake=intake,
        bays=[("", "In no bay yet"), *free],
        front_ends=[(one.id, one.name) for one in library.values()],
        scopes=[(scope.id, scope.name) for scope in front_end.scopes],
        drives=DRIVES.items(),
        sides=SIDES.items(),
        plan=plan,
        missing="",
        refusal=refusal,
    )
