"""A front corner as hard points: what the linkage moves.

Axes are ISO 8855 vehicle axes: x forward, y left, z up, in metres. Every point is shape (3,), or (3, *shape)
for many corners at once; the shapes have to go together by numpy's rules of broadcasting.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from server.compute.refusal import Refused
from server.compute.vector import Floats, cross, dot, length, point, unit, widen


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
        if not np.all(np.isfinite(self.loaded_radius) & (self.loaded_radius > 0)):
            raise Refused("The height of the wheel's centre above the floor must be above 0.")
        self._widen()
        for distance_m, sentence in _clearances(self):
            if np.any(distance_m < _CLOSEST_m):
                raise Refused(sentence)
        if np.any(np.abs(length(self.spin) - 1) > _ALMOST_1) or np.any(self.spin[1] * self.hand <= 0):
            raise Refused("The wheel's axis must be of length 1 and point away from the car.")

    def _widen(self) -> None:
        """So that a point of one corner goes with a point of many."""
        rank = max(np.ndim(self.loaded_radius), *(getattr(self, name).ndim - 1 for name in POINTS))
        for name in POINTS:
            object.__setattr__(self, name, widen(getattr(self, name), (1,) * rank))

    def mirrored(self) -> "Corner":
        """The corner of the other side of a symmetrical car."""
        flip = point(1.0, -1.0, 1.0)
        turned_over = {name: (getattr(self, name).T * flip).T for name in POINTS}
        return Corner(**turned_over, loaded_radius=self.loaded_radius, hand=Hand(-self.hand))

    def with_points(self, points: Mapping[str, Floats]) -> "Corner":
        """The same with some of its points elsewhere, by their names."""
        kept = {name: getattr(self, name) for name in POINTS}
        return Corner(**{**kept, **points}, loaded_radius=self.loaded_radius, hand=self.hand)

    def some(self, which: NDArray[np.bool_]) -> "Corner":
        """Those of many, one after the other; of the shape that `which` has, or broadcasting to it."""
        points = {name: np.broadcast_to(getattr(self, name), (3, *which.shape))[:, which] for name in POINTS}
        radius = np.broadcast_to(self.loaded_radius, which.shape)[which]
        return Corner(**points, loaded_radius=radius, hand=self.hand)

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
_ALMOST_1 = 1e-6
_APART = (
    ("lower_front", "lower_rear", "The lower arm's two pivots"),
    ("upper_ball", "lower_ball", "The two ball joints"),
    ("tie_inner", "tie_outer", "The tie rod's two ends"),
    ("spring_lower", "spring_upper", "The spring's two seats"),
)
_AHEAD = (
    ("upper_front", "upper_rear", "The upper arm's front pivot has to lie ahead of its rear one."),
    ("stud_front", "stud_rear", "The front stud of the upper arm's shaft has to lie ahead of the rear one."),
)


def _clearances(corner: Corner) -> Iterator[tuple[Floats, str]]:
    """The distances without which a corner cannot stand or move, and what to say then."""
    for one, other, what in _APART:
        yield length(getattr(corner, one) - getattr(corner, other)), f"{what} cannot be in the same place."
    for one, other, sentence in _AHEAD:
        yield getattr(corner, one)[0] - getattr(corner, other)[0], sentence
    yield _lower_reach_m(corner), "The lower ball joint has to lie beside its arm's pivots."
    yield (
        _off_plane_m(corner.upper_ball, corner.upper_front, corner.upper_rear, corner.lower_ball),
        "The upper ball joint has to lie beside its arm's pivots, and the arm not point at the lower one.",
    )
    yield (
        _off_plane_m(corner.tie_outer, corner.lower_ball, corner.upper_ball, corner.tie_inner),
        "The tie rod's outer end cannot lie on the steering axis, nor the rod point straight at it.",
    )


def _lower_reach_m(corner: Corner) -> Floats:
    """How far beside its pivots the lower arm reaches, seen from above."""
    axis = unit(corner.lower_front - corner.lower_rear)
    reach: Floats = np.abs(cross(axis, corner.lower_ball - corner.lower_front)[2])
    return reach


def _off_plane_m(joint: Floats, first: Floats, second: Floats, third: Floats) -> Floats:
    """A joint's distance from the plane of the three it hangs on; 0 where those lie in a line."""
    normal = cross(second - first, third - first)
    distance: Floats = np.abs(dot(normal, joint - first)) / np.maximum(length(normal), np.finfo(float).tiny)
    return distance
