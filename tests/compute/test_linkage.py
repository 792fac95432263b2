"""What the linkage makes of travel and settings: shapes, what is held, poses that cannot be."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from server.compute import height
from server.compute.corner import Corner, Hand
from server.compute.linkage import AS_IT_STOOD, Hold, Setting, Shaft, at_arm, at_travel, posed
from server.compute.motion import climb_m
from server.compute.pose import Fault
from server.compute.refusal import Refused
from server.compute.vector import Floats, length, point
from tests.compute.plausible import corners, one_of, one_setting, settings
from tests.compute.seen import POSE_POINTS, angles, lengths
from tests.reference.corner_1 import CORNER_1

HANDS = pytest.mark.parametrize("hand", list(Hand), ids=["left", "right"])


def test_bare_figures_in_a_bare_pose_out() -> None:
    for pose in (at_arm(CORNER_1, 0.1), at_travel(CORNER_1, 0.01), posed(CORNER_1, Setting(0.001))):
        assert {np.shape(getattr(pose, name)) for name in POSE_POINTS} == {(3,)}
        assert pose.fault.shape == pose.arm_rad.shape == pose.readings.camber_rad.shape == ()
        assert np.shape(pose.scrub_m) == np.shape(pose.trail_m) == np.shape(pose.spring_m) == ()


@HANDS
@pytest.mark.parametrize("way", [at_arm, at_travel])
def test_corners_settings_and_travel_broadcast_to_one_shape(way: type, hand: Hand) -> None:
    random = np.random.default_rng(20)
    many, wanted = corners(random, 4, hand), settings(random, 4)
    columns = Setting(*(np.asarray(one)[:, None, None] for one in settings(random, 2).figures))
    moved = random.uniform(-0.03, 0.03, (3, 1))
    pose = way(many, moved, columns)

    assert pose.fault.shape == pose.readings.toe_rad.shape == pose.scrub_m.shape == (2, 3, 4)
    assert {getattr(pose, name).shape for name in POSE_POINTS} == {(3, 2, 3, 4)}
    for place in ((0, 0, 0), (1, 2, 3), (0, 1, 3)):
        alone = way(one_of(many, place[2]), moved[place[1], 0], one_setting(columns, (place[0], 0, 0)))
        np.testing.assert_allclose(angles(pose)[:, *place], angles(alone), atol=1e-9)
        np.testing.assert_allclose(lengths(pose)[:, *place], lengths(alone), atol=1e-9)
    pairs = way(many, moved[0, 0], wanted)
    assert pairs.fault.shape == (4,)


def test_one_setting_of_many_shapes_goes_with_one_corner() -> None:
    setting = Setting(front_m=np.zeros(3), rear_m=np.zeros((2, 1)), tie_rod_m=0.001, link_m=np.zeros(()))

    assert posed(CORNER_1, setting).fault.shape == (2, 3)
    assert posed(CORNER_1, setting, Hold.WHEEL_HEIGHT).fault.shape == (2, 3)
    assert posed(CORNER_1, replace(setting, shaft=Shaft.TURNING)).fault.shape == (2, 3)


def test_three_corners_are_not_taken_for_three_axes() -> None:
    three = corners(np.random.default_rng(21), 3, Hand.LEFT)
    found = at_travel(three, np.zeros((2, 1)))

    for i in range(3):
        np.testing.assert_allclose(angles(found)[:, 1, i], angles(at_travel(one_of(three, i))), atol=1e-12)


def test_many_ball_joints_with_one_of_all_else_make_many_poses() -> None:
    many = CORNER_1.upper_ball[:, None, None] + np.zeros((3, 2, 5))
    pose = at_arm(CORNER_1.with_points({"upper_ball": many}))

    assert pose.fault.shape == pose.scrub_m.shape == (2, 5)
    np.testing.assert_allclose(angles(pose)[:, 1, 4], angles(at_arm(CORNER_1)), atol=1e-14)


def test_no_poses_at_all_are_no_trouble() -> None:
    assert at_travel(CORNER_1, np.zeros(0)).readings.camber_rad.shape == (0,)


@HANDS
def test_as_it_stood_nothing_has_moved(hand: Hand) -> None:
    many = corners(np.random.default_rng(22), 30, hand)
    for pose in (
        at_arm(many),
        at_travel(many),
        posed(many, Setting()),
        posed(many, AS_IT_STOOD, Hold.WHEEL_HEIGHT),
    ):
        for name in POSE_POINTS:
            np.testing.assert_allclose(getattr(pose, name), getattr(many, name), atol=1e-12)
        np.testing.assert_allclose(pose.arm_rad, 0, atol=1e-12)


@HANDS
def test_every_link_keeps_its_length(hand: Hand) -> None:
    random = np.random.default_rng(23)
    many, setting = corners(random, 200, hand), settings(random, 200)
    pose = at_travel(many, random.uniform(-0.05, 0.05, 200), setting)
    ok = pose.fault == 0
    for one, other in (
        *(("upper_ball", "upper_front"), ("upper_ball", "upper_rear"), ("upper_ball", "lower_ball")),
        *(("upper_ball", "tie_outer"), ("lower_ball", "tie_outer"), ("lower_ball", "wheel_centre")),
        *(("upper_ball", "wheel_centre"), ("tie_outer", "wheel_centre")),
    ):
        now = length(getattr(pose, one) - getattr(pose, other))
        np.testing.assert_allclose(now[ok], length(getattr(many, one) - getattr(many, other))[ok], atol=1e-12)
    rod = length(pose.tie_outer - pose.tie_inner)
    np.testing.assert_allclose(rod[ok], (many.tie_rod_m + setting.tie_rod_m)[ok], atol=1e-12)
    for seat in ("spring_lower", "lower_ball"):
        for pivot in ("lower_front", "lower_rear"):
            now = length(getattr(pose, seat) - getattr(many, pivot))
            was = length(getattr(many, seat) - getattr(many, pivot))
            np.testing.assert_allclose(now[ok], was[ok], atol=1e-12)
    assert np.mean(ok) > 0.98


@HANDS
def test_travel_is_how_far_the_wheels_centre_has_risen(hand: Hand) -> None:
    random = np.random.default_rng(24)
    many, setting = corners(random, 200, hand), settings(random, 200)
    risen = random.uniform(-0.05, 0.05, 200)
    pose = at_travel(many, risen, setting)
    ok = pose.fault == 0

    np.testing.assert_allclose((pose.wheel_centre - many.wheel_centre)[2][ok], risen[ok], atol=1e-10)
    again = at_arm(many, np.where(ok, pose.arm_rad, 0), setting)
    np.testing.assert_allclose(angles(again)[:, ok], angles(pose)[:, ok], atol=1e-12)


def test_a_rising_arm_is_a_rising_wheel() -> None:
    heights = at_arm(CORNER_1, np.linspace(-0.2, 0.2, 9)).wheel_centre[2]

    assert np.all(np.diff(heights) > 0)


def test_holding_the_arm_keeps_the_spring_and_holding_the_wheel_its_height() -> None:
    setting = Setting(0.004, -0.002, 0.003)

    assert posed(CORNER_1, setting).spring_m == pytest.approx(at_arm(CORNER_1).spring_m, abs=1e-15)
    held = posed(CORNER_1, setting, Hold.WHEEL_HEIGHT)
    assert held.wheel_centre[2] == pytest.approx(CORNER_1.wheel_centre[2], abs=1e-10)
    assert abs(held.arm_rad) > 1e-5


def test_a_turning_shaft_keeps_its_length_and_a_straight_one_its_place_along_the_car() -> None:
    setting = Setting(0.006, -0.006)
    straight, turning = posed(CORNER_1, setting), posed(CORNER_1, replace(setting, shaft=Shaft.TURNING))
    shaft = length(CORNER_1.upper_front - CORNER_1.upper_rear)

    assert length(turning.upper_front - turning.upper_rear) == pytest.approx(shaft, abs=1e-15)
    assert straight.upper_front[0] == CORNER_1.upper_front[0]
    assert length(straight.upper_front - straight.upper_rear) > shaft + 1e-4


@HANDS
def test_the_link_moves_both_inner_ends_to_the_cars_left(hand: Hand) -> None:
    """Behind the axle: to the left turns both wheels' fronts right, so the left toes in, the right out."""
    stood = CORNER_1 if hand is Hand.LEFT else CORNER_1.mirrored()
    pose = at_arm(stood, 0.0, Setting(link_m=0.005))

    assert pose.tie_inner[1] - stood.tie_inner[1] == pytest.approx(0.005)
    assert np.sign(pose.readings.toe_rad - at_arm(stood).readings.toe_rad) == hand


