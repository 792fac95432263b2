"""How a pose moves: rates against differences of poses, signs and centres against lines drawn on paper."""

import numpy as np
import pytest

from server.compute.corner import Corner, Hand
from server.compute.linkage import Setting, at_arm, at_travel
from server.compute.motion import Motion, Rates, climb_m, rates
from server.compute.pose import Pose
from server.compute.vector import Floats, point
from tests.compute.plausible import corners, settings
from tests.reference.corner_1 import CORNER_1, LEVEL

STEP_m = 1e-5
HANDS = pytest.mark.parametrize("hand", list(Hand), ids=["left", "right"])
AHEAD = pytest.mark.parametrize("ahead", [False, True], ids=["behind", "ahead"])


def slope(corner: Corner, setting: Setting, travel: Floats, read: str) -> Floats:
    """Central difference over the wheel's height."""

    def at(height: Floats) -> Floats:
        pose = at_travel(corner, height, setting)
        found = pose.spring_m if read == "spring" else getattr(pose.readings, f"{read}_rad")
        return np.asarray(found)

    return (at(travel + STEP_m) - at(travel - STEP_m)) / (2 * STEP_m)


@HANDS
@AHEAD
def test_rates_are_the_slopes_of_the_poses(hand: Hand, ahead: bool) -> None:
    random = np.random.default_rng(11)
    corner, setting = corners(random, 60, hand, ahead=ahead), settings(random, 60)
    travel = random.uniform(-0.04, 0.04, 60)
    rate = rates(at_travel(corner, travel, setting))

    for name in ("camber", "caster", "toe"):
        differences = slope(corner, setting, travel, name)
        np.testing.assert_allclose(getattr(rate, f"{name}_rad_per_m"), differences, rtol=1e-6, atol=1e-6)
    np.testing.assert_allclose(rate.motion_ratio, -slope(corner, setting, travel, "spring"), atol=1e-7)


@HANDS
def test_the_wheels_centre_climbs_as_fast_as_its_poses_do(hand: Hand) -> None:
    corner = corners(np.random.default_rng(12), 40, hand)
    higher, lower = (at_arm(corner, 0.05 + turn).wheel_centre[2] for turn in (1e-5, -1e-5))

    np.testing.assert_allclose(climb_m(at_arm(corner, 0.05)), (higher - lower) / 2e-5, rtol=1e-8)


@HANDS
@AHEAD
@pytest.mark.parametrize("place", ["upper_ball", "tie_outer", "wheel_centre", "contact"])
def test_every_point_of_the_knuckle_moves_as_its_poses_do(hand: Hand, ahead: bool, place: str) -> None:
    random = np.random.default_rng(13)
    corner, setting = corners(random, 40, hand, ahead=ahead), settings(random, 40)
    before, now, after = (at_arm(corner, turn, setting) for turn in (-1e-5, 0.0, 1e-5))
    ours = Motion.of(now).at(getattr(now, place))

    if place == "contact":  # a point of the knuckle, not the foot of the wheel, which rolls on
        moved = [carried(now, pose, now.contact) for pose in (before, after)]
    else:
        moved = [getattr(pose, place) for pose in (before, after)]
    np.testing.assert_allclose(ours, (moved[1] - moved[0]) / 2e-5, atol=1e-8)


def carried(was: Pose, now: Pose, place: Floats) -> Floats:
    """A point of the knuckle, taken along by three others of it: an affine map."""
    joints = [
        np.stack([getattr(p, n) for n in ("lower_ball", "upper_ball", "tie_outer")]) for p in (was, now)
    ]
    edges = []
    for first, second, third in joints:
        a, b = second - first, third - first
        edges.append(np.stack((a, b, np.cross(a, b, axis=0))))
    shares = np.linalg.solve(edges[0].transpose(2, 1, 0), (place - was.lower_ball).T[..., None])
    return now.lower_ball + np.einsum("inp,pi->np", edges[1], shares[..., 0])


@HANDS
@pytest.mark.parametrize("inner_up_m", [-0.04, 0.04])
def test_bump_steer_is_positive_for_toe_in_as_the_wheel_rises(hand: Hand, inner_up_m: float) -> None:
    """Linkage behind level arms. A rod that slopes up outward swings its outer end inboard as it rises, and
    the rear of the wheel with it: toe-out. Sloping down outward: toe-in."""
    stood = of_hand(LEVEL.with_points({"tie_inner": LEVEL.tie_inner + point(0, 0, inner_up_m)}), hand)
    risen = at_travel(stood, 0.02)
    rear_went_out = (risen.tie_outer[1] - stood.tie_outer[1]) * hand - (
        risen.lower_ball[1] - stood.lower_ball[1]
    ) * hand

    assert np.sign(rear_went_out) == np.sign(inner_up_m)
    assert np.sign(rates(at_arm(stood)).toe_rad_per_m) == np.sign(inner_up_m)
    assert np.sign(risen.readings.toe_rad) == np.sign(inner_up_m)


def of_hand(left: Corner, hand: Hand) -> Corner:
    return left if hand is Hand.LEFT else left.mirrored()


