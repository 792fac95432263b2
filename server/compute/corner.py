"""A front corner as hard points: what the linkage moves.

Axes are ISO 8855 vehicle axes: x forward, y left, z up, in metres. Every point is shape (3,), or (3, *shape)
for many corners at once; they have to go together by numpy's rules of broadcasting.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from server.compute.refusal import Refused
from server.compute.vector import Floats, cross, length, point, unit


class Hand(IntEnum):
    """Which side of the car, as the sign of its y."""

    LEFT = 1
    RIGHT = -1


@dataclass(frozen=True, slots=True)
class Corner:
    """The hard points of one corner as it stands, wheels on the floor."""

    upper_front: Floats  # pivots of the upper arm on its shaft
    upper_rear: Floats
    stud_front: Floats  # where the packs sit
    stud_rear: Floats
    upper_ball: Floats
    lower_front: Floats  # pivots of the lower arm
    lower_rear: Floats
    lower_ball: Floats
    tie_inner: Floats
    tie_outer: Floats
    spring_lower: Floats  # centre of its seat in the lower arm
    spring_upper: Floats
    wheel_centre: Floats
    spin: Floats  # unit vector along the wheel's axis, outboard
    loaded_radius: Floats  # shape () or (*shape)
    hand: Hand = Hand.LEFT

    def __post_init__(self) -> None:
        if not all(np.all(np.isfinite(getattr(self, name))) for name in POINTS):
            raise Refused("Every point of the corner needs three numbers.")
        if not np.all(self.loaded_radius > 0):
            raise Refused("The height of the wheel's centre above the floor must be above 0.")
        for one, other, what in _APART:
            if np.any(length(getattr(self, one) - getattr(self, other)) < _CLOSEST_m):
                raise Refused(f"{what} cannot be in the same place.")
        if np.any(_steering_arm_m(self) < _CLOSEST_m):
            raise Refused("The tie rod's outer end cannot lie on the steering axis.")

    def mirrored(self) -> "Corner":
        """The corner of the other side of a symmetrical car."""
        flip = point(1.0, -1.0, 1.0)
        turned_over = {name: (getattr(self, name).T * flip).T for name in POINTS}
        return Corner(**turned_over, loaded_radius=self.loaded_radius, hand=Hand(-self.hand))

    def with_points(self, points: Mapping[str, Floats]) -> "Corner":
        """The same with some of its points elsewhere, by their names."""
        kept = {name: getattr(self, name) for name in POINTS}
        return Corner(**{**kept, **points}, loaded_radius=self.loaded_radius, hand=self.hand)

    @property
    def lower_axis(self) -> Floats:
        """Unit vector along the lower arm's pivots; a turn about it brings the ball joint up."""
        along = unit(self.lower_front - self.lower_rear)
        up: Floats = along * np.sign(cross(along, self.lower_ball - self.lower_front)[2])
        return up

    @property
    def tie_rod_m(self) -> Floats:
        """Length between the tie rod's stud centres."""
        return length(self.tie_outer - self.tie_inner)

    @property
    def is_rear_steer(self) -> NDArray[np.bool_]:
        """Whether the linkage lies behind the axle, where a longer tie rod is toe-in."""
        behind: NDArray[np.bool_] = self.tie_outer[0] < self.wheel_centre[0]
        return behind


POINTS = tuple(one.name for one in fields(Corner) if one.name not in ("loaded_radius", "hand"))
_CLOSEST_m = 1e-3
_APART = (
    ("upper_front", "upper_rear", "The upper arm's two pivots"),
    ("lower_front", "lower_rear", "The lower arm's two pivots"),
    ("stud_front", "stud_rear", "The two studs of the upper arm's shaft"),
    ("upper_ball", "lower_ball", "The two ball joints"),
    ("tie_inner", "tie_outer", "The tie rod's two ends"),
    ("spring_lower", "spring_upper", "The spring's two seats"),
)


def _steering_arm_m(corner: Corner) -> Floats:
    """The outer tie-rod end's distance from the steering axis."""
    axis = corner.upper_ball - corner.lower_ball
    return length(cross(axis, corner.tie_outer - corner.lower_ball)) / length(axis)