def test_a_pose_that_cannot_be_names_its_link_and_has_no_figures() -> None:
    moved = np.array([0.0, 1.5, -0.6, 0.0])
    rod = np.array([0.0, 0.0, 0.0, 0.3])
    pose = at_arm(CORNER_1, moved, Setting(tie_rod_m=rod))

    assert pose.fault.tolist() == [Fault.NONE, Fault.TIE_ROD, Fault.UPPER_ARM, Fault.TIE_ROD]
    for figures in (
        angles(pose),
        lengths(pose),
        *(getattr(pose, name) for name in POSE_POINTS),
        pose.contact,
    ):
        assert np.all(np.isfinite(figures[:, 0]))
        assert np.all(np.isnan(figures[:, 1:]))


@pytest.mark.parametrize(
    ("setting", "fault"),
    [
        (Setting(front_m=0.9, rear_m=0.9), Fault.UPPER_ARM),
        (Setting(front_m=-0.5, rear_m=-0.5), Fault.UPPER_ARM),
        (Setting(tie_rod_m=0.3), Fault.TIE_ROD),
        (Setting(tie_rod_m=-0.2), Fault.TIE_ROD),
        (Setting(link_m=0.3), Fault.TIE_ROD),
    ],
)
@pytest.mark.parametrize("hold", Hold)
def test_a_setting_no_link_can_follow_says_which(setting: Setting, fault: Fault, hold: Hold) -> None:
    pose = posed(CORNER_1, setting, hold)

    assert pose.fault == fault
    assert np.isnan(pose.readings.camber_rad)


