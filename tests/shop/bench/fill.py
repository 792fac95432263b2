"""A calculator filled in the way a technician does it."""

from typing import Any

from server.compute.show import System
from server.shop.bench.calculator import Calculator, Result
from server.shop.bench.table import calculator


def read_all(one: Calculator, typed: dict[str, str], system: System = "inch") -> dict[str, Any]:
    """Every field as it was understood; what is not typed is empty."""
    assert set(typed) <= {field.name for field in one.fields}
    return {field.name: field.read(typed.get(field.name, ""), system).value for field in one.fields}


def work_out(name: str, **typed: str) -> Result:
    one = calculator(name)
    return one.result(read_all(one, typed))


def example_with(name: str, **typed: str) -> Result:
    """The example's figures, some of them replaced; "" empties a field."""
    return work_out(name, **calculator(name).example | typed)
