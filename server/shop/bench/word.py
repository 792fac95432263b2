"""Fields that are words: one of several, a day, a thread, a text."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from server.compute.figure import LONGEST
from server.compute.refusal import Refused
from server.compute.show import System
from server.compute.thread import ThreadSize, thread_size
from server.shop.bench.field import Field, Read, Schema, beside, words
from server.shop.refusal import Refusal


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Field):
    """One of several."""

    options: tuple[tuple[str, str], ...]  # value and words
    control = "choice"

    @property
    def values(self) -> tuple[str, ...]:
        """What can be chosen."""
        return tuple(value for value, _ in self.options)

    def _read(self, text: str, system: System) -> Read:
        if text not in self.values:
            raise Refused("Choose one of these.")
        return Read(text, dict(self.options)[text])

    def _take(self, sent: Mapping[str, object]) -> str:
        value = words(sent, self.key)
        if value not in self.values:
            raise Refusal(f"{self.key} is one of {', '.join(self.values)}.", field=self.key)
        return value

    @property
    def schema(self) -> Schema:
        meant = "; ".join(f"{value}: {words}" for value, words in self.options)
        usual = {"default": self.start} if self.start else {}
        says = f"{self.label}. {meant}."
        return {self.key: {"type": "string", "enum": list(self.values), "description": says} | usual}


@dataclass(frozen=True, slots=True, kw_only=True)
class Day(Field):
    """A day of the calendar."""

    control = "day"

    def _read(self, text: str, system: System) -> Read:
        day = _day(text.strip())
        return Read(day, day.isoformat())

    def _take(self, sent: Mapping[str, object]) -> date:
        text = words(sent, self.key)
        with beside(self.key):
            return _day(text)

    @property
    def schema(self) -> Schema:
        shape = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
        return {self.key: {"type": "string", "format": "date", "pattern": shape, "description": self.label}}


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread(Field):
    """A thread by its designation: 1/2-20, M12x1.5."""

    def _read(self, text: str, system: System) -> Read:
        size = thread_size(text)
        return Read(size, size.text)

    def _take(self, sent: Mapping[str, object]) -> ThreadSize:
        text = words(sent, self.key)
        with beside(self.key):
            return thread_size(text)

    @property
    def schema(self) -> Schema:
        says = f"{self.label}. 1/2-20 or M12x1.5."
        return {self.key: {"type": "string", "maxLength": LONGEST, "description": says}}


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed(Field):
    """Something kept as it was typed, for the calculator itself to read."""

    def _read(self, text: str, system: System) -> Read:
        return Read(text)

    def _take(self, sent: Mapping[str, object]) -> str:
        return words(sent, self.key)

    @property
    def schema(self) -> Schema:
        return {self.key: {"type": "string", "maxLength": LONGEST, "description": self.label}}


def _day(text: str) -> date:
    try:
        if re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text)
    except ValueError as error:
        raise Refused("There is no such day.") from error
    raise Refused("Write the day as 2026-11-25.")
