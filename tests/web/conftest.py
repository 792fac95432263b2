"""A running application without a socket, and phones to use it with.

def test_x(ann: Phone):                         ann, bo, cy, dee: foreman, two technicians, apprentice
    answer = ann.fill_in("/bays", name=["1"])   a form as the page would send it, with its keys
    assert answer.status_code == 303
"""

from collections.abc import Callable
from pathlib import Path

import pytest
from fastapi import FastAPI

from server.app import create_app
from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.settings import Settings
from server.shop import person, shop
from server.store.engine import Store
from server.store.tables import Person
from tests.web.phone import PEOPLE, Clock, Phone


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """As in the shop, but with PINs that are hashed in no time."""
    return Settings(data=tmp_path / "data", pin_passes=1, pin_memory_KiB=8)


@pytest.fixture(scope="session")
def library() -> dict[str, FrontEnd]:
    """Checking it takes a second: once is enough."""
    return front_ends()


@pytest.fixture
def app(settings: Settings, store: Store, clock: Clock, library: dict[str, FrontEnd]) -> FastAPI:
    """Before the set-up: no shop, nobody in it."""
    return create_app(settings, store, clock, library)


@pytest.fixture
def people(app: FastAPI, store: Store, clock: Clock) -> dict[str, Person]:
    """The shop set up, with its four people by name."""
    with store.writing() as db:
        home = shop.found(db, name="Corner Garage", system="inch", now=clock())
        return {
            name: person.add_person(
                db,
                shop_id=shop.id_of(home),
                name=name,
                role=role,
                pin_hash=app.state.pins.hash(pin),
                now=clock(),
            )
            for name, (role, pin) in PEOPLE.items()
        }


@pytest.fixture
def new_phone(app: FastAPI) -> Callable[..., Phone]:
    """Makes phones at which nobody has signed in."""

    def make(**where: str) -> Phone:
        return Phone(app, **where)

    return make


@pytest.fixture
def phone(new_phone: Callable[..., Phone]) -> Phone:
    return new_phone()


@pytest.fixture
def ann(people: dict[str, Person], new_phone: Callable[..., Phone]) -> Phone:
    return _signed_in(new_phone, "Ann Adler", "192.168.7.21")


@pytest.fixture
def bo(people: dict[str, Person], new_phone: Callable[..., Phone]) -> Phone:
    return _signed_in(new_phone, "Bo Berg", "192.168.7.22")


@pytest.fixture
def cy(people: dict[str, Person], new_phone: Callable[..., Phone]) -> Phone:
    return _signed_in(new_phone, "Cy Castle", "192.168.7.23")


@pytest.fixture
def dee(people: dict[str, Person], new_phone: Callable[..., Phone]) -> Phone:
    return _signed_in(new_phone, "Dee Dunn", "192.168.7.24")


def _signed_in(new_phone: Callable[..., Phone], name: str, address: str) -> Phone:
    phone = new_phone(address=address)
    phone.sign_in(name, PEOPLE[name][1])
    return phone
