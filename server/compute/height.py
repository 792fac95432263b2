"""The wheel brought to a height: Newton's method on the lower arm's angle, kept within the links' reach."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from server.compute.motion import climb_m
from server.compute.pose import Fault, Pose
from server.compute.vector import NO_ROOM, Floats

_CLOSE_m = 1e-10  # of the wheel's height
_CLOSE_rad = 1e-9  # between an angle that can be and one that cannot: the wheel is at its end
_MOST_TURN_rad = 0.5  # in one try
_NEAR_rad = 0.02  # a wheel that turns back so shortly before a link gives out does so because of that link


def at_height(
    pose_of: Callable[[Floats], Pose], height_m: Floats, tries: int
) -> tuple[Pose, NDArray[np.bool_]]:
    """The pose with the wheel's centre at that height, and where so many tries did not settle it.

    pose_of    from the lower arm's angle [rad], shape (*shape)
    returns    nan out of reach, with the fault of what ends it: a link, or the wheel going no further
    """
    angle = sure = np.zeros_like(height_m)
    end = np.full_like(height_m, NO_ROOM)
    for _ in range(tries):
        pose = pose_of(angle)
        short, climb = height_m - pose.wheel_centre[2], climb_m(pose)
        found = np.abs(short) < _CLOSE_m
        beyond = ~(found | (climb > 0))
        sure, end = np.where(beyond, sure, angle), np.where(beyond, angle, end)
        unsettled = ~(found | (np.abs(end - sure) < _CLOSE_rad))
        if not np.any(unsettled):
            break
        onward = sure + np.clip(short / np.where(beyond, NO_ROOM, climb), -_MOST_TURN_rad, _MOST_TURN_rad)
        past = beyond | ((onward - end) * (end - sure) >= 0)
        angle = np.where(past, (sure + end) / 2, onward)
    return pose if np.all(found) else pose.only_where(found, _what_ends(pose_of, end)), unsettled


def _what_ends(pose_of: Callable[[Floats], Pose], end_rad: Floats) -> NDArray[np.int64]:
    """The link that does not reach at that angle or shortly after."""
    there, after = pose_of(end_rad).fault, pose_of(end_rad + np.copysign(_NEAR_rad, end_rad)).fault
    link = np.where(there == Fault.NONE, after, there)
    return np.where(link == Fault.NONE, Fault.LOWER_ARM, link)
