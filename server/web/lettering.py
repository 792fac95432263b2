"""What is written on a corner's drawing: dimension lines, figures, the names of the views, the scale bar."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from server.compute.constants import INCH_m
from server.compute.show import System
from server.web.outline import Spot, line
from server.web.placed import COIL_m, Placed
from server.web.projection import Projection

Said = Mapping[str, str]  # figures in words, by what they are of

_BAR = {"inch": (4 * float(INCH_m), "4 in"), "metric": (0.1, "100 mm")}
_MARGIN = 4.0  # px
_LEAST = 3.0  # px of a dimension line that can still be told from its ends


@dataclass(frozen=True, slots=True)
class Label:
    """Words on the drawing. anchor: start, middle or end, as in SVG."""

    at: Spot
    text: str
    anchor: str = "middle"


def axis_foot(at: Placed) -> Spot:
    """Where the steering axis meets the floor, from the front."""
    return at.on_axis(at.on.floor)


def axis_tip(at: Placed) -> Spot:
    """The upper end of the steering axis as it is drawn."""
    lower, upper = at.front("lower_ball"), at.front("upper_ball")
    return upper + (upper - lower) / (abs(upper - lower) or 1.0) * 42


def thin_lines(at: Placed, said: Said, system: System) -> str:
    """Dimension lines of the figures that are said, the upright beside the wheel, the scale bar."""
    drawn = {"tie-rod": _rod_line, "spring": _spring_line, "scrub": _scrub_line, "camber": _upright}
    return "".join(draw(at) for key, draw in drawn.items() if key in said) + _bar_lines(at.on, system)


def labels(at: Placed, said: Said, system: System) -> tuple[Label, ...]:
    """Every word on the paper."""
    places = dict(_places(at))
    figures = (
        Label(places[key].at, places[key].text.format(words), places[key].anchor)
        for key, words in said.items()
    )
    return (*figures, *_views(at.on), _bar_words(at.on, system))


def _places(at: Placed) -> Iterator[tuple[str, Label]]:
    """Where each figure stands, and the words around it."""
    inboard, edge = at.on.inboard, at.on.outer_edge(_MARGIN)
    middle = (at.plan("tie_inner") + at.plan("tie_outer")) / 2
    foot, top = _spring_ends(at)
    yield "tie-rod", Label(middle - at.free * 32j + (0 if at.free > 0 else 11j), "{}")
    yield "spring", Label((foot + top) / 2 - at.out * 5 + 5j, "{}", inboard)
    for pack, stud in (("pack.front", "stud_front"), ("pack.rear", "stud_rear")):
        past_the_dot = 27 if at.to_bracket == at.out else 34
        yield pack, Label(at.plan(stud) - at.out * past_the_dot + 5j, "{}", inboard)
    yield "camber", Label(complex(edge, _tyre_top(at) - 20), "camber {}", inboard)
    beyond_the_disc = at.on.axle + at.free * 0.16 * at.on.scale + 5
    yield "caster", Label(complex(edge, beyond_the_disc), "caster {}", inboard)
    yield "inclination", Label(axis_tip(at) - at.out * 4 - 2j, "steering axis {}", inboard)
    yield "scrub", Label((axis_foot(at) + _contact(at)) / 2 + 30j, "scrub {}")


def _rod_line(at: Placed) -> str:
    studs = at.plan("tie_inner"), at.plan("tie_outer")
    return _dimension((studs[0], studs[1]), -26j * at.free)


def _spring_line(at: Placed) -> str:
    foot, top = _spring_ends(at)
    aside = -at.out * 11
    return _dimension((foot - aside, top - aside), aside)


def _spring_ends(at: Placed) -> tuple[Spot, Spot]:
    """The ends of its dimension line, inboard of it."""
    aside = -at.out * (COIL_m * at.on.scale + 14)
    return at.front("spring_lower") + aside, at.front("spring_upper") + aside


def _scrub_line(at: Placed) -> str:
    ends = axis_foot(at), _contact(at)
    return _dimension(ends, 12j) if abs(ends[1] - ends[0]) > _LEAST else ""


def _upright(at: Placed) -> str:
    """A plumb line beside the wheel's plane, for the eye to see the camber."""
    hub, top = at.front("wheel_centre"), _tyre_top(at)
    return line(complex(hub.real, top + 26), complex(hub.real, top - 18))


def _dimension(measured: tuple[Spot, Spot], aside: Spot) -> str:
    """A dimension line with its ticks, and the lines that lead to it. Source: ISO 129-1."""
    start, end = (one + aside for one in measured)
    tick = (end - start) / (abs(end - start) or 1.0) * complex(3.5, 3.5)
    off = aside / abs(aside) * 4
    leaders = (line(one + off, one + aside + off) for one in measured)
    ticks = (line(one - tick, one + tick) for one in (start, end))
    return "".join((line(start, end), *ticks, *leaders))


def _contact(at: Placed) -> Spot:
    return at.on.front(at.pose.contact)


def _tyre_top(at: Placed) -> float:
    return at.on.floor - 2 * float(at.pose.corner.loaded_radius) * at.on.scale


def _views(on: Projection) -> tuple[Label, Label]:
    inner, outer = on.inner_edge(_MARGIN), on.outer_edge(_MARGIN)
    return (
        Label(complex(inner, on.floor - 6), "from the front", on.outboard),
        Label(complex(outer, on.height - 8), "from above, front down", on.inboard),
    )


def _bar_ends(on: Projection, system: System) -> tuple[Spot, Spot]:
    """From the paper's inner edge outboard."""
    start = complex(on.inner_edge(2 * _MARGIN), on.height - 12)
    return start, start + on.hand * _BAR[system][0] * on.scale


def _bar_lines(on: Projection, system: System) -> str:
    start, end = _bar_ends(on, system)
    marks = (start, (start + end) / 2, end)
    return "".join((*(line(one - 4j, one + 4j) for one in marks), *(line(*two) for two in pairwise(marks))))


def _bar_words(on: Projection, system: System) -> Label:
    _, end = _bar_ends(on, system)
    return Label(end + on.hand * 8 + 5j, _BAR[system][1], on.outboard)
