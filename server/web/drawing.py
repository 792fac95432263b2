"""A corner's drawing to scale: everything that its template writes down, in pixels of one sheet."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.compute.pose import Pose
from server.compute.show import System
from server.web.lettering import Label, Said, axis_foot, axis_tip, labels, thin_lines
from server.web.outline import Spot, closed, line
from server.web.part import Outline, bump_stop, parts
from server.web.placed import BRACKET, COIL_m, Fit, Placed
from server.web.projection import WIDTH, Projection
from server.web.seat import ring_middle, rings, seats


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
    said: Said
    guessed: str  # which of its dimensions nobody measured, a sentence


def drawn(
    pose: Pose,
    fit: Fit,
    *,
    said: Said,
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
        centre=_centre_lines(at),
        thin=thin_lines(at, said, system),
        parts=parts(at),
        labels=labels(at, said, system),
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


def _centre_lines(at: Placed) -> str:
    """The wheel's axis and plane, the steering axis down to the floor, and its lean from above."""
    hub, above, up = at.front("wheel_centre"), at.plan("wheel_centre"), at.wheel_up
    radius = float(at.pose.corner.loaded_radius) * at.on.scale
    lower, upper = at.plan("lower_ball"), at.plan("upper_ball")
    return "".join(
        (
            line(hub - at.out * 90, hub + at.out * 58),
            line(above - at.out * 90, above + at.out * 58),
            line(hub - up * radius, hub + up * (radius + 18)),
            line(axis_foot(at), axis_tip(at)),
            line(lower, upper + (upper - lower) * 0.6),
        )
    )
