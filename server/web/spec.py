"""The spec sheet of a vehicle: all its lines at once."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response
from sqlmodel import Session

from server.compute.show import System, show, show_range, usual_unit
from server.compute.unit import Quantity
from server.procedure.model import FrontEnd
from server.shop.alignment import has_alignment
from server.shop.capture import NeedsConfirming
from server.shop.evidence import of_spec
from server.shop.geometry import LONG_LINES, SHORT_LINES, WORD_LINES, is_geometry
from server.shop.hazard import live_hazards
from server.shop.job import find_job
from server.shop.refusal import Missing, Refusal
from server.shop.row import known
from server.shop.spec import SpecLine, line_among, lines_for
from server.shop.spec_sheet import SheetLine, SheetRefused, Typed, spec_sheet, write_lines
from server.shop.step import steps_of
from server.shop.target import refresh
from server.shop.vehicle import find_vehicle, open_job_of
from server.store import engine
from server.store.tables import Job, Spec, Vehicle
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.library import Library
from server.web.page import page, saved
from server.web.visitor import Now, RowId, Signed, Store, Visitor
from server.web.write import write

router = APIRouter()

JobId = Annotated[int | None, Query(ge=1, le=2**31 - 1)]
NAMES = {"spec": "Spec sheet", "corner": "Corner's lengths", "points": "Hard points"}
FORMS = {"corner": (*WORD_LINES, *SHORT_LINES), "points": LONG_LINES}


@dataclass(frozen=True, slots=True)
class AtSheet:
    """Somebody with a vehicle's sheet before them, perhaps on the way from a job."""

    request: Request
    visitor: Visitor
    store: engine.Store
    library: dict[str, FrontEnd]
    now: datetime
    vehicle_id: int
    job_id: int | None
    noun: str = "spec"  # of the page, as its address has it: one of NAMES

    @property
    def name(self) -> str:
        """What the page is called."""
        return NAMES[self.noun]

    def address(self, key: str = "", noun: str = "") -> str:
        """Of this page, another one or one of its lines, with the way back to the job."""
        line = f"/{key}" if key else ""
        way_back = f"?job={self.job_id}" if self.job_id else ""
        return f"/vehicles/{self.vehicle_id}/{noun or self.noun}{line}{way_back}"

    def line(self, front_end: FrontEnd, key: str) -> SpecLine:
        """The line of that key, if it stands on this page; raises Missing."""
        return line_among(FORMS.get(self.noun) or lines_for(front_end), key)

    def find(self, db: Session) -> tuple[Vehicle, FrontEnd]:
        """The vehicle with its kind of front end; raises Missing."""
        vehicle = find_vehicle(db, self.vehicle_id, shop_id=self.visitor.shop_id)
        return vehicle, self.library[vehicle.front_end]

    def job(self, db: Session) -> Job | None:
        """The job one comes from, or the one the car is here for; raises Missing for another car's."""
        if self.job_id is None:
            return open_job_of(db, self.vehicle_id)
        job = find_job(db, self.job_id, shop_id=self.visitor.shop_id)
        if job.vehicle_id != self.vehicle_id:
            raise Missing("That job is another car's.")
        return job

    def write(
        self,
        form: Fields,
        kind: str,
        act: Callable[[Session, Vehicle, FrontEnd], None],
        refused: Callable[[Refusal], Response],
    ) -> Response:
        """Do `act` once, and work out anew what rests on the sheet."""

        def inside(db: Session) -> str:
            act(db, *self.find(db))
            here_for = open_job_of(db, self.vehicle_id)
            if here_for is not None:
                refresh(db, here_for, self.library[here_for.front_end], now=self.now)
            return self.address()

        try:
            path = write(self.store, self.visitor, form, f"{kind} {self.vehicle_id}", inside, now=self.now)
        except Refusal as refusal:
            return refused(refusal)
        return saved(self.request, path)

    def write_lines(
        self, form: Fields, texts: Mapping[str, str], refused: Callable[[Refusal], Response]
    ) -> Response:
        """Write several empty lines, by key, from one source: all of them or none."""

        def act(db: Session, vehicle: Vehicle, front_end: FrontEnd) -> None:
            write_lines(
                db,
                vehicle,
                [
                    Typed(self.line(front_end, key), text, confirmed=key in form.many("confirmed"))
                    for key, text in texts.items()
                ],
                client_id=form.client_id,
                source=form["source"],
                by=self.visitor.person,
                now=self.now,
            )

        return self.write(form, "lines", act, refused)

    def page(self, db: Session, template: str, *, status: int, **context: object) -> Response:
        """A page about this sheet, under the car's live hazards."""
        vehicle, _ = self.find(db)
        job = self.job(db)
        hazards = live_hazards(db, [known(job.id)] if job else [], front_ends=self.library)
        aligned = job is not None and has_alignment(db, known(job.id))
        here = {
            "vehicle": vehicle,
            "job": job,
            "hazards": hazards,
            "has_alignment": aligned,
            "at": self,
        }
        return page(self.request, template, status=status, **here, **context)

    def words(self, spec: Spec) -> str:
        """A line as it was typed; where no unit was typed, as it was read."""
        has_unit = not spec.quantity or any(letter.isalpha() or letter in "°\"'" for letter in spec.text)
        return spec.text if has_unit else self._range(spec, self.visitor.system)

    def both(self, spec: Spec) -> str:
        """The same in the shop's own units and in the others, without saying anything twice; "" of a word."""
        if not spec.quantity:
            return ""
        said = [self._range(spec, system) for system in (self.visitor.system, self.other)]
        return " · ".join(one for one in dict.fromkeys(said) if one != self.words(spec))

    def measured(self, spec: Spec) -> tuple[str, str, str]:
        """A measured figure as typed, its ±, and the same in the units that it was not typed in."""
        figure, _, typed = (part.strip() for part in self.words(spec).partition("±"))
        own, other = (self._range(spec, one).split(" ± ") for one in (self.visitor.system, self.other))
        spread = typed or (own[1] if len(own) > 1 else "")
        return figure, f"± {spread}" if spread else "", own[0] if other[0] == figure else other[0]

    @property
    def other(self) -> System:
        """The units that are not the shop's own."""
        return "metric" if self.visitor.system == "inch" else "inch"

    def unit(self, quantity: Quantity) -> str:
        """What a figure without a unit is meant in."""
        return usual_unit(quantity, self.visitor.system)

    def _range(self, spec: Spec, system: System) -> str:
        quantity = Quantity(spec.quantity)
        if is_geometry(spec.key):
            measured = of_spec(spec)
            return show(measured.value, quantity, system=system, uncertainty=measured.uncertainty)
        return show_range(spec.low, spec.high, quantity, system=system)


