"""The linkage of a front corner in space: what its settings and its travel make of it.

Two arms about their pivots, a knuckle on two ball joints, a tie rod. Each joint is where three spheres meet,
in closed form; only a given height of the wheel is found by iteration. Corners, settings and travel are
arrays that broadcast to one shape, and all their poses are worked out at once.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from server.compute.corner import POINTS, Corner
from server.compute.height import at_height
from server.compute.pose import Fault, Pose
from server.compute.refusal import Refused
from server.compute.vector import (
    NO_ROOM,
    Axes,
    Floats,
    length,
    point,
    three_spheres,
    turned,
    which_side,
    widen,
)

_USUAL_TRIES = 5  # one more than most corners take on a car's whole travel
_MOST_TRIES = 60


class Hold(Enum):
    """What stays where it was while shims and sleeves are changed: which of the two is assumed."""

    LOWER_ARM = "the lower arm stays, as on a car that has settled on its springs"
    WHEEL_HEIGHT = "the wheel's centre keeps its height in the body"


class Shaft(Enum):
    """How the upper arm's shaft follows unequal packs: which of the two is assumed."""

    STRAIGHT_ACROSS = "each pivot moves straight across the car"
    TURNING = "the shaft keeps its length and turns"


@dataclass(frozen=True, slots=True)
class Setting:
    """What is changed from how the corner stood [m]; arrays of any shapes that broadcast."""

    front_m: Floats | float = 0.0  # the shaft at its front stud, outboard +
    rear_m: Floats | float = 0.0  # at its rear stud
    tie_rod_m: Floats | float = 0.0  # longer +
    link_m: Floats | float = 0.0  # the tie rod's inner end, toward the car's left +
    shaft: Shaft = Shaft.STRAIGHT_ACROSS

    def __post_init__(self) -> None:
        if not all(np.all(np.isfinite(one)) for one in self.figures):
            raise Refused("Every setting of the corner needs a number.")

    @property
    def figures(self) -> tuple[Floats | float, ...]:
        """Front, rear, tie rod, link."""
        return self.front_m, self.rear_m, self.tie_rod_m, self.link_m

    def widened(self, shape: tuple[int, ...]) -> "Setting":
        """The same, each figure ready to go with points of that shape."""
        front, rear, rod, link = (np.array(one, dtype=float, ndmin=len(shape)) for one in self.figures)
        return Setting(front, rear, rod, link, self.shaft)

    def some(self, which: NDArray[np.bool_]) -> "Setting":
        """Those of many, one after the other; of the shape that `which` has, or broadcasting to it."""
        front, rear, rod, link = (np.broadcast_to(one, which.shape)[which] for one in self.figures)
        return Setting(front, rear, rod, link, self.shaft)


AS_IT_STOOD = Setting()
_UP = point(0.0, 0.0, 1.0)


def posed(corner: Corner, setting: Setting, hold: Hold = Hold.LOWER_ARM) -> Pose:
    """The pose once these settings are made."""
    return at_arm(corner, 0.0, setting) if hold is Hold.LOWER_ARM else at_travel(corner, 0.0, setting)


def at_arm(corner: Corner, arm_rad: Floats | float = 0.0, setting: Setting = AS_IT_STOOD) -> Pose:
    """The pose with the lower arm turned by so much from where it stood; 0 holds the spring as it is.

    arm_rad    ball joint up +
    returns    of the shape that corner, arm_rad and setting broadcast to
    """
    angle = np.asarray(arm_rad, dtype=np.float64)
    if not np.all(np.isfinite(angle)):
        raise Refused("The lower arm's angle needs a number.")
    pose = _Linkage.of(corner, setting, angle.shape).pose(angle)
    return pose.only_where(pose.fault == Fault.NONE, pose.fault)


def at_travel(corner: Corner, travel_m: Floats | float = 0.0, setting: Setting = AS_IT_STOOD) -> Pose:
    """The pose with the wheel's centre that much higher in the body than it stood.

    travel_m   bump +
    returns    as at_arm
    """
    travel = np.asarray(travel_m, dtype=np.float64)
    if not np.all(np.isfinite(travel)):
        raise Refused("The wheel's travel needs a number.")
    return _Linkage.of(corner, setting, travel.shape).pose_at(travel)


