"""Two rows in every table, made from the types of the columns, so that a new table needs nothing here."""

from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import SQLModel

from server.store.engine import Store

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
EXAMPLES: dict[type[sa.types.TypeEngine[Any]], Any] = {
    sa.Boolean: False,
    sa.Float: 1.5,
    sa.DateTime: NOON,
    sa.JSON: [1, 2],
}


def fill(store: Store) -> None:
    with store.writing() as db:
        for table in SQLModel.metadata.sorted_tables:
            for number in (1, 2):
                db.execute(sa.insert(table).values(row(table, number)))


def row(table: sa.Table, number: int) -> dict[str, Any]:
    return {column.name: value(column, number) for column in table.columns}


def value(column: sa.Column[Any], number: int) -> Any:
    """Unique within its column.

    A reference goes to the row of the same number, or within its own table to the one before.
    """
    for key in column.foreign_keys:
        if key.column.table is not column.table:
            return value(key.column, number)
        return value(key.column, number - 1) if number > 1 else None
    plain = column.type.impl if isinstance(column.type, sa.TypeDecorator) else column.type
    if isinstance(plain, sa.String):
        return f"{column.name} {number}"
    if isinstance(plain, sa.Integer):
        return number
    return EXAMPLES[type(plain)]
