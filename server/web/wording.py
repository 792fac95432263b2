"""How records read on a page: the filters that templates share."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from server.compute.constants import INCH_m
from server.compute.show import System, show, show_both, show_range, usual_unit
from server.compute.unit import Quantity
from server.procedure.model import Wanted
from server.shop.capture import Taken
from server.shop.hold import may_confirm
from server.shop.job import DIRECTIONS, PLACES
from server.shop.step_sheet import PhotoSeen, StepSheet
from server.shop.tightening import awaits_pin, needs_second
from server.store.tables import Capture, Person, Target

_FRACTION = re.compile(r"(-?(?:[0-9]+ )?)([0-9]+/[0-9]+)(.*)")
EIGHTH_m = float(INCH_m) / 8
OTHER: dict[System, System] = {"inch": "metric", "metric": "inch"}


@dataclass(frozen=True, slots=True)
class Column:
    """A figure as it stands in one of the three columns."""

    text: str
    spread: str
    other: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Pin:
    """A mark on a photo."""

    number: int
    x: float
    y: float
    text: str


def place_name(place: str) -> str:
    """`Left front` for LF."""
    return PLACES[place]


def way(direction: str) -> str:
    """`Strip` for down."""
    return DIRECTIONS[direction]


def as_column(record: Taken | Capture | Target | None, system: System) -> Column | None:
    """A capture or a target as a column, if it has a figure."""
    if record is None:
        return None
    figure = record.capture if isinstance(record, Taken) else record
    href = f"/jobs/{figure.job_id}/targets#target-{figure.id}" if isinstance(figure, Target) else ""
    if figure.value is None:
        return None
    quantity, uncertainty = Quantity(figure.quantity), figure.uncertainty or None
    own, _, spread = show(figure.value, quantity, system=system, uncertainty=uncertainty).partition(" ± ")
    other, _, _ = show(figure.value, quantity, system=OTHER[system], uncertainty=uncertainty).partition(" ± ")
    return Column(own, f"± {spread}" if spread else "", "" if other == own else other, href)


def figured(text: str) -> Markup:
    """`12 5/8 in` with its fraction set small and kept on the line of its whole, where space is narrow."""
    match = _FRACTION.match(text)
    if match is None:
        return escape(text)
    whole, part, rest = match.groups()
    return Markup('<span class="whole">{}<span class="fraction">{}</span></span>{}').format(whole, part, rest)


def also(capture: Capture) -> str:
    """What a figure as typed was read as, where that says more: `= 292.1 mm` beside `11 1/2 in`."""
    typed, equals, rest = capture.read_as.partition(" = ")
    if equals and typed == capture.text:
        return f"= {rest}"
    return "" if capture.read_as == capture.text else capture.read_as


def unit_of(wanted: Wanted, system: System) -> str:
    """The unit that a figure without one is meant in."""
    return usual_unit(Quantity(wanted.quantity or ""), system)


def band_of(wanted: Wanted, system: System) -> str:
    """`Usually 150 mm to 800 mm`, in the shop's own units."""
    low, high = wanted.lowest_si, wanted.highest_si
    if low is None or high is None:
        return ""
    quantity = Quantity(wanted.quantity or "")
    ends = (show(_rounded(end, quantity, system), quantity, system=system) for end in (low, high))
    return "Usually {} to {}".format(*ends)


def pins(seen: PhotoSeen) -> list[Pin]:
    """The marks on a photo, numbered in the order made."""
    return [
        Pin(number, mark.capture.x or 0.0, mark.capture.y or 0.0, mark.capture.text)
        for number, mark in enumerate(seen.marks, start=1)
    ]


def pairs(options: Iterable[str]) -> list[tuple[str, str]]:
    """Answers that are their own words."""
    return [(option, option) for option in options]


def torque(torque_Nm: float, system: System) -> str:
    """A torque in both systems, the shop's own first."""
    return show_both(torque_Nm, Quantity.TORQUE, system=system)


def torque_range(ends_Nm: tuple[float, float], system: System) -> str:
    """`60 to 75 lbf·ft (81.3 to 102 N·m)`."""
    own, other = (show_range(*ends_Nm, Quantity.TORQUE, system=one) for one in (system, OTHER[system]))
    return f"{own} ({other})"


def evidence(sheet: StepSheet) -> list[tuple[str, str]]:
    """What a decision at this step can rest on."""
    taken = [one.last for one in sheet.asked if one.last]
    figures = [one for one in taken if one.capture.kind == "measurement"]
    photos = [*(seen for one in sheet.asked for seen in one.photos), *sheet.photos]
    names = {one.wanted.id: one.wanted.name for one in sheet.asked}
    return [
        ("", "nothing yet"),
        *((str(one.capture.id), f"{names[one.capture.key]}: {one.capture.text}") for one in figures),
        *((str(seen.taken.capture.id), f"Photo {number}") for number, seen in enumerate(photos, start=1)),
    ]


def people_options(people: Iterable[Person]) -> list[tuple[str, str]]:
    """People to choose from, by their id."""
    return [("", "choose"), *((str(one.id), one.name) for one in people)]


def _rounded(length: float, quantity: Quantity, system: System) -> float:
    """The end of a band as one would say it: lengths in inches to the nearest eighth."""
    if quantity is not Quantity.LENGTH or system == "metric" or length < EIGHTH_m:
        return length
    return round(length / EIGHTH_m) * EIGHTH_m


FILTERS: dict[str, Any] = {
    one.__name__: one
    for one in (
        also,
        as_column,
        figured,
        band_of,
        evidence,
        awaits_pin,
        needs_second,
        pairs,
        people_options,
        pins,
        place_name,
        torque,
        torque_range,
        unit_of,
        way,
    )
} | {"may_confirm": lambda person, hold: may_confirm(hold, person)}
