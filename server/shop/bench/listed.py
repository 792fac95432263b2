"""Fields that are lists: lengths, turns, and what is in a drawer."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.compute import measure
from server.compute.answer import Known
from server.compute.refusal import Refused
from server.compute.show import System, usual_unit
from server.compute.unit import Quantity
from server.shop.bench.field import Field, Read, Schema, number
from server.shop.bench.figure import rounded
from server.shop.refusal import Refusal

Drawer = dict[float, int]  # thickness [m] to how many

MOST_LINES = 24
THINNEST_m, THICKEST_m = 1e-5, 0.025
MOST_ALIKE = 999
_TURN_rad = (math.radians(1), math.tau)
_PILE = re.compile(r"(?P<count>[0-9]{1,4}) ?[x×*] ?(?P<thickness>.+)", re.IGNORECASE)
_THICKNESS: Schema = {"type": "number", "minimum": THINNEST_m, "maximum": THICKEST_m}


@dataclass(frozen=True, slots=True, kw_only=True)
class Thicknesses(Field):
    """Thicknesses, one a line or with a plus between them."""

    most: int
    zero: bool = False  # whether there may be a pack without shims

    control = "lines"

    @property
    def key(self) -> str:
        return f"{self.name}_m"

    def unit(self, system: System) -> str:
        return usual_unit(Quantity.LENGTH, system)

    def _read(self, text: str, system: System) -> Read:
        unit, lines = self.unit(system), _lines(text, self.most)
        readings = [_thickness(line, unit, at, zero=self.zero) for at, line in enumerate(lines, start=1)]
        doubt = next((one.implausible for one in readings if one.implausible), "")
        return Read(tuple(one.known for one in readings), "; ".join(one.read_as for one in readings), doubt)

    def _take(self, sent: Mapping[str, object]) -> tuple[Known, ...]:
        listed = _listed(sent, self.key, self.most)
        low = 0.0 if self.zero else THINNEST_m
        return tuple(Known(number({self.key: one}, self.key, low, THICKEST_m)) for one in listed)

    @property
    def schema(self) -> Schema:
        item = _THICKNESS | {"minimum": 0.0} if self.zero else _THICKNESS
        says = f"{self.label}. {self.help}".strip()
        return {self.key: _list_of(item, self.most) | {"description": says}}

    @property
    def example_sent(self) -> dict[str, Any]:
        return {self.key: [rounded(one.value) for one in self._read(self.example, "inch").value]}


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns(Field):
    """Angles turned one after another, one a line or with a plus between them."""

    most: int

    control = "lines"

    @property
    def key(self) -> str:
        return f"{self.name}_rad"

    def unit(self, system: System) -> str:
        return usual_unit(Quantity.ANGLE, system)

    def _read(self, text: str, system: System) -> Read:
        unit = self.unit(system)
        turns = [_turn(line, unit, at) for at, line in enumerate(_lines(text, self.most), start=1)]
        return Read(tuple(one.known for one in turns), " + ".join(one.read_as for one in turns))

    def _take(self, sent: Mapping[str, object]) -> tuple[Known, ...]:
        listed = _listed(sent, self.key, self.most)
        return tuple(Known(number({self.key: one}, self.key, *_TURN_rad)) for one in listed)

    @property
    def schema(self) -> Schema:
        item = {"type": "number", "minimum": _TURN_rad[0], "maximum": _TURN_rad[1]}
        return {self.key: _list_of(item, self.most) | {"description": f"{self.label}. {self.help}".strip()}}

    @property
    def example_sent(self) -> dict[str, Any]:
        return {self.key: [rounded(one.value) for one in self._read(self.example, "inch").value]}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(Field):
    """How many shims there are of each thickness."""

    control = "lines"

    def unit(self, system: System) -> str:
        return usual_unit(Quantity.LENGTH, system)

    def _read(self, text: str, system: System) -> Read:
        drawer: Drawer = {}
        echoes = []
        for at, line in enumerate(_lines(text, MOST_LINES), start=1):
            pile = _PILE.fullmatch(line)
            if pile is None:
                raise Refused(f"No. {at}: write how many and how thick, like 6 × 1/8 in.")
            reading = _thickness(pile["thickness"], self.unit(system), at)
            _add(drawer, reading.value, int(pile["count"]))
            echoes.append(f"{pile['count']} × {reading.read_as}")
        return Read(drawer, "; ".join(echoes))

    def _take(self, sent: Mapping[str, object]) -> Drawer:
        drawer: Drawer = {}
        for pile in _listed(sent, self.key, MOST_LINES):
            if not isinstance(pile, dict) or set(pile) != {"thickness_m", "count"}:
                raise Refusal(f"Each of {self.key} has just thickness_m and count.", field=self.key)
            try:
                count = number(pile, "count", 0, MOST_ALIKE)
                thickness_m = number(pile, "thickness_m", THINNEST_m, THICKEST_m)
            except Refusal as refusal:
                raise Refusal(refusal.sentence, field=self.key) from refusal
            if count != int(count):
                raise Refusal("count is a whole number.", field=self.key)
            _add(drawer, thickness_m, int(count))
        return drawer

    @property
    def schema(self) -> Schema:
        pile = {
            "type": "object",
            "additionalProperties": False,
            "required": ["thickness_m", "count"],
            "properties": {
                "thickness_m": _THICKNESS,
                "count": {"type": "integer", "minimum": 0, "maximum": MOST_ALIKE},
            },
        }
        return {self.key: _list_of(pile, MOST_LINES) | {"description": self.label}}

    @property
    def example_sent(self) -> dict[str, Any]:
        drawer: Drawer = self._read(self.example, "inch").value
        return {self.key: [{"thickness_m": rounded(one), "count": count} for one, count in drawer.items()]}


def _lines(text: str, most: int) -> list[str]:
    lines = [line.strip() for line in re.split(r"[\n;+]", text) if line.strip()]
    if not lines:
        raise Refused("Write at least one, each on a line of its own.")
    if len(lines) > most:
        raise Refused(f"At most {most} here.")
    return lines


def _thickness(text: str, unit: str, at: int, *, zero: bool = False) -> measure.Reading:
    """The thickness that stands at that place of the list."""
    try:
        reading = measure.read(text, Quantity.LENGTH, default_unit=unit, zero=zero)
    except Refused as refused:
        raise Refused(f"No. {at}: {refused}") from refused
    if reading.value > THICKEST_m:
        raise Refused(f"No. {at}: {reading.read_as} is too thick; a pack is thinner than 25 mm.")
    if 0 < reading.value < THINNEST_m:
        raise Refused(f"No. {at}: {reading.read_as} is thinner than any shim.")
    return reading


def _turn(text: str, unit: str, at: int) -> measure.Reading:
    """The angle that stands at that place of the list."""
    try:
        reading = measure.read(text, Quantity.ANGLE, default_unit=unit, zero=False)
    except Refused as refused:
        raise Refused(f"No. {at}: {refused}") from refused
    if not _TURN_rad[0] <= reading.value <= _TURN_rad[1]:
        raise Refused(f"No. {at}: a turn lies between 1° and 360°.")
    return reading


def _listed(sent: Mapping[str, object], key: str, most: int) -> list[object]:
    listed = sent[key]
    if not isinstance(listed, list) or not 1 <= len(listed) <= most:
        raise Refusal(f"{key} is a list of 1 to {most}.", field=key)
    return listed


def _list_of(item: Schema, most: int) -> Schema:
    return {"type": "array", "minItems": 1, "maxItems": most, "items": item}


def _add(drawer: Drawer, thickness_m: float, count: int) -> None:
    """The same thickness twice is one pile."""
    same = next((one for one in drawer if abs(one - thickness_m) < 1e-9), thickness_m)
    drawer[same] = drawer.get(same, 0) + count
