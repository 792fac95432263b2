"""A corner's drawing to scale: everything that its template writes down, in pixels of one sheet."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from server.compute.constants import INCH_m
from server.compute.pose import Pose
from server.compute.show import System
from server.web.outline import Spot, closed, line
from server.web.part import BRACKET, COIL_m, Fit, Outline, Placed, bump_stop, parts
from server.web.projection import WIDTH, Projection
from server.web.seat import ring_middle, rings, seats

_BAR_m = {"inch": (4 * float(INCH_m), "4 in"), "metric": (0.1, "100 mm")}


@dataclass(frozen=True, slots=True)
class Label:
    """Words on the drawing. anchor: start, middle or end, as in SVG."""

    at: Spot
    text: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Dot:
    """A fastener with its number in the order of tightening."""

    number: int
    fastener: str
    at: Spot


@dataclass(frozen=True, slots=True)
class Drawing:
    """One corner on one sheet. Paths are SVG's; `said` are the figures that stand on it."""

    place: str
    height: float
    frame: str  # hatched: what the arms hang on
    ground: str
    centre: str  # chain lines
    thin: str  # dimension lines, and the wheel's upright
    parts: Mapping[str, tuple[Outline, ...]]
    labels: tuple[Label, ...]
    dots: tuple[Dot, ...]
    ring: Spot | None
    said: Mapping[str, str]
    guessed: str  # which of its dimensions nobody measured, a sentence


def drawn(
    pose: Pose,
    fit: Fit,
    *,
    said: Mapping[str, str],
    dots: tuple[str, ...] = (),
    guessed: str = "",
    system: System = "inch",
) -> Drawing:
    """The corner of a pose on paper.

    said       figures in words, by what they are of: tie-rod, spring, pack.front, pack.rear, camber, caster,
               inclination, scrub; what is not there is not drawn
    dots       ids of fasteners in the order of tightening
    raises     ValueError for a pose that cannot be
    """
    on = Projection.of(pose)
    at = Placed(on, pose, fit)
    known = seats(at) | rings(at)
    numbered = [(one, spot) for one in dots for spot in known.get(one, ())]
    return Drawing(
        place="LF" if on.hand > 0 else "RF",
        height=on.height,
        frame=_frame(at),
        ground=_ground(on),
        centre=_centre_lines(at, said),
        thin=_thin_lines(at, said, system),
        parts=parts(at),
        labels=(*_labels(at, said), *_views(on), _scale_words(on, system)),
        dots=tuple(Dot(i, one, spot) for i, (one, spot) in enumerate(numbered, start=1)),
        ring=ring_middle(at) if dots and dots[0] in rings(at) else None,
        said=said,
        guessed=guessed,
    )


def _frame(at: Placed) -> str:
    """Broken off: only where arms, packs and spring bear on it."""
    out, to = at.out, at.to_bracket
    paths = []
    for view, stud in ((at.front, "stud_front"), (at.plan, "stud_front"), (at.plan, "stud_rear")):
        near = view(stud) + to * BRACKET
        paths.append(closed(near - 17j, near + to * 10 - 17j, near + to * 10 + 17j, near + 17j))
    top, stop = at.front("spring_upper") - 2j, bump_stop(at)
    inner, drop = top - out * (COIL_m * at.on.scale + 3), complex(stop.real, top.imag)
    paths.append(
        closed(inner - 8j, drop + out * 8 - 8j, stop + out * 8, stop - out * 8, drop - out * 8, inner)
    )
    pivot = at.front("lower_front") - out * 10
    paths.append(closed(pivot - 14j, pivot - out * 9 - 14j, pivot - out * 9 + 14j, pivot + 14j))
    for one in ("lower_front", "lower_rear"):
        pivot = at.plan(one) - out * 10
        paths.append(closed(pivot - 14j, pivot - out * 9 - 14j, pivot - out * 9 + 14j, pivot + 14j))
    return "".join(paths)


def _ground(on: Projection) -> str:
    return line(complex(0, on.floor), complex(WIDTH, on.floor))


def _centre_lines(at: Placed, said: Mapping[str, str]) -> str:
    """The wheel's axis in both views, its plane, and the steering axis down to the floor."""
    hub, up = at.front("wheel_centre"), at.wheel_up
    radius = float(at.pose.corner.loaded_radius) * at.on.scale
    above = at.plan("wheel_centre")
    lower, upper = at.front("lower_ball"), at.front("upper_ball")
    axis = upper - lower
    foot = _axis_foot(at)
    return "".join(
        (
            line(hub - at.out * 90, hub + at.out * 58),
            line(above - at.out * 90, above + at.out * 58),
            line(hub - up * radius, hub + up * (radius + 18)),
            line(foot, upper + axis / abs(axis) * 42),
        )
    )


def _axis_foot(at: Placed) -> Spot:
    """Where the steering axis meets the floor, from the front."""
    lower, upper = at.front("lower_ball"), at.front("upper_ball")
    return lower + (upper - lower) * ((at.on.floor - lower.imag) / (upper.imag - lower.imag))


