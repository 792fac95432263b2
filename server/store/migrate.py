"""Bring a database to the tables of this version. Either all of it happens or nothing does."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import sqlalchemy as sa
from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from server.store import append_only

SCRIPTS = Path(__file__).parent / "migrations"


def upgrade(engine: sa.Engine, revision: str = "head") -> None:
    """Run the migrations that are still missing, in one transaction with the checks after them."""
    with engine.connect() as connection, _foreign_keys_off(connection), connection.begin():
        command.upgrade(config(connection), revision)
        append_only.guard(connection)
        _check_foreign_keys(connection)


def current(engine: sa.Engine) -> str | None:
    """The revision a database is at, or none for an empty one."""
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


@cache
def head() -> str:
    """The revision this version of the program works with."""
    revision = _scripts().get_current_head()
    if revision is None:
        raise LookupError("no migrations were installed")
    return revision


def is_known(revision: str) -> bool:
    return revision in {script.revision for script in _scripts().walk_revisions()}


def config(connection: sa.Connection | None = None) -> Config:
    """Alembic's settings, made here so that no file outside the package is needed."""
    settings = Config()
    settings.set_main_option("script_location", str(SCRIPTS))
    settings.set_main_option("path_separator", "os")
    settings.set_main_option("file_template", "r%%(rev)s_%%(slug)s")
    settings.attributes["connection"] = connection
    return settings


def _scripts() -> ScriptDirectory:
    return ScriptDirectory.from_config(config())


@contextmanager
def _foreign_keys_off(connection: sa.Connection) -> Iterator[None]:
    """Keeps child rows when batch mode drops and rebuilds their parent table.

    SQLite ignores the switch inside a transaction, so it is thrown on the driver's own connection.
    """
    if connection.dialect.name != "sqlite":
        yield
        return
    raw = connection.connection.cursor()
    raw.execute("PRAGMA foreign_keys=off")
    try:
        yield
    finally:
        raw.execute("PRAGMA foreign_keys=on")
        raw.close()


def _check_foreign_keys(connection: sa.Connection) -> None:
    if connection.dialect.name != "sqlite":
        return
    orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if orphans:
        raise sa.exc.IntegrityError("PRAGMA foreign_key_check", None, ValueError(f"{len(orphans)} orphans"))
