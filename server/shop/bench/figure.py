"""Fields that are numbers: a quantity with its unit, a share in percent, a count."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from server.compute import measure
from server.compute.answer import Known
from server.compute.refusal import Refused
from server.compute.show import System, show, usual_unit
from server.compute.unit import Quantity
from server.shop.bench.field import Field, Read, Schema, number
from server.shop.refusal import Refusal

SI = {
    Quantity.LENGTH: "m",
    Quantity.ANGLE: "rad",
    Quantity.TORQUE: "Nm",
    Quantity.FORCE: "N",
    Quantity.PRESSURE: "Pa",
    Quantity.STRESS: "Pa",
    Quantity.DISTANCE: "m",
    Quantity.MASS: "kg",
    Quantity.RATE: "N_per_m",
    Quantity.ENERGY: "J",
    Quantity.FREQUENCY: "Hz",
}  # how a unit ends a field's name; counts and plain numbers have none

# The least above 0 and the most that a figure can be [SI], far outside any workshop: nothing overflows.
BOUNDS = {
    Quantity.LENGTH: (1e-6, 100.0),
    Quantity.ANGLE: (1e-6, 100.0),
    Quantity.TORQUE: (1e-3, 1e5),
    Quantity.NUMBER: (1e-6, 1e4),
    Quantity.FORCE: (1e-2, 1e7),
    Quantity.STRESS: (1e3, 1e13),
    Quantity.MASS: (1e-3, 1e6),
    Quantity.RATE: (1.0, 1e9),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure(Field):
    """A quantity: typed with its unit, sent as plain SI."""

    quantity: Quantity
    signed: bool = False
    zero: bool = False

    @property
    def key(self) -> str:
        return f"{self.name}_{SI[self.quantity]}" if self.quantity in SI else self.name

    @property
    def keys(self) -> tuple[str, ...]:
        return self.key, f"{self.key}_uncertainty"

    @property
    def ends(self) -> tuple[float, float]:
        """The least and the most it can be [SI]."""
        least, most = BOUNDS[self.quantity]
        return (-most if self.signed else 0.0 if self.zero else least), most

    def unit(self, system: System) -> str:
        return usual_unit(self.quantity, system)

    def _read(self, text: str, system: System) -> Read:
        unit = self.unit(system)
        zero = self.zero or self.signed
        reading = measure.read(text, self.quantity, default_unit=unit, signed=self.signed, zero=zero)
        low, high = self.ends
        if not low <= reading.value <= high:
            raise Refused(f"{self._shown(low, system)} to {self._shown(high, system)} is taken here.")
        return Read(reading.known, reading.read_as, reading.implausible or "")

    def _shown(self, value: float, system: System) -> str:
        return show(value, self.quantity, system=system)

    def _take(self, sent: Mapping[str, object]) -> Known:
        low, high = self.ends
        value = number(sent, self.key, low, high)
        off_key = self.keys[1]
        off = number(sent, off_key, 0.0, high) if off_key in sent else 0.0
        if off >= value and not (self.signed or self.zero):
            raise Refusal(f"{off_key} must be less than {self.key} itself.", field=off_key)
        return Known(value, off)

    @property
    def schema(self) -> Schema:
        low, high = self.ends
        words = f"{self.label}. {self.help}".strip()
        off = f"How far off {self.key} may be, half-width."
        return {
            self.key: {"type": "number", "minimum": low, "maximum": high, "description": words},
            self.keys[1]: {
                "type": "number",
                "minimum": 0.0,
                "maximum": high,
                "default": 0.0,
                "description": off,
            },
        }

    @property
    def example_sent(self) -> dict[str, Any]:
        reading = self._read(self.example, "inch").value
        return {self.key: rounded(reading.value), self.keys[1]: rounded(reading.uncertainty)}


a_length = partial(Figure, quantity=Quantity.LENGTH)
an_angle = partial(Figure, quantity=Quantity.ANGLE)
a_torque = partial(Figure, quantity=Quantity.TORQUE)
a_force = partial(Figure, quantity=Quantity.FORCE)
a_rate = partial(Figure, quantity=Quantity.RATE)
a_number = partial(Figure, quantity=Quantity.NUMBER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Share(Field):
    """A fraction: typed in percent, sent as a fraction of 1."""

    most: float = 0.5

    def unit(self, system: System) -> str:
        return "%"

    def _read(self, text: str, system: System) -> Read:
        typed = text.strip().removesuffix("%")
        percent = measure.read(typed, Quantity.NUMBER, default_unit="", zero=False).value
        if percent > 100 * self.most:
            raise Refused(f"At most {self.most:.0%} here.")
        return Read(percent / 100, f"{percent:g} %")

    def _take(self, sent: Mapping[str, object]) -> float:
        return number(sent, self.key, 0.001, self.most)

    @property
    def schema(self) -> Schema:
        words = f"{self.label}, as a fraction of 1. {self.help}".strip()
        return {self.key: {"type": "number", "minimum": 0.001, "maximum": self.most, "description": words}}

    @property
    def example_sent(self) -> dict[str, Any]:
        return {self.key: rounded(self._read(self.example, "inch").value)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Count(Field):
    """Whole things."""

    least: int = 1
    most: int

    def _read(self, text: str, system: System) -> Read:
        count = int(measure.read(text, Quantity.COUNT, default_unit="").value)
        if not self.least <= count <= self.most:
            raise Refused(f"{self.least} to {self.most} here.")
        return Read(count, str(count))

    def _take(self, sent: Mapping[str, object]) -> int:
        count = number(sent, self.key, self.least, self.most)
        if count != int(count):
            raise Refusal(f"{self.key} is a whole number.", field=self.key)
        return int(count)

    @property
    def schema(self) -> Schema:
        words = f"{self.label}. {self.help}".strip()
        return {
            self.key: {"type": "integer", "minimum": self.least, "maximum": self.most, "description": words}
        }

    @property
    def example_sent(self) -> dict[str, Any]:
        return {self.key: int(self.example)}


def rounded(value: float) -> float:
    """A figure for an example, to six digits."""
    return float(f"{value:.6g}")
