"""Camber, caster and toe over the wheel's travel, before and after: small plots beside each other.

Travel goes up the paper as the wheel goes up in the body; each angle has its own axis across.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from math import ceil, floor, isnan, log10

import numpy as np

from server.compute.constants import INCH_m
from server.compute.corner import Corner
from server.compute.linkage import Setting, at_travel
from server.compute.pose import Readings
from server.compute.show import System
from server.compute.unit import plain
from server.compute.vector import Floats
from server.web.outline import line

NAMES = ("camber", "caster", "toe")
REACH_m = 0.075
HEIGHT, TOP, BOTTOM = 236.0, 34.0, 204.0
_STEPS = 60
_SIXTH = 6  # of the poses are drawn: the eye sees no corner
_LEFT, _ACROSS, _GAP = 40.0, 94.0, 12.0
_LEAST_deg = 0.5  # an axis shows no less, so that a flat curve looks flat
_MOST_TICKS = 4
OUT_OF_REACH = "out of reach"
Columns = Mapping[str, tuple[Corner, Setting]]  # found | target | left: a corner, and what is changed at it

_TRAVEL = {"inch": (float(INCH_m), "in", (-2, -1, 0, 1, 2)), "metric": (1e-3, "mm", (-50, -25, 0, 25, 50))}


@dataclass(frozen=True, slots=True)
class Tick:
    """A number on an axis, and where it stands."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Curve:
    """One column's curve: its path, its spot at today's ride height, where it ends before the plot does."""

    column: str  # found | target | left
    path: str
    today: complex | None
    ends: tuple[complex, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """One angle over travel."""

    name: str
    left: float
    right: float
    ticks: tuple[Tick, ...]
    curves: tuple[Curve, ...]
    said: Mapping[str, str]  # the angle at today's ride height by column, or that it cannot be


@dataclass(frozen=True, slots=True)
class Plots:
    """Those of one corner, three at most."""

    unit: str  # of travel
    travel: tuple[Tick, ...]
    today: float
    panels: tuple[Panel, ...]


def over_travel(columns: Columns, travel_m: Floats) -> Mapping[str, Readings]:
    """Each column's readings over travel, nan where no pose answers."""
    return {name: at_travel(corner, travel_m, change).readings for name, (corner, change) in columns.items()}


def plots(columns: Columns, read: Collection[str] = NAMES, *, system: System) -> Plots:
    """The plots of a corner as found, and after each change, by the columns' names.

    read       the angles that somebody read, so that their curves are known to stand where they are drawn
    """
    travel = np.linspace(-REACH_m, REACH_m, 2 * _STEPS + 1)
    curves = over_travel(columns, travel)
    unit_m, unit, marks = _TRAVEL[system]
    panels: list[Panel] = []
    for name in (one for one in NAMES if one in read):
        left = _LEFT + len(panels) * (_ACROSS + _GAP)
        angles = {column: np.degrees(one.stacked[NAMES.index(name)]) for column, one in curves.items()}
        panels.append(_panel(name, left, angles, travel))
    ticks = tuple(Tick(_down(one * unit_m), plain(one, 0)) for one in marks)
    return Plots(unit, ticks, _down(0.0), tuple(panels))


def axis(low: float, high: float) -> tuple[float, float, float]:
    """Round ends of an axis that holds both, and its step: 1, 2 or 5 times a power of ten."""
    spread = max(high - low, _LEAST_deg)
    rough = spread / _MOST_TICKS
    power = 10.0 ** floor(log10(rough))
    step = next(one * power for one in (1, 2, 5, 10) if one * power >= rough * (1 - 1e-9))
    first, last = floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step
    while last - first < _LEAST_deg * (1 - 1e-9):
        first, last = first - step, last + step
    return first, last, step


def _panel(name: str, left: float, angles: Mapping[str, Floats], travel_m: Floats) -> Panel:
    reached = {column: one for column, one in angles.items() if np.any(np.isfinite(one))}
    everything = np.concatenate(list(reached.values()))
    first, last, step = axis(float(np.nanmin(everything)), float(np.nanmax(everything)))

    def spot(angle: float, travel: float) -> complex:
        return complex(left + _ACROSS * (angle - first) / (last - first), _down(travel))

    curves = [_curve(column, list(map(spot, one, travel_m))) for column, one in reached.items()]
    decimals = max(0, -floor(log10(step) + 1e-9))
    ticks = [first + i * step for i in range(round((last - first) / step) + 1)]
    said = {column: _said(float(one[len(one) // 2])) for column, one in angles.items()}
    marks = tuple(Tick(spot(one, 0.0).real, plain(one, decimals)) for one in ticks)
    return Panel(name, left, left + _ACROSS, marks, tuple(curves), said)


def _said(angle_deg: float) -> str:
    return OUT_OF_REACH if isnan(angle_deg) else f"{plain(angle_deg, 2)}°"


def _curve(column: str, spots: list[complex]) -> Curve:
    reached = [one for one in spots if not isnan(one.real)]
    ends = [one for one, edge in ((reached[0], spots[0]), (reached[-1], spots[-1])) if isnan(edge.real)]
    today = spots[len(spots) // 2]
    path = line(*reached[:-1:_SIXTH], reached[-1])
    return Curve(column, path, None if isnan(today.real) else today, tuple(ends))


def _down(travel_m: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * (travel_m + REACH_m) / (2 * REACH_m)
