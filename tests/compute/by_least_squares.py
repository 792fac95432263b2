"""A corner's pose found another way: the knuckle is a free rigid body, and the links pull it into place.

Six unknowns, a rotation vector and a shift; six residuals, each by how much a link is too long or the wheel
off its height. No formula is shared with the linkage under test, only the record of the hard points.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from server.compute.corner import Corner
from server.compute.linkage import Setting, Shaft
from server.compute.vector import Floats

ON_THE_KNUCKLE = ("upper_ball", "lower_ball", "tie_outer", "wheel_centre")
Residuals = Callable[[Floats], Floats]


@dataclass(frozen=True)
class Stand:
    """What one pose comes to, degrees and metres; nan where the links do not close."""

    camber: float
    caster: float
    toe: float
    inclination: float
    scrub: float
    trail: float
    spring: float
    joints: Floats  # upper ball, lower ball, tie outer, wheel centre: (4, 3)


def at_travel(corner: Corner, travel_m: float, setting: Setting) -> Stand:
    """The pose with the wheel that much higher."""
    height = corner.wheel_centre[2] + travel_m
    start = np.array((0, 0, 0, 0, 0, travel_m), dtype=float)
    return _solve(corner, setting, lambda joints: joints[3, 2] - height, start)


def at_arm(corner: Corner, arm_rad: float, setting: Setting) -> Stand:
    """The pose with the lower arm turned so far, ball joint up."""
    turn, ball = _arm_turn(corner, arm_rad), corner.lower_ball - corner.lower_front
    radial = turn.apply(np.cross(corner.lower_front - corner.lower_rear, ball))
    start = np.concatenate((np.zeros(3), turn.apply(ball) - ball))
    radial /= np.linalg.norm(radial)
    return _solve(corner, setting, lambda joints: radial @ (joints[1] - corner.lower_front), start)


def problem(corner: Corner, setting: Setting, condition: Callable[[Floats], float]) -> Residuals:
    """The six residuals of the six unknowns."""
    front, rear = shimmed(corner, setting)
    inner = corner.tie_inner + np.array((0, float(setting.link_m), 0))
    rod = np.linalg.norm(corner.tie_outer - corner.tie_inner) + float(setting.tie_rod_m)
    body = np.stack([getattr(corner, name) for name in ON_THE_KNUCKLE])
    ends = np.stack((front, rear, corner.lower_front, corner.lower_rear, inner))
    measured = np.stack((corner.upper_front, corner.upper_rear, corner.lower_front, corner.lower_rear))
    on = np.array((0, 0, 1, 1, 2))
    lengths = np.append(np.linalg.norm(body[on[:4]] - measured, axis=1), rod)

    def residuals(unknown: Floats) -> Floats:
        joints = placed(body, unknown)
        stretched = np.sqrt(((joints[on] - ends) ** 2).sum(axis=1)) - lengths
        return np.append(stretched, condition(joints))

    return residuals


def placed(body: Floats, unknown: Floats) -> Floats:
    """The knuckle's points once it is turned about its lower ball joint and shifted, (n, 3)."""
    middle = body[1]
    return middle + (body - middle) @ rotation(unknown[:3]).T + unknown[3:]


def rotation(vector: Floats) -> Floats:
    """The matrix of a rotation vector: Euler and Rodrigues, quicker here than scipy's object."""
    x, y, z = vector
    angle = max(np.sqrt(vector @ vector), 1e-300)
    skew = np.array(((0, -z, y), (z, 0, -x), (-y, x, 0))) / angle
    turned: Floats = np.eye(3) + np.sin(angle) * skew + 2 * np.sin(angle / 2) ** 2 * skew @ skew
    return turned


def shimmed(corner: Corner, setting: Setting) -> tuple[Floats, Floats]:
    """The upper arm's pivots where the packs put the shaft, seen from above as a line through both studs."""
    front, rear, out = float(setting.front_m), float(setting.rear_m), np.array((0, int(corner.hand), 0))
    if setting.shaft is Shaft.TURNING:
        middle = (corner.stud_front + corner.stud_rear) / 2
        before = corner.stud_front[0] - corner.stud_rear[0]
        turn = Rotation.from_euler("z", np.arctan2((front - rear) * int(corner.hand), before))
        shift = middle + out * (front + rear) / 2
        upper = np.stack((corner.upper_front, corner.upper_rear))
        return tuple(turn.apply(upper - middle) + shift)
    line = np.polynomial.Polynomial.fit((corner.stud_front[0], corner.stud_rear[0]), (front, rear), 1)
    return corner.upper_front + out * line(corner.upper_front[0]), corner.upper_rear + out * line(
        corner.upper_rear[0]
    )


def _solve(corner: Corner, setting: Setting, condition: Callable[[Floats], float], start: Floats) -> Stand:
    found = least_squares(
        problem(corner, setting, condition), start, method="lm", xtol=1e-12, ftol=1e-12, gtol=1e-12
    )
    closes = np.max(np.abs(found.fun)) < 1e-9
    return _read(corner, found.x if closes else np.full(6, np.nan))


def _read(corner: Corner, unknown: Floats) -> Stand:
    """Gauges by construction: the wheel's rim and the steering axis put through the floor."""
    body = np.stack([getattr(corner, name) for name in ON_THE_KNUCKLE])
    upper, lower, _, centre = joints = placed(body, unknown)
    spin, hand = rotation(unknown[:3]) @ corner.spin, int(corner.hand)
    ahead = np.cross(spin, (0, 0, hand))  # level, in the wheel's plane
    ahead /= np.linalg.norm(ahead)
    up = np.cross(ahead, spin) * hand
    contact = centre - corner.loaded_radius * up
    share = (contact[2] - lower[2]) / (upper[2] - lower[2])
    pierced = lower + share * (upper - lower)
    outboard = np.cross((0, 0, hand), ahead)
    return Stand(
        camber=np.rad2deg(np.arctan2(up @ outboard, up[2])),
        caster=np.rad2deg(np.arctan((lower[0] - upper[0]) / (upper[2] - lower[2]))),
        toe=np.rad2deg(-np.arctan2(ahead[1] * hand, ahead[0])),
        inclination=np.rad2deg(np.arctan((lower[1] - upper[1]) * hand / (upper[2] - lower[2]))),
        scrub=float((contact - pierced) @ outboard),
        trail=float((pierced - contact) @ ahead),
        spring=_spring(corner, lower),
        joints=joints,
    )


def _spring(corner: Corner, ball: Floats) -> float:
    """The seat goes with the arm: the turn that takes pivots and ball joint to where they are."""
    if np.isnan(ball[0]):
        return np.nan
    was = np.stack((corner.lower_rear - corner.lower_front, corner.lower_ball - corner.lower_front))
    now = np.stack((corner.lower_rear - corner.lower_front, ball - corner.lower_front))
    turn, _ = Rotation.align_vectors(now, was)
    seat = corner.lower_front + turn.apply(corner.spring_lower - corner.lower_front)
    return float(np.linalg.norm(corner.spring_upper - seat))


def _arm_turn(corner: Corner, arm_rad: float) -> Rotation:
    axis = corner.lower_front - corner.lower_rear
    rising = np.cross(axis, corner.lower_ball - corner.lower_front)[2]
    return Rotation.from_rotvec(axis / np.linalg.norm(axis) * arm_rad * np.sign(rising))
