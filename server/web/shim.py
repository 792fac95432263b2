"""The shim drawer: which thicknesses the shop has, and how many of each."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.compute.show import show_range, usual_unit
from server.compute.unit import Quantity, plain
from server.procedure.model import FrontEnd
from server.shop import shim as rule
from server.shop.job import open_jobs
from server.shop.refusal import Refusal
from server.shop.target import refresh
from server.store import engine
from server.store.tables import Shim
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.library import Library
from server.web.page import page, saved, wants_fragment
from server.web.visitor import Now, RowId, Signed, Store, Visitor
from server.web.write import write

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Tried:
    """A form that was refused: at which shim, 0 for a new one, what was typed, and why."""

    shim_id: int
    typed: Fields
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class Layer:
    """One thickness in both systems."""

    shim: Shim
    inch: str
    mm: str


@dataclass(frozen=True, slots=True)
class AtDrawer:
    """Somebody with the drawer open."""

    request: Request
    visitor: Visitor
    store: engine.Store
    library: dict[str, FrontEnd]
    now: datetime

    @property
    def unit(self) -> str:
        """What a thickness without a unit is meant in."""
        return usual_unit(Quantity.LENGTH, self.visitor.system)

    def write(self, form: Fields, kind: str, act: Callable[[Session], None], *, shim_id: int = 0) -> Response:
        """Do `act` once, and work the targets out anew that are made up from the drawer."""

        def inside(db: Session) -> str:
            act(db)
            for job, _ in open_jobs(db, self.visitor.shop_id):
                refresh(db, job, self.library[job.front_end], now=self.now)
            return "/shims"

        try:
            path = write(self.store, self.visitor, form, kind, inside, now=self.now)
        except Refusal as refusal:
            return self.show(Tried(shim_id, form, refusal), status=status_of(refusal))
        return saved(self.request, path, self.show)

    def show(self, tried: Tried | None = None, *, status: int = 200) -> Response:
        """The page, or for htmx the drawer alone."""
        with self.store.reading() as db:
            layers = [_layer(shim) for shim in rule.drawer(db, self.visitor.shop_id)]
        template = "shim/_drawer.html" if wants_fragment(self.request) else "shim/index.html"
        return page(self.request, template, status=status, layers=layers, unit=self.unit, tried=tried)


async def at_drawer(request: Request, visitor: Signed, store: Store, library: Library, now: Now) -> AtDrawer:
    return AtDrawer(request, visitor, store, library, now)


Here = Annotated[AtDrawer, Depends(at_drawer)]


@router.get("/shims")
def show_drawer(here: Here) -> Response:
    return here.show()


@router.post("/shims")
def stock_shims(here: Here, form: Annotated[Fields, Depends(fields("thickness", "count"))]) -> Response:
    def act(db: Session) -> None:
        rule.stock(
            db, text=form["thickness"], count=form["count"], default_unit=here.unit, by=here.visitor.person
        )

    return here.write(form, "shims", act)


@router.post("/shims/{shim_id}/count")
def count_shims(here: Here, shim_id: RowId, form: Annotated[Fields, Depends(fields("count"))]) -> Response:
    def act(db: Session) -> None:
        rule.count_again(rule.find_shim(db, shim_id, shop_id=here.visitor.shop_id), form["count"])

    return here.write(form, f"shims {shim_id}", act, shim_id=shim_id)


def _layer(shim: Shim) -> Layer:
    """Exact in both, so that no two thicknesses read alike."""
    inch = show_range(shim.thickness_m, shim.thickness_m, Quantity.LENGTH, system="inch")
    return Layer(shim, inch, f"{plain(shim.thickness_m * 1000, 3)} mm")
