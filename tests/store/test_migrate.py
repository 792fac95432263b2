"""Every released revision is upgraded here with data in it: `revisions/` holds a dump of each."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlmodel import SQLModel

from server.store import append_only, migrate
from server.store.drift import drift
from server.store.engine import Store
from server.store.tables import APPEND_ONLY

REVISIONS = sorted((Path(__file__).parent / "revisions").glob("*.sql"))

LATER = """
import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "later", "{head}", None, None


def upgrade() -> None:
    for table in ("job", "capture"):
        with op.batch_alter_table(table, recreate="always") as batch:
            batch.add_column(sa.Column("weather", sa.String(), server_default="dry"))
    {last}
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "cornerbook.sqlite3"


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The place of a made-up next revision, which rebuilds a parent table and an append-only one."""
    scripts = shutil.copytree(migrate.SCRIPTS, tmp_path / "migrations")
    monkeypatch.setattr(migrate, "SCRIPTS", scripts)
    return scripts / "versions" / "later.py"


def restore(dump: Path, file: Path) -> None:
    with closing(sqlite3.connect(file)) as db:
        db.executescript(dump.read_text())


def counts(file: Path) -> dict[str, int]:
    with closing(sqlite3.connect(file)) as db:
        tables = [name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: db.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in tables}  # noqa: S608


def schema(file: Path) -> set[tuple[str, ...]]:
    with closing(sqlite3.connect(file)) as db:
        return set(db.execute("SELECT type, name, tbl_name, sql FROM sqlite_master"))


def triggers(file: Path) -> set[str]:
    return {name for kind, name, *_ in schema(file) if kind == "trigger"}


def check(file: Path, pragma: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(file)) as db:
        return db.execute(f"PRAGMA {pragma}").fetchall()


EVERY_TRIGGER = {f"{table}_no_{verb}" for table in APPEND_ONLY for verb in ("update", "delete")}


@pytest.mark.parametrize("dump", REVISIONS, ids=lambda dump: dump.stem)
def test_an_earlier_revision_is_upgraded_and_no_row_is_lost(dump: Path, file: Path) -> None:
    restore(dump, file)
    before = counts(file)

    with Store(file.parent) as store:
        assert migrate.current(store._reader) == migrate.head()

    assert {table: counts(file)[table] for table in before} == before
    assert min(before.values()) > 0
    assert triggers(file) == EVERY_TRIGGER
    assert check(file, "integrity_check") == [("ok",)]
    assert check(file, "foreign_key_check") == []


def test_the_newest_revision_has_a_dump_for_later_ones_to_start_from() -> None:
    assert REVISIONS[-1].stem == migrate.head()


def test_the_newest_dump_has_the_tables_of_the_newest_revision(file: Path, empty_database: Path) -> None:
    restore(REVISIONS[-1], file)

    assert schema(file) == schema(empty_database)


def test_migrations_lead_to_what_the_tables_say() -> None:
    assert drift() == []


def test_control_a_column_that_no_migration_makes_is_seen() -> None:
    metadata = sa.MetaData(naming_convention=SQLModel.metadata.naming_convention)
    for table in SQLModel.metadata.sorted_tables:
        table.to_metadata(metadata)
    metadata.tables["bay"].append_column(sa.Column("colour", sa.String()))

    ((kind, _, table_name, column),) = drift(metadata)

    assert (kind, table_name, column.name) == ("add_column", "bay", "colour")


def test_rebuilding_tables_keeps_every_row_and_every_trigger(
    filled_database: Path, file: Path, later: Path
) -> None:
    shutil.copy(filled_database, file)
    later.write_text(LATER.format(head=migrate.head(), last="pass"))
    before = counts(file)

    upgrade_to_later(file)

    assert counts(file) == before
    assert triggers(file) == EVERY_TRIGGER
    assert check(file, "foreign_key_check") == []


def test_control_rebuilding_drops_the_triggers_of_a_table(
    filled_database: Path, file: Path, later: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copy(filled_database, file)
    later.write_text(LATER.format(head=migrate.head(), last="pass"))
    monkeypatch.setattr(append_only, "guard", lambda connection: None)

    upgrade_to_later(file)

    assert triggers(file) == EVERY_TRIGGER - {"capture_no_update", "capture_no_delete"}


@pytest.mark.parametrize(
    ("last", "error"),
    [
        ("raise ZeroDivisionError", ZeroDivisionError),
        ("op.execute('DELETE FROM vehicle')", sa.exc.IntegrityError),  # leaves jobs without their car
    ],
)
def test_a_migration_that_fails_leaves_all_as_it_was(
    filled_database: Path, file: Path, later: Path, last: str, error: type[Exception]
) -> None:
    shutil.copy(filled_database, file)
    later.write_text(LATER.format(head=migrate.head(), last=last))
    before = schema(file), counts(file)

    with pytest.raises(error):
        upgrade_to_later(file)

    assert (schema(file), counts(file)) == before


def upgrade_to_later(file: Path) -> None:
    """With foreign keys on, as the store's own connections have them."""
    engine = sa.create_engine(f"sqlite:///{file}", connect_args={"isolation_level": None})
    sa.event.listen(engine, "connect", lambda raw, _: raw.execute("PRAGMA foreign_keys=on").close())
    sa.event.listen(engine, "begin", lambda connection: connection.exec_driver_sql("BEGIN IMMEDIATE").close())
    try:
        migrate.upgrade(engine, "later")
    finally:
        engine.dispose()
