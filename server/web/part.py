"""The parts of a corner as outlines in both views.

Joints, pivots, studs, packs, seats, wheel: where the pose has them. How thick a part is, and where bar, link,
caliper, shock absorber and bump stop are, nobody measures: those are drawn as they usually look.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from server.web.outline import (
    Spot,
    circle,
    closed_round,
    coils,
    fork,
    hatching,
    line,
    rounded,
    strip,
    tapered,
    wave,
)
from server.web.placed import BRACKET, THINNEST, COIL_m, Placed
from server.web.projection import BESIDE_m


@dataclass(frozen=True, slots=True)
class Outline:
    """One path of a part. kind: solid, open, wire, tube, bore."""

    kind: str
    path: str


def parts(at: Placed) -> dict[str, tuple[Outline, ...]]:
    """Every part by its id, what lies behind first."""
    return {name: tuple(draw(at)) for name, draw in _PARTS.items()}


def _solid(*paths: str) -> Outline:
    return Outline("solid", "".join(paths))


def _open(*paths: str) -> Outline:
    return Outline("open", "".join(paths))


def _bar(at: Placed) -> Iterator[Outline]:
    standing, foot = at.link_foot
    inner = complex(at.plan("lower_front").real, at.bar_at) - at.out * 14
    above = line(inner, complex(foot.real, at.bar_at) - at.out * 26, foot)
    eye = standing - 42j
    beside = line(eye + at.out * 8, eye - at.out * 16, eye - at.out * 26 + 5j)
    yield Outline("tube", above + beside)
    yield Outline("bore", above + beside)


def _bar_brackets(at: Placed) -> Iterator[Outline]:
    middle = complex(at.plan("lower_front").real, at.bar_at) + at.out * 22
    yield _solid(strip(middle - 26, middle + 26, 10), strip(middle - 12, middle + 12, 17))


def _wheel(at: Placed) -> Iterator[Outline]:
    """The tyre's outline, broken off in plan, with the rim's edges."""
    radius = float(at.pose.corner.loaded_radius) * at.on.scale
    half = BESIDE_m * at.on.scale
    middle, up = at.front("wheel_centre"), at.wheel_up
    across = up * 1j
    rim = 0.58 * radius
    edges = [
        line(middle + up * r - across * half * 0.8, middle + up * r + across * half * 0.8)
        for r in (rim, -rim)
    ]
    yield _solid(rounded(middle, up, 2 * radius, 2 * half, 17))
    yield _open(*edges)
    above, ahead = at.plan("wheel_centre"), at.wheel_ahead
    ends = [above + ahead * ((end - above.imag) / ahead.imag) for end in at.on.ends]
    side = ahead * 1j * half
    sides = [line(ends[0] + one, ends[1] + one) for one in (side, -side)]
    yield _open(*sides, *(wave(one - side, one + side, 7) for one in ends))


def _tie_rod(at: Placed) -> Iterator[Outline]:
    for view in (at.front, at.plan):
        inner, outer = view("tie_inner"), view("tie_outer")
        start, end = sleeve(at, view)
        clamps = [
            strip(place - (end - start) / 14, place + (end - start) / 14, 15) for place in clamps_of(at, view)
        ]
        yield _solid(
            strip(inner, outer, 6), strip(start, end, 11), *clamps, circle(inner, 7), circle(outer, 7)
        )


def sleeve(at: Placed, view: Callable[[str], Spot]) -> tuple[Spot, Spot]:
    """The tie rod's sleeve from end to end."""
    ends = (at.between(view, "tie_inner", "tie_outer", share) for share in (0.26, 0.70))
    start, end = ends
    return start, end


def clamps_of(at: Placed, view: Callable[[str], Spot]) -> tuple[Spot, Spot]:
    """The middles of its two clamps."""
    start, end = sleeve(at, view)
    return start + (end - start) * 0.12, start + (end - start) * 0.88


