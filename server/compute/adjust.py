"""The way back: from wanted wheel angles to the setting that gives them, in closed form.

The knuckle is rigid, so the wanted angles fix how it stands; where its joints then are says where the upper
arm's pivots and the tie rod's end have to be. Each pivot is taken to move straight across the car.
"""

from collections.abc import Callable
from functools import partial

import numpy as np

from server.compute.corner import Corner
from server.compute.linkage import Hold, Setting
from server.compute.pose import Pose, Readings
from server.compute.refusal import Refused
from server.compute.vector import NO_ROOM, Axes, Floats, cross, dot, length, turned, unit, widen

Carry = Callable[[Floats], Floats]

OUT_OF_REACH = "No shims and no tie-rod length can make this corner read that."


def calibrated(corner: Corner, found: Readings) -> Corner:
    """The corner with its unknown offsets solved, so that as it stood it reads exactly what was found.

    The wheel's axis takes camber and toe, the upper ball joint's place along the car takes the caster. A hard
    point that is a little off then costs the prediction of a change only in second order.
    """
    upper, lower = corner.upper_ball, corner.lower_ball
    ahead = lower[0] - (upper[2] - lower[2]) * np.tan(found.caster_rad)
    ball = np.stack(np.broadcast_arrays(ahead, upper[1], upper[2]))
    return corner.with_points({"upper_ball": ball, "spin": spin_of(found, corner)})


def restood(pose: Pose) -> Corner:
    """The corner as it now stands, to be changed from there."""
    return pose.corner.with_points({name: getattr(pose, name) for name in _MOVED})


_MOVED = (
    *("upper_front", "upper_rear", "upper_ball", "lower_ball"),
    *("tie_inner", "tie_outer", "spring_lower", "wheel_centre", "spin"),
)


def with_joint(corner: Corner, rise_m: Floats | float) -> Corner:
    """The corner with an outer tie-rod end whose ball sits that much higher on the steering arm, (*shape).

    Its tie rod has the length that keeps the wheel's toe.
    """
    rise = np.asarray(rise_m, dtype=np.float64)
    outer = widen(corner.tie_outer, rise.shape) + np.stack((0 * rise, 0 * rise, rise))
    return corner.with_points({"tie_outer": outer})


def spin_of(wanted: Readings, corner: Corner) -> Floats:
    """The wheel's axis at these readings, unit vector outboard, shape (3, *shape)."""
    camber, _, toe = wanted.stacked
    level = np.cos(camber)
    return np.stack((level * np.sin(toe), corner.hand * level * np.cos(toe), -np.sin(camber)))


def setting_for(corner: Corner, wanted: Readings, hold: Hold = Hold.LOWER_ARM) -> Setting:
    """The moves of both studs and the tie rod's change that make the corner read what is wanted.

    wanted     shapes (*shape), broadcast with the corner
    raises     Refused where a link cannot do it
    validity   while no link passes through a straight line with the next: some 40 degrees either way
    """
    wheel = spin_of(wanted, corner)
    axis = _steering_axis(corner, wanted, wheel)
    carry = _carry(corner, axis, wheel)
    lower_ball = _lower_ball(corner, carry, axis.shape[1:], hold)
    front, rear = _stud_moves(corner, lower_ball + axis)
    tie_outer = lower_ball + carry(corner.tie_outer - corner.lower_ball)
    rod = length(tie_outer - widen(corner.tie_inner, axis.shape[1:])) - corner.tie_rod_m
    if not np.all(np.isfinite((front, rear, rod))):
        raise Refused(OUT_OF_REACH)
    return Setting(front, rear, rod)


def tie_rod_for(pose: Pose, toe_rad: Floats | float) -> Floats:
    """The tie rod's length that gives this toe, with arms and packs as they are in the pose [m], (*shape).

    raises     Refused where no steering angle gives it
    """
    axis = unit(pose.upper_ball - pose.lower_ball)
    aim = _toe_plane(toe_rad, pose)
    still = dot(axis, pose.spin) * dot(axis, aim)
    angle = _nearest_root(dot(aim, pose.spin) - still, dot(aim, cross(axis, pose.spin)), -still)
    arm = turned(pose.tie_outer - pose.lower_ball, axis, angle)
    rod = length(pose.lower_ball + arm - pose.tie_inner)
    if not np.all(np.isfinite(rod)):
        raise Refused(OUT_OF_REACH)
    return rod