@HANDS
def test_motion_ratio_is_positive_as_the_spring_shortens(hand: Hand) -> None:
    """A spring upright on a level arm: the share of the arm's length at which it stands."""
    stood = LEVEL.with_points({"spring_upper": point(0, 0.5, 0.43), "spring_lower": point(0, 0.5, 0.2)})
    ratio = rates(at_arm(of_hand(stood, hand))).motion_ratio

    assert ratio == pytest.approx((0.5 - 0.3) / (0.68 - 0.3))


def crossing(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> Floats:
    """Where two lines through two points each cross, on paper."""
    (a, b), (c, d) = one, other
    share = np.linalg.solve(np.column_stack((b - a, c - d)), c - a)[0]
    return a + share * (b - a)


def planar() -> Corner:
    """Both arms' pivots run straight along the car, the rod lies in the lower arm: all moves in one plane."""
    return LEVEL.with_points(
        {
            "lower_front": point(0.15, 0.3, 0.215),
            "lower_rear": point(-0.15, 0.3, 0.215),
            "lower_ball": point(0.0, 0.68, 0.195),
            "upper_front": point(0.1, 0.43, 0.425),
            "upper_rear": point(-0.1, 0.43, 0.425),
            "upper_ball": point(0.0, 0.65, 0.445),
            "tie_inner": point(-0.14, 0.3, 0.215),
            "tie_outer": point(-0.14, 0.68, 0.195),
        }
    )


def paper_centre(pose: Pose) -> Floats:
    lower = (pose.corner.lower_front[1:], pose.lower_ball[1:])
    return crossing(lower, (pose.upper_front[1:], pose.upper_ball[1:]))


@HANDS
def test_the_instant_centre_is_where_the_arms_lines_cross(hand: Hand) -> None:
    pose = at_arm(of_hand(planar(), hand))
    centre = rates(pose).instant_centre

    np.testing.assert_allclose(centre, paper_centre(pose))
    assert centre[0] * hand < 0  # beyond the other wheel


@HANDS
def test_the_roll_centre_is_where_contact_to_instant_centre_crosses_the_middle(hand: Hand) -> None:
    pose = at_arm(of_hand(planar(), hand))
    middle = crossing((pose.contact[1:], paper_centre(pose)), (point(0, 0, 0)[1:], point(0, 0, 1)[1:]))

    assert rates(pose).roll_centre_m == pytest.approx(middle[1] - pose.contact[2])
    assert rates(pose).roll_centre_m > 0


@HANDS
def test_camber_gain_is_one_over_the_swing_arm(hand: Hand) -> None:
    """F16: planar arms at ride height. Derived."""
    pose = at_arm(of_hand(planar(), hand))
    swing_arm = (pose.wheel_centre[1] - paper_centre(pose)[0]) * hand

    assert rates(pose).camber_rad_per_m == pytest.approx(-1 / swing_arm)


@HANDS
def test_arms_that_slope_up_outward_lower_the_roll_centre_below_the_floor(hand: Hand) -> None:
    """Both parallel: every line to their far centre has their slope; 1:19 down inward from the contact."""
    slope = 0.02 / 0.38
    stood = LEVEL.with_points(
        {
            name: getattr(LEVEL, name) - point(0, 0, slope * (getattr(LEVEL, ball) - getattr(LEVEL, name))[1])
            for ball, names in (
                ("lower_ball", ("lower_front", "lower_rear")),
                ("upper_ball", ("upper_front", "upper_rear")),
                ("tie_outer", ("tie_inner",)),
            )
            for name in names
        }
    )

    assert rates(at_arm(of_hand(stood, hand))).roll_centre_m == pytest.approx(-slope * 0.75)


@HANDS
def test_level_parallel_arms_have_their_centre_endlessly_far_and_roll_on_the_floor(hand: Hand) -> None:
    rate = rates(at_arm(of_hand(LEVEL, hand)))

    assert np.isinf(rate.instant_centre[0])
    assert np.isnan(rate.instant_centre[1])
    assert rate.roll_centre_m == pytest.approx(0, abs=1e-12)
    assert rate.camber_rad_per_m == pytest.approx(0, abs=1e-9)


@HANDS
@AHEAD
def test_the_instant_centre_stands_still_in_front_view(hand: Hand, ahead: bool) -> None:
    """Carried by the knuckle, it moves only along the car."""
    corner = corners(np.random.default_rng(14), 20, hand, ahead=ahead)
    pose = at_arm(corner)
    y, z = rates(pose).instant_centre
    velocity = Motion.of(pose).at(np.stack((pose.wheel_centre[0], y, z)))

    np.testing.assert_allclose(velocity[1:], 0, atol=1e-12)


def test_rates_have_the_shape_of_the_pose() -> None:
    corner = corners(np.random.default_rng(15), 4, Hand.LEFT)
    many, one = rates(at_arm(corner, np.zeros((5, 1)))), rates(at_arm(CORNER_1))

    assert shapes(many) == [(5, 4)] * 4 + [(2, 5, 4), (5, 4)]
    assert shapes(one) == [()] * 4 + [(2,), ()]


def shapes(rate: Rates) -> list[tuple[int, ...]]:
    return [np.shape(getattr(rate, name)) for name in Rates.__slots__]


def test_what_cannot_be_has_no_rates() -> None:
    rate = rates(at_travel(CORNER_1, np.array([0.0, 0.9])))

    assert np.isfinite(rate.camber_rad_per_m).tolist() == [True, False]
    assert np.isfinite(rate.motion_ratio).tolist() == [True, False]
