"""One job walked through once, with a copy of the shop at each stop, for the rules of its steps.

A test works inside a block that is rolled back after it: nothing is copied, nothing waits for the disk.
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from sqlmodel import Session, select

from server.procedure.model import FrontEnd, Wanted
from server.shop import capture, lack, step_sheet, tightening
from server.shop import step as rule
from server.shop.capture import Hand, Taken
from server.shop.hold import holds_at
from server.shop.lack import Lack, asked
from server.shop.move import Rung
from server.shop.step_sheet import StepSheet
from server.shop.tightening import Tightening
from server.shop.torque_record import Pull, pull
from server.store.engine import Store
from server.store.photo import PhotoFolder
from server.store.tables import Capture, Hazard, Hold, Job, Person, Photo, Step, Tag, TorqueRecord
from tests.shop.conftest import NOW, Crew, hire, library, take_in, walk

# One job, springs on the left, in the order in which it comes by them.
STOPS = (
    ("intake", "down"),
    ("support", "down"),
    ("tie-rod", "down"),
    ("joint-nuts", "down"),
    ("inspect", "bench"),
    ("preset", "bench"),
    ("joint-nuts", "up"),
    ("compressor", "up"),
    ("shock", "up"),
    ("caliper", "up"),
    ("tie-rod", "up"),
    ("support", "up"),
    ("wheel-nuts", "up"),
    ("settle", "up"),
)


@dataclass(frozen=True)
class Stop:
    """A shop whose job has come to a step, which nobody has started."""

    store: Store
    crew: Crew
    job_id: int


def make_stops(empty_database: Path, folder: Path) -> dict[tuple[str, str], Stop]:
    """Walk the job through, keeping the shop as it is at each stop."""
    stops = {}
    with Store(_with_database(empty_database, folder / "walked")) as store:
        crew = hire(store)
        job = take_in(store, crew, scopes=["springs"], sides="left")
        walked = walk(store, PhotoFolder(folder / "photos"), job)
        for number, stop in enumerate(STOPS):
            walked.until(
                lambda step, stop=stop: (step.operation, step.direction) == stop,
                by=crew.technician,
                second=crew.second,
            )
            database = folder / "walked" / empty_database.name
            kept = Store(_with_database(database, folder / f"stop-{number}"))
            stops[stop] = Stop(kept, crew, walked.job_id)
    return stops


def _with_database(database: Path, folder: Path) -> Path:
    folder.mkdir()
    shutil.copy(database, folder)
    return folder


class RolledBack(Exception):
    """Ends a test's block with nothing kept."""


@contextmanager
def tried_out(stop: Stop) -> Iterator["Here"]:
    """The job at a stop, in a block that keeps nothing."""
    try:
        with stop.store.writing() as db:
            yield Here(db, stop.crew, db.get_one(Job, stop.job_id))
            raise RolledBack
    except RolledBack:
        pass


@dataclass
class Here:
    """A job with whoever works on it; without a name it is the technician who acts."""

    db: Session
    crew: Crew
    job: Job
    now: datetime = NOW + timedelta(days=1)
    _ids: Iterator[int] = field(default_factory=count)

    @property
    def front_end(self) -> FrontEnd:
        return library()[self.job.front_end]

    def step(self, operation: str, direction: str, place: str = "LF") -> Step:
        here = Step.job_id == self.job.id, Step.operation == operation, Step.direction == direction
        found = [one for one in self.db.exec(select(Step).where(*here)) if one.place in (place, "car")]
        assert len(found) == 1
        return found[0]

    def rung(self, step: Step) -> Rung:
        return Rung.of(self.front_end, step)

    def client_id(self) -> str:
        return f"tried-{next(self._ids):012d}"

    def hand(self, by: Person | None = None) -> Hand:
        return Hand(by or self.crew.technician, self.now, self.client_id())

    def start(self, step: Step, *, by: Person | None = None) -> None:
        rule.start(self.db, self.job, step, self.front_end, by=by or self.crew.technician, now=self.now)

    def finish(
        self,
        step: Step,
        *,
        revision: int | None = None,
        put_back: set[int] | None = None,
        by: Person | None = None,
    ) -> None:
        """As the page would send it: with the revision that is there, and every tag that is out ticked."""
        rule.finish(
            self.db,
            self.job,
            step,
            self.front_end,
            client_id=self.client_id(),
            revision=step.revision if revision is None else revision,
            put_back={tag.number for tag in self.tags("out")} if put_back is None else put_back,
            by=by or self.crew.technician,
            now=self.now,
        )

    def confirm(self, step: Step, key: str, *, by: Person | None = None) -> None:
        rule.confirm_hold(
            self.db,
            self.job,
            step,
            self.hold(step, key),
            self.front_end,
            client_id=self.client_id(),
            by=by or self.crew.second,
            now=self.now,
        )

    def reopen(self, step: Step, *, revision: int | None = None, by: Person | None = None) -> None:
        rule.reopen(
            self.db,
            self.job,
            step,
            self.front_end,
            client_id=self.client_id(),
            revision=step.revision if revision is None else revision,
            by=by or self.crew.technician,
            now=self.now,
        )

    def hold(self, step: Step, key: str) -> Hold:
        return holds_at(self.db, step)[key]

    def hazards(self) -> list[Hazard]:
        live = select(Hazard).where(Hazard.job_id == self.job.id, Hazard.ended_at == None)  # noqa: E711
        return list(self.db.exec(live))

    def hazard_kinds(self) -> set[str]:
        return {one.kind for one in self.hazards()}

    def tags(self, state: str) -> list[Tag]:
        return list(self.db.exec(select(Tag).where(Tag.job_id == self.job.id, Tag.state == state)))

    def lacks(self, step: Step, put_back: frozenset[int] = frozenset()) -> list[Lack]:
        return lack.lacks(self.db, step, self.rung(step), self.front_end, put_back=set(put_back))

    def sheet(self, step: Step) -> StepSheet:
        return step_sheet.step_sheet(self.db, self.job, step, library())

    def wanted(self, step: Step, key: str) -> Wanted:
        return next(wanted for wanted, _ in asked(step, self.rung(step)) if wanted.id == key)

    def standing(self, step: Step) -> list[Taken]:
        return capture.standing(self.db, job_id=step.job_id, step_ids=[step.id or 0])

    def measure(self, step: Step, key: str, text: str, *, place: str = "", **said: object) -> Capture:
        said = {"confirmed": False, "system": "inch"} | said
        wanted = self.wanted(step, key)
        return capture.measure_at(
            self.db,
            step,
            wanted,
            self.hand(),
            place=place or step.place,
            text=text,
            **said,  # type: ignore[arg-type]
        )

    def photograph(self, step: Step, *, key: str = "", place: str = "", digest: str = "d1") -> Capture:
        photo = Photo(digest=digest, width=64, height=48, size=900, stored_at=self.now)
        return capture.photograph_at(self.db, step, self.hand(), photo, key=key, place=place)

    def tightenings(self, step: Step) -> list[Tightening]:
        return tightening.tightenings(self.db, step, self.rung(step), self.front_end)

    def tightening(self, step: Step, fastener: str, act: str = "torque") -> Tightening:
        return next(one for one in self.tightenings(step) if (one.fastener.id, one.act) == (fastener, act))

    def pull(
        self, step: Step, fastener: str, text: str = "68 lbf·ft", *, by: Person | None = None, **said: object
    ) -> TorqueRecord:
        said = {"paint": True} | said
        pending = self.tightening(step, fastener)
        return pull(self.db, step, pending, self.hand(by), Pull(text, **said))  # type: ignore[arg-type]
