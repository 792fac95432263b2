"""How a corner stands on another spring: the height at which the wheel carries what it carried before.

The load on the wheel is taken as the same before and after, and what the roll bar and the bushings add is
left out; each corner is worked out alone. Source: statics, virtual work through the linkage's motion ratio.
"""

from dataclasses import dataclass

import numpy as np

from server.compute.adjust import calibrated
from server.compute.corner import Corner, Hand
from server.compute.layout import Layout
from server.compute.linkage import at_travel
from server.compute.motion import rates
from server.compute.pose import Readings
from server.compute.refusal import Refused
from server.compute.scatter import NINETY
from server.compute.vector import Floats

_CLOSE_m = 1e-7
_MOST_TRIES = 30
_MOST_STEP_m = 0.02


@dataclass(frozen=True, slots=True)
class Coil:
    """A spring's own figures; bare floats or arrays of shape (*shape)."""

    rate_N_per_m: Floats | float
    free_length_m: Floats | float

    def __post_init__(self) -> None:
        if not (np.all(np.isfinite(self.rate_N_per_m)) and np.all(np.isfinite(self.free_length_m))):
            raise Refused("A spring needs a rate and a free length.")
        if not (np.all(np.asarray(self.rate_N_per_m) > 0) and np.all(np.asarray(self.free_length_m) > 0)):
            raise Refused("A spring's rate and its free length are above 0.")

    def force_N(self, length_m: Floats) -> Floats:
        """What it pushes with at that length."""
        force: Floats = self.rate_N_per_m * (self.free_length_m - length_m)
        return force


def wheel_load_N(corner: Corner, coil: Coil) -> Floats:
    """What the spring holds up at the wheel as the corner stands, without wheel and arms, shape (*shape)."""
    pose = at_travel(corner)
    return coil.force_N(pose.spring_m) * rates(pose).motion_ratio


def lift_m(corner: Corner, old: Coil, new: Coil) -> Floats:
    """How much higher the body stands over the wheel with the new spring, below 0 for lower; (*shape).

    returns    by Newton's method on the load; its slope leaves out what the motion ratio gains
    raises     Refused where the old spring does not push, or no height carries the load
    """
    wanted = wheel_load_N(corner, old)
    if not np.all(wanted > 0):
        raise Refused("At this length the old spring would not push at all; look at its length and rate.")
    travel = np.zeros(
        np.broadcast_shapes(wanted.shape, np.shape(new.rate_N_per_m), np.shape(new.free_length_m))
    )
    for _ in range(_MOST_TRIES):
        pose = at_travel(corner, travel)
        ratio = rates(pose).motion_ratio
        short = wanted - new.force_N(pose.spring_m) * ratio
        step = np.clip(short / (new.rate_N_per_m * ratio**2), -_MOST_STEP_m, _MOST_STEP_m)
        travel = travel + step
        if np.all(np.abs(step) < _CLOSE_m):
            return -travel
        if not np.all(np.isfinite(step)):
            break
    raise Refused("At no height would this spring carry what the old one carried.")


def lift_off_m(layout: Layout, hand: Hand, found: Readings, old: Coil, new: Coil) -> float:
    """How far off the lift may be for the lengths it is reckoned from: half-width of 90 % [m].

    returns    to first order, each length moved by its standard deviation either way (JCGM 100:2008, 5.1.3)
    raises     Refused as `lift_m`, also where a length no further off than that would make it so
    """
    steps = np.diag(layout.spreads_m)
    ends = layout.figures_m[:, None] + np.hstack((steps, -steps))
    more, less = np.split(lift_m(calibrated(layout.corner(hand, ends), found), old, new), 2)
    return NINETY * float(np.linalg.norm((more - less) / 2))