async def at_sheet(
    request: Request,
    vehicle_id: RowId,
    visitor: Signed,
    store: Store,
    library: Library,
    now: Now,
    job: JobId = None,
) -> AtSheet:
    noun = request.url.path.split("/")[3]
    return AtSheet(request, visitor, store, library, now, vehicle_id, job, noun)


Here = Annotated[AtSheet, Depends(at_sheet)]


@router.get("/vehicles/{vehicle_id}/spec")
def show_sheet(here: Here) -> Response:
    return _show(here)


@router.post("/vehicles/{vehicle_id}/spec")
def create_lines(
    here: Here, form: Annotated[Fields, Depends(fields("source", many=("key", "text", "confirmed")))]
) -> Response:
    """Several empty lines from one source."""

    return here.write_lines(form, texts_of(form), lambda refusal: _show(here, form, refusal))


def _show(here: AtSheet, tried: Fields | None = None, refusal: Refusal | None = None) -> Response:
    with here.store.reading() as db:
        vehicle, front_end = here.find(db)
        job = here.job(db)
        lines = spec_sheet(db, vehicle, front_end, steps_of(db, known(job.id)) if job else ())
        return here.page(
            db,
            "spec/show.html",
            status=status_of(refusal) if refusal else 200,
            groups=_groups(lines),
            missing=sum(line.standing is None for line in lines),
            typed=texts_of(tried) if tried else {},
            source=tried["source"] if tried else "",
            refusal=refusal,
            wrong=refused_lines(refusal),
            asks_again=doubted(refusal),
        )


def _groups(lines: list[SheetLine]) -> list[tuple[str, list[SheetLine]]]:
    """Torques first, and of those the ones that the job asks for."""
    torques = [one for one in lines if one.line.quantity is Quantity.TORQUE]
    needed = [one for one in torques if one.needed]
    found = [
        ("Torques this job asks for", needed),
        ("Other torques" if needed else "Torques", [one for one in torques if not one.needed]),
        ("Alignment, springs and tools", [one for one in lines if one not in torques]),
    ]
    return [(name, group) for name, group in found if group]


def refused_lines(refusal: Refusal | None) -> dict[str, Refusal]:
    """What is wrong, by the key of the line it is wrong with."""
    return refusal.by_key if isinstance(refusal, SheetRefused) else {}


def doubted(refusal: Refusal | None) -> set[str]:
    """The lines that can be read but are hard to believe."""
    return {key for key, one in refused_lines(refusal).items() if isinstance(one, NeedsConfirming)}


def texts_of(form: Fields) -> dict[str, str]:
    """What was typed, by the key of its line."""
    return dict(zip(form.many("key"), form.many("text"), strict=False))
