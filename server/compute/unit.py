"""The units people write, and what one of each is in SI."""

import re
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import cache
from itertools import product

from server.compute import constants as c


class Quantity(StrEnum):
    """What kind of thing a figure is. In brackets: the SI unit it is kept in."""

    LENGTH = "length"  # [m]
    ANGLE = "angle"  # [rad]
    TORQUE = "torque"  # [N·m]
    COUNT = "count"  # whole things
    NUMBER = "number"  # a plain figure: coils, a friction coefficient, a ratio
    FORCE = "force"  # [N]
    PRESSURE = "pressure"  # [Pa] of air
    STRESS = "stress"  # [Pa] in a material
    DISTANCE = "distance"  # [m] on the odometer
    MASS = "mass"  # [kg]
    RATE = "spring rate"  # [N/m]
    ENERGY = "energy"  # [J]
    FREQUENCY = "frequency"  # [Hz]


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as we write it, its size in SI, and every way people spell it."""

    name: str
    quantity: Quantity
    si: Fraction
    decimals: int  # enough to show what a workshop can measure
    echo: str = ""  # the unit of the other system to show beside it
    spellings: frozenset[str] = field(default_factory=frozenset)

    def of(self, value_si: float) -> float:
        """The SI value counted in this unit."""
        return value_si / float(self.si)

    def write(self, value_si: float) -> str:
        """`8.47 N·m`: at this unit's decimals, without trailing zeros."""
        return f"{plain(self.of(value_si), self.decimals)}{self.tail}"

    @property
    def tail(self) -> str:
        """What follows the digits: degrees sit close, words stand off."""
        return self.name if self.name in ("°", "'", "") else f" {self.name}"


def plain(value: float, decimals: int) -> str:
    """`320.7` for 320.700: fixed decimals, trailing zeros and a bare minus zero taken off."""
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def spell(text: str) -> str:
    """One key for all ways of joining a unit's parts: `lbf·ft`, `LBF-FT` and `lbf. ft.` are `lbf ft`."""
    return " ".join(part for part in re.split(r"[ .·⋅*-]+", text.lower()) if part)


def _twice(left: str, right: str) -> frozenset[str]:
    """Spellings of a product in either order, joined or apart: `ft lb`, `lbs ft`, `lbft`."""
    pairs = [*product(left.split(), right.split()), *product(right.split(), left.split())]
    return frozenset(f"{a}{joint}{b}" for a, b in pairs for joint in ("", " "))


def _any(text: str) -> frozenset[str]:
    return frozenset(text.split())


_Q = Quantity
_FEET, _INCHES = "ft foot feet", "in inch inches"

UNITS: tuple[Unit, ...] = (
    Unit("in", _Q.LENGTH, c.INCH_m, 4, "mm", _any(f'{_INCHES} "')),
    Unit("mm", _Q.LENGTH, Fraction(1, 1000), 4, "in", _any("mm")),
    Unit("cm", _Q.LENGTH, Fraction(1, 100), 4, "mm", _any("cm")),
    Unit("m", _Q.LENGTH, Fraction(1), 6, "mm", _any("m")),
    Unit("ft", _Q.LENGTH, c.FOOT_m, 5, "mm", _any(f"{_FEET} '")),
    Unit("thou", _Q.LENGTH, c.INCH_m / 1000, 1, "mm", _any("thou")),
    Unit("°", _Q.ANGLE, c.DEGREE_rad, 4, "", _any("° º deg degs degree degrees")),
    Unit("'", _Q.ANGLE, c.DEGREE_rad / 60, 2, "°", _any("' min minute minutes")),
    Unit("lbf·ft", _Q.TORQUE, c.LBF_FT_Nm, 2, "N·m", _twice("lb lbs lbf", _FEET)),
    Unit("N·m", _Q.TORQUE, Fraction(1), 2, "lbf·ft", frozenset(("n m", "nm"))),
    Unit("lbf·in", _Q.TORQUE, c.LBF_IN_Nm, 1, "N·m", _twice("lb lbs lbf", _INCHES)),
    Unit("kgf·m", _Q.TORQUE, c.KGF_M_Nm, 3, "N·m", _twice("kgf kg", "m")),
    Unit("", _Q.COUNT, Fraction(1), 0),
    Unit("", _Q.NUMBER, Fraction(1), 6),
    Unit("lbf", _Q.FORCE, c.LBF_N, 1, "N", _any("lb lbs lbf")),
    Unit("N", _Q.FORCE, Fraction(1), 1, "lbf", _any("n")),
    Unit("kN", _Q.FORCE, Fraction(1000), 4, "lbf", _any("kn")),
    Unit("kgf", _Q.FORCE, c.KGF_N, 2, "N", _any("kgf")),
    Unit("psi", _Q.PRESSURE, c.PSI_Pa, 2, "kPa", _any("psi")),
    Unit("kPa", _Q.PRESSURE, Fraction(1000), 1, "psi", _any("kpa")),
    Unit("bar", _Q.PRESSURE, c.BAR_Pa, 3, "psi", _any("bar")),
    Unit("MPa", _Q.STRESS, Fraction(10**6), 2, "ksi", _any("mpa n/mm2")),
    Unit("GPa", _Q.STRESS, Fraction(10**9), 4, "ksi", _any("gpa")),
    Unit("ksi", _Q.STRESS, c.KSI_Pa, 3, "MPa", _any("ksi")),
    Unit("psi", _Q.STRESS, c.PSI_Pa, 0, "MPa", _any("psi")),
    Unit("mi", _Q.DISTANCE, c.MILE_m, 1, "km", _any("mi mile miles")),
    Unit("km", _Q.DISTANCE, Fraction(1000), 1, "mi", _any("km")),
    Unit("lb", _Q.MASS, c.POUND_kg, 2, "kg", _any("lb lbs")),
    Unit("kg", _Q.MASS, Fraction(1), 2, "lb", _any("kg")),
    Unit("lbf/in", _Q.RATE, c.LBF_PER_IN_N_per_m, 2, "N/mm", _any("lb/in lbs/in lbf/in")),
    Unit("N/mm", _Q.RATE, Fraction(1000), 3, "lbf/in", _any("n/mm")),
    Unit("kgf/mm", _Q.RATE, c.KGF_N * 1000, 4, "N/mm", _any("kgf/mm kg/mm")),
    Unit("ft·lbf", _Q.ENERGY, c.LBF_FT_Nm, 1, "J"),
    Unit("J", _Q.ENERGY, Fraction(1), 1, "ft·lbf", _any("j")),
    Unit("Hz", _Q.FREQUENCY, Fraction(1), 2, "", _any("hz")),
)


def units_of(quantity: Quantity) -> tuple[Unit, ...]:
    """The units of one quantity, the usual ones first."""
    return tuple(unit for unit in UNITS if unit.quantity is quantity)


@cache
def unit_named(name: str, quantity: Quantity) -> Unit:
    """The unit that someone spelled, of this quantity.

    raises     KeyError if this quantity has no such unit
    """
    key = spell(name)
    for unit in units_of(quantity):
        if name == unit.name or key in unit.spellings:
            return unit
    raise KeyError(f"{quantity} has no unit {name!r}")


def quantities_with(name: str) -> tuple[Quantity, ...]:
    """The quantities in which this spelling is a unit: `lb` is a force and a mass."""
    key = spell(name)
    return tuple(dict.fromkeys(unit.quantity for unit in UNITS if key in unit.spellings))
