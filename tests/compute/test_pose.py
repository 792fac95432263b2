"""The signs and sizes of what is read at a wheel, on both sides, from wheels turned by hand.

ISO 8855 vehicle axes; camber, caster and toe as a technician reads them. Each situation says in words which
way the wheel leans, and what the gauge then has to show.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from server.compute.corner import Corner, Hand
from server.compute.linkage import at_arm
from server.compute.pose import Fault, Pose, Readings, readings
from server.compute.vector import Floats, point
from tests.compute.plausible import corners
from tests.reference.corner_1 import CORNER_1

RADIUS_m = 0.32
HANDS = pytest.mark.parametrize("hand", list(Hand), ids=["left", "right"])
LEANS = pytest.mark.parametrize("degrees", [-7.0, -0.5, 0.5, 3.0, 7.0])


def upright(hand: Hand) -> Corner:
    """A steering axis straight up, 60 mm inboard of a wheel that stands straight."""
    left = CORNER_1.with_points(
        {
            "upper_ball": point(0.0, 0.69, 0.45),
            "lower_ball": point(0.0, 0.69, 0.2),
            "wheel_centre": point(0.0, 0.75, RADIUS_m),
            "spin": point(0.0, 1.0, 0.0),
        }
    )
    return _with_radius(left if hand is Hand.LEFT else left.mirrored())


def _with_radius(corner: Corner) -> Corner:
    points = {
        name: getattr(corner, name) for name in corner.__slots__ if name not in ("loaded_radius", "hand")
    }
    return Corner(**points, loaded_radius=np.array(RADIUS_m), hand=corner.hand)


def turned_wheel(hand: Hand, axis: str, degrees: float) -> Pose:
    """Only the wheel is turned, about its centre, by the right-hand rule."""
    stood = upright(hand)
    return at_arm(
        stood.with_points({"spin": Rotation.from_euler(axis, degrees, degrees=True).apply(stood.spin)})
    )


def moved_ball(hand: Hand, ahead_m: float = 0.0, outboard_m: float = 0.0) -> Pose:
    stood = upright(hand)
    return at_arm(stood.with_points({"upper_ball": stood.upper_ball + point(ahead_m, outboard_m * hand, 0)}))


def degrees_of(pose: Pose) -> Floats:
    return np.rad2deg(pose.readings.stacked)


@HANDS
def test_an_upright_corner_reads_nothing(hand: Hand) -> None:
    pose = at_arm(upright(hand))

    np.testing.assert_allclose(degrees_of(pose), 0, atol=1e-12)
    assert pose.inclination_rad == pytest.approx(0)
    assert pose.trail_m == pytest.approx(0)
    assert pose.scrub_m == pytest.approx(0.06)


@HANDS
@LEANS
def test_camber_is_positive_when_the_top_leans_outboard(hand: Hand, degrees: float) -> None:
    """About the axis ahead a positive turn takes the top toward the car's right: outboard there."""
    pose = turned_wheel(hand, "x", -degrees * hand)

    np.testing.assert_allclose(degrees_of(pose), (degrees, 0, 0), atol=1e-12)
    top = np.cross(pose.spin, (1, 0, 0)) * -hand
    assert np.sign(top[1] * hand * top[2]) == np.sign(degrees)


@HANDS
@LEANS
def test_toe_is_positive_when_the_front_points_at_the_other_wheel(hand: Hand, degrees: float) -> None:
    """About the axis up a positive turn takes the front of the wheel to the car's left."""
    pose = turned_wheel(hand, "z", -degrees * hand)

    np.testing.assert_allclose(degrees_of(pose), (0, 0, degrees), atol=1e-12)


@LEANS
def test_a_tape_between_both_wheels_is_shorter_in_front_at_toe_in(degrees: float) -> None:
    """Front and rear of the rims at axle height; the difference is 2 D sin t."""
    left, right = (turned_wheel(hand, "z", -degrees * hand) for hand in Hand)
    ahead = [np.cross(pose.spin, (0, 0, 1)) * pose.corner.hand * RADIUS_m for pose in (left, right)]
    front, rear = (
        np.linalg.norm(left.wheel_centre + way * ahead[0] - right.wheel_centre - way * ahead[1])
        for way in (1, -1)
    )

    assert rear - front == pytest.approx(2 * 2 * RADIUS_m * np.sin(np.deg2rad(degrees)))


@HANDS
def test_camber_is_the_angle_to_the_floor_whatever_the_toe(hand: Hand) -> None:
    """Camber first, then the wheel steered about the vertical."""
    stood = upright(hand)
    spin = Rotation.from_euler("xz", (-2.0 * hand, -11.0 * hand), degrees=True).apply(stood.spin)

    np.testing.assert_allclose(degrees_of(at_arm(stood.with_points({"spin": spin}))), (2, 0, 11), atol=1e-12)


@HANDS
@LEANS
def test_caster_is_positive_when_the_top_lies_behind(hand: Hand, degrees: float) -> None:
    pose = moved_ball(hand, ahead_m=-0.25 * np.tan(np.deg2rad(degrees)))

    np.testing.assert_allclose(degrees_of(pose), (0, degrees, 0), atol=1e-12)
    assert pose.inclination_rad == pytest.approx(0)


