"""A car being worked on, for the pages beside it."""

from collections.abc import Callable
from pathlib import Path

from fastapi import FastAPI
from sqlmodel import select

from seed_demo.walk import Story, Walk
from server.shop import job, spec, vehicle
from server.store.engine import Store
from server.store.tables import Job, Person, Step
from tests.shop.conftest import FIGURES, picture
from tests.web.phone import Clock

ShopAtStep = Callable[..., Path]  # (scopes, operation, direction="down") -> a data folder to copy


def open_work(
    app: FastAPI, people: dict[str, Person], clock: Clock, *, scopes: list[str], plate: str = "AB 12"
) -> Walk:
    """A car with its torques on the spec sheet and a job of that scope, both sides; Bo works, Cy looks."""
    ann = people["Ann Adler"]
    library = app.state.front_ends
    front_end = library["coil-on-lower-arm"]
    with app.state.store.writing() as db:
        car = vehicle.take_in(
            db,
            make="Corvane",
            model="Tarnlight",
            year="1968",
            plate=plate,
            drive="LHD",
            front_end=front_end.id,
            front_ends=library,
            by=ann,
            now=clock(),
        )
        for number, line in enumerate(spec.lines_for(front_end)):
            if line.key.startswith("torque."):
                spec.write_line(
                    db,
                    car,
                    line,
                    client_id=f"spec-{plate}-{number:012d}",
                    text="60 to 75 lbf·ft",
                    source="Maker's manual p. 3-12",
                    generic=False,
                    by=ann,
                    now=clock(),
                )
        opened = job.open_job(
            db, car, bay=None, scopes=scopes, sides="both", front_end=front_end, by=ann, now=clock()
        )
    story = Story(FIGURES, {"tyre.size": "7.75-14"})
    return Walk(app.state.store, app.state.photos, library, opened.id, story, picture, clock())


def walk_to(work: Walk, people: dict[str, Person], operation: str, direction: str = "down") -> Step:
    """Work up to, and without, the first step of that operation in that direction."""
    return work.until(
        lambda step: (step.operation, step.direction) == (operation, direction),
        by=people["Bo Berg"],
        second=people["Cy Castle"],
    )


def people_in(store: Store) -> dict[str, Person]:
    """The people of a shop that is there already, by name."""
    with store.reading() as db:
        return {one.name: one for one in db.exec(select(Person))}


def the_work(app: FastAPI, clock: Clock) -> Walk:
    """The only job of a shop that is there already, to be worked on further."""
    store = app.state.store
    with store.reading() as db:
        job_id = db.exec(select(Job.id)).one()
    story = Story(FIGURES, {"tyre.size": "7.75-14"})
    return Walk(store, app.state.photos, app.state.front_ends, job_id, story, picture, clock())
