"""Do the migrations lead to what `tables.py` says? `uv run python -m server.store.drift` exits 1 if not."""

import sys
import tempfile
from typing import Any

import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlmodel import SQLModel

from server.store import (
    migrate,
    tables,  # noqa: F401  fills the metadata
)


def drift(metadata: sa.MetaData = SQLModel.metadata) -> list[Any]:
    """What still differs after all migrations have run on an empty database, as alembic tells it."""
    with tempfile.TemporaryDirectory() as folder:
        engine = sa.create_engine(f"sqlite:///{folder}/empty.sqlite3")
        migrate.upgrade(engine)
        with engine.connect() as connection:
            found = compare_metadata(MigrationContext.configure(connection), metadata)
        engine.dispose()
    return list(found)


if __name__ == "__main__":
    differences = drift()
    for difference in differences:
        print(difference)
    sys.exit(1 if differences else 0)
