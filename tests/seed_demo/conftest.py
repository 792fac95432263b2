"""The demo, seeded once for all its tests, and read as its pages would read it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache

import pytest
from sqlmodel import Session, col, select

import seed_demo
from server.compute.answer import Known
from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.settings import Settings
from server.shop.evidence import Evidence, gather, of_capture, of_spec
from server.store.engine import Store
from server.store.photo import PhotoFolder
from server.store.tables import Job, Vehicle

NOW = datetime(2026, 3, 4, 10, 40).astimezone().astimezone(UTC)  # a Wednesday, in the middle of the morning
MAKES = ("Pelverdine", "Brackholm", "Tessendorn", "Hasterby")  # in the order in which they came in


@cache
def library() -> dict[str, FrontEnd]:
    return front_ends()


def settings_in(folder) -> Settings:
    """PINs that are hashed in no time."""
    return Settings(data=folder, pin_passes=1, pin_memory_KiB=8)


@dataclass(frozen=True)
class Demo:
    """A seeded shop and what the seeding said."""

    store: Store
    photos: PhotoFolder
    settings: Settings
    people: list[tuple[str, str, str]]


@dataclass(frozen=True)
class Visit:
    """One car of the demo with all its figures."""

    db: Session
    job: Job
    vehicle: Vehicle
    evidence: Evidence

    def found(self, key: str, place: str) -> Known:
        """A figure as found."""
        return of_capture(self.evidence.found(key, place))

    def left(self, key: str, place: str) -> Known:
        """A figure as left."""
        return of_capture(self.evidence.left(key, place))

    def spec(self, key: str) -> Known:
        """The middle of a line of the sheet, uncertain by half its range."""
        return of_spec(self.evidence.spec(key))


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    folder = tmp_path_factory.mktemp("demo")
    settings = settings_in(folder)
    with Store(folder) as store:
        photos = PhotoFolder(folder / "photos")
        yield Demo(store, photos, settings, seed_demo.seed(store, photos, settings, NOW))


@pytest.fixture
def db(demo: Demo) -> Iterator[Session]:
    with demo.store.reading() as session:
        yield session


def visit_of(db: Session, make: str) -> Visit:
    query = select(Job, Vehicle).join(Vehicle, col(Vehicle.id) == Job.vehicle_id).where(Vehicle.make == make)
    job, vehicle = db.exec(query).one()
    return Visit(db, job, vehicle, gather(db, job, library()[job.front_end]))


@pytest.fixture(params=MAKES)
def visit(db: Session, request: pytest.FixtureRequest) -> Visit:
    """Each car in turn."""
    return visit_of(db, request.param)


@pytest.fixture
def released(db: Session) -> Visit:
    return visit_of(db, "Pelverdine")


@pytest.fixture
def refit(db: Session) -> Visit:
    return visit_of(db, "Brackholm")


@pytest.fixture
def on_bench(db: Session) -> Visit:
    return visit_of(db, "Tessendorn")


@pytest.fixture
def mid_strip(db: Session) -> Visit:
    return visit_of(db, "Hasterby")
