"""A running application without a socket, and phones to use it with.

def test_x(ann: Phone):                         ann, bo, cy, dee: foreman, two technicians, apprentice
    answer = ann.fill_in("/bays", name=["1"])   a form as the page would send it, with its keys
    assert answer.status_code == 303
"""

import shutil
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from fastapi import FastAPI
from jinja2 import FileSystemBytecodeCache
from sqlmodel import col, select

from seed_demo.walk import Walk
from server.app import create_app
from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.settings import Settings
from server.shop import person, shop, sign_in
from server.shop.guess import Sender
from server.store.engine import Store
from server.store.tables import Person, SignIn
from server.web.form_key import mask
from tests.web.phone import PEOPLE, Clock, Phone
from tests.web.work import ShopAtStep, open_work, people_in, the_work, walk_to


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def prepared() -> Path | None:
    """Nothing; a file whose tests begin in a shop makes one: `shop_at_step(["springs"], "knuckle")`."""
    return None


@pytest.fixture
def store(prepared: Path | None, empty_database: Path, tmp_path: Path) -> Iterator[Store]:
    """The store of a test's own: a copy of what its file prepared, or an empty one."""
    data = tmp_path / "data"
    if prepared is not None:
        shutil.copytree(prepared, data)
    else:
        data.mkdir()
        shutil.copy(empty_database, data)
    with Store(data) as opened:
        yield opened


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """As in the shop, but with PINs that are hashed in no time."""
    return Settings(data=tmp_path / "data", pin_passes=1, pin_memory_KiB=8)


@pytest.fixture(scope="session")
def library() -> dict[str, FrontEnd]:
    """Checking it takes a second: once is enough."""
    return front_ends()


@pytest.fixture(scope="session")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> FileSystemBytecodeCache:
    """Templates are translated once, not for each application."""
    return FileSystemBytecodeCache(str(tmp_path_factory.mktemp("compiled")))


@pytest.fixture
def app(
    settings: Settings,
    store: Store,
    clock: Clock,
    library: dict[str, FrontEnd],
    compiled: FileSystemBytecodeCache,
) -> FastAPI:
    """Before the set-up: no shop, nobody in it."""
    app = create_app(settings, store, clock, library)
    app.state.templates.bytecode_cache = compiled
    return app


@pytest.fixture(scope="session")
def shop_at_step(tmp_path_factory: pytest.TempPathFactory, library: dict[str, FrontEnd]) -> ShopAtStep:
    """Makes a shop with one job worked up to a step, to be copied: walking there takes seconds, once."""

    @cache
    def walked(scopes: tuple[str, ...], operation: str, direction: str) -> Path:
        clock, data = Clock(), tmp_path_factory.mktemp("shop") / "data"
        with Store(data) as opened:
            made = create_app(Settings(data=data, pin_passes=1, pin_memory_KiB=8), opened, clock, library)
            crew = hire(made, clock)
            walk_to(open_work(made, crew, clock, scopes=list(scopes)), crew, operation, direction)
        return data

    def make(scopes: list[str], operation: str, direction: str = "down") -> Path:
        return walked(tuple(scopes), operation, direction)

    return make


@pytest.fixture
def people(app: FastAPI, store: Store, clock: Clock, prepared: Path | None) -> dict[str, Person]:
    """The shop set up, with its four people by name."""
    return hire(app, clock) if prepared is None else people_in(store)


@pytest.fixture
def work(app: FastAPI, clock: Clock) -> Walk:
    """The job that the file prepared, to be worked on further."""
    return the_work(app, clock)


def hire(app: FastAPI, clock: Clock) -> dict[str, Person]:
    """Found the shop, with its four people."""
    with app.state.store.writing() as db:
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
def signed_in(
    app: FastAPI, store: Store, clock: Clock, people: dict[str, Person], new_phone: Callable[..., Phone]
) -> Callable[..., Phone]:
    """Makes phones with a session as it is after signing in, without the pages on the way there."""

    def make(name: str, address: str) -> Phone:
        phone = new_phone(address=address)
        with store.writing() as db:
            ticket = sign_in.open_session(db, people[name], sender=Sender(address), now=clock())
            newest = db.exec(select(SignIn).order_by(col(SignIn.id).desc())).first()
        assert newest is not None
        phone.keep(session=ticket.token, device=ticket.device, form_key=mask(newest.form_key))
        return phone

    return make


@pytest.fixture
def ann(signed_in: Callable[..., Phone]) -> Phone:
    return signed_in("Ann Adler", "192.168.7.21")


@pytest.fixture
def bo(signed_in: Callable[..., Phone]) -> Phone:
    return signed_in("Bo Berg", "192.168.7.22")


@pytest.fixture
def cy(signed_in: Callable[..., Phone]) -> Phone:
    return signed_in("Cy Castle", "192.168.7.23")


@pytest.fixture
def dee(signed_in: Callable[..., Phone]) -> Phone:
    return signed_in("Dee Dunn", "192.168.7.24")
