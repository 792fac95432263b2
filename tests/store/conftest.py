"""A store with two rows in every table."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from server.store.engine import Store
from tests.store.fill import fill


@pytest.fixture(scope="session")
def filled_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("filled")
    with Store(folder) as store:
        fill(store)
    return folder / "cornerbook.sqlite3"


@pytest.fixture
def filled(tmp_path: Path, filled_database: Path) -> Iterator[Store]:
    data = tmp_path / "data"
    data.mkdir()
    shutil.copy(filled_database, data)
    with Store(data) as opened:
        yield opened
