"""What every story of the demo stands on: the shop, its people, its hours, and cars taken in."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from itertools import takewhile
from typing import cast

from sqlmodel import Session

from seed_demo.album import Album
from seed_demo.car import Car
from seed_demo.hours import Hours
from seed_demo.people import Crew
from seed_demo.story import Story
from seed_demo.walk import Walk
from server.procedure.model import FrontEnd
from server.procedure.plan import Drive, PlannedStep, plan
from server.shop import job, spec, vehicle
from server.shop.generic_torque import propose
from server.shop.geometry import LONG_LINES, SHORT_LINES, WORD_LINES
from server.shop.row import known
from server.store.engine import Store
from server.store.photo import PhotoStore
from server.store.tables import Bay, Step, Vehicle

FRONT_END = "coil-on-lower-arm"

Stop = Callable[[PlannedStep | Step], bool]


@dataclass(frozen=True, slots=True)
class Visit:
    """A car that comes in for something."""

    car: Car
    scopes: tuple[str, ...]
    bay: Bay
    story: Story


def at(operation: str, place: str, direction: str = "down") -> Stop:
    """True of that one step, planned or real."""
    return lambda step: (step.operation, step.place, step.direction) == (operation, place, direction)


def pace(seq: int) -> float:
    """Some steps go quickly and some stick: 0.85 to 1.35 of the nominal time, 1.1 on average."""
    return 0.85 + 0.05 * (seq * 7 % 11)


@dataclass(frozen=True, slots=True)
class Stage:
    """The shop on the day somebody opens the demo."""

    store: Store
    photos: PhotoStore
    front_ends: dict[str, FrontEnd]
    crew: Crew
    hours: Hours
    now: datetime

    @property
    def front_end(self) -> FrontEnd:
        return self.front_ends[FRONT_END]

    def minutes_until(self, visit: Visit, stop: Stop) -> float:
        """How long the work takes from the first step up to, and without, that one."""
        steps = plan(self.front_end, visit.scopes, sides="both", drive=cast(Drive, visit.car.drive)).steps
        return sum(self._minutes(step) for step in takewhile(lambda step: not stop(step), steps))

    def open(self, visit: Visit, opened: datetime) -> tuple[Walk, Album]:
        """Take the car in with its spec sheet, open its job, and be ready to work on it."""
        with self.store.writing() as db:
            car = self._take_in(db, visit.car, opened)
            opened_job = job.open_job(
                db,
                car,
                bay=visit.bay,
                scopes=list(visit.scopes),
                sides="both",
                front_end=self.front_end,
                by=self.crew.maren,
                now=opened,
            )
        hung: dict[tuple[str, str], int] = {}
        album = Album(visit.story, visit.car.paint, hung)
        walk = Walk(
            self.store,
            self.photos,
            self.front_ends,
            known(opened_job.id),
            visit.story,
            album.photo,
            opened,
            pins=album.pins,
            later=self.hours.after,
            pace=pace,
            foreman=self.crew.maren,
            hung=hung,
        )
        return walk, album

    def _minutes(self, step: PlannedStep) -> float:
        operation = self.front_end.operation(step.operation)
        minutes = operation.minutes_down if step.direction == "down" else operation.minutes_up
        return (minutes or 0.0) * pace(step.seq)

    def _take_in(self, db: Session, car: Car, now: datetime) -> Vehicle:
        taken = vehicle.take_in(
            db,
            make=car.make,
            model=car.model,
            year=car.year,
            plate=car.plate,
            drive=car.drive,
            front_end=FRONT_END,
            front_ends=self.front_ends,
            by=self.crew.maren,
            now=now,
        )
        for line in (*spec.lines_for(self.front_end), *WORD_LINES, *SHORT_LINES, *LONG_LINES):
            if line.key in car.generic:
                proposed = propose(car.generic[line.key], system=car.system)
                self._write(db, taken, line, proposed.text, proposed.source, now, generic=True)
            elif line.key in car.sheet:
                self._write(db, taken, line, car.sheet[line.key], car.source(line.key), now)
        return taken

    def _write(
        self,
        db: Session,
        car: Vehicle,
        line: spec.SpecLine,
        text: str,
        source: str,
        now: datetime,
        *,
        generic: bool = False,
    ) -> None:
        spec.write_line(
            db,
            car,
            line,
            client_id=f"sheet-{known(car.id):04d}-{line.key}",
            text=text,
            source=source,
            generic=generic,
            by=self.crew.maren,
            now=now,
        )