@pytest.mark.parametrize("shorter_m", [-0.304371485, -0.5, -0.62])
def test_a_rod_shortened_past_nothing_does_not_reach(shorter_m: float) -> None:
    assert at_arm(CORNER_1, 0.0, Setting(tie_rod_m=shorter_m)).fault == Fault.TIE_ROD


def test_a_height_no_arm_can_bring_the_wheel_to_is_the_lower_arms_fault() -> None:
    """A short lower arm under long links: it points straight up before anything else gives out."""
    short = CORNER_1.with_points(
        {
            "lower_front": CORNER_1.lower_ball + point(0.1, -0.12, 0.0),
            "lower_rear": CORNER_1.lower_ball + point(-0.1, -0.12, 0.0),
            "upper_front": CORNER_1.upper_ball + point(0.1, -0.5, 0.0),
            "upper_rear": CORNER_1.upper_ball + point(-0.1, -0.5, 0.0),
            "tie_inner": CORNER_1.tie_outer + point(0.0, -0.5, 0.0),
        }
    )
    heights = at_arm(short, np.linspace(0, 2.0, 2001)).wheel_centre[2]
    most = np.nanmax(heights) - short.wheel_centre[2]

    assert at_travel(short, most - 1e-5).fault == Fault.NONE
    assert at_travel(short, most + 1e-3).fault == Fault.LOWER_ARM