def _contact(at: Placed) -> Spot:
    return at.on.front(at.pose.contact)


def _thin_lines(at: Placed, said: Mapping[str, str], system: System) -> str:
    lines = []
    if "tie-rod" in said:
        inner, outer = (at.plan(one) - at.free * 26j for one in ("tie_inner", "tie_outer"))
        lines.append(_dimension(inner, outer, (at.plan("tie_inner"), at.plan("tie_outer"))))
    if "spring" in said:
        aside = _beside_spring(at)
        foot, top = at.front("spring_lower") + aside, at.front("spring_upper") + aside
        lines.append(_dimension(foot, top, (foot - aside * 0.8, top - aside * 0.8)))
    if "scrub" in said:
        down = 12j
        lines.append(_dimension(_axis_foot(at) + down, _contact(at) + down, (_axis_foot(at), _contact(at))))
    if "camber" in said:
        hub = at.front("wheel_centre")
        radius = float(at.pose.corner.loaded_radius) * at.on.scale
        lines.append(line(hub - 1j * (radius - 26), hub - 1j * (radius + 18)))
    start, length = _scale_bar(at.on, system)
    ticks = (start, start + length / 2, start + length)
    lines += [line(one - 4j, one + 4j) for one in ticks]
    lines += [line(one, other) for one, other in pairwise(ticks)]
    return "".join(lines)


def _dimension(start: Spot, end: Spot, from_: tuple[Spot, Spot]) -> str:
    """A dimension line with its ticks and the lines that lead to what it measures. Source: ISO 129-1."""
    along = (end - start) / abs(end - start)
    tick = along * complex(1, 1) / abs(complex(1, 1)) * 5
    ticks = "".join(line(one - tick, one + tick) for one in (start, end))
    leaders = "".join(
        line(one + (to - one) / abs(to - one) * 4, to + (to - one) / abs(to - one) * 4)
        for one, to in zip(from_, (start, end), strict=True)
    )
    return line(start, end) + ticks + leaders


def _beside_spring(at: Placed) -> Spot:
    return -at.out * (COIL_m * at.on.scale + 14)


def _labels(at: Placed, said: Mapping[str, str]) -> list[Label]:
    out, free = at.out, at.free * 1j
    inboard = "end" if at.on.hand > 0 else "start"
    rod = (at.plan("tie_inner") + at.plan("tie_outer")) / 2
    spring = (at.front("spring_lower") + at.front("spring_upper")) / 2 + _beside_spring(at)
    upper = at.front("upper_ball")
    axis = (upper - at.front("lower_ball")) / abs(upper - at.front("lower_ball"))
    top = at.on.floor - 2 * float(at.pose.corner.loaded_radius) * at.on.scale
    edge = complex(180 + at.on.hand * 176, top - 20)
    places = {
        "tie-rod": (rod - free * 32 + (0 if at.free > 0 else 11j), "middle", "{}"),
        "spring": (spring - out * 5 + 5j, inboard, "{}"),
        "pack.front": (_pack_words(at, "stud_front"), inboard, "{}"),
        "pack.rear": (_pack_words(at, "stud_rear"), inboard, "{}"),
        "camber": (edge, inboard, "camber {}"),
        "caster": (complex(edge.real, at.on.axle + at.free * 0.16 * at.on.scale + 5), inboard, "caster {}"),
        "inclination": (upper + axis * 42 - out * 4 - 2j, inboard, "steering axis {}"),
        "scrub": ((_axis_foot(at) + _contact(at)) / 2 + 30j, "middle", "scrub {}"),
    }
    return [
        Label(spot, form.format(said[key]), anchor)
        for key, (spot, anchor, form) in places.items()
        if key in said
    ]


def _pack_words(at: Placed, stud: str) -> Spot:
    """Inboard of the studs, past a nut's dot."""
    return at.plan(stud) - at.out * (27 if at.to_bracket == at.out else 34) + 5j


def _views(on: Projection) -> tuple[Label, Label]:
    inner = 180 - on.hand * 176
    anchor = "start" if on.hand > 0 else "end"
    return (
        Label(complex(inner, on.floor - 6), "from the front", anchor),
        Label(
            complex(180 + on.hand * 176, on.height - 8),
            "from above, front down",
            "end" if on.hand > 0 else "start",
        ),
    )


def _scale_bar(on: Projection, system: System) -> tuple[Spot, float]:
    length = _BAR_m[system][0] * on.scale
    return complex(8 if on.hand > 0 else WIDTH - 8 - length, on.height - 12), length


def _scale_words(on: Projection, system: System) -> Label:
    start, length = _scale_bar(on, system)
    return Label(
        start + (length + 8 if on.hand > 0 else -8) + 5j, _BAR_m[system][1], "start" if on.hand > 0 else "end"
    )
