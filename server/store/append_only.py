"""Triggers by which the database itself refuses to change or delete a row of an append-only table.

They are dropped with their table, as a migration in batch mode does: `migrate.upgrade` therefore
calls `guard` after every migration, and it puts back what is missing.
"""

import sqlalchemy as sa

from server.store.tables import APPEND_ONLY

SQLITE = {
    verb: f"""
    CREATE TRIGGER IF NOT EXISTS {{table}}_no_{verb.lower()} BEFORE {verb} ON {{table}}
    BEGIN
        SELECT RAISE(ABORT, '{{table}} is append-only: add a row that supersedes');
    END
    """
    for verb in ("UPDATE", "DELETE")
}

POSTGRESQL_REFUSE = """
CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '% is append-only: add a row that supersedes', TG_TABLE_NAME;
END
$$
"""

POSTGRESQL = """
CREATE OR REPLACE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()
"""


def guard(connection: sa.Connection) -> None:
    """Put the triggers on every append-only table that this database has."""
    there = set(sa.inspect(connection).get_table_names())
    for statement in statements(connection.dialect.name, [table for table in APPEND_ONLY if table in there]):
        connection.execute(sa.text(statement))


def statements(dialect: str, tables: list[str]) -> list[str]:
    """The DDL that guards these tables.

    dialect    sqlite or postgresql
    raises     KeyError for another dialect: an unguarded record would be worse than no start
    """
    return {
        "sqlite": [ddl.format(table=table) for table in tables for ddl in SQLITE.values()],
        "postgresql": [POSTGRESQL_REFUSE, *(POSTGRESQL.format(table=table) for table in tables)],
    }[dialect]