@HANDS
def test_the_end_of_reach_is_where_a_dense_scan_finds_it(hand: Hand) -> None:
    """Every height that some angle of the arm gives is found, and none beyond; what ends it is named."""
    many = corners(np.random.default_rng(25), 12, hand)
    least, under = end_of_reach(many, -1)
    most, over = end_of_reach(many, 1)

    for end, inward in ((least, 1e-3), (most, -1e-3)):
        assert np.all(at_travel(many, end + inward).fault == Fault.NONE)
    beyond = at_travel(many, np.stack((least - 2e-3, most + 2e-3)))
    np.testing.assert_array_equal(beyond.fault, (under, over))
    assert set(np.unique(beyond.fault)) == {Fault.UPPER_ARM, Fault.TIE_ROD, Fault.LOWER_ARM}


def end_of_reach(many: Corner, way: int) -> tuple[Floats, NDArray[np.int64]]:
    """How far the wheel goes that way, by steps of 1e-3, then 1e-6; and the link that gives out within 1°."""
    start = np.zeros(many.lower_ball.shape[1])
    for step in (1e-3, 1e-6):
        angles = start + way * step * np.arange(2000)[:, None]
        scan = at_arm(many, angles)
        end = np.argmin(np.diff(scan.wheel_centre[2] * way, axis=0) > 0, axis=0)
        start = np.take_along_axis(angles, end[None], 0)[0]
    rise = np.take_along_axis(scan.wheel_centre[2], end[None], 0)[0] - many.wheel_centre[2]
    after = at_arm(many, start + way * np.radians(np.linspace(0, 1, 101))[1:, None]).fault
    gives_out = np.argmax(after > 0, axis=0)
    fault = np.take_along_axis(after, gives_out[None], 0)[0]
    return rise, np.where(fault == Fault.NONE, Fault.LOWER_ARM, fault)


def test_a_wheel_that_never_gets_there_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """One of 1000 heights is out of reach: the others are worked out a few times, not at all its tries."""
    travel = np.linspace(-0.05, 0.05, 1000)
    travel[7] = 0.9
    tried = []
    monkeypatch.setattr(height, "climb_m", lambda pose: tried.append(pose.fault.size) or climb_m(pose))

    pose = at_travel(CORNER_1, travel)

    assert np.flatnonzero(pose.fault).tolist() == [7]
    assert sum(tried) < 5 * 1000 + 40


def test_the_late_ones_among_many_stand_as_they_do_alone() -> None:
    """Corners in columns, settings in rows, a travel each; those near their end take more tries."""
    random = np.random.default_rng(26)
    many, wanted = corners(random, 5, Hand.RIGHT), settings(random, 3, Shaft.TURNING)
    rows = Setting(*(np.asarray(one)[:, None] for one in wanted.figures), shaft=Shaft.TURNING)
    travel = random.choice([0.01, 0.085, 0.12, -0.1, 0.5], (3, 5))

    pose = at_travel(many, travel, rows)

    for row, column in np.ndindex(3, 5):
        alone = at_travel(one_of(many, column), travel[row, column], one_setting(wanted, row))
        assert pose.fault[row, column] == alone.fault
        np.testing.assert_allclose(angles(pose)[:, row, column], angles(alone), atol=1e-9)
        np.testing.assert_allclose(lengths(pose)[:, row, column], lengths(alone), atol=1e-9)
    assert 0 < np.count_nonzero(pose.fault) < 15


@pytest.mark.parametrize("name", ["front_m", "rear_m", "tie_rod_m", "link_m"])
@pytest.mark.parametrize("figure", [np.nan, np.inf, -np.inf])
def test_a_setting_that_is_no_number_is_refused(name: str, figure: float) -> None:
    with pytest.raises(Refused, match="Every setting of the corner needs a number"):
        Setting(**{name: np.array([0.0, figure])})


@pytest.mark.parametrize("figure", [np.nan, np.inf, -np.inf])
def test_travel_or_an_arms_angle_that_is_no_number_is_refused(figure: float) -> None:
    with pytest.raises(Refused, match="The wheel's travel needs a number"):
        at_travel(CORNER_1, np.array([0.0, figure]))
    with pytest.raises(Refused, match="The lower arm's angle needs a number"):
        at_arm(CORNER_1, figure)
