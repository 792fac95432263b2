"""The process dies at each named point; whatever it had acknowledged is there afterwards, whole."""

import shutil
import signal
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlmodel import select

from server.store.crash import CRASH_POINTS, crash_point
from server.store.engine import Store
from server.store.photo import PhotoFolder
from server.store.tables import Photo
from tests.store.record import POINTS, record

WRITTEN = ("store: after commit",)  # the row is there, though the phone never heard of it


@pytest.fixture(scope="module")
def died(tmp_path_factory: pytest.TempPathFactory, empty_database: Path) -> Path:
    """A data folder for each crash point, left by a process that died there with nothing acknowledged."""
    folder = tmp_path_factory.mktemp("died")
    for number in range(len(POINTS)):
        (folder / str(number)).mkdir()
        shutil.copy(empty_database, folder / str(number))
    told = subprocess.run(
        [sys.executable, "-m", "tests.store.record", folder, "--die"],
        check=True,
        capture_output=True,
        text=True,
    )
    assert told.stdout.splitlines() == [f"signal {signal.SIGKILL:d} at {point}" for point in POINTS]
    return folder


def rows(data: Path) -> set[str]:
    with Store(data) as store, store.reading() as db:
        assert db.execute(sa.text("PRAGMA integrity_check")).scalar() == "ok"
        return set(db.exec(select(Photo.digest)))


def whole_photos(data: Path) -> set[str]:
    """The digests of all photos, after the sweep of a start; each has all its files and its own bytes."""
    PhotoFolder(data / "photos")
    homes = list((data / "photos").glob("??/*"))
    for home in homes:
        assert {file.name for file in home.iterdir()} == {"received", "display.jpg", "thumbnail.jpg"}
        assert sha256((home / "received").read_bytes()).hexdigest() == home.name
    return {home.name for home in homes}


@pytest.mark.parametrize("point", POINTS)
def test_killed_at_any_point_nothing_is_half_there(died: Path, point: str) -> None:
    data = died / str(POINTS.index(point))

    assert len(rows(data)) == (point in WRITTEN)
    assert rows(data) <= whole_photos(data)


@pytest.mark.parametrize("point", POINTS)
def test_killed_at_any_point_a_second_sending_records_it_once(died: Path, tmp_path: Path, point: str) -> None:
    data = tmp_path / "data"
    shutil.copytree(died / str(POINTS.index(point)), data)

    record(data, 1)

    assert len(rows(data)) == 1
    assert rows(data) == whole_photos(data)


def test_control_without_a_crash_all_is_there(tmp_path: Path) -> None:
    record(tmp_path, 3)

    assert len(rows(tmp_path)) == 3
    assert rows(tmp_path) == whole_photos(tmp_path)


def test_no_point_does_anything_unless_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CORNERBOOK_CRASH_AT", raising=False)

    for point in CRASH_POINTS:
        crash_point(point)
