import sqlite3
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import OperationalError
from sqlmodel import Session, select

from server.store.engine import Store
from server.store.refused import StoreInUse, StoreNewer, StoreRefused, StoreUnreadable, StoreUnwritable
from server.store.tables import Shop
from tests.store.fill import NOON

WANTED = {
    "journal_mode": "persist",
    "synchronous": 2,  # FULL
    "foreign_keys": 1,
    "recursive_triggers": 1,
    "busy_timeout": 5000,
    "trusted_schema": 0,
}


def pragmas(db: Session) -> dict[str, object]:
    return {name: db.connection().exec_driver_sql(f"PRAGMA {name}").scalar() for name in WANTED}


def shop(name: str = "Bay Street") -> Shop:
    return Shop(name=name, created_at=NOON)


def names(store: Store) -> list[str]:
    with store.reading() as db:
        return list(db.exec(select(Shop.name)))


def test_every_reading_connection_has_the_pragmas(store: Store) -> None:
    together = threading.Barrier(8)  # eight connections at once, not one eight times

    def look(_: int) -> dict[str, object]:
        with store.reading() as db:
            together.wait(5)
            return pragmas(db)

    with ThreadPoolExecutor(8) as threads:
        assert list(threads.map(look, range(8))) == [WANTED] * 8


def test_the_writing_connection_has_the_pragmas_after_a_migration_too(tmp_path: Path) -> None:
    with Store(tmp_path / "new") as store, store.writing() as db:
        assert pragmas(db) == WANTED


def test_a_good_block_is_committed(store: Store) -> None:
    with store.writing() as db:
        db.add(shop())

    assert names(store) == ["Bay Street"]


def test_what_was_written_can_be_used_after_the_block(store: Store) -> None:
    with store.writing() as db:
        db.add(opened := shop())

    assert (opened.id, opened.name) == (1, "Bay Street")


def test_a_block_that_fails_leaves_nothing(store: Store) -> None:
    def fail_half_way() -> None:
        with store.writing() as db:
            db.add(shop())
            db.flush()
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_half_way()

    assert names(store) == []


def test_a_commit_inside_a_block_fails_loudly(store: Store) -> None:
    with pytest.raises(RuntimeError, match="only there"), store.writing() as db:
        db.commit()


def test_a_reading_block_refuses_a_write_at_once(store: Store) -> None:
    with pytest.raises(OperationalError, match="readonly"), store.reading() as db:
        db.execute(sa.insert(Shop).values(name="x", created_at=NOON))


def test_a_write_forgotten_in_a_reading_block_fails_when_it_ends(store: Store) -> None:
    with pytest.raises(OperationalError, match="readonly"), store.reading() as db:
        db.add(shop())


def test_a_change_forgotten_in_a_reading_block_fails_when_it_ends(store: Store) -> None:
    with store.writing() as db:
        db.add(shop())

    with pytest.raises(OperationalError, match="readonly"), store.reading() as db:
        db.exec(select(Shop)).one().name = "Other"


def test_a_reading_block_stays_on_one_state_and_the_writer_waits_for_it(store: Store) -> None:
    written = threading.Event()

    def write() -> None:
        with store.writing() as db:
            db.add(shop())
        written.set()

    with store.reading() as db:
        before = db.exec(select(Shop)).all()
        thread = threading.Thread(target=write)
        thread.start()
        assert not written.wait(0.2)
        assert db.exec(select(Shop)).all() == before
    thread.join(5)

    assert names(store) == ["Bay Street"]


@pytest.mark.parametrize("outer", ["reading", "writing"])
@pytest.mark.parametrize("inner", ["reading", "writing"])
def test_a_block_inside_a_block_is_refused_at_once(store: Store, outer: str, inner: str) -> None:
    with getattr(store, outer)(), pytest.raises(RuntimeError, match="already"), getattr(store, inner)():
        pass


def test_a_thread_may_open_a_block_again_after_one_that_failed(store: Store) -> None:
    with pytest.raises(ZeroDivisionError), store.reading():
        raise ZeroDivisionError

    assert names(store) == []


def test_no_update_is_lost_between_four_writers(store: Store) -> None:
    with store.writing() as db:
        db.add(shop("0"))

    def add_fifty(_: int) -> None:
        for _ in range(50):
            with store.writing() as db:
                row = db.exec(select(Shop)).one()
                row.name = str(int(row.name) + 1)

    with ThreadPoolExecutor(4) as threads:
        list(threads.map(add_fifty, range(4)))

    assert names(store) == ["200"]


def test_control_with_a_plain_begin_the_second_of_two_writers_is_turned_away(tmp_path: Path) -> None:
    one, two = (sqlite3.connect(tmp_path / "x", isolation_level=None, timeout=0) for _ in range(2))
    one.execute("CREATE TABLE tally (n)")
    for each in (one, two):
        each.execute("BEGIN")
        each.execute("SELECT n FROM tally").fetchall()

    one.execute("INSERT INTO tally VALUES (1)")
    with pytest.raises(sqlite3.OperationalError, match="locked"):
        two.execute("INSERT INTO tally VALUES (1)")

    one.close()
    two.close()


def test_a_second_store_on_the_same_folder_is_refused(store: Store, tmp_path: Path) -> None:
    with pytest.raises(StoreInUse, match="already running on the data folder"):
        Store(tmp_path / "data")


def test_a_second_server_on_the_same_folder_is_refused(store: Store, tmp_path: Path) -> None:
    program = f"import pathlib, server.store.engine as e; e.Store(pathlib.Path({str(tmp_path / 'data')!r}))"
    second = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)

    assert second.returncode != 0
    assert "StoreInUse" in second.stderr


def test_a_closed_store_can_be_opened_again(store: Store, tmp_path: Path) -> None:
    with store.writing() as db:
        db.add(shop())
    store.close()

    with Store(tmp_path / "data") as again:
        assert names(again) == ["Bay Street"]


@pytest.mark.parametrize("folder", ["{tmp}/file", "{tmp}/file/below", "/proc/cornerbook"])
def test_a_folder_that_cannot_be_written_to_is_refused(tmp_path: Path, folder: str) -> None:
    (tmp_path / "file").touch()

    with pytest.raises(StoreUnwritable, match="cannot be written to"):
        Store(Path(folder.format(tmp=tmp_path)))


def test_a_database_of_a_newer_version_is_refused_and_left_alone(store: Store, tmp_path: Path) -> None:
    store.close()
    file = tmp_path / "data" / "cornerbook.sqlite3"
    with sqlite3.connect(file) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
    raw.close()
    before = file.read_bytes()

    with pytest.raises(StoreNewer, match=r"newer Cornerbook .* revision 9999"):
        Store(tmp_path / "data")

    assert file.read_bytes() == before


def test_a_file_that_is_no_database_is_refused_and_the_folder_let_go(tmp_path: Path) -> None:
    file = tmp_path / "cornerbook.sqlite3"
    file.write_text("not a database, but long enough to be taken for the header of one " * 20)

    with pytest.raises(StoreUnreadable, match="file is not a database"):
        Store(tmp_path)

    file.unlink()
    Store(tmp_path).close()


def test_another_kind_of_database_is_refused_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(StoreRefused, match="cannot keep its records in mysql"):
        Store(tmp_path, "mysql://nobody@localhost/x")


def test_closing_leaves_no_connection_open(store: Store, tmp_path: Path) -> None:
    names(store)
    with store.writing() as db:
        db.add(shop())
    store.close()

    open_files = [link.resolve() for link in Path("/proc/self/fd").iterdir() if link.exists()]
    assert not [path for path in open_files if path.is_relative_to(tmp_path)]