def _knuckle(at: Placed) -> Iterator[Outline]:
    lower, upper, wheel = at.front("lower_ball"), at.front("upper_ball"), at.front("wheel_centre")
    yield _solid(tapered(lower, at.front("tie_outer"), 12, 10))
    yield _solid(tapered(at.on_axis(wheel.imag), wheel, 26, 12), tapered(lower, upper, 20, 15))
    yield _solid(_disc(at, at.front, at.wheel_up, 0.135))
    above, hub = at.plan("lower_ball"), at.plan("wheel_centre")
    yield _solid(tapered(above, at.plan("tie_outer"), 16, 11), tapered(above, hub, 26, 12))
    yield _solid(_disc(at, at.plan, at.wheel_ahead, 0.135))


def disc_middle(at: Placed, view: Callable[[str], Spot]) -> Spot:
    """Where the disc is on the wheel's axis."""
    return view("wheel_centre") - at.out * 0.022 * at.on.scale


def _disc(at: Placed, view: Callable[[str], Spot], along: Spot, half_m: float) -> str:
    middle, half = disc_middle(at, view), along * half_m * at.on.scale
    return strip(middle - half, middle + half, 6)


def _caliper(at: Placed) -> Iterator[Outline]:
    """On the side away from the steering arm."""
    high, reach = 0.085 * at.on.scale, 15
    for view, along in ((at.front, at.wheel_up), (at.plan, at.wheel_ahead * at.free)):
        middle = disc_middle(at, view) + along * high
        yield _solid(rounded(middle - at.out * 4, along, 2 * reach, 25, 4))
        yield _open(
            *(line(middle + at.out * x - along * reach, middle + at.out * x + along * reach) for x in (-4, 4))
        )


def _lower_arm(at: Placed) -> Iterator[Outline]:
    pivot, ball = at.front("lower_front"), at.front("lower_ball")
    yield _solid(tapered(pivot, ball, 16, 15), circle(pivot, 4))
    front, rear, above = (at.plan(one) for one in ("lower_front", "lower_rear", "lower_ball"))
    yield _solid(fork(front, rear, above, 17, 18))
    yield _solid(*(strip(one - 11j, one + 11j, 15) for one in (front, rear)))
    yield _open(circle(at.plan("spring_lower"), COIL_m * at.on.scale + 6))


def _lower_joint(at: Placed) -> Iterator[Outline]:
    yield from _joint(at, "lower_ball", 8.5)


def _upper_joint(at: Placed) -> Iterator[Outline]:
    yield from _joint(at, "upper_ball", 7.5)


def _joint(at: Placed, name: str, radius: float) -> Iterator[Outline]:
    yield _solid(circle(at.front(name), radius), circle(at.plan(name), radius))
    yield _open(circle(at.front(name), 2), circle(at.plan(name), 2))


def _shock(at: Placed) -> Iterator[Outline]:
    foot, top = at.front("spring_lower"), at.front("spring_upper")
    middle = foot + (top - foot) * 0.58
    yield _solid(strip(middle, top - 22j, 5), strip(top - 8, top + 8, 5), strip(foot + 8j, middle, 17))
    yield _solid(strip(foot - 17 + 9j, foot + 17 + 9j, 5), circle(at.plan("spring_upper"), 8))


def _spring(at: Placed) -> Iterator[Outline]:
    foot, top = at.front("spring_lower"), at.front("spring_upper")
    width = 2 * COIL_m * at.on.scale
    front, behind = coils(foot, top, width, at.fit.turns)
    yield Outline("wire part__wire--back", behind)
    yield Outline("wire", front)
    yield Outline("wire", circle(at.plan("spring_lower"), width / 2))


def _bump_stop(at: Placed) -> Iterator[Outline]:
    top = bump_stop(at)
    side = at.out * 8
    yield _solid(closed_round([top - side, top + side, top + side * 0.6 + 17j, top - side * 0.6 + 17j], 3))
    yield _solid(circle(complex(top.real, at.on.axle + at.free * 0.05 * at.on.scale), 7))


