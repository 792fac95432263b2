"""Instants in the store: timezone-aware UTC in, timezone-aware UTC out, on every database."""

from datetime import UTC, datetime

import sqlalchemy as sa


class Moment(sa.TypeDecorator[datetime]):
    """An instant. A time without a zone is refused, because nobody could say later what it meant."""

    impl = sa.DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: sa.Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant needs its time zone")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: sa.Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
