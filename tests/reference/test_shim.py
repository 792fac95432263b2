"""What shims, rods and sweeps do by published tables and by first-order geometry, read off the linkage.

Confidence is said beside each: `read` was seen in that source, `derived` follows from geometry alone.
"""

from dataclasses import replace

import numpy as np
import pytest

from server.compute.corner import Corner
from server.compute.linkage import Setting, Shaft, at_arm, posed
from server.compute.pose import Pose
from server.compute.vector import Floats, point, unit
from tests.compute.plausible import corners
from tests.reference.corner_1 import CORNER_1, LEVEL, angles, changes

INCH = 0.0254
BOTH = pytest.mark.parametrize("way", [1, -1], ids=["shims in", "shims out"])
SMALL_m = 1e-5


# US Army TM 9-2320-280-34, table 20-3 (read): what shims at the upper arm's studs do to one front axle.
# The corner is the one those figures imply (derived): ball joints 349 mm apart in height, the shaft's bracket
# inboard of it, the upper ball joint across from the front stud, arm over stud spacing 1.2.


def implied() -> Corner:
    """Pivots at the studs; the lower arm, the rod and the wheel have no part in it."""
    spacing = 0.2
    front, rear = point(0.0, 0.66 - 1.2 * spacing, 0.549), point(-spacing, 0.66 - 1.2 * spacing, 0.549)
    return LEVEL.with_points(
        {
            "lower_ball": point(0.0, 0.66, 0.2),
            "upper_ball": point(0.0, 0.66, 0.549),
            "upper_front": front,
            "stud_front": front,
            "upper_rear": rear,
            "stud_rear": rear,
        }
    )


TABLE_20_3 = pytest.mark.parametrize(
    ("front", "rear", "caster", "camber"),
    [(1, 0, 0.6, 0.5), (0, 1, -0.6, 0.0), (1, 1, 0.0, 0.5)],
    ids=["front stud", "rear stud", "both studs"],
)


@BOTH
@TABLE_20_3
def test_a_shim_of_0_12_in_does_what_the_table_prints(
    front: int, rear: int, caster: float, camber: float, way: int
) -> None:
    """Taking shims out has the opposite effect, as printed beside the table (read). Printed to 0.1 degree."""
    thickness = 0.12 * INCH * way
    got = changes(posed(implied(), Setting(front * thickness, rear * thickness)))

    assert got[1] == pytest.approx(way * caster, abs=0.05)
    assert got[0] == pytest.approx(way * camber, abs=0.05)


@TABLE_20_3
def test_a_shim_of_half_the_thickness_does_half(front: int, rear: int, caster: float, camber: float) -> None:
    """0.06 in, as printed beside the table (read)."""
    got = changes(posed(implied(), Setting(front * 0.06 * INCH, rear * 0.06 * INCH)))

    assert got[1] == pytest.approx(caster / 2, abs=0.025)
    assert got[0] == pytest.approx(camber / 2, abs=0.025)


def test_shims_at_both_studs_add_up() -> None:
    """The first two lines of the table make the third (read)."""
    one, other, both = (
        changes(posed(implied(), Setting(front * 0.12 * INCH, rear * 0.12 * INCH)))
        for front, rear in ((1, 0), (0, 1), (1, 1))
    )

    np.testing.assert_allclose(one + other, both, atol=0.02)


def test_equal_shims_keep_the_caster_while_they_move_the_camber() -> None:
    """NAVEDTRA 14273, ch. 8 (read)."""
    for stood in (CORNER_1, LEVEL, implied()):
        camber, caster, _ = changes(posed(stood, Setting(INCH / 8, INCH / 8)))

        assert camber > 0.5
        assert abs(caster) < 0.02 * camber


def test_the_arms_rear_end_outward_takes_the_ball_joint_forward_and_outboard() -> None:
    """Caster more negative, camber more positive: Goodheart-Willcox, Auto Suspension and Steering (2021),
    p. 380 (read)."""
    pose = posed(CORNER_1, Setting(0.0, INCH / 8))
    camber, caster, _ = changes(pose)

    assert caster < 0 < camber
    assert pose.upper_ball[0] > CORNER_1.upper_ball[0]
    assert pose.upper_ball[1] > CORNER_1.upper_ball[1]


# First-order geometry (derived). Each is a slope at no shims, so the figures agree far closer than in use.