def _steering_axis(corner: Corner, wanted: Readings, wheel: Floats) -> Floats:
    """Lower to upper ball joint, at the wanted caster and at its own length and angle to the wheel.

    Its height z solves z²(1/cos² c + a²/b²) − 2 z m a/b² + m²/b² = e², with its side step y = (m − a z)/b.
    """
    stood = corner.upper_ball - corner.lower_ball
    lean = np.tan(wanted.caster_rad)
    m, a, b = dot(stood, corner.spin), wheel[2] - lean * wheel[0], wheel[1]
    square, half, rest = 1 + lean**2 + (a / b) ** 2, m * a / b**2, (m / b) ** 2 - dot(stood, stood)
    z = (half + _root(half**2 - square * rest)) / square
    return np.stack((-lean * z, (m - a * z) / b, z))


def _carry(corner: Corner, axis: Floats, wheel: Floats) -> Carry:
    """Takes a vector fixed in the knuckle, as it stood, to how it stands with this axis and this wheel."""
    before = Axes.of(corner.upper_ball - corner.lower_ball, corner.spin)
    return partial(before.carried, to=Axes.of(axis, wheel))


def _lower_ball(corner: Corner, carry: Carry, shape: tuple[int, ...], hold: Hold) -> Floats:
    """Where the lower ball joint is, its arm held or turned so that the wheel's centre keeps its height."""
    if hold is Hold.LOWER_ARM:
        return widen(corner.lower_ball, shape)
    wheel = corner.wheel_centre - corner.lower_ball
    rise = corner.wheel_centre[2] - carry(wheel)[2]
    axis, pivot = corner.lower_axis, corner.lower_front
    arm = corner.lower_ball - pivot
    still = axis[2] * dot(axis, arm)
    angle = _nearest_root(arm[2] - still, cross(axis, arm)[2], rise - pivot[2] - still)
    return widen(pivot, shape) + turned(widen(arm, shape), widen(axis, shape), angle)


def _stud_moves(corner: Corner, upper_ball: Floats) -> tuple[Floats, Floats]:
    """How far outboard the shaft has to be moved at each stud for the arm to reach the ball joint."""
    front, rear = (
        _pivot_move(corner, pivot, upper_ball) for pivot in (corner.upper_front, corner.upper_rear)
    )
    rear_x = corner.upper_rear[0]
    slant = (front - rear) / (corner.upper_front[0] - rear_x)
    at_front, at_rear = (rear + slant * (stud[0] - rear_x) for stud in (corner.stud_front, corner.stud_rear))
    return at_front, at_rear


def _pivot_move(corner: Corner, pivot: Floats, upper_ball: Floats) -> Floats:
    reach = length(corner.upper_ball - pivot)
    ahead, above = upper_ball[0] - pivot[0], upper_ball[2] - pivot[2]
    across = _root(reach**2 - ahead**2 - above**2)
    move: Floats = corner.hand * (upper_ball[1] - pivot[1]) - across
    return move


def _toe_plane(toe_rad: Floats | float, pose: Pose) -> Floats:
    """Square to every wheel axis that has this toe."""
    toe = np.broadcast_to(np.asarray(toe_rad, dtype=np.float64), pose.arm_rad.shape)
    return np.stack((np.cos(toe), -pose.corner.hand * np.sin(toe), 0 * toe))


def _nearest_root(cosine: Floats, sine: Floats, total: Floats) -> Floats:
    """The angle nearest to 0 with cosine·cos + sine·sin = total; nan where there is none."""
    middle = np.arctan2(sine, cosine)
    share = total / np.hypot(cosine, sine)
    apart = np.arccos(np.where(np.abs(share) <= 1, share, NO_ROOM))
    nearest: Floats = np.where(middle > 0, middle - apart, middle + apart)
    return nearest


def _root(square: Floats) -> Floats:
    root: Floats = np.sqrt(np.where(square >= 0, square, NO_ROOM))
    return root
