"""Every unit against a general-purpose units library, which knows nothing of ours."""

import pint
import pytest

from server.compute.unit import UNITS, Quantity, Unit, plain, quantities_with, spell, unit_named, units_of

UREG = pint.UnitRegistry()
PINT_NAMES = {
    "°": "degree",
    "'": "arcminute",
    "lbf·ft": "lbf * ft",
    "lbf·in": "lbf * in",
    "N·m": "N * m",
    "kgf·m": "kgf * m",
    "ft·lbf": "ft * lbf",
    "kgf/mm": "kgf / mm",
    "lbf/in": "lbf / in",
    "N/mm": "N / mm",
    "in": "inch",
    "": "dimensionless",
}
SI = {
    Quantity.LENGTH: "m",
    Quantity.DISTANCE: "m",
    Quantity.ANGLE: "rad",
    Quantity.TORQUE: "N * m",
    Quantity.FORCE: "N",
    Quantity.PRESSURE: "Pa",
    Quantity.STRESS: "Pa",
    Quantity.MASS: "kg",
    Quantity.FREQUENCY: "Hz",
    Quantity.RATE: "N / m",
    Quantity.ENERGY: "J",
    Quantity.COUNT: "dimensionless",
    Quantity.NUMBER: "dimensionless",
}


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: f"{unit.quantity}-{unit.name}")
def test_a_unit_is_as_large_as_the_library_says(unit: Unit) -> None:
    outside = UREG.Quantity(1, PINT_NAMES.get(unit.name, unit.name)).to(SI[unit.quantity]).magnitude

    assert float(unit.si) == pytest.approx(outside, rel=1e-12)


def test_every_quantity_has_a_unit_and_every_echo_exists() -> None:
    assert {unit.quantity for unit in UNITS} == set(Quantity)
    for unit in UNITS:
        assert not unit.echo or unit_named(unit.echo, unit.quantity).quantity is unit.quantity


def test_no_spelling_means_two_units_of_one_quantity() -> None:
    for quantity in Quantity:
        spellings = [spelling for unit in units_of(quantity) for spelling in unit.spellings]
        assert len(spellings) == len(set(spellings))


def test_every_name_is_understood_as_itself() -> None:
    for unit in UNITS:
        assert unit_named(unit.name, unit.quantity) is unit


def test_a_unit_of_another_quantity_is_not_found() -> None:
    with pytest.raises(KeyError):
        unit_named("mm", Quantity.TORQUE)

    assert quantities_with("lb") == (Quantity.FORCE, Quantity.MASS)
    assert quantities_with("furlong") == ()


def test_joints_between_the_parts_of_a_unit_do_not_matter() -> None:
    assert spell("LBF·FT") == spell("lbf-ft") == spell("lbf. ft.") == spell("lbf*ft") == "lbf ft"


def test_plain_figures_lose_trailing_zeros_and_a_bare_minus() -> None:
    assert plain(320.7, 3) == "320.7"
    assert plain(320.0, 1) == "320"
    assert plain(-0.0001, 2) == "0"
    assert plain(100.0, 0) == "100"
