"""Published check values: one row a figure that someone else printed, where it stands and how sure we are.

`given` and `expected` are lists such as `T = 300 lbf*in; L = 10 in`; units are turned into SI by pint, which
knows nothing of ours. `confidence` says whether the figure was read there, is remembered, or is derived.
"""

import csv
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pint
import pytest

from server.compute.measure import Quantity, read

UREG = pint.UnitRegistry()
Values = Mapping[str, Any]
Check = Callable[[Values], Values]


@dataclass(frozen=True)
class Row:
    id: str
    check: str
    given: str
    expected: str
    rel_tol: float
    source: str
    confidence: str


def rows(subject: str) -> list[Row]:
    """The rows of one subject."""
    path = Path(__file__).with_name(f"{subject}.csv")
    with path.open(newline="") as lines:
        return [Row(**{**row, "rel_tol": float(row["rel_tol"])}) for row in csv.DictReader(lines)]


def values(listing: str) -> Values:
    """Names to SI floats, or to text where it is no figure."""
    pairs = (part.split(" = ", 1) for part in listing.split("; ") if part)
    return {name: _si(text) for name, text in pairs}


def _si(text: str) -> float | str:
    number, _, unit = text.partition(" ")
    if not re.fullmatch(r"-?[0-9.]+(e[+-]?[0-9]+)?", number):
        return text
    return float(UREG.Quantity(float(number), unit).to_base_units().magnitude)


def compare(row: Row, checks: Mapping[str, Check]) -> None:
    """Fails unless every expected figure comes out."""
    given = {"typed": row.given.removeprefix("typed = ")} if row.check == "convert" else values(row.given)
    computed = {"convert": convert, **checks}[row.check](given)
    for name, expected in values(row.expected).items():
        if isinstance(expected, str):
            assert computed[name] == expected, f"{row.id} {name}: {row.source}"
        else:
            assert computed[name] == pytest.approx(expected, rel=row.rel_tol), (
                f"{row.id} {name}: {row.source}"
            )


def convert(given: Values) -> Values:
    """A figure as the trade types it, through our own reader."""
    kinds = {"lbf·ft": "TORQUE", "lbf·in": "TORQUE", "N·m": "TORQUE", "kgf·m": "TORQUE", "in": "LENGTH"}
    kinds |= {"psi": "STRESS", "mi": "DISTANCE"}
    unit = given["typed"].split(" ")[1]
    return {"value": read(given["typed"], Quantity[kinds[unit]], default_unit=unit).value}
