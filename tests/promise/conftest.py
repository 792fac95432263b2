"""A prepared shop, and servers to run on copies of it."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.promise.garage import Garage, Session, prepare, sign_in
from tests.promise.sender import Sender
from tests.promise.starter import Starter


@dataclass(frozen=True, slots=True)
class Prepared:
    data: Path
    garage: Garage
    session: Session


@pytest.fixture(scope="session")
def starter() -> Iterator[Starter]:
    with Starter() as starter:
        yield starter


@pytest.fixture(scope="session")
def prepared(starter: Starter, tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    """The shop with one phone signed in."""
    data = tmp_path_factory.mktemp("prepared") / "data"
    garage = prepare(data)
    server = starter.start(data)
    session = sign_in(server)
    server.kill()
    return Prepared(data, garage, session)


@pytest.fixture
def data(prepared: Prepared, tmp_path: Path) -> Path:
    """A copy of the shop as this test's own."""
    return shutil.copytree(prepared.data, tmp_path / "data")


@pytest.fixture
def new_sender(prepared: Prepared, data: Path) -> Iterator[Callable[..., Sender]]:
    """Makes phones: `new_sender(server.address, number=2)`."""
    made: list[Sender] = []

    def make(address: str, **options: float) -> Sender:
        made.append(Sender(prepared.garage, prepared.session, address, data, **options))  # type: ignore[arg-type]
        return made[-1]

    yield make
    for sender in made:
        sender.client.close()
