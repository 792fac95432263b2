"""When the invented shop works: Monday to Friday in two stretches, by the clock of this machine."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

Stretch = tuple[datetime, datetime]

SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Hours:
    """The stretches of a working day, in local time."""

    stretches: tuple[tuple[time, time], ...] = ((time(7, 30), time(12, 0)), (time(12, 45), time(17, 0)))

    def latest(self, moment: datetime) -> datetime:
        """The last moment not after this one at which the shop was at work."""
        return next(min(end, moment) for _, end in self._backward(moment))

    def before(self, moment: datetime, minutes: float) -> datetime:
        """When work of so many minutes began, if it ended then."""
        left = timedelta(minutes=minutes)
        for start, end in self._backward(moment):
            stretch = min(end, moment) - start
            if left <= stretch:
                return start + stretch - left
            left -= stretch
        raise AssertionError("the past has no end")

    def after(self, moment: datetime, minutes: float) -> datetime:
        """When work of so many minutes ends, if it began then."""
        left = timedelta(minutes=minutes)
        for start, end in self._forward(moment):
            begin = max(start, moment)
            if left <= end - begin:
                return begin + left
            left -= end - begin
        raise AssertionError("the future has no end")

    def are_on(self, moment: datetime) -> bool:
        """Whether the shop was at work then, the ends of a stretch included."""
        day = moment.astimezone().date()
        return any(start <= moment <= end for start, end in self._of(day))

    def _backward(self, moment: datetime) -> Iterator[Stretch]:
        """The stretches that began before that, the last one first."""
        day = moment.astimezone().date()
        while True:
            yield from (one for one in reversed(self._of(day)) if one[0] < moment)
            day -= timedelta(days=1)

    def _forward(self, moment: datetime) -> Iterator[Stretch]:
        """The stretches that end after that, the first one first."""
        day = moment.astimezone().date()
        while True:
            yield from (one for one in self._of(day) if one[1] > moment)
            day += timedelta(days=1)

    def _of(self, day: date) -> list[Stretch]:
        if day.weekday() >= SATURDAY:
            return []
        return [(_local(day, start), _local(day, end)) for start, end in self.stretches]


def _local(day: date, clock: time) -> datetime:
    return datetime.combine(day, clock).astimezone().astimezone(UTC)
