"""What must hold for every corner: mirror image, scale, no shims no change, one way of each adjuster."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.compute.corner import POINTS, Corner, Hand
from server.compute.linkage import Setting, Shaft, at_arm, at_travel, posed
from server.compute.motion import rates
from server.compute.vector import widen
from tests.compute.plausible import corners
from tests.compute.plausible import settings as random_settings
from tests.compute.seen import POSE_POINTS, angles, lengths
from tests.reference.corner_1 import CORNER_1

pack = st.floats(-8e-3, 8e-3)
travel = st.floats(-0.05, 0.05)
quick = settings(max_examples=30, deadline=None)


@quick
@given(travel, pack, pack, pack, st.floats(-0.03, 0.03), st.sampled_from(Shaft))
def test_the_right_side_is_the_lefts_mirror_image(
    rise: float, front: float, rear: float, rod: float, link: float, shaft: Shaft
) -> None:
    left = at_travel(CORNER_1, rise, Setting(front, rear, rod, link, shaft))
    right = at_travel(CORNER_1.mirrored(), rise, Setting(front, rear, rod, -link, shaft))

    np.testing.assert_allclose(angles(left), angles(right), atol=1e-9)
    np.testing.assert_allclose(lengths(left), lengths(right), atol=1e-9)
    for name in POSE_POINTS:
        np.testing.assert_allclose(getattr(left, name) * (1, -1, 1), getattr(right, name), atol=1e-9)
    assert rates(left).roll_centre_m == pytest.approx(rates(right).roll_centre_m)


@quick
@given(st.integers(0, 10_000), travel, st.sampled_from(Shaft))
def test_no_shims_change_nothing(seed: int, rise: float, shaft: Shaft) -> None:
    many = corners(np.random.default_rng(seed), 3, Hand.LEFT)
    plain, shimmed = at_travel(many, rise), at_travel(many, rise, Setting(0.0, 0.0, 0.0, 0.0, shaft))

    np.testing.assert_allclose(angles(plain), angles(shimmed), rtol=0, atol=1e-14)


@quick
@given(st.integers(0, 10_000), st.sampled_from(Hand), st.booleans())
def test_turns_of_the_sleeve_move_toe_one_way(seed: int, hand: Hand, ahead: bool) -> None:
    """Behind the axle a longer rod is toe-in, ahead of it toe-out."""
    many = corners(np.random.default_rng(seed), 5, hand, ahead=ahead)
    turns = np.linspace(-4, 4, 17)[:, None]
    pose = posed(many, Setting(tie_rod_m=2 * turns * 0.0254 / 18))
    steps = np.diff(pose.readings.toe_rad, axis=0) * np.where(many.is_rear_steer, 1, -1)

    assert np.all(steps[np.isfinite(steps)] > 0)
    assert np.mean(np.isfinite(steps)) > 0.9


@quick
@given(st.integers(0, 10_000), st.floats(0.2, 30), travel)
def test_a_corner_of_another_size_has_the_same_angles(seed: int, scale: float, rise: float) -> None:
    """Also what the same corner in another unit comes to."""
    random = np.random.default_rng(seed)
    small, setting = corners(random, 3, Hand.RIGHT), random_settings(random, 3)
    large = scaled(small, scale)
    enlarged = Setting(*(np.asarray(one) * scale for one in setting.figures))
    one, other = at_travel(small, rise, setting), at_travel(large, rise * scale, enlarged)

    np.testing.assert_array_equal(one.fault, other.fault)
    np.testing.assert_allclose(angles(one), angles(other), atol=1e-7)
    np.testing.assert_allclose(lengths(one) * scale, lengths(other), rtol=1e-7, atol=1e-7)


def scaled(corner: Corner, scale: float) -> Corner:
    points = {name: getattr(corner, name) * (1 if name == "spin" else scale) for name in POINTS}
    return Corner(**points, loaded_radius=corner.loaded_radius * scale, hand=corner.hand)


def test_hard_points_in_inches_make_the_same_corner() -> None:
    inches = {name: getattr(CORNER_1, name) / 0.0254 for name in POINTS if name != "spin"}
    again = CORNER_1.with_points({name: xyz * 0.0254 for name, xyz in inches.items()})

    np.testing.assert_allclose(
        angles(at_travel(again, 0.5 * 0.0254)), angles(at_travel(CORNER_1, 0.0127)), atol=1e-13
    )


@quick
@given(st.integers(0, 10_000), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_a_corner_moved_along_or_up_reads_the_same(seed: int, ahead: float, up: float) -> None:
    here = corners(np.random.default_rng(seed), 3, Hand.LEFT)
    shift = np.array((ahead, 0.0, up))
    there = here.with_points(
        {name: getattr(here, name) + widen(shift, (3,)) for name in POINTS if name != "spin"}
    )

    np.testing.assert_allclose(angles(at_travel(here, 0.03)), angles(at_travel(there, 0.03)), atol=1e-8)


@quick
@given(st.integers(0, 10_000), pack, pack)
def test_outboard_shims_lean_the_top_outboard_and_the_front_one_raises_caster(
    seed: int, front: float, rear: float
) -> None:
    many = corners(np.random.default_rng(seed), 4, Hand.RIGHT)
    lean = posed(many, Setting(front, front)).readings.camber_rad - at_arm(many).readings.camber_rad
    twist = (
        posed(many, Setting(front, rear)).readings.caster_rad
        - posed(many, Setting(rear, front)).readings.caster_rad
    )

    if abs(front) > 1e-6:
        assert np.all(np.sign(lean) == np.sign(front))
    if abs(front - rear) > 1e-6:
        assert np.all(np.sign(twist) == np.sign(front - rear))