def slope(stood: Corner, setting: Setting) -> Floats:
    """Change of camber, caster, toe per metre, for a setting of 1 m written out small [rad/m]."""
    front, rear, rod, link = (np.asarray(one) * SMALL_m for one in setting.figures)
    ahead = replace(setting, front_m=front, rear_m=rear, tie_rod_m=rod, link_m=link)
    back = replace(setting, front_m=-front, rear_m=-rear, tie_rod_m=-rod, link_m=-link)
    both = [np.deg2rad(angles(posed(stood, one))) for one in (ahead, back)]
    return (both[0] - both[1]) / (2 * SMALL_m)


def test_equal_shims_lean_the_wheel_by_their_thickness_over_the_height() -> None:
    """Level upper arm: D / h."""
    assert slope(LEVEL, Setting(1.0, 1.0))[0] == pytest.approx(1 / 0.25, rel=1e-6)


@pytest.mark.parametrize(("beta_deg", "q_deg"), [(0, 0), (8, 0), (-12, 0), (8, 9), (-10, 6), (0, 9)])
def test_a_sloped_arm_leans_the_wheel_by_its_cosine(beta_deg: float, q_deg: float) -> None:
    """Arms in planes across the car: D cos b / (e cos(b - q)), b up outward, q the axis leaning in."""
    b, q, e, arm = np.deg2rad(beta_deg), np.deg2rad(q_deg), 0.25 / np.cos(np.deg2rad(q_deg)), 0.22
    ball = LEVEL.lower_ball + point(0.0, -e * np.sin(q), e * np.cos(q))
    pivot = ball - point(0.0, arm * np.cos(b), arm * np.sin(b))
    ends = {
        f"{what}_{end}": pivot + point(way * 0.1, 0, 0)
        for what in ("upper", "stud")
        for end, way in (("front", 1), ("rear", -1))
    }
    stood = LEVEL.with_points({"upper_ball": ball, **ends})

    assert slope(stood, Setting(1.0, 1.0))[0] == pytest.approx(np.cos(b) / (e * np.cos(b - q)), rel=1e-6)


def studs_inside() -> Corner:
    """Studs a third inside the pivots, the ball joint off their middle."""
    return LEVEL.with_points(
        {
            "upper_front": point(0.12, 0.46, 0.45),
            "upper_rear": point(-0.09, 0.46, 0.45),
            "stud_front": point(0.08, 0.46, 0.45),
            "stud_rear": point(-0.06, 0.46, 0.45),
        }
    )


@pytest.mark.parametrize(("front", "rear"), [(1.0, 0.0), (0.0, 1.0), (1.0, -1.0), (0.3, 0.8)])
def test_unequal_shims_turn_the_arm_about_its_studs(front: float, rear: float) -> None:
    """Camber by the shaft's move across from the ball joint, over h; caster by a times its turn, over h.
    The shaft is straight, so that the pivots move by more than the studs."""
    camber, caster, _ = slope(studs_inside(), Setting(front, rear))
    at_ball = rear + (front - rear) * (0.0 + 0.06) / 0.14

    assert camber == pytest.approx(at_ball / 0.25, rel=1e-6)
    assert caster == pytest.approx(0.22 * (front - rear) / 0.14 / 0.25, rel=1e-6)


def test_a_ball_joint_across_from_the_front_stud_makes_the_rear_shim_move_caster_alone() -> None:
    camber, caster, _ = slope(implied(), Setting(0.0, 1.0))

    assert camber == pytest.approx(0, abs=1e-7)
    assert caster == pytest.approx(-1.2 / 0.349, rel=1e-6)


@pytest.mark.parametrize("out_m", [0.015, -0.02])
def test_a_pivot_axis_off_the_studs_line_moves_along_the_car_too(out_m: float) -> None:
    """A shaft that turns takes an axis o outboard rearward by o per unit of turn: o/h more of caster."""
    stood = studs_inside()
    off = {name: getattr(stood, name) - point(0, out_m, 0) for name in ("stud_front", "stud_rear")}
    turning = Setting(1.0, -1.0, shaft=Shaft.TURNING)
    extra = slope(stood.with_points(off), turning)[1] - slope(stood, turning)[1]

    assert extra == pytest.approx(out_m * 2 / 0.14 / 0.25, rel=1e-5)


