"""A quantity written back the way the trade writes it, in either system, with its uncertainty."""

from fractions import Fraction
from math import floor, log10
from typing import Literal

from server.compute.constants import INCH_m
from server.compute.unit import Quantity, Unit, plain, unit_named

System = Literal["inch", "metric"]

FINEST_in = 64  # parts of an inch on a practical rule
_FINER_THAN_RULE_m = float(INCH_m) / 500  # a thousandth either way and better
_SMALL_TORQUE_Nm = 20.0  # below about 15 lbf·ft the trade speaks of lbf·in
_UNITS = {
    Quantity.LENGTH: ("in", "mm"),
    Quantity.ANGLE: ("°", "°"),
    Quantity.TORQUE: ("lbf·ft", "N·m"),
    Quantity.COUNT: ("", ""),
    Quantity.NUMBER: ("", ""),
    Quantity.FORCE: ("lbf", "N"),
    Quantity.PRESSURE: ("psi", "kPa"),
    Quantity.STRESS: ("ksi", "MPa"),
    Quantity.DISTANCE: ("mi", "km"),
    Quantity.MASS: ("lb", "kg"),
    Quantity.RATE: ("lbf/in", "N/mm"),
    Quantity.ENERGY: ("ft·lbf", "J"),
    Quantity.FREQUENCY: ("Hz", "Hz"),
}


def show(value: float, quantity: Quantity, *, system: System, uncertainty: float | None = None) -> str:
    """`12 5/8 in`, `320.7 mm`, `129 N·m ± 3 N·m`.

    value, uncertainty   [SI of the quantity]
    returns    inches as the nearest 1/64 with what is left over, other units to three figures; both no finer
               than the uncertainty makes sense
    """
    unit = _unit_for(value, quantity, system)
    if unit.name == "in":
        text = _inches(value, uncertainty or 0.0)
    else:
        text = f"{plain(unit.of(value), _decimals(value, unit, uncertainty))}{unit.tail}"
    return text if not uncertainty else f"{text} ± {_margin(unit.of(uncertainty))}{unit.tail}"


def show_both(value: float, quantity: Quantity, *, system: System, uncertainty: float | None = None) -> str:
    """`12 5/8 in (320.7 mm)`: the person's own system first; once only where both write it alike."""
    other: System = "metric" if system == "inch" else "inch"
    first = show(value, quantity, system=system, uncertainty=uncertainty)
    second = show(value, quantity, system=other, uncertainty=uncertainty)
    return first if first == second else f"{first} ({second})"


def show_made(length_m: float, *, system: System) -> str:
    """`3/16 in`, `0.257 in`: a length put together from whole pieces, as a micrometer would read it.

    returns    inches as a fraction where it is on the rule, else as thousandths; millimetres as ever
    """
    if system == "metric" or _is_on_rule(length_m):
        return show(length_m, Quantity.LENGTH, system=system)
    return f"{length_m / float(INCH_m):.3f} in"


def show_made_both(length_m: float, *, system: System) -> str:
    """`0.257 in (6.53 mm)`: the person's own system first."""
    other: System = "metric" if system == "inch" else "inch"
    return f"{show_made(length_m, system=system)} ({show_made(length_m, system=other)})"


def show_range(low: float, high: float, quantity: Quantity, *, system: System) -> str:
    """`60 to 75 lbf·ft`, `14 1/4 in`, `0.0556 in`: exact ends in one unit, and only one where they are equal.

    returns    inches as fractions where both ends are on the rule, else as decimals
    """
    unit = unit_named(usual_unit(quantity, system), quantity)
    ends = (low,) if low == high else (low, high)
    if unit.name == "in" and all(_is_on_rule(end) for end in ends):
        figures = [_mixed(nearest_inches(end)[0]) for end in ends]
    else:
        decimals = (3 if abs(unit.of(high)) >= 1 else 4) if unit.name == "in" else _decimals(high, unit, None)
        figures = [plain(unit.of(end), decimals) for end in ends]
    return " to ".join(figures) + unit.tail


def nearest_inches(length_m: float, parts: int = FINEST_in) -> tuple[Fraction, float]:
    """The nearest 1/64 in or coarser part, as a fraction of inches, and what the length is beyond it [m]."""
    inches = Fraction(round(length_m / float(INCH_m) * parts), parts)
    return inches, length_m - float(inches * INCH_m)


def _parts(uncertainty_m: float) -> int:
    """Into how many parts an inch is divided: steps of half the uncertainty, 1/64 at the finest."""
    parts = FINEST_in
    while parts > 1 and 4 * float(INCH_m) / parts <= uncertainty_m:
        parts //= 2
    return parts


def usual_unit(quantity: Quantity, system: System) -> str:
    """The unit that a figure without one is meant in: `in` or `mm`, `lbf·ft` or `N·m`."""
    inch, metric = _UNITS[quantity]
    return inch if system == "inch" else metric


def _unit_for(value: float, quantity: Quantity, system: System) -> Unit:
    inch, metric = _UNITS[quantity]
    if quantity is Quantity.TORQUE and system == "inch" and abs(value) < _SMALL_TORQUE_Nm:
        inch = "lbf·in"
    return unit_named(inch if system == "inch" else metric, quantity)


def _is_on_rule(length_m: float) -> bool:
    return abs(nearest_inches(length_m)[1]) < 1e-6


def _inches(length_m: float, uncertainty_m: float) -> str:
    """`12 5/8 in + 0.001 in`; what is left over is dropped when it is less than the uncertainty.

    What was measured finer than any rule is written as a micrometer shows it: `0.188 in`.
    """
    if 0 < uncertainty_m < _FINER_THAN_RULE_m:
        return f"{length_m / float(INCH_m):.{_margin_decimals(uncertainty_m / float(INCH_m)) - 1}f} in"
    inches, rest_m = nearest_inches(length_m, _parts(uncertainty_m))
    rest = plain(abs(rest_m) / float(INCH_m), 3)
    text = f"{_mixed(inches)} in"
    if rest == "0" or abs(rest_m) <= uncertainty_m:
        return text
    return f"{text} {'+' if rest_m > 0 else '−'} {rest} in"


def _mixed(inches: Fraction) -> str:
    """`12 5/8` for 101/8."""
    whole, part = divmod(abs(inches), 1)
    digits = " ".join(str(piece) for piece in (whole, part) if piece) or "0"
    return f"-{digits}" if inches < 0 else digits


def _decimals(value: float, unit: Unit, uncertainty: float | None) -> int:
    if uncertainty:
        return min(_margin_decimals(unit.of(uncertainty)), unit.decimals)
    if unit.quantity in (Quantity.COUNT, Quantity.DISTANCE):
        return 0
    if unit.quantity is Quantity.ANGLE:
        return 2
    if unit.name == "mm":
        return 1 if abs(unit.of(value)) >= 10 else 2
    return _places(unit.of(value), 3)


def _places(value: float, figures: int) -> int:
    """Decimals that show this many significant figures, none below the point for large values."""
    return figures if value == 0 else max(0, figures - 1 - floor(log10(abs(value))))


def _margin_decimals(margin: float) -> int:
    """One figure, or two when the first is a 1, where one would round by half."""
    first = floor(abs(margin) / 10 ** floor(log10(abs(margin))))
    return _places(margin, 2 if first == 1 else 1)


def _margin(margin: float) -> str:
    return plain(margin, _margin_decimals(margin))
