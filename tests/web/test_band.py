"""Figures against their bands."""

from math import radians

import pytest

from server.compute.show import show
from server.compute.unit import Quantity
from server.shop.comparison import Compared
from server.store.tables import Capture, Target
from server.web.band import LEFT, RIGHT, place_in_band, rows


def say(angle: float) -> str:
    return show(angle, Quantity.ANGLE, system="inch")


def compared(key: str, place: str, found: float | None, left: float | None) -> Compared:
    target = Target(value=radians(-0.5), uncertainty=radians(0.5), quantity="angle")
    captures = (
        None if one is None else Capture(value=radians(one), quantity="angle") for one in (found, left)
    )
    first, last = captures
    return Compared(key, place, key, first, target, last, ())


@pytest.mark.parametrize(("value", "at"), [(-1, LEFT), (0, RIGHT), (-0.5, (LEFT + RIGHT) / 2)])
def test_the_band_has_its_edges_where_they_are_drawn(value: float, at: float) -> None:
    assert place_in_band(value, -1, 0) == (at, 0)


@pytest.mark.parametrize(("value", "beyond"), [(-1.1, 0), (-3, -1), (0.1, 0), (3, 1)])
def test_what_lies_too_far_out_says_so(value: float, beyond: int) -> None:
    assert place_in_band(value, -1, 0)[1] == beyond


def test_a_row_has_its_ends_and_a_mark_for_each_column() -> None:
    (row,) = rows([compared("camber", "LF", -1.2, None)], "LF", say)

    assert (row.low, row.high) == ("-1°", "0°")
    assert [(one.column, one.text) for one in row.marks] == [("found", "-1.2°"), ("target", "-0.5°")]


def test_the_car_s_toe_stands_at_both_corners() -> None:
    every = [compared("camber", "LF", 0.1, 0.1), compared("toe.angle", "car", 0.1, 0.1)]

    assert [[row.short for row in rows(every, place, say)] for place in ("LF", "RF")] == [
        ["camber", "total toe"],
        ["total toe"],
    ]


def test_a_figure_without_a_band_has_no_row() -> None:
    without = compared("camber", "LF", 0.1, 0.1)
    without.target.uncertainty = None

    assert rows([without], "LF", say) == ()