@pytest.mark.parametrize("stood", [CORNER_1, CORNER_1.mirrored()], ids=["left", "right"])
def test_outboard_shims_lean_the_top_out_and_the_front_one_raises_caster(stood: Corner) -> None:
    """Whichever side of its bracket the shaft sits on: the move outboard is what counts."""
    camber, caster, _ = changes(
        posed(stood, Setting(np.array([1, 0, 1]) * 1e-3, np.array([1, 0, -1]) * 1e-3))
    )

    assert camber[0] > 0
    assert caster[2] > 0
    np.testing.assert_array_equal((camber[1], caster[1]), 0)


@pytest.mark.parametrize("ahead", [False, True], ids=["behind", "ahead"])
def test_the_rod_turns_the_wheel_by_its_change_over_its_lever(ahead: bool) -> None:
    """About the steering axis k through the lower joint: dL / (k . (r x e)), r to the rod's outer end, e out
    along it. Behind the axle a longer rod is toe-in, ahead of it toe-out."""
    for stood in (corners_of(ahead), corners_of(ahead).mirrored()):
        axis = unit(stood.upper_ball - stood.lower_ball)
        rod = unit(stood.tie_outer - stood.tie_inner)
        lever = np.einsum("i...,i...", axis, np.cross(stood.tie_outer - stood.lower_ball, rod, axis=0))
        turned = np.cross(axis / lever, stood.spin, axis=0)  # of the wheel's axis, per metre
        x, y = stood.spin[0], stood.spin[1] * stood.hand
        toe = (turned[0] * y - x * turned[1] * stood.hand) / (x**2 + y**2)

        np.testing.assert_allclose(slope(stood, Setting(tie_rod_m=1.0))[2], toe, rtol=1e-5)
        assert np.all(np.sign(toe) == (-1 if ahead else 1))


def corners_of(ahead: bool) -> Corner:
    return corners(np.random.default_rng(41), 30, CORNER_1.hand, ahead=ahead)


def steered(stood: Corner, link_m: Floats) -> tuple[Pose, Floats]:
    """The pose, and how far the wheel has turned about its fixed steering axis, by the rod's outer end."""
    pose = at_arm(stood, 0.0, Setting(link_m=link_m))
    axis = unit(stood.upper_ball - stood.lower_ball)
    arm = stood.tie_outer - stood.lower_ball
    level = arm - (arm @ axis) * axis
    square = np.cross(axis, level)
    now = pose.tie_outer - stood.lower_ball[:, None]
    return pose, np.arctan2(square @ now, level @ now)


@pytest.mark.parametrize("stood", [CORNER_1, CORNER_1.mirrored()], ids=["left", "right"])
def test_a_steered_wheel_turns_as_a_vector_about_an_axis(stood: Corner) -> None:
    """s = s0 cos t + (k x s0) sin t + k (k . s0)(1 - cos t): Rodrigues."""
    pose, turn = steered(stood, np.linspace(-0.05, 0.05, 11))
    k, s = unit(stood.upper_ball - stood.lower_ball), stood.spin
    there = (
        np.outer(s, np.cos(turn))
        + np.outer(np.cross(k, s), np.sin(turn))
        + np.outer(k * (k @ s), 1 - np.cos(turn))
    )

    np.testing.assert_allclose(pose.spin, there, atol=1e-12)
    assert np.ptp(np.rad2deg(turn)) > 35


def test_camber_in_a_sweep_goes_with_the_tangent_of_caster() -> None:
    """sin g(+t) - sin g(-t) = 2 sin t tan c cos g0 / sqrt(1 + tan^2 c + tan^2 q) for no toe; t outward."""
    c, q, g = np.deg2rad((3.0, 8.0, 0.5))
    axis = 0.25 * point(-np.tan(c), -np.tan(q), 1.0)
    spin = point(0.0, np.cos(g), -np.sin(g))
    stood = LEVEL.with_points({"upper_ball": LEVEL.lower_ball + axis, "spin": spin})
    pose, turn = steered(stood, np.linspace(-0.06, 0.06, 4001))
    order = np.argsort(turn)
    inward, out = np.interp(np.deg2rad((-20, 20)), turn[order], pose.readings.camber_rad[order])

    exact = 2 * np.sin(np.deg2rad(20)) * np.tan(c) * np.cos(g) / np.sqrt(1 + np.tan(c) ** 2 + np.tan(q) ** 2)
    assert np.sin(out) - np.sin(inward) == pytest.approx(exact, rel=1e-6)
