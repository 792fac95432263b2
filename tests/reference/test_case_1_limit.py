"""The limits in which a corner has an answer on paper, as the same solver printed them."""

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from server.compute.corner import Corner
from server.compute.linkage import Setting, at_arm, at_travel, posed
from server.compute.motion import rates
from server.compute.pose import Pose
from tests.reference.corner_1 import MM, SOLVED, CLOSE_deg, angles, changes, corner, same, table, wanted

LIMITS = SOLVED["limits"]


def test_equal_parallel_arms_keep_every_angle() -> None:
    case = LIMITS["parallel_arms"]
    printed = table(case)
    pose = at_travel(corner(case["corner"]), printed["travel"] * MM)

    same(changes(pose), wanted(printed), 1e-9)
    same(np.ptp(pose.inclination_rad), 0, 1e-12)


@pytest.mark.parametrize("hand", [1, -1], ids=["left", "right"])
def test_a_wheel_turns_about_its_steering_axis_as_printed(hand: int) -> None:
    """Only the rotation is printed: the place of the centre link that gives it is found."""
    case = LIMITS["pure_rotation"]
    stood = leaning(case)
    stood = stood if hand == 1 else stood.mirrored()
    for rotation, camber, heading in case["rows"]:
        pose = rotated(stood, rotation)
        same(angles(pose)[0], camber, CLOSE_deg)
        same(-angles(pose)[2], heading, CLOSE_deg)


def leaning(case: dict[str, Any]) -> Corner:
    """The first limiting corner, its steering axis and its wheel leaning as the case says."""
    stood = corner(LIMITS["equal_shims_level"]["corner"])
    kpi, caster, camber = np.deg2rad((case["kpi"], case["caster"], case["camber"]))
    axis = 0.25 * np.array((-np.tan(caster), -np.tan(kpi), 1.0))
    spin = np.array((0.0, np.cos(camber), -np.sin(camber)))
    return stood.with_points({"upper_ball": stood.lower_ball + axis, "spin": spin})


def rotated(stood: Corner, out_deg: float) -> Pose:
    """Turned about the steering axis, outward +: the rod's outer end has gone round by this chord."""
    axis = stood.upper_ball - stood.lower_ball
    arm = stood.tie_outer - stood.lower_ball
    radius = np.linalg.norm(np.cross(axis, arm)) / np.linalg.norm(axis)
    chord = 2 * radius * np.sin(np.deg2rad(abs(out_deg)) / 2)

    def off(link_m: float) -> float:
        pose = at_arm(stood, 0.0, Setting(link_m=link_m))
        return float(np.linalg.norm(pose.tie_outer - stood.tie_outer) - chord)

    if out_deg == 0:
        return at_arm(stood)
    way = -np.sign(out_deg) * stood.hand  # behind the axle the link goes toward the other side
    return at_arm(stood, 0.0, Setting(link_m=brentq(off, 0.0, way * 0.08, xtol=1e-14)))


@pytest.mark.parametrize("name", ["equal_shims_level", "equal_shims_sloped"])
def test_equal_shims_move_camber_as_printed(name: str) -> None:
    case = LIMITS[name]
    printed = table(case)
    shift = printed["shift"] * MM
    camber, _, _ = changes(posed(corner(case["corner"]), Setting(shift, shift)))

    same(camber, printed["camber"], CLOSE_deg)
    same(camber, printed["small_angle"], 3e-4)


def test_unequal_shims_move_caster_as_printed() -> None:
    case = LIMITS["unequal_shims"]
    printed = table(case)
    setting = Setting(printed["front"] * MM, printed["rear"] * MM)
    camber, caster, _ = changes(posed(corner(case["corner"]), setting))

    same(camber, printed["camber"], CLOSE_deg)
    same(caster, printed["caster"], CLOSE_deg)
    same(camber, printed["camber_first_order"], 0.04)
    same(caster, printed["caster_first_order"], 1e-3)


def test_the_rod_steers_about_a_vertical_axis_as_printed() -> None:
    case = LIMITS["vertical_axis"]
    printed = table(case)
    ends = {name: case[name] for name in ("tie_inner", "tie_outer")}
    stood = corner({**LIMITS["equal_shims_level"]["corner"], **ends})
    _, _, toe = changes(posed(stood, Setting(tie_rod_m=printed["longer"] * MM)))

    same(toe, printed["toe"], CLOSE_deg)
    same(toe, printed["toe_first_order"], 4e-3)


@pytest.mark.parametrize("hand", [1, -1], ids=["left", "right"])
def test_camber_gain_is_one_over_the_swing_arm_as_printed(hand: int) -> None:
    case = LIMITS["instant_centre"]
    stood = corner(case["corner"])
    rate = rates(at_arm(stood if hand == 1 else stood.mirrored()))

    same(np.rad2deg(rate.camber_rad_per_m) * MM, case["camber_per_mm"], 1e-6)
    same(np.rad2deg(rate.camber_rad_per_m) * MM, case["camber_per_mm_solved"], 1e-6)
    same(rate.instant_centre / MM * (hand, 1), case["centre"], 2e-6)
    same(case["corner"]["wheel_centre"][1] - rate.instant_centre[0] * hand / MM, case["swing_arm"], 2e-6)
