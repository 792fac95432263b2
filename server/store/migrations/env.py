"""Run by alembic for every migration; `server.store.migrate` hands it the connection."""

from typing import Any, Literal

import sqlalchemy as sa
from alembic import context
from alembic.autogenerate.api import AutogenContext
from sqlmodel import SQLModel
from sqlmodel.sql.sqltypes import AutoString

from server.store import tables  # noqa: F401  fills the metadata
from server.store.moment import Moment


def render_item(kind: str, item: Any, _context: AutogenContext) -> str | Literal[False]:
    """Write our types as plain SQLAlchemy, so that an old migration outlives the class it was made from."""
    if kind == "type" and isinstance(item, AutoString):
        return "sa.String()"
    if kind == "type" and isinstance(item, Moment):
        return "sa.DateTime(timezone=True)"
    return False


def run(connection: sa.Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=SQLModel.metadata,
        render_as_batch=True,
        render_item=render_item,
    )
    with context.begin_transaction():
        context.run_migrations()


run(context.config.attributes["connection"])
