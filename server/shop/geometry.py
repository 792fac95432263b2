"""A vehicle's corner: the lengths and hard points written of it, and what can be computed from them.

Rows of the spec sheet: `corner.<dimension>` for the short form, `point.<dimension>` for the long one, and two
words, `corner.steer` and `corner.shaft-at`, that nobody guesses, since a wrong one turns a correction round.
"""

from collections.abc import Mapping
from enum import Enum
from math import inf
from typing import TypeVar

from server.compute import measure
from server.compute.answer import Known
from server.compute.corner import Hand
from server.compute.dimension import LONG, SHORT, Dimension
from server.compute.layout import Layout, ShaftAt, Steer, long, short
from server.compute.refusal import Refused
from server.compute.unit import Quantity
from server.shop.evidence import of_spec
from server.shop.refusal import Refusal
from server.shop.spec import SpecLine, in_unit
from server.store.tables import Spec

CORNER, POINT = "corner.", "point."
STEER, SHAFT_AT = f"{CORNER}steer", f"{CORNER}shaft-at"
W = TypeVar("W", bound=Enum)
_PLUS_MINUS = ("±", "+/-", "+-")
_SHORTEST_m = 0.01
_DOUBTED_spreads = 5  # from the usual a length is asked about again: our own choice, as the bands below
_POINT_BANDS_m = {"ahead": (-0.6, 0.6), "out": (0.1, 1.0), "up": (0.02, 1.0)}


def layout_of(specs: Mapping[str, Spec]) -> Layout | None:
    """The corner: the long form where it is whole, else the short form with guesses for what nobody measured.

    returns    None without the words that the short form needs, or where the figures make no corner
    """
    try:
        return _layout(specs)
    except Refused:
        return None


def shaft_at_of(specs: Mapping[str, Spec]) -> ShaftAt | None:
    """On which side of its bracket the upper arm's shaft sits, if somebody has looked."""
    return _word(specs, SHAFT_AT, ShaftAt)


def steer_of(specs: Mapping[str, Spec]) -> Steer | None:
    """Where the tie rods lie, if somebody has looked."""
    return _word(specs, STEER, Steer)


def is_long(specs: Mapping[str, Spec]) -> bool:
    """Whether every hard point is there, so that the long form is used."""
    return all(f"{POINT}{one.key}" in specs for one in LONG)


def is_geometry(key: str) -> bool:
    """Whether a line of that key is about the corner."""
    return key.startswith((CORNER, POINT))


def lacking(specs: Mapping[str, Spec]) -> tuple[str, ...]:
    """What is still missing to compute with the corner, a sentence each."""
    missing = []
    if steer_of(specs) is None and not is_long(specs):
        missing.append("Say whether the tie rods lie ahead of the axle or behind it.")
    if shaft_at_of(specs) is None:
        missing.append("Say on which side of its bracket the upper arm's shaft sits.")
    try:
        _layout(specs)
    except Refused as refused:
        missing.append(str(refused))
    return tuple(missing)


def with_margin(text: str, margin: str, *, unit: str) -> str:
    """A figure as typed, with the ± that was typed once for many; one that has its own keeps that.

    raises     Refusal, field "margin", where that cannot be read
    """
    figure, half = text.strip(), margin.strip()
    if not half or not figure or any(mark in figure for mark in _PLUS_MINUS):
        return text
    try:
        measure.read(half, Quantity.LENGTH, default_unit=unit)
    except Refused as refused:
        raise Refusal(str(refused), field="margin") from refused
    return f"{in_unit(figure, unit)} ± {in_unit(half, unit)}"


def corner_line(dimension: Dimension) -> SpecLine:
    """The short form's line for a dimension."""
    wide = _DOUBTED_spreads * dimension.spread_m
    lowest = -inf if dimension.signed else _SHORTEST_m
    band = (max(lowest, dimension.usual_m - wide), dimension.usual_m + wide)
    return _line(CORNER, dimension, band)


def point_line(dimension: Dimension) -> SpecLine:
    """The long form's line for one coordinate of a hard point."""
    return _line(POINT, dimension, _POINT_BANDS_m[dimension.key.rpartition(".")[2]])


def _line(form: str, dimension: Dimension, band_m: tuple[float, float]) -> SpecLine:
    return SpecLine(
        f"{form}{dimension.key}",
        dimension.name,
        Quantity.LENGTH,
        band_m,
        signed=dimension.signed,
        is_measured=True,
        help=dimension.how,
    )


def _word_line(key: str, name: str, words: type[Enum]) -> SpecLine:
    options = tuple((one.name.lower(), str(one.value).capitalize()) for one in words)
    return SpecLine(key, name, Quantity.NUMBER, (0.0, 0.0), options=options)


WORD_LINES = (
    _word_line(STEER, "Where the tie rods lie", Steer),
    _word_line(SHAFT_AT, "Where the upper arm's shaft sits", ShaftAt),
)
SHORT_LINES = tuple(map(corner_line, SHORT))
LONG_LINES = tuple(map(point_line, LONG))


def _layout(specs: Mapping[str, Spec]) -> Layout | None:
    """Raises Refused for figures that make no corner."""
    steer = steer_of(specs)
    if is_long(specs):
        layout = long(_known(specs, POINT, LONG))
    elif steer is not None and shaft_at_of(specs) is not None:
        layout = short(_known(specs, CORNER, SHORT), steer)
    else:
        return None
    layout.corner(Hand.LEFT)
    return layout


def _known(specs: Mapping[str, Spec], form: str, dimensions: tuple[Dimension, ...]) -> dict[str, Known]:
    rows = {one.key: specs.get(f"{form}{one.key}") for one in dimensions}
    return {key: of_spec(row) for key, row in rows.items() if row is not None}


def _word(specs: Mapping[str, Spec], key: str, words: type[W]) -> W | None:
    return words.__members__.get(specs[key].text.upper()) if key in specs else None
