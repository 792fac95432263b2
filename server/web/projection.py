"""A corner on paper: seen from the front, and below it from above with the front of the car downwards.

Both views have one scale and the same axis across (first-angle projection, ISO 128). The car's left is to the
right on the paper: each corner lies on the side on which it is seen.
"""

from dataclasses import dataclass

import numpy as np

from server.compute.pose import Pose
from server.compute.vector import Floats
from server.web.outline import Spot

WIDTH = 360.0  # px of the whole drawing
BESIDE_m = 0.10  # half a tyre's width, which nobody measures: it only bounds the drawing
_HIGH = 310.0  # px at most for the view from the front
_INBOARD, _OUTBOARD, _TOP, _BETWEEN, _BOTTOM = 22.0, 10.0, 36.0, 50.0, 34.0
_AROUND_m = 0.07  # what is drawn ahead of and behind the outermost joints


@dataclass(frozen=True, slots=True)
class Projection:
    """One scale for two views. [px]"""

    scale: float  # px per metre
    centre_line: float  # across, where the car's middle is
    floor: float  # down, where the floor is in the front view
    axle: float  # down, where x = 0 is in the view from above
    ends: tuple[float, float]  # down, where the view from above is broken off
    height: float
    hand: int  # 1 where outboard is to the right, -1 to the left

    @classmethod
    def of(cls, pose: Pose) -> "Projection":
        """As large as the width and the usual height let it be; raises ValueError for an impossible pose."""
        if np.any(pose.fault):
            raise ValueError("a pose that cannot be has no drawing")
        hand = int(pose.corner.hand)
        near, far = _across_m(pose)
        tall = 2 * float(pose.corner.loaded_radius)
        scale = min((WIDTH - _INBOARD - _OUTBOARD) / max(far - near, BESIDE_m), _HIGH / tall)
        outer = WIDTH - _OUTBOARD if hand > 0 else _OUTBOARD
        floor = _TOP + tall * scale
        rear, front = _along_m(pose)
        axle = floor + _BETWEEN - rear * scale
        ends = (axle + rear * scale, axle + front * scale)
        return cls(scale, outer - hand * far * scale, floor, axle, ends, ends[1] + _BOTTOM, hand)

    @property
    def inboard(self) -> str:
        """The text anchor of words that grow inboard."""
        return "end" if self.hand > 0 else "start"

    @property
    def outboard(self) -> str:
        """The text anchor of words that grow outboard."""
        return "start" if self.hand > 0 else "end"

    def inner_edge(self, margin: float) -> float:
        """Across, so much inside the paper's edge that is nearer the car's middle."""
        return margin if self.hand > 0 else WIDTH - margin

    def outer_edge(self, margin: float) -> float:
        """Across, so much inside the other edge."""
        return self.inner_edge(WIDTH - margin)

    def front(self, point: Floats) -> Spot:
        """A point (3,) [m] as seen from the front."""
        return complex(self.centre_line + self.scale * point[1], self.floor - self.scale * point[2])

    def plan(self, point: Floats) -> Spot:
        """A point (3,) [m] as seen from above."""
        return complex(self.centre_line + self.scale * point[1], self.axle + self.scale * point[0])


def _across_m(pose: Pose) -> tuple[float, float]:
    """From the innermost joint to the tyre's outer face, from the car's middle."""
    inner = (
        pose.upper_front,
        pose.upper_rear,
        pose.corner.lower_front,
        pose.corner.lower_rear,
        pose.tie_inner,
    )
    return min(abs(float(one[1])) for one in inner), abs(float(pose.wheel_centre[1])) + BESIDE_m


def _along_m(pose: Pose) -> tuple[float, float]:
    """From behind the rearmost joint to ahead of the foremost."""
    joints = (
        *(pose.upper_front, pose.upper_rear, pose.corner.lower_front, pose.corner.lower_rear),
        *(pose.tie_inner, pose.tie_outer, pose.wheel_centre),
    )
    places = [float(one[0]) for one in joints]
    return min(places) - _AROUND_m, max(places) + _AROUND_m