def bump_stop(at: Placed) -> Spot:
    """Its foot on the frame, over the lower arm outboard of the spring."""
    over = at.between(at.front, "lower_front", "lower_ball", 0.5).imag
    high = at.front("spring_upper").imag
    return complex(
        (at.front("spring_lower") + at.out * (COIL_m * at.on.scale + 16)).real, high + (over - high) * 0.3
    )


def _upper_arm(at: Placed) -> Iterator[Outline]:
    front, rear, ball = (at.plan(one) for one in ("upper_front", "upper_rear", "upper_ball"))
    end = (front - rear) / (abs(front - rear) or 1.0) * 15
    pivot = at.front("upper_front")
    yield _solid(tapered(pivot, at.front("upper_ball"), 16, 12), circle(pivot, 5))
    yield _solid(fork(front, rear, ball, 14, 15))
    yield _solid(
        strip(rear - end, front + end, 9),
        *(strip(one - end * 0.6, one + end * 0.6, 14) for one in (front, rear)),
    )


def _studs(at: Placed) -> Iterator[Outline]:
    """Through bracket, pack and shaft, with the nut on the shaft's side."""
    paths = []
    for view, name in ((at.front, "stud_front"), (at.plan, "stud_front"), (at.plan, "stud_rear")):
        stud = view(name)
        nut = stud - at.to_bracket * 9
        paths += [strip(stud + at.to_bracket * 30, nut - at.to_bracket * 4, 5), strip(nut - 3, nut + 3, 13)]
    yield _solid(*paths)


def _pack(
    at: Placed, views: tuple[Callable[[str], Spot], ...], stud: str, thickness_m: float
) -> Iterator[Outline]:
    thick = at.pack(thickness_m)
    for view in views:
        middle = view(stud) + at.to_bracket * (BRACKET - thick / 2)
        ends = middle - 13j, middle + 13j
        if thick:
            yield _solid(strip(*ends, thick))
        if thick > THINNEST:
            yield _open(hatching(*ends, thick))


def _front_pack(at: Placed) -> Iterator[Outline]:
    yield from _pack(at, (at.front, at.plan), "stud_front", at.fit.front_pack_m)


def _rear_pack(at: Placed) -> Iterator[Outline]:
    yield from _pack(at, (at.plan,), "stud_rear", at.fit.rear_pack_m)


def _link(at: Placed) -> Iterator[Outline]:
    foot, above = at.link_foot
    washers = [strip(foot - 8 + y * 1j, foot + 8 + y * 1j, 5) for y in (-50, -36, -12, 12)]
    yield _solid(strip(foot + 16j, foot - 56j, 5), *washers, circle(above, 8))


def _compressor(at: Placed) -> Iterator[Outline]:
    """Its screw through the spring, a pair of hooks near either end of it."""
    foot, top = at.front("spring_lower"), at.front("spring_upper")
    wide = COIL_m * at.on.scale + 5
    hooks = [foot + (top - foot) * share for share in (1.5 / at.fit.turns, 1 - 1.5 / at.fit.turns)]
    bars = [strip(one - wide, one + wide, 8) for one in hooks]
    yield _solid(strip(foot + 26j, top + 8j, 6), strip(foot + 20j - 7, foot + 20j + 7, 9), *bars)


_PARTS: dict[str, Callable[[Placed], Iterator[Outline]]] = {
    "bar": _bar,
    "bar-brackets": _bar_brackets,
    "lower-arm": _lower_arm,
    "shock": _shock,
    "spring": _spring,
    "bump-stop": _bump_stop,
    "tie-rod": _tie_rod,
    "studs": _studs,
    "upper-arm": _upper_arm,
    "pack.rear": _rear_pack,
    "pack.front": _front_pack,
    "knuckle": _knuckle,
    "caliper": _caliper,
    "upper-joint": _upper_joint,
    "lower-joint": _lower_joint,
    "link": _link,
    "wheel": _wheel,
    "compressor": _compressor,
}
