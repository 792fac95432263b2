"""A calculator of the bench: what it asks, what it answers. Page and interface both come from this."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from server.compute.answer import Answer
from server.compute.refusal import Refused
from server.shop.bench.field import Field
from server.shop.refusal import Refusal

BEYOND = "With these figures nothing sensible comes out; look at them again."


@dataclass(frozen=True, slots=True)
class Line:
    """One figure of a result."""

    key: str  # as a program knows it, with its unit: `setting_Nm`
    name: str  # as a person reads it
    answer: Answer
    pieces_m: tuple[float, ...] = ()  # what a pack is made of


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What comes out: the figure asked for, then what belongs to it."""

    lines: tuple[Line, ...]
    verdict: str = ""  # in a word or three: `tighten on to the next slot`
    says: str = ""  # a sentence
    cautions: tuple[str, ...] = ()
    generic: bool = False  # from tables, not the maker's
    order: tuple[int, ...] = ()  # in which the fasteners are tightened
    big: int = 1  # how many of the lines are what was asked for

    @property
    def main(self) -> Line:
        """The figure that was asked for."""
        return self.lines[0]

    @property
    def all_cautions(self) -> tuple[str, ...]:
        """Those of the result and those of each figure, each once."""
        of_figures = (caution for line in self.lines for caution in line.answer.cautions)
        return tuple(dict.fromkeys((*self.cautions, *of_figures)))


@dataclass(frozen=True, slots=True)
class Sign:
    """What must be read first, with its signal word: danger, warning, caution."""

    word: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculator:
    """One entry of the bench. `work` takes every field by its name; an empty one is None."""

    name: str  # in addresses
    title: str
    subject: str
    lead: str  # what it is for, in a sentence
    fields: tuple[Field, ...]
    work: Callable[..., Result]
    sign: Sign | None = None

    def result(self, values: Mapping[str, Any]) -> Result:
        """What comes out of these; raises Refusal."""
        try:
            result = self.work(**values)
        except Refused as refused:
            raise Refusal(str(refused)) from refused
        figures = (figure for line in result.lines for figure in (line.answer.value, line.answer.uncertainty))
        if not all(isfinite(figure) for figure in figures):
            raise Refusal(BEYOND)
        return result

    @property
    def example(self) -> dict[str, str]:
        """Every field's example, as typed."""
        return {field.name: field.example for field in self.fields if field.example}
