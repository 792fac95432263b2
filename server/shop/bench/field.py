"""What a calculator asks for: each field knows how people type it and how a program sends it."""

from abc import ABC, abstractmethod
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from math import isfinite
from typing import Any

from server.compute.refusal import Refused
from server.compute.show import System
from server.shop.refusal import Refusal

Schema = dict[str, Any]  # JSON Schema 2020-12


@contextmanager
def beside(field: str) -> Iterator[None]:
    """What the computation refuses in this block is said beside that field."""
    try:
        yield
    except Refused as refused:
        raise Refusal(str(refused), field=field) from refused


@dataclass(frozen=True, slots=True)
class Read:
    """A field as it was understood."""

    value: Any  # None where it was left empty
    echo: str = ""  # for the person to see: `12 5/8 in = 320.675 mm`
    doubt: str = ""  # why it may have been misread


@dataclass(frozen=True, slots=True, kw_only=True)
class Field(ABC):
    """One thing that a calculator asks for."""

    name: str  # as the calculator's function takes it
    label: str
    example: str  # as typed
    help: str = ""
    needed: bool = True
    start: str = ""  # what a new page has filled in
    offered: str = ""  # what the shop fills in instead: `system`, `today` or `drawer`

    control = "line"  # line | choice | day | lines

    @property
    def key(self) -> str:
        """What a program calls it."""
        return self.name

    @property
    def keys(self) -> tuple[str, ...]:
        """All that a program may send for it."""
        return (self.key,)

    def unit(self, system: System) -> str:
        """The unit taken where none is typed."""
        return ""

    def read(self, text: str, system: System) -> Read:
        """What was typed; raises Refusal with this field's name."""
        if not text.strip():
            if self.needed:
                raise Refusal("Fill this in.", field=self.name)
            return Read(None)
        with beside(self.name):
            return self._read(text, system)

    def take(self, sent: Mapping[str, object]) -> Any:
        """What a program sent; raises Refusal with the name it used."""
        if self.key not in sent:
            if self.needed:
                raise Refusal(f"{self.key} is needed.", field=self.key)
            return None
        return self._take(sent)

    @abstractmethod
    def _read(self, text: str, system: System) -> Read:
        """What was typed, which is not empty; raises Refused."""

    @abstractmethod
    def _take(self, sent: Mapping[str, object]) -> Any:
        """What was sent, which is there; raises Refusal."""

    @property
    @abstractmethod
    def schema(self) -> Schema:
        """The JSON Schema of each of its keys."""

    @property
    def example_sent(self) -> dict[str, Any]:
        """The example as a program sends it."""
        return {self.key: self.example}


def number(sent: Mapping[str, object], key: str, low: float, high: float) -> float:
    """A plain finite number that a program sent; raises Refusal with its key."""
    value = sent[key]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refusal(f"{key} is a number, not text, true, false, null or a list.", field=key)
    if isinstance(value, float) and not isfinite(value):
        raise Refusal(f"{key} is not a number that can be worked with.", field=key)
    if not low <= value <= high:
        raise Refusal(f"{key} lies between {low:g} and {high:g}.", field=key)
    return float(value)


def words(sent: Mapping[str, object], key: str) -> str:
    """A text that a program sent; raises Refusal with its key."""
    value = sent[key]
    if not isinstance(value, str):
        raise Refusal(f"{key} is text, not a number, true, false, null or a list.", field=key)
    return value
