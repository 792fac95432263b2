"""The car whose pages these are: what a handler of a job's pages works with."""

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse
from sqlmodel import Session

from server.procedure.model import FrontEnd
from server.shop.alignment import has_alignment
from server.shop.hazard import LiveHazard, live_hazards
from server.shop.job import find_job
from server.shop.row import known
from server.store.engine import Store as StoreType
from server.store.tables import Job, Vehicle
from server.web.library import Library
from server.web.page import page
from server.web.visitor import Now, RowId, Signed, Store, Visitor


@dataclass(frozen=True, slots=True)
class Car:
    """What stands over every page of a car: which one it is, and what is dangerous about it now."""

    job: Job
    vehicle: Vehicle
    hazards: list[LiveHazard]
    has_alignment: bool


@dataclass(frozen=True, slots=True)
class AtCar:
    """Somebody with one of a job's pages before them."""

    request: Request
    visitor: Visitor
    store: StoreType
    library: dict[str, FrontEnd]
    now: datetime
    job_id: int

    def job(self, db: Session) -> Job:
        """The job; raises Missing."""
        return find_job(db, self.job_id, shop_id=self.visitor.shop_id)

    def front_end(self, job: Job) -> FrontEnd:
        """Its kind of front end."""
        return self.library[job.front_end]

    def car(self, db: Session) -> Car:
        """What stands over its pages; raises Missing."""
        job = self.job(db)
        hazards = live_hazards(db, [known(job.id)], front_ends=self.library)
        return Car(job, db.get_one(Vehicle, job.vehicle_id), hazards, has_alignment(db, known(job.id)))

    def page(self, template: str, *, status: int = 200, **context: Any) -> HTMLResponse:
        """A page of this car."""
        return page(self.request, template, status=status, system=self.visitor.system, **context)


async def at_car(
    request: Request, job_id: RowId, visitor: Signed, store: Store, library: Library, now: Now
) -> AtCar:
    """The job is looked for when its page is made or its form is written."""
    return AtCar(request, visitor, store, library, now, job_id)


Here = Annotated[AtCar, Depends(at_car)]
