"""The way back: what was asked for is what is read once the setting is made."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from server.compute.adjust import (
    OUT_OF_REACH,
    calibrated,
    restood,
    setting_for,
    spin_of,
    tie_rod_for,
    with_joint,
)
from server.compute.corner import Corner, Hand
from server.compute.linkage import Hold, Setting, at_arm, at_travel, posed
from server.compute.pose import Readings, readings
from server.compute.refusal import Refused
from server.compute.vector import Floats, length, point
from tests.compute import plausible
from tests.compute.plausible import corners, one_of
from tests.compute.seen import angles, lengths
from tests.reference.corner_1 import CORNER_1

HANDS = pytest.mark.parametrize("hand", list(Hand), ids=["left", "right"])
AHEAD = pytest.mark.parametrize("ahead", [False, True], ids=["behind", "ahead"])
HOLDS = pytest.mark.parametrize("hold", list(Hold))


def near(stood: Corner, random: np.random.Generator, *shape: int) -> Readings:
    """What might be wanted: within a degree or so of how it stands."""
    now = at_arm(stood).readings.stacked
    return Readings(*(now + np.deg2rad(random.uniform(-1.2, 1.2, (3, *shape)))))


def figures(setting: Setting) -> Floats:
    return np.stack([np.asarray(one) for one in (setting.front_m, setting.rear_m, setting.tie_rod_m)])


@HANDS
@AHEAD
@HOLDS
def test_what_was_wanted_is_read_once_the_setting_is_made(hand: Hand, ahead: bool, hold: Hold) -> None:
    random = np.random.default_rng(30)
    stood = corners(random, 200, hand, ahead=ahead)
    wanted = near(stood, random, 200)
    pose = posed(stood, setting_for(stood, wanted, hold), hold)

    np.testing.assert_allclose(pose.readings.stacked, wanted.stacked, atol=1e-10)
    assert np.all(pose.fault == 0)


@HANDS
@HOLDS
def test_a_setting_is_found_again_from_what_it_reads(hand: Hand, hold: Hold) -> None:
    random = np.random.default_rng(31)
    stood, made = corners(random, 200, hand), replace(plausible.settings(random, 200), link_m=0.0)
    found = setting_for(stood, posed(stood, made, hold).readings, hold)

    np.testing.assert_allclose(figures(found), figures(made), atol=1e-10)


@HANDS
@HOLDS
def test_what_is_read_already_needs_nothing(hand: Hand, hold: Hold) -> None:
    stood = corners(np.random.default_rng(32), 50, hand)

    np.testing.assert_allclose(figures(setting_for(stood, at_arm(stood).readings, hold)), 0, atol=1e-12)


def test_holding_the_wheels_height_needs_other_shims_than_holding_the_arm() -> None:
    wanted = readings(*np.deg2rad((0.0, 3.0, 0.1)))
    arm, wheel = (figures(setting_for(CORNER_1, wanted, hold)) for hold in Hold)

    assert 1e-5 < np.max(np.abs(arm - wheel)) < 1e-3


@HOLDS
def test_corners_and_wishes_broadcast(hold: Hold) -> None:
    random = np.random.default_rng(33)
    stood = corners(random, 4, Hand.RIGHT)
    wanted = Readings(
        *np.deg2rad(random.uniform(-0.5, 0.5, (3, 5, 1)))
        + at_arm(one_of(stood, 0)).readings.stacked[:, None, None]
    )
    found = setting_for(stood, wanted, hold)
    alone = setting_for(one_of(stood, 2), Readings(*wanted.stacked[:, 3, 0]), hold)

    assert figures(found).shape == (3, 5, 4)
    np.testing.assert_allclose(figures(found)[:, 3, 2], figures(alone), atol=1e-12)
    assert figures(alone).shape == (3,)


@pytest.mark.parametrize(
    "wanted_deg",
    [(-85.0, 0.0, 0.0), (0.0, 60.0, 0.0), (0.0, 0.0, 85.0), (0.0, np.nan, 0.0), (np.inf, 0.0, 0.0)],
)
def test_what_no_setting_gives_is_refused(wanted_deg: tuple[float, float, float]) -> None:
    with np.errstate(invalid="ignore"), pytest.raises(Refused) as refused:
        setting_for(CORNER_1, readings(*np.deg2rad(wanted_deg)))

    assert str(refused.value) == OUT_OF_REACH


def test_one_wish_of_many_out_of_reach_is_refused() -> None:
    with pytest.raises(Refused, match="No shims and no tie-rod length"):
        setting_for(CORNER_1, Readings(np.zeros(2), np.deg2rad([0.0, 60.0]), np.zeros(2)))


@HANDS
@AHEAD
def test_a_calibrated_corner_reads_what_was_found(hand: Hand, ahead: bool) -> None:
    random = np.random.default_rng(34)
    stood = corners(random, 100, hand, ahead=ahead)
    found = Readings(*np.deg2rad(random.uniform(((-3,), (-4,), (-2,)), ((3,), (8,), (2,)), (3, 100))))

    np.testing.assert_allclose(at_arm(calibrated(stood, found)).readings.stacked, found.stacked, atol=1e-14)
    np.testing.assert_allclose(at_travel(calibrated(stood, found)).readings.stacked, found.stacked, atol=1e-9)


def test_one_corner_is_calibrated_by_many_readings() -> None:
    """Three of them too, which must not be taken for x, y and z."""
    for many in (3, 5):
        found = Readings(*np.deg2rad(np.random.default_rng(35).uniform(-1, 1, (3, 2, many))))
        pose = at_arm(calibrated(CORNER_1, found))

        np.testing.assert_allclose(pose.readings.stacked, found.stacked, atol=1e-14)
        assert pose.scrub_m.shape == (2, many)


def test_calibrating_moves_the_upper_ball_joint_only_along_the_car() -> None:
    before = CORNER_1
    after = calibrated(before, readings(*np.deg2rad((1.0, 4.0, -0.3))))

    np.testing.assert_array_equal(after.upper_ball[1:], before.upper_ball[1:])
    assert after.upper_ball[0] < before.upper_ball[0]
    np.testing.assert_array_equal(after.lower_ball, before.lower_ball)
    np.testing.assert_array_equal(after.wheel_centre, before.wheel_centre)


def test_what_was_found_has_to_be_numbers() -> None:
    with pytest.raises(Refused):
        calibrated(CORNER_1, readings(np.nan, 0.0, 0.0))


def test_a_corner_that_is_off_predicts_a_change_in_second_order_once_calibrated() -> None:
    """Hard points off by e leave an error that goes with e; by the readings alone it would be e itself."""
    random = np.random.default_rng(36)
    true, made = CORNER_1, Setting(-0.004, -0.006, 0.002)
    read, then = (posed(true, one).readings for one in (Setting(), made))
    offset = random.normal(size=(3, 400)) * 0.003
    wrong = true.with_points({"upper_ball": true.upper_ball[:, None] + offset})
    plain = posed(wrong, made).readings.stacked - then.stacked[:, None]
    sure = posed(calibrated(wrong, read), made).readings.stacked - then.stacked[:, None]

    assert np.all(np.std(sure, axis=1)[:2] < 0.05 * np.std(plain, axis=1)[1])


@HANDS
def test_the_wheels_axis_is_where_its_readings_put_it(hand: Hand) -> None:
    """Turned by hand: leaned, then steered about the vertical."""
    stood = CORNER_1 if hand is Hand.LEFT else CORNER_1.mirrored()
    camber, toe = np.deg2rad((2.0, 5.0))
    spin = spin_of(readings(camber, 0.3, toe), stood)

    assert spin[2] == pytest.approx(-np.sin(camber))
    assert spin[0] == pytest.approx(np.cos(camber) * np.sin(toe))
    assert spin[1] == pytest.approx(np.cos(camber) * np.cos(toe) * hand)


@HANDS
@HOLDS
def test_a_corner_changed_from_where_it_stands_now_adds_up(hand: Hand, hold: Hold) -> None:
    random = np.random.default_rng(37)
    stood = corners(random, 60, hand)
    first, then = (replace(plausible.settings(random, 60), link_m=0.0) for _ in range(2))
    both = Setting(*(a + b for a, b in zip(first.figures, then.figures, strict=True)))
    at_once = posed(stood, both, hold)
    in_two = posed(restood(posed(stood, first, hold)), then, hold)

    np.testing.assert_allclose(angles(in_two), angles(at_once), atol=1e-9)
    np.testing.assert_allclose(lengths(in_two), lengths(at_once), atol=1e-9)


def test_a_corner_stands_again_as_it_is_posed() -> None:
    pose = at_travel(CORNER_1.mirrored(), 0.02, Setting(0.001, 0.002, 0.003, 0.004))
    again = at_arm(restood(pose))

    np.testing.assert_allclose(angles(again), angles(pose), atol=1e-14)
    np.testing.assert_allclose(lengths(again), lengths(pose), atol=1e-14)
    assert again.corner.hand is Hand.RIGHT


@HANDS
@AHEAD
def test_the_rod_that_is_named_gives_the_toe(hand: Hand, ahead: bool) -> None:
    random = np.random.default_rng(38)
    stood, shims = corners(random, 100, hand, ahead=ahead), plausible.settings(random, 100)
    toe = np.deg2rad(random.uniform(-2, 2, 100))
    shimmed = replace(shims, tie_rod_m=0.0, link_m=0.0)
    longer = tie_rod_for(at_arm(stood, 0.05, shimmed), toe) - stood.tie_rod_m

    pose = at_arm(stood, 0.05, replace(shimmed, tie_rod_m=longer))
    np.testing.assert_allclose(pose.readings.toe_rad, toe, atol=1e-12)


def test_the_rod_for_the_toe_that_is_read_is_the_rod_there_is() -> None:
    pose = at_travel(CORNER_1, 0.03, Setting(0.002, -0.002, 0.004))

    rod = tie_rod_for(pose, pose.readings.toe_rad)
    assert rod == pytest.approx(length(pose.tie_outer - pose.tie_inner), abs=1e-14)
    assert np.shape(rod) == ()


@settings(max_examples=40, deadline=None)
@given(st.floats(-25, 25), st.sampled_from(Hand))
def test_a_rod_is_found_for_every_toe_on_a_turn_plate(toe_deg: float, hand: Hand) -> None:
    stood = CORNER_1 if hand is Hand.LEFT else CORNER_1.mirrored()
    rod = tie_rod_for(at_arm(stood), np.deg2rad(toe_deg))

    pose = at_arm(stood, 0.0, Setting(tie_rod_m=float(rod - stood.tie_rod_m)))
    assert np.rad2deg(pose.readings.toe_rad) == pytest.approx(toe_deg, abs=1e-9)


@HANDS
@pytest.mark.parametrize("turned_deg", [-60.0, -40.0, 40.0, 60.0])
def test_for_a_wheel_turned_far_the_rod_is_the_one_that_was_there(turned_deg: float, hand: Hand) -> None:
    """Further than a linkage goes: the knuckle is turned about its axis by scipy."""
    pose = at_arm(CORNER_1 if hand is Hand.LEFT else CORNER_1.mirrored())
    axis = pose.upper_ball - pose.lower_ball
    turn = Rotation.from_rotvec(np.deg2rad(turned_deg) * axis / np.linalg.norm(axis))
    spin, arm = turn.apply(np.array(pose.spin)), turn.apply(pose.tie_outer - pose.lower_ball)

    rod = tie_rod_for(pose, np.arctan2(spin[0], spin[1] * hand))

    assert rod == pytest.approx(np.linalg.norm(pose.lower_ball + arm - pose.tie_inner), abs=1e-12)


@pytest.mark.parametrize("toe_deg", [5.0, 60.0])
def test_a_toe_that_no_rod_gives_is_refused(toe_deg: float) -> None:
    """Steering axis and wheel axis lean far outboard, almost one along the other: it hardly steers."""
    leaning = CORNER_1.with_points({"upper_ball": CORNER_1.lower_ball + point(0.0, 0.12, 0.25)})
    lying = leaning.with_points({"spin": spin_of(readings(np.deg2rad(-66.0), 0.0, 0.0), leaning)})

    assert np.isfinite(tie_rod_for(at_arm(lying), np.deg2rad(1.0)))
    with pytest.raises(Refused, match="No shims and no tie-rod length"):
        tie_rod_for(at_arm(lying), np.deg2rad(toe_deg))


def test_a_toe_that_is_no_number_is_refused() -> None:
    with np.errstate(invalid="ignore"), pytest.raises(Refused, match="No shims and no tie-rod length"):
        tie_rod_for(at_arm(CORNER_1), np.nan)


def test_a_pose_that_cannot_be_takes_no_rod() -> None:
    with pytest.raises(Refused, match="No shims and no tie-rod length"):
        tie_rod_for(at_travel(CORNER_1, -0.4), 0.0)


@HANDS
@AHEAD
def test_a_joint_that_sits_higher_keeps_the_wheel_and_takes_its_rod(hand: Hand, ahead: bool) -> None:
    stood = corners(np.random.default_rng(39), 20, hand, ahead=ahead)
    rise = np.array([[-0.012], [0.0], [0.012]])
    raised = with_joint(stood, rise)

    np.testing.assert_array_equal(raised.tie_outer[2], stood.tie_outer[2] + rise)
    for axis in (0, 1):
        np.testing.assert_array_equal(raised.tie_outer[axis], np.broadcast_to(stood.tie_outer[axis], (3, 20)))
    read = at_arm(raised).readings.stacked
    np.testing.assert_allclose(
        read, np.broadcast_to(at_arm(stood).readings.stacked[:, None], read.shape), atol=1e-12
    )
    np.testing.assert_array_equal(raised.tie_rod_m[1], stood.tie_rod_m)