@HANDS
@LEANS
def test_inclination_is_positive_when_the_top_lies_inboard(hand: Hand, degrees: float) -> None:
    pose = moved_ball(hand, outboard_m=-0.25 * np.tan(np.deg2rad(degrees)))

    assert np.rad2deg(pose.inclination_rad) == pytest.approx(degrees)
    np.testing.assert_allclose(degrees_of(pose), 0, atol=1e-12)


@HANDS
def test_caster_in_side_view_is_not_changed_by_inclination(hand: Hand) -> None:
    pose = moved_ball(hand, ahead_m=-0.25 * np.tan(np.deg2rad(3)), outboard_m=-0.25 * np.tan(np.deg2rad(9)))

    assert np.rad2deg(pose.readings.caster_rad) == pytest.approx(3)
    assert np.rad2deg(pose.inclination_rad) == pytest.approx(9)


@HANDS
@pytest.mark.parametrize("outboard_m", [-0.05, 0.03])
def test_scrub_is_positive_when_the_axis_meets_the_floor_inboard(hand: Hand, outboard_m: float) -> None:
    """Through the lower joint, 0.2 m above the floor; the upper one another 0.25 m up."""
    pose = moved_ball(hand, outboard_m=outboard_m)

    assert pose.scrub_m == pytest.approx(0.06 + outboard_m * 0.2 / 0.25)
    assert pose.trail_m == pytest.approx(0)


@HANDS
@pytest.mark.parametrize("ahead_m", [-0.02, 0.02])
def test_trail_is_positive_when_the_axis_meets_the_floor_ahead(hand: Hand, ahead_m: float) -> None:
    """Positive caster puts the axis on the floor ahead of the contact."""
    pose = moved_ball(hand, ahead_m=ahead_m)

    assert pose.trail_m == pytest.approx(-ahead_m * 0.2 / 0.25)
    assert pose.scrub_m == pytest.approx(0.06)
    assert np.sign(pose.trail_m) == np.sign(pose.readings.caster_rad)


@HANDS
def test_a_wheel_upright_to_the_last_digit_has_its_scrub_and_trail(hand: Hand) -> None:
    pose = replace(at_arm(upright(hand)), spin=point(0.0, float(hand), 0.0))

    assert pose.scrub_m == pytest.approx(0.06)
    assert pose.trail_m == pytest.approx(0.0, abs=1e-12)


@HANDS
def test_scrub_and_trail_go_with_the_wheel_when_it_is_steered(hand: Hand) -> None:
    """90 degrees would swap them; 30 degrees mix them as a plane turn does."""
    straight, steered = 0.06, np.deg2rad(30)
    pose = turned_wheel(hand, "z", -30 * hand)

    assert pose.scrub_m == pytest.approx(straight * np.cos(steered))
    assert pose.trail_m == pytest.approx(straight * np.sin(steered))


@HANDS
def test_the_contact_lies_down_the_wheels_plane(hand: Hand) -> None:
    leaning = turned_wheel(hand, "x", -5 * hand)
    below = leaning.wheel_centre - leaning.contact

    assert np.linalg.norm(below) == pytest.approx(RADIUS_m)
    assert below @ leaning.spin == pytest.approx(0, abs=1e-15)
    assert (leaning.contact[1] - leaning.wheel_centre[1]) * hand == pytest.approx(
        -RADIUS_m * np.sin(np.deg2rad(5))
    )
    np.testing.assert_allclose(at_arm(upright(hand)).contact, (0, 0.75 * hand, 0), atol=1e-15)


@HANDS
def test_the_spring_is_as_long_as_its_seats_are_apart(hand: Hand) -> None:
    pose = at_arm(upright(hand))

    assert pose.spring_m == pytest.approx(0.248018144, abs=1e-9)  # printed with this corner's tables


def test_both_sides_of_a_car_read_the_same() -> None:
    left = corners(np.random.default_rng(8), 50, Hand.LEFT)
    poses = [at_arm(side, 0.1) for side in (left, left.mirrored())]

    for one, other in zip(
        *([*p.readings.stacked, p.inclination_rad, p.scrub_m, p.trail_m] for p in poses), strict=True
    ):
        np.testing.assert_allclose(one, other, atol=1e-14)


def test_readings_from_bare_figures_stack_in_the_order_of_the_gauge() -> None:
    np.testing.assert_array_equal(readings(0.1, 0.2, 0.3).stacked, (0.1, 0.2, 0.3))
    assert Readings(np.zeros(4), np.zeros(()), np.zeros((2, 1))).stacked.shape == (3, 2, 4)


def test_every_fault_names_its_link() -> None:
    assert [fault.sentence for fault in Fault] == [
        "Every link reaches.",
        "The upper arm does not reach its ball joint.",
        "The tie rod does not reach the steering arm.",
        "The lower arm cannot bring the wheel to that height.",
    ]
