"""All that can be seen of a pose, in one array: to compare whole poses with."""

import numpy as np

from server.compute.pose import Pose
from server.compute.vector import Floats

POSE_POINTS = (
    *("upper_front", "upper_rear", "upper_ball", "lower_ball", "tie_inner", "tie_outer"),
    *("spring_lower", "wheel_centre", "spin"),
)


def angles(pose: Pose) -> Floats:
    """Camber, caster, toe, inclination [rad], (4, *shape)."""
    return np.concatenate((pose.readings.stacked, pose.inclination_rad[None]))


def lengths(pose: Pose) -> Floats:
    """Scrub, trail, spring, the wheel's height [m], (4, *shape)."""
    return np.stack((pose.scrub_m, pose.trail_m, pose.spring_m, pose.wheel_centre[2]))
