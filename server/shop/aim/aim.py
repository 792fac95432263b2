"""A target as it comes out now, and the ways in which most of them are made."""

from collections.abc import Iterator
from dataclasses import dataclass

from server.compute.answer import Answer, Known
from server.compute.show import System, show_both
from server.compute.unit import Quantity
from server.shop.evidence import Evidence, of_spec
from server.store.tables import Capture, Shim, Spec


@dataclass(frozen=True, slots=True)
class Aim:
    """One target as it comes out now: a figure with its why, or the sentence that says why there is none."""

    key: str
    place: str
    says: str
    answer: Answer | None = None
    captures: tuple[Capture, ...] = ()
    specs: tuple[Spec, ...] = ()
    missing: tuple[str, ...] = ()  # keys of the lines that the spec sheet has not
    drawer: tuple[Shim, ...] = ()  # what was in it


def from_sheet_if_there(
    evidence: Evidence, key: str, place: str, system: System, *, is_asked: bool
) -> Iterator[Aim]:
    """What the sheet says; where it says nothing, that, if a later step asks for the figure."""
    line = evidence.spec(key)
    if line is not None:
        yield from_sheet(key, place, line, system)
    elif is_asked:
        yield Aim(key, place, "The spec sheet says nothing of it.", missing=(key,))


def from_sheet(key: str, place: str, line: Spec, system: System) -> Aim:
    middle = of_spec(line)
    answer = Answer(
        middle.value, middle.uncertainty, Quantity(line.quantity), "as on the spec sheet", line.source, ()
    )
    return Aim(key, place, f"{shown(answer, system)} by the spec sheet.", answer, (), (line,))


def as_found(known: Known, formula: str, source: str) -> Answer:
    return Answer(known.value, known.uncertainty, Quantity.LENGTH, formula, source, ())


def shown(answer: Answer, system: System) -> str:
    return show_both(answer.value, answer.quantity, system=system, uncertainty=answer.uncertainty or None)
