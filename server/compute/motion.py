"""How a pose moves as its wheel rises: velocities of the rigid bodies, with no differences taken."""

from dataclasses import dataclass

import numpy as np

from server.compute.pose import Pose
from server.compute.vector import Floats, cross, dot, unit, widen


@dataclass(frozen=True, slots=True)
class Rates:
    """Per metre of the wheel's centre rising, settings left alone; each (*shape)."""

    camber_rad_per_m: Floats
    caster_rad_per_m: Floats
    toe_rad_per_m: Floats  # bump steer, + toe-in as the wheel rises; Dixon, Suspension Geometry, ch. 6
    motion_ratio: Floats  # spring shortening over wheel rising; Milliken, Race Car Vehicle Dynamics
    instant_centre: Floats  # front view, in the plane of the wheel's centre: y and z [m], (2, *shape)
    roll_centre_m: Floats  # above the floor on the centre line, the other side alike


def rates(pose: Pose) -> Rates:
    """How angles, spring and centres change. Source: kinematics of rigid bodies."""
    motion = Motion.of(pose)
    climb = motion.at(pose.wheel_centre)[2]
    axis, spin = pose.upper_ball - pose.lower_ball, pose.spin
    leaning, turning = cross(motion.turn, axis) / climb, cross(motion.turn, spin) / climb
    hand = pose.corner.hand
    return Rates(
        camber_rad_per_m=-turning[2] / np.sqrt(1 - spin[2] ** 2),
        caster_rad_per_m=_turning(axis[2], -axis[0], leaning[2], -leaning[0]),
        toe_rad_per_m=_turning(spin[1] * hand, spin[0], turning[1] * hand, turning[0]),
        motion_ratio=_spring_shortening(pose) / climb,
        instant_centre=motion.centre_beside(pose.wheel_centre),
        roll_centre_m=_roll_centre_m(pose.contact, motion.at(pose.contact)),
    )


def climb_m(pose: Pose) -> Floats:
    """How fast the wheel's centre rises as the lower arm turns [m/rad]."""
    climb: Floats = Motion.of(pose).at(pose.wheel_centre)[2]
    return climb


@dataclass(frozen=True, slots=True)
class Motion:
    """The knuckle's velocity for a unit turn of the lower arm, ball joint up."""

    place: Floats  # the lower ball joint
    velocity: Floats  # its own
    turn: Floats  # of the knuckle, about `place`

    @classmethod
    def of(cls, pose: Pose) -> "Motion":
        """The one motion that leaves every link's length alone."""
        lower = cross(_lower_axis(pose), pose.lower_ball - _lower_pivot(pose))
        axis = pose.upper_ball - pose.lower_ball
        swing = cross(pose.upper_front - pose.upper_rear, pose.upper_ball - pose.upper_front)
        upper = swing * (dot(lower, axis) / dot(swing, axis))
        rolling = cross(axis, upper - lower) / dot(axis, axis)
        arm, rod = pose.tie_outer - pose.lower_ball, pose.tie_outer - pose.tie_inner
        stretching = dot(lower + cross(rolling, arm), rod)
        steering = -stretching / dot(cross(axis, arm), rod)
        return cls(pose.lower_ball, lower, rolling + axis * steering)

    def at(self, place: Floats) -> Floats:
        """The velocity of a point of the knuckle."""
        return self.velocity + cross(self.turn, place - self.place)

    def centre_beside(self, place: Floats) -> Floats:
        """Where the knuckle stands still in front view, in the plane across the car through `place`."""
        velocity, roll = self.at(place), self.turn[0]
        with np.errstate(
            divide="ignore", invalid="ignore"
        ):  # level parallel arms: endlessly far, at no height
            return np.stack((place[1] - velocity[2] / roll, place[2] + velocity[1] / roll))


def _lower_axis(pose: Pose) -> Floats:
    return widen(pose.corner.lower_axis, pose.arm_rad.shape)


def _lower_pivot(pose: Pose) -> Floats:
    return widen(pose.corner.lower_front, pose.arm_rad.shape)


def _spring_shortening(pose: Pose) -> Floats:
    seat = cross(_lower_axis(pose), pose.spring_lower - _lower_pivot(pose))
    return dot(seat, unit(widen(pose.corner.spring_upper, pose.arm_rad.shape) - pose.spring_lower))


def _roll_centre_m(contact: Floats, velocity: Floats) -> Floats:
    """Across from the contact at right angles to its velocity, to the centre line."""
    height: Floats = velocity[1] * contact[1] / velocity[2]
    return height


def _turning(x: Floats, y: Floats, dx: Floats, dy: Floats) -> Floats:
    """Rate of atan2(y, x)."""
    rate: Floats = (x * dy - y * dx) / (x * x + y * y)
    return rate
