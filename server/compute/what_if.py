"""What a corner becomes when the car is lifted, its packs or its tie rod are changed; and the way back.

The corner is calibrated by what it reads, its wheel brought to the new height, and stands there; packs and
tie rod are then changed with the lower arm held, as on a car that has settled on its springs. Exact at every
step; ± is 90 % of drawn corners, each carried through the same steps (JCGM 101:2008).
"""

from dataclasses import dataclass, replace

import numpy as np

from server.compute.adjust import calibrated, restood, setting_for
from server.compute.constants import INCH_m
from server.compute.corner import Corner, Hand
from server.compute.layout import Layout
from server.compute.linkage import Setting, at_travel, posed
from server.compute.motion import rates
from server.compute.pose import Fault, Pose, Readings
from server.compute.refusal import Refused
from server.compute.scatter import SEED, Wheel, half_of_draws
from server.compute.vector import Floats

DRAWS = 1_000  # enough for a ± of one figure
BUMP_m = float(INCH_m)  # over which bump steer is given
FIGURES = ("camber", "caster", "toe", "scrub", "trail", "motion ratio", "roll centre", "bump steer")


@dataclass(frozen=True, slots=True)
class Change:
    """What is tried at one corner [m]."""

    lift_m: float = 0.0  # the body higher over the wheel +
    front_m: float = 0.0  # the upper arm's shaft at its front stud, outboard +
    rear_m: float = 0.0
    tie_rod_m: float = 0.0  # longer +
    lift_off_m: float = 0.0  # how far off the lift may be, either way

    @property
    def setting(self) -> Setting:
        """Without the lift."""
        return Setting(self.front_m, self.rear_m, self.tie_rod_m)


@dataclass(frozen=True, slots=True)
class Back:
    """What would make the changed corner read what is wanted: moves of studs, change of the tie rod [m]."""

    front_m: float
    rear_m: float
    tie_rod_m: float
    off_m: tuple[float, float, float]  # half-widths of 90 %


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One corner before and after, by FIGURES [rad, m, bare]; bump steer in rad over `BUMP_m`."""

    before: Floats
    before_off: Floats  # half-widths of 90 %
    after: Floats  # nan where the pose cannot be
    after_off: Floats
    fault: Fault
    back: Back | None  # none where no setting gives it


def what_if(layout: Layout, wheel: Wheel, change: Change, wanted: Readings) -> WhatIf:
    """What comes of a change at one wheel, and what would then bring it to what is wanted."""
    corner = calibrated(layout.corner(wheel.hand), wheel.found)
    after = carried_out(corner, change.lift_m, change.setting)
    drawn = _Drawn.of(layout, wheel, change)
    before, before_off = figures(at_travel(corner)), half_of_draws(figures(at_travel(drawn.corner)))
    if (fault := Fault(int(after.fault))) is not Fault.NONE:
        nothing = np.full(len(FIGURES), np.nan)
        return WhatIf(before, before_off, nothing, nothing, fault, None)
    drawn_after = drawn.carried_out(change.setting)
    back = _back(after, drawn_after, wanted)
    return WhatIf(before, before_off, figures(after), half_of_draws(figures(drawn_after)), fault, back)


def carried_out(corner: Corner, lift_m: Floats | float, setting: Setting) -> Pose:
    """The pose with the body so much higher and the setting made then; faulty where it cannot be."""
    lifted = at_travel(corner, -np.asarray(lift_m))
    return lifted if np.any(lifted.fault) else posed(restood(lifted), setting)


def figures(pose: Pose) -> Floats:
    """By FIGURES along the first axis, shape (8, *shape)."""
    moving = rates(pose)
    rows = (pose.scrub_m, pose.trail_m, moving.motion_ratio, moving.roll_centre_m)
    return np.stack(np.broadcast_arrays(*pose.readings.stacked, *rows, moving.toe_rad_per_m * BUMP_m))


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One wheel's corner as it may be: lengths (n, draws), readings (3, draws), lifts (draws)."""

    layout: Layout
    hand: Hand
    lengths_m: Floats
    found_rad: Floats
    lifts_m: Floats

    @classmethod
    def of(cls, layout: Layout, wheel: Wheel, change: Change) -> "_Drawn":
        random = np.random.default_rng(SEED)
        return cls(
            layout,
            wheel.hand,
            layout.drawn_m(random, DRAWS),
            wheel.found.stacked[:, None] + wheel.spread.stacked[:, None] * random.standard_normal((3, DRAWS)),
            change.lift_m + change.lift_off_m * random.uniform(-1, 1, DRAWS),
        )

    @property
    def corner(self) -> Corner:
        """Each calibrated by what may have been read."""
        return calibrated(self.layout.corner(self.hand, self.lengths_m), Readings(*self.found_rad))

    def carried_out(self, setting: Setting) -> Pose:
        """All that can follow the change; one that cannot is no such corner."""
        reached = at_travel(self.corner, -self.lifts_m).fault == Fault.NONE
        kept = replace(
            self,
            lengths_m=self.lengths_m[:, reached],
            found_rad=self.found_rad[:, reached],
            lifts_m=self.lifts_m[reached],
        )
        return carried_out(kept.corner, kept.lifts_m, setting)


def _back(after: Pose, drawn: Pose, wanted: Readings) -> Back | None:
    """What brings it there, and how sure that is."""
    try:
        there = setting_for(restood(after), wanted)
        every = setting_for(restood(drawn), wanted)
    except Refused:
        return None
    front_m, rear_m, rod_m = (float(one) for one in there.figures[:3])
    front_off, rear_off, rod_off = map(
        float, half_of_draws(np.stack(np.broadcast_arrays(*every.figures[:3])))
    )
    return Back(front_m, rear_m, rod_m, (front_off, rear_off, rod_off))
