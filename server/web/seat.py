"""Where fasteners sit on the drawing of a corner, one spot for each of a group."""

from cmath import rect
from math import radians

from server.web.outline import Spot
from server.web.part import bump_stop, clamps_of, disc_middle
from server.web.placed import COIL_m, Placed


def seats(at: Placed) -> dict[str, tuple[Spot, ...]]:
    """Spots by the fastener's id, beside what they tighten so that it can be seen."""
    free, out = at.free * 1j, at.out
    wide = COIL_m * at.on.scale
    link, _ = at.link_foot
    foot, top = at.front("spring_lower"), at.front("spring_upper")
    disc = disc_middle(at, at.front) + at.wheel_up * 0.085 * at.on.scale - out * 24
    bracket = complex(at.plan("lower_front").real, at.bar_at) + out * 22
    axis = at.front("upper_ball") - at.front("lower_ball")
    axis /= abs(axis) or 1.0
    shaft = at.plan("upper_front") - at.plan("upper_rear")
    shaft /= abs(shaft) or 1.0
    return {
        "link-nut": (link - 66j,),
        "bar-bracket-bolt": (bracket - 19, bracket + 19),
        "outer-tie-rod-nut": (at.plan("tie_outer") + out * 12 - free * 12,),
        "inner-tie-rod-nut": (at.plan("tie_inner") - out * 12 - free * 12,),
        "sleeve-clamp-bolt": tuple(one + free * 19 for one in clamps_of(at, at.plan)),
        "caliper-bolt": (disc - 13j, disc + 13j),
        "shock-top-nut": (top - 34j,),
        "shock-bottom-bolt": (foot - 18 + 24j, foot + 18 + 24j),
        "lower-pivot-bolt": (at.plan("lower_front") - out * 16, at.plan("lower_rear") - out * 16),
        "upper-joint-nut": (at.front("upper_ball") - axis * 20,),
        "lower-joint-nut": (at.front("lower_ball") + axis * 21,),
        "upper-arm-nut": tuple(at.plan(one) - at.to_bracket * 13 for one in ("stud_front", "stud_rear")),
        "shaft-end-nut": (at.plan("upper_front") + shaft * 24, at.plan("upper_rear") - shaft * 24),
        "bump-stop-nut": (bump_stop(at) - 12j + out * min(12, wide),),
    }


def ring_middle(at: Placed) -> Spot:
    """Where a group in a circle is drawn, in the free corner over the frame."""
    return complex(180 - at.on.hand * 140, 42)


def rings(at: Placed) -> dict[str, tuple[Spot, ...]]:
    """Groups in a circle, crosswise: never to the neighbour."""
    middle = ring_middle(at)
    star = (-90, 54, 198, -18, 126)
    cross = (-135, 45, -45, 135)
    return {
        "wheel-nut": tuple(middle + rect(22, radians(one)) for one in star),
        "upper-joint-bolt": tuple(middle + rect(22, radians(one)) for one in cross),
    }
