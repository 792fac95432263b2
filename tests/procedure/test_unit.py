"""Units of the library against an outside library of units."""

import pint
import pytest

from server.procedure.unit import SI_PER_UNIT, si_value

OUTSIDE = {"N·m": "N*m", "lbf·ft": "lbf*ft", "deg": "degree"}
BASE = {"length": "m", "angle": "rad", "torque": "N*m", "distance": "m", "pressure": "Pa"}


@pytest.mark.parametrize(
    ("quantity", "unit"),
    [(quantity, unit) for quantity, units in SI_PER_UNIT.items() for unit in units if unit],
)
def test_each_unit_is_what_pint_says(quantity: str, unit: str) -> None:
    expected = pint.UnitRegistry().Quantity(1.0, OUTSIDE.get(unit, unit)).to(BASE[quantity]).magnitude

    assert SI_PER_UNIT[quantity][unit] == pytest.approx(expected, rel=1e-12)


def test_a_figure_with_its_unit_becomes_si() -> None:
    assert si_value("320.5 mm", quantity="length") == pytest.approx(0.3205, rel=1e-12)


def test_a_count_has_no_unit() -> None:
    assert si_value("7", quantity="count") == 7


@pytest.mark.parametrize(
    "text", ["7", "7 lb", "7 mm mm", "mm", "7mm", "nan mm", "inf mm", "1e3 mm", "1_0 mm", "٣ mm"]
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="length"):
        si_value(text, quantity="length")
