"""Units that the procedure library may use for what it asks a technician to measure."""

import re
from math import pi
from types import MappingProxyType
from typing import Literal

Quantity = Literal["length", "angle", "torque", "count", "distance", "pressure"]

# Each factor turns one unit into SI. Inch, pound-force, foot and mile are exact by definition.
_SI = {
    "length": {"m": 1.0, "cm": 1e-2, "mm": 1e-3, "in": 0.0254},
    "angle": {"rad": 1.0, "deg": pi / 180},
    "torque": {"N·m": 1.0, "lbf·ft": 4.4482216152605 * 0.3048},
    "count": {"": 1.0},
    "distance": {"km": 1e3, "mi": 1609.344},
    "pressure": {"kPa": 1e3, "bar": 1e5, "psi": 4.4482216152605 / 0.0254**2},
}
SI_PER_UNIT = MappingProxyType({quantity: MappingProxyType(units) for quantity, units in _SI.items()})

_FIGURE = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def si_value(text: str, *, quantity: Quantity) -> float:
    """The SI value of a plain figure with its unit, such as "320.5 mm".

    text       a decimal figure, a blank, a unit of that quantity; a count has no unit
    returns    [SI unit of the quantity]
    raises     ValueError with what is wrong
    """
    figure, _, unit = text.strip().partition(" ")
    units = SI_PER_UNIT[quantity]
    if not _FIGURE.fullmatch(figure):
        raise ValueError(f"{text!r}: a {quantity} starts with a plain decimal figure")
    if unit not in units:
        known = ", ".join(name for name in units if name) or "no unit"
        wrong = f"unit {unit!r} is not a unit of" if unit else "unit missing for a"
        raise ValueError(f"{text!r}: {wrong} {quantity} (known: {known})")
    return float(figure) * units[unit]
