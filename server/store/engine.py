"""The one way to the database: `Store.reading()` and `Store.writing()`.

Journal. The SQLite inside Python 3.11 (3.40.1) has the defect by which two connections in WAL mode
can lose a commit when one of them restarts the log, so this store keeps a rollback journal. Which
kind decides whether a power cut can take back a commit that was already acknowledged. With
synchronous=FULL SQLite syncs the database file and then makes the journal invalid, and that is the commit:

    DELETE     unlinks it; the folder is not synced until later, so after a power cut the journal may be
               back and undo the commit. Only synchronous=EXTRA adds that sync.
    TRUNCATE   cuts it to nothing and syncs it. Safe; a change of file size at each commit.
    PERSIST    overwrites its first 28 bytes with zeros and syncs it. Safe, with least asked of
               the file system: nothing but bytes written in place. Chosen.

Read off the system calls (strace) of SQLite 3.40.1; one insert with one index on ext4 took, as
a median of 600: DELETE with EXTRA 1.25 ms, TRUNCATE 1.08 ms, PERSIST 0.89 ms (WAL would take 0.38 ms).

Locks. Writers queue for the only writing connection, so that none of them meets another at a file lock.
A commit waits until every reader is done: keep reading blocks short.
"""

import sqlite3
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Self

import sqlalchemy as sa
from pydantic_core import from_json
from sqlalchemy import event
from sqlmodel import Session

from server.store import migrate
from server.store.crash import crash_point
from server.store.lock import FolderLock
from server.store.refused import StoreNewer, StoreRefused, StoreUnreadable, StoreUnwritable

PATIENCE_s = 5
READERS = 40  # as many as the web server has threads

PRAGMAS = {
    "journal_mode": "persist",
    "synchronous": "full",
    "foreign_keys": "on",
    "recursive_triggers": "on",  # else REPLACE deletes a row behind the back of its trigger
    "busy_timeout": f"{PATIENCE_s * 1000}",
    "trusted_schema": "off",
}


class Store:
    """The database of one shop, opened, at the newest revision, and locked against a second server.

    data       the folder that holds all of the shop's data; made if it is not there
    url        where the database is, if not in that folder
    raises     StoreRefused, with a sentence to print
    """

    def __init__(self, data: Path, url: str | None = None) -> None:
        _make_writable(data)
        self.url = sa.make_url(url or f"sqlite:///{data / 'cornerbook.sqlite3'}")
        self._reader, self._writer = _engines(self.url)
        self._thread = threading.local()
        self._lock = FolderLock(data)
        try:
            self._bring_up_to_date()
        except BaseException:
            self.close()
            raise

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session on one consistent state, in which the database refuses every write.

        raises     OperationalError for a write, at the latest when the block ends
        """
        with self._only_block(), Session(self._reader, expire_on_commit=False) as db:
            yield db
            db.flush()  # a forgotten write fails here instead of vanishing

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session that holds the write lock from the start and commits when the block ends well.

        raises     TimeoutError or OperationalError if others kept the database busy for 5 s
        """
        with self._only_block(), Session(self._writer, expire_on_commit=False) as db:
            with db.begin() as transaction:
                db.connection()  # BEGIN IMMEDIATE now, not at the first statement
                crash_point("store: begun")
                yield db
                if not transaction.is_active:
                    raise RuntimeError("a writing block commits at its end, and only there")
                db.flush()
                crash_point("store: before commit")
            crash_point("store: after commit")

    def close(self) -> None:
        self._reader.dispose()
        self._writer.dispose()
        self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_error: object) -> None:
        self.close()

    @contextmanager
    def _only_block(self) -> Iterator[None]:
        """Refuses a block inside another: the commit of the one would wait for the other for ever."""
        if getattr(self._thread, "busy", False):
            raise RuntimeError("this thread already has a reading or writing block open")
        self._thread.busy = True
        try:
            yield
        finally:
            self._thread.busy = False

    def _bring_up_to_date(self) -> None:
        name = self.url.database or str(self.url)
        try:
            revision = migrate.current(self._reader)
            if revision == migrate.head():
                return
            if revision is not None and not migrate.is_known(revision):
                raise StoreNewer(name, revision)
            migrate.upgrade(self._writer)
        except sa.exc.DatabaseError as error:
            raise StoreUnreadable(name, str(error.orig)) from error


def _make_writable(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=folder, prefix=".probe-"):
            pass
    except OSError as error:
        raise StoreUnwritable(folder, error.strerror or str(error)) from error


def _engines(url: sa.URL) -> tuple[sa.Engine, sa.Engine]:
    """The reader and the writer. All that depends on the kind of database is here and in `migrate`."""
    if url.get_backend_name() != "sqlite":
        raise StoreRefused(f"Cornerbook cannot keep its records in {url.get_backend_name()}, only in SQLite.")
    reader = _sqlite_engine(url, begin="BEGIN", connections=READERS, pragmas=PRAGMAS | {"query_only": "on"})
    writer = _sqlite_engine(url, begin="BEGIN IMMEDIATE", connections=1, pragmas=PRAGMAS)
    return reader, writer


def _sqlite_engine(url: sa.URL, *, begin: str, connections: int, pragmas: dict[str, str]) -> sa.Engine:
    engine = sa.create_engine(
        url,
        connect_args={"isolation_level": None, "timeout": PATIENCE_s},  # we say BEGIN, the driver does not
        json_deserializer=from_json,  # six times as fast as the usual one for the short lists we keep
        poolclass=sa.QueuePool,
        pool_size=connections,
        max_overflow=0,
        pool_timeout=PATIENCE_s,
    )

    @event.listens_for(engine, "connect")
    def set_pragmas(connection: sqlite3.Connection, _record: Any) -> None:
        for name, value in pragmas.items():
            connection.execute(f"PRAGMA {name}={value}")

    @event.listens_for(engine, "begin")
    def begin_transaction(connection: sa.Connection) -> None:
        connection.exec_driver_sql(begin)

    return engine