@dataclass(frozen=True, slots=True)
class _Linkage:
    """A corner made ready to move: pivots as the setting has put them, every length that stays."""

    corner: Corner  # as measured
    wide: Corner  # the same, its points shaped for broadcasting
    setting: Setting  # shaped alike
    shape: tuple[int, ...]
    upper_front: Floats
    upper_rear: Floats
    tie_inner: Floats
    upper_joint: "_Joint"
    tie_joint: "_Joint"
    stood: Axes

    @classmethod
    def of(cls, corner: Corner, setting: Setting, shape: tuple[int, ...]) -> "_Linkage":
        points = [getattr(corner, name) for name in POINTS]
        whole = np.broadcast_shapes(
            shape,
            corner.loaded_radius.shape,
            *(one.shape[1:] for one in points),
            *(np.shape(figure) for figure in setting.figures),
        )
        wide, wanted = _shaped(corner, whole), setting.widened(whole)
        front, rear = _pivots(wide, wanted)
        rod = wide.tie_rod_m + wanted.tie_rod_m
        return cls(
            corner=corner,
            wide=wide,
            setting=wanted,
            shape=whole,
            upper_front=front,
            upper_rear=rear,
            tie_inner=wide.tie_inner + _across(wanted.link_m),
            upper_joint=_Joint.of(wide.upper_ball, wide.upper_front, wide.upper_rear, wide.lower_ball),
            tie_joint=_Joint.of(
                wide.tie_outer,
                wide.lower_ball,
                wide.upper_ball,
                wide.tie_inner,
                third_m=np.where(rod > 0, rod, NO_ROOM),
            ),
            stood=Axes.of(wide.upper_ball - wide.lower_ball, wide.tie_outer - wide.lower_ball),
        )

    def pose_at(self, travel_m: Floats) -> Pose:
        """The few that take longer than usual are tried apart, so that the many do not wait for them."""
        height = np.broadcast_to(self.wide.wheel_centre[2] + travel_m, self.shape)
        pose, late = at_height(self.pose, height, _USUAL_TRIES)
        if not np.any(late):
            return pose
        apart, _ = at_height(self._some(late).pose, height[late], _MOST_TRIES)
        return pose.with_some(late, apart)

    def _some(self, which: NDArray[np.bool_]) -> "_Linkage":
        corner = self.wide.some(which)
        return _Linkage.of(corner, self.setting.some(which), corner.loaded_radius.shape)

    def pose(self, angle_rad: Floats) -> Pose:
        wide = self.wide
        lower_ball, spring_lower = self._on_lower_arm(angle_rad)
        upper_ball = self.upper_joint.at(self.upper_front, self.upper_rear, lower_ball)
        tie_outer = self.tie_joint.at(lower_ball, upper_ball, self.tie_inner)
        stands = Axes.of(upper_ball - lower_ball, tie_outer - lower_ball)
        return Pose(
            corner=self.corner,
            upper_front=self._whole(self.upper_front),
            upper_rear=self._whole(self.upper_rear),
            upper_ball=self._whole(upper_ball),
            lower_ball=self._whole(lower_ball),
            tie_inner=self._whole(self.tie_inner),
            tie_outer=self._whole(tie_outer),
            spring_lower=self._whole(spring_lower),
            wheel_centre=self._whole(
                lower_ball + self.stood.carried(wide.wheel_centre - wide.lower_ball, stands)
            ),
            spin=self._whole(self.stood.carried(wide.spin, stands)),
            arm_rad=np.broadcast_to(angle_rad, self.shape),
            fault=np.broadcast_to(_fault(upper_ball, tie_outer), self.shape),
        )

    def _on_lower_arm(self, angle_rad: Floats) -> tuple[Floats, Floats]:
        """The ball joint and the spring's seat, turned about the lower pivots."""
        wide = self.wide
        axis, pivot = wide.lower_axis, wide.lower_front
        angle_rad = np.array(angle_rad, ndmin=len(self.shape))
        ball, seat = wide.lower_ball - pivot, wide.spring_lower - pivot
        return pivot + turned(ball, axis, angle_rad), pivot + turned(seat, axis, angle_rad)

    def _whole(self, vector: Floats) -> Floats:
        return np.broadcast_to(vector, (3, *self.shape))


def _shaped(corner: Corner, shape: tuple[int, ...]) -> Corner:
    """The corner, ready to go with arrays of that shape; most are."""
    if corner.lower_ball.ndim == len(shape) + 1:
        return corner
    return corner.with_points({name: widen(getattr(corner, name), shape) for name in POINTS})


@dataclass(frozen=True, slots=True)
class _Joint:
    """A joint at three distances from three others, on the side of them on which it was found."""

    distances: tuple[Floats, Floats, Floats]
    side: Floats

    @classmethod
    def of(
        cls, joint: Floats, first: Floats, second: Floats, third: Floats, third_m: Floats | None = None
    ) -> "_Joint":
        reach = length(joint - third) if third_m is None else third_m
        distances = (length(joint - first), length(joint - second), reach)
        return cls(distances, which_side((first, second, third), of=joint))

    def at(self, first: Floats, second: Floats, third: Floats) -> Floats:
        """Where it is now; nan where it does not reach."""
        return three_spheres((first, second, third), self.distances, self.side)


def _pivots(corner: Corner, setting: Setting) -> tuple[Floats, Floats]:
    """The upper arm's pivots as the packs have put them."""
    front_m, rear_m = np.asarray(setting.front_m), np.asarray(setting.rear_m)
    if setting.shaft is Shaft.TURNING:
        return _turned_shaft(corner, front_m, rear_m)
    rear_x = corner.stud_rear[0]
    slant = (front_m - rear_m) / (corner.stud_front[0] - rear_x)

    def moved(pivot: Floats) -> Floats:
        return pivot + _across(corner.hand * (rear_m + slant * (pivot[0] - rear_x)))

    return moved(corner.upper_front), moved(corner.upper_rear)


def _turned_shaft(corner: Corner, front_m: Floats, rear_m: Floats) -> tuple[Floats, Floats]:
    """Turned about the vertical midway between the studs, and moved outboard by the mean of both packs."""
    middle = (corner.stud_front + corner.stud_rear) / 2
    angle = corner.hand * np.arctan2(front_m - rear_m, corner.stud_front[0] - corner.stud_rear[0])
    out = _across(corner.hand * (front_m + rear_m) / 2)

    def moved(pivot: Floats) -> Floats:
        return middle + turned(pivot - middle, widen(_UP, np.shape(angle)), angle) + out

    return moved(corner.upper_front), moved(corner.upper_rear)


def _across(move_m: Floats | float) -> Floats:
    """A move across the car, to its left +."""
    move = np.asarray(move_m, dtype=np.float64)
    return np.stack((0 * move, move, 0 * move))


def _fault(upper_ball: Floats, tie_outer: Floats) -> NDArray[np.int64]:
    """The first link that does not reach."""
    rod = np.where(np.isnan(tie_outer[2]), Fault.TIE_ROD, Fault.NONE)
    return np.where(np.isnan(upper_ball[2]), Fault.UPPER_ARM, rod)
