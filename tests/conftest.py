"""Fixtures that every room may use. What only one room needs stands in that room's own conftest."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from server.store.engine import Store
from server.store.photo import PhotoFolder
from tests.need import need

QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-sync",
    "--no-first-run",
)


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with every table and no row, made once: `store` hands out copies of it."""
    folder = tmp_path_factory.mktemp("empty")
    Store(folder).close()
    return folder / "cornerbook.sqlite3"


@pytest.fixture
def store(tmp_path: Path, empty_database: Path) -> Iterator[Store]:
    """A fresh, empty store in a folder of its own: `tmp_path / "data"`."""
    data = tmp_path / "data"
    data.mkdir()
    shutil.copy(empty_database, data)
    with Store(data) as opened:
        yield opened


@pytest.fixture
def photos(tmp_path: Path) -> PhotoFolder:
    """An empty place for photos, beside the database of `store`."""
    return PhotoFolder(tmp_path / "data" / "photos")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The one Chromium of a test process; each test opens contexts of its own in it."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=need("chromium"), args=QUIET)
        yield started
        started.close()
