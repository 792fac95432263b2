"""A shop in a data folder, with a car whose tie rods are to go back on, ready for captures."""

import re
import secrets
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import httpx

from server.app import create_app
from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.settings import Settings
from server.store.engine import Store
from tests.promise.starter import Server
from tests.web.conftest import hire
from tests.web.phone import PEOPLE, Clock
from tests.web.work import open_work, walk_to

CHEAP_PINS = {"pin_passes": 1, "pin_memory_KiB": 8}
DATABASE = "cornerbook.sqlite3"


@dataclass(frozen=True, slots=True)
class Garage:
    """Where captures go: a step with something to measure, and one with nuts to tighten on each side."""

    down_step: int
    up_steps: tuple[int, int]
    job: int = 1
    vehicle: int = 1


@dataclass(frozen=True, slots=True)
class Session:
    """What a signed-in phone holds, to go on with after a restart."""

    cookies: dict[str, str]
    form_key: str


@cache
def library() -> dict[str, FrontEnd]:
    """Checking it takes a second: once is enough."""
    return front_ends()


def prepare(data: Path) -> Garage:
    """Found the shop and walk its only job to the first nut of the refit."""
    clock = Clock()
    with Store(data) as store:
        app = create_app(Settings(data=data, **CHEAP_PINS), store, clock, library())
        crew = hire(app, clock)
        up = walk_to(open_work(app, crew, clock, scopes=["tie-rods"]), crew, "tie-rod", "up")
    with closing(sqlite3.connect(data / DATABASE)) as db:
        query = "SELECT id FROM step WHERE operation = 'tie-rod' AND direction = ? ORDER BY seq"
        down, _ = (row[0] for row in db.execute(query, ("down",)))
        left, right = (row[0] for row in db.execute(query, ("up",)))
    assert up.id == left
    return Garage(down, (left, right))


def sign_in(server: Server, name: str = "Ann Adler") -> Session:
    """Through the pages, as a phone does; a foreman, so that every page is open."""
    with httpx.Client(base_url=server.address, timeout=30) as client:
        key = form_key(client.get("/sign-in").text)
        form = {"form_key": key, "client_id": secrets.token_urlsafe(16), "name": name, "pin": PEOPLE[name][1]}
        answer = client.post("/sign-in", data=form)
        assert answer.status_code == 303, answer.text
        return Session(dict(client.cookies), form_key(client.get("/me").text))


def form_key(page: str) -> str:
    found = re.search(r'name="form_key" value="([^"]+)"', page)
    assert found is not None, page
    return found[1]
