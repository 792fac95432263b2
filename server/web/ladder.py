"""Ladders as they are drawn: side by side, each half of a rung with where it leads and whose it is."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from server.shop.ladder import Ladder
from server.store.tables import Step

COLUMNS = (("car", "centre"), ("LF",), ("RF",))


@dataclass(frozen=True, slots=True)
class Half:
    """A rung going one way."""

    href: str
    state: str
    who: str  # who did it or has it in hand


@dataclass(frozen=True, slots=True)
class Rung:
    """One rung: down at the left, up at the right."""

    name: str
    down: Half | None
    up: Half | None


@dataclass(frozen=True, slots=True)
class LadderDrawn:
    """A ladder from its top rung down."""

    place: str
    name: str
    rungs: list[Rung]


def columns(ladders: Iterable[Ladder], names: Mapping[int, str]) -> list[list[LadderDrawn]]:
    """The car's own ladder and the front's above each other, then the corners; people's names by their id."""
    drawn = {one.place: LadderDrawn(one.place, one.name, _rungs(one, names)) for one in ladders}
    found = ([drawn[place] for place in column if place in drawn] for column in COLUMNS)
    return [column for column in found if column]


def _rungs(ladder: Ladder, names: Mapping[int, str]) -> list[Rung]:
    return [Rung(rung.name, _half(rung.down, names), _half(rung.up, names)) for rung in ladder.rungs]


def _half(step: Step | None, names: Mapping[int, str]) -> Half | None:
    if step is None:
        return None
    who = step.done_by or step.started_by
    return Half(f"/steps/{step.id}", step.state, names.get(who, "") if who else "")
