import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import IntegrityError
from sqlmodel import SQLModel

from server.store import append_only
from server.store.engine import Store
from server.store.tables import APPEND_ONLY, Photo
from tests.store.fill import row

STATEMENTS = (
    "UPDATE {table} SET {column} = 7",
    "UPDATE {table} SET {column} = 7 WHERE {key} = (SELECT max({key}) FROM {table})",
    "UPDATE OR IGNORE {table} SET {column} = 7",
    "UPDATE OR REPLACE {table} SET {column} = 7",
    "UPDATE {table} SET {column} = other.n FROM (SELECT 7 AS n) AS other",
    "WITH other AS (SELECT 7 AS n) UPDATE {table} SET {column} = (SELECT n FROM other)",
    "INSERT OR REPLACE INTO {table} SELECT * FROM {table}",
    "REPLACE INTO {table} SELECT * FROM {table} WHERE {key} = (SELECT max({key}) FROM {table})",
    "INSERT INTO {table} SELECT * FROM {table} WHERE true ON CONFLICT DO UPDATE SET {column} = 7",
    "DELETE FROM {table}",
    "DELETE FROM {table} WHERE {key} = (SELECT max({key}) FROM {table})",
    "WITH other AS (SELECT max({key}) AS n FROM {table}) DELETE FROM {table} WHERE {key} IN other",
)


def spelled(statement: str, table: str) -> str:
    """With the table's key, and its last column that is neither a key, nor a reference, nor unique."""
    columns = SQLModel.metadata.tables[table].columns
    plain = [c.name for c in columns if not (c.primary_key or c.foreign_keys or c.unique)]
    key = next(c.name for c in columns if c.primary_key)
    return statement.format(table=table, column=plain[-1], key=key)


@pytest.mark.parametrize("table", APPEND_ONLY)
@pytest.mark.parametrize("statement", STATEMENTS)
def test_the_database_refuses_to_change_or_delete_a_record(filled: Store, table: str, statement: str) -> None:
    with pytest.raises(IntegrityError, match=f"{table} is append-only"), filled.writing() as db:
        db.connection().exec_driver_sql(spelled(statement, table))


@pytest.mark.parametrize("table", APPEND_ONLY)
@pytest.mark.parametrize("statement", STATEMENTS)
def test_control_without_the_triggers_each_statement_succeeds(
    filled_database: Path, tmp_path: Path, table: str, statement: str
) -> None:
    with closing(sqlite3.connect(filled_database)) as source, closing(sqlite3.connect(tmp_path / "x")) as db:
        source.backup(db)
        for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            db.execute(f"DROP TRIGGER {name}")

        before = db.total_changes
        db.execute(spelled(statement, table))

        assert db.total_changes > before


def test_a_new_row_is_accepted(filled: Store) -> None:
    with filled.writing() as db:
        added = db.execute(sa.insert(Photo).values(row(SQLModel.metadata.tables["photo"], 3)))

        assert added.rowcount == 1


def test_the_triggers_hold_in_another_program_too(filled_database: Path) -> None:
    with (
        closing(sqlite3.connect(filled_database)) as db,
        pytest.raises(sqlite3.IntegrityError, match="append-only"),
    ):
        db.execute("DELETE FROM capture")


def test_each_kind_of_database_gets_its_own_triggers() -> None:
    tables = list(APPEND_ONLY)

    assert len(append_only.statements("sqlite", tables)) == 2 * len(tables)
    assert len(append_only.statements("postgresql", tables)) == 1 + len(tables)


def test_a_database_that_cannot_be_guarded_is_not_used() -> None:
    with pytest.raises(KeyError):
        append_only.statements("mysql", [])


def test_guarding_twice_does_no_harm(filled: Store) -> None:
    with filled.writing() as db:
        append_only.guard(db.connection())
        count = db.execute(sa.text("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'")).scalar()

    assert count == 2 * len(APPEND_ONLY)
