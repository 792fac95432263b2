"""A small shop with a car in it, for the rules of the living record."""

from contextlib import ExitStack
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from io import BytesIO

import pytest
from PIL import Image

from seed_demo.walk import Story, Walk
from server.procedure.load import front_ends
from server.procedure.model import FrontEnd, Wanted
from server.shop import job, spec, vehicle
from server.store.engine import Store
from server.store.photo import PhotoFolder
from server.store.tables import Bay, Job, Person, Shop

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)

FIGURES = {
    ("odometer", ""): "61200 mi",
    ("odometer@after", "car"): "61212 mi",
    ("tyre.pressure", ""): "30 psi",
    ("ride-height", ""): "14 1/4 in",
    ("ride-height.frame", ""): "8 in",
    ("toe.tape-front", ""): "58 3/16 in",
    ("toe.tape-rear", ""): "58 5/16 in",
    ("toe.tape-diameter", ""): "26 in",
    ("camber", ""): "0.5°",
    ("tie-rod.length", ""): "12 5/8 in",
    ("tie-rod.threads-inner", ""): "8",
    ("tie-rod.threads-outer", ""): "9",
    ("spring.compressed-length", ""): "9 1/2 in",
    ("pack.front", ""): "5/32 in",
    ("pack.rear", ""): "3/16 in",
    ("disc.thickness", ""): "0.98 in",
}


@cache
def library() -> dict[str, FrontEnd]:
    return front_ends()


@cache
def grey_picture() -> bytes:
    bytes_out = BytesIO()
    Image.new("RGB", (64, 48), "grey").save(bytes_out, "JPEG")
    return bytes_out.getvalue()


def picture(wanted: Wanted, place: str) -> bytes:
    return grey_picture()


@dataclass
class Crew:
    shop: Shop
    bay: Bay
    foreman: Person
    technician: Person
    second: Person
    apprentice: Person


@pytest.fixture
def crew(store: Store) -> Crew:
    return hire(store)


def hire(store: Store) -> Crew:
    """Found the shop, with a bay and its people."""
    with store.writing() as db:
        shop = Shop(name="Anvil Lane Garage", created_at=NOW)
        db.add(shop)
        db.flush()
        bay = Bay(shop_id=shop.id, name="Bay 1", place=1)
        people = [
            Person(shop_id=shop.id, name=name, name_key=name, role=role, pin_hash="", created_at=NOW)
            for name, role in (
                ("Ilse", "foreman"),
                ("Tom", "technician"),
                ("Nadia", "technician"),
                ("Pip", "apprentice"),
            )
        ]
        db.add_all([bay, *people])
        db.flush()
    return Crew(shop, bay, *people)


def take_in(
    store: Store,
    crew: Crew,
    *,
    scopes: list[str],
    sides: str = "both",
    drive: str = "LHD",
    plate: str = "AB 12",
) -> Job:
    """A car with a full spec sheet and an open job."""
    with store.writing() as db:
        car = vehicle.take_in(
            db,
            make="Corvane",
            model="Tarnlight",
            year="1968",
            plate=plate,
            drive=drive,
            front_end="coil-on-lower-arm",
            front_ends=library(),
            by=crew.foreman,
            now=NOW,
        )
        front_end = library()["coil-on-lower-arm"]
        for number, line in enumerate(spec.lines_for(front_end)):
            if line.quantity == "torque":
                spec.write_line(
                    db,
                    car,
                    line,
                    client_id=f"spec-{plate}-{number:012d}",
                    text="60 to 75 lbf·ft",
                    source="Maker's manual p. 3-12",
                    generic=False,
                    by=crew.foreman,
                    now=NOW,
                )
        return job.open_job(
            db, car, bay=None, scopes=scopes, sides=sides, front_end=front_end, by=crew.foreman, now=NOW
        )


def walk(store: Store, photos: PhotoFolder, opened: Job, story: Story | None = None) -> Walk:
    story = story or Story(FIGURES, {"tyre.size": "7.75-14"})
    return Walk(store, photos, library(), opened.id, story, picture, NOW)


@pytest.fixture(scope="session")
def stops(empty_database, tmp_path_factory):
    """One job walked through once, with the shop as it is at each of its stops."""
    from tests.shop.scene import make_stops

    stops = make_stops(empty_database, tmp_path_factory.mktemp("stops"))
    yield stops
    for stop in stops.values():
        stop.store.close()


@pytest.fixture
def at(stops):
    """Goes to a stop of that job, in a block that keeps nothing: `here = at("compressor", "up")`."""
    from tests.shop.scene import tried_out

    with ExitStack() as blocks:
        yield lambda operation, direction: blocks.enter_context(tried_out(stops[operation, direction]))
