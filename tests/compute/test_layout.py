"""A corner from lengths: each must come out again where it was put in."""

import numpy as np
import pytest

from server.compute.answer import Known
from server.compute.corner import Hand
from server.compute.dimension import LONG, SHORT
from server.compute.layout import ShaftAt, Steer, long, short
from server.compute.linkage import at_arm
from server.compute.refusal import Refused
from server.compute.vector import length
from tests.compute.plausible import corners, one_of
from tests.compute.round_trip import AXES, PLACES

USUAL = short({}, Steer.BEHIND)


def measured(**lengths_m):
    return {key.replace("_", "-"): Known(value, 0.001) for key, value in lengths_m.items()}


def taped(corner):
    """What a tape would find on it, without the layout's own code."""
    along = corner.lower_front - corner.lower_rear
    axis = along / np.linalg.norm(along)
    upper = (corner.upper_front + corner.upper_rear) / 2
    lower = (corner.lower_front + corner.lower_rear) / 2
    shaft = corner.upper_front - corner.upper_rear
    arm = corner.upper_ball - upper
    return {
        "wheel-height": corner.wheel_centre[2],
        "ball-out": abs(corner.lower_ball[1]),
        "wheel-out": abs(corner.wheel_centre[1]) - abs(corner.lower_ball[1]),
        "lower-ball-height": corner.lower_ball[2],
        "upper-ball-height": corner.upper_ball[2],
        "lower-pivot-height": lower[2],
        "upper-pivot-height": upper[2],
        "shaft-rise": shaft[2],
        "lower-arm": np.linalg.norm(np.cross(axis, corner.lower_ball - corner.lower_front)),
        "upper-arm": np.hypot(arm[1], arm[2]),
        "ball-inset": abs(corner.lower_ball[1]) - abs(corner.upper_ball[1]),
        "stud-spacing": corner.stud_front[0] - corner.stud_rear[0],
        "pivot-spacing": shaft[0],
        "lower-spacing": np.linalg.norm(along),
        "ball-ahead": corner.upper_ball[0] - (corner.stud_front[0] + corner.stud_rear[0]) / 2,
        "lower-ball-ahead": corner.lower_ball[0] - lower[0],
        "steering-arm": abs(corner.tie_outer[0] - corner.lower_ball[0]),
        "steering-arm-in": abs(corner.lower_ball[1]) - abs(corner.tie_outer[1]),
        "tie-outer-height": corner.tie_outer[2],
        "tie-inner-height": corner.tie_inner[2],
        "tie-inner-ahead": corner.tie_inner[0] - corner.tie_outer[0],
        "tie-rod": np.linalg.norm(corner.tie_outer - corner.tie_inner),
        "spring-out": np.linalg.norm((corner.spring_lower - lower)[1:]),
        "spring-length": np.linalg.norm(corner.spring_upper - corner.spring_lower),
    }


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("steer", Steer)
def test_every_length_is_found_again_by_tape(hand, steer):
    random = np.random.default_rng(5)
    for _ in range(20):
        given = {one.key: Known(one.usual_m + random.uniform(-1, 1) * one.spread_m, 0.0) for one in SHORT}
        corner = short(given, steer).corner(hand)
        assert taped(corner) == {key: pytest.approx(known.value, abs=1e-12) for key, known in given.items()}
        assert corner.wheel_centre[0] == corner.lower_ball[0] == 0.0


@pytest.mark.parametrize("hand", Hand)
def test_arms_and_rod_point_inboard_from_their_joints_and_the_studs_lie_beside_the_pivots(hand):
    corner = USUAL.corner(hand)
    out = {name: hand * getattr(corner, name)[1] for name in PLACES}

    assert out["lower_front"] == out["lower_rear"] < out["lower_ball"]
    assert out["upper_front"] == out["upper_rear"] < out["upper_ball"]
    assert out["stud_front"] == out["stud_rear"] == out["upper_front"]
    assert out["tie_inner"] < out["tie_outer"]


@pytest.mark.parametrize("hand", Hand)
def test_the_spring_stands_upright_on_the_lower_arm(hand):
    corner = USUAL.corner(hand)
    pivot = (corner.lower_front + corner.lower_rear) / 2

    assert np.allclose(corner.spring_lower, pivot + 0.2 / 0.38 * (corner.lower_ball - pivot))
    assert np.allclose(corner.spring_upper - corner.spring_lower, (0.0, 0.0, 0.25))


def test_the_tie_rods_lie_where_it_was_said():
    ahead, behind = (short({}, steer).corner(Hand.LEFT) for steer in (Steer.AHEAD, Steer.BEHIND))

    assert ahead.tie_outer[0] > 0 > behind.tie_outer[0]
    assert not ahead.is_rear_steer
    assert behind.is_rear_steer


def test_the_right_corner_is_the_left_ones_mirror_image():
    left, right = (USUAL.corner(hand) for hand in (Hand.LEFT, Hand.RIGHT))

    assert np.allclose(left.mirrored().upper_ball, right.upper_ball)
    assert np.allclose(at_arm(left).readings.stacked, at_arm(right).readings.stacked)


def test_what_nobody_measured_is_guessed_and_counts_as_a_guess():
    layout = short(measured(upper_arm=0.25), Steer.BEHIND)

    assert "upper-arm" not in layout.guessed
    assert "lower-arm" in layout.guessed
    at = [one.key for one in SHORT].index("upper-arm")
    assert layout.figures[at] == 0.25
    assert layout.spreads[at] == pytest.approx(0.001 / 3**0.5)  # ends of a flat band, GUM 4.3.7
    assert layout.spreads[at + 1] == SHORT[at + 1].spread_m


def test_every_guess_is_between_narrow_and_wild():
    assert all(0.005 <= one.spread_m <= 0.05 for one in SHORT)
    assert len({one.key for one in SHORT}) == len(SHORT) == 24


def test_the_ball_joints_of_a_guessed_corner_lie_between_their_pivots():
    corner = USUAL.corner(Hand.LEFT)

    assert corner.upper_rear[0] < corner.upper_ball[0] < corner.upper_front[0]
    assert corner.lower_rear[0] < corner.lower_ball[0] < corner.lower_front[0]


def test_a_hard_point_is_never_guessed():
    assert {(one.usual_m, one.spread_m) for one in LONG} == {(0.0, 0.0)}


def test_a_length_captured_elsewhere_takes_the_place_of_a_guess_but_not_of_a_measurement():
    guessed = USUAL.with_measured("tie-rod", Known(0.4, 0.002))
    kept = short(measured(tie_rod=0.35), Steer.BEHIND).with_measured("tie-rod", Known(0.4, 0.002))

    at = [one.key for one in SHORT].index("tie-rod")
    assert guessed.figures == (*USUAL.figures[:at], 0.4, *USUAL.figures[at + 1 :])
    assert guessed.spreads == (*USUAL.spreads[:at], pytest.approx(0.002 / 3**0.5), *USUAL.spreads[at + 1 :])
    assert USUAL.guessed - guessed.guessed == {"tie-rod"}
    assert kept.figures[at] == 0.35


def test_the_long_form_is_the_points_themselves():
    car = one_of(corners(np.random.default_rng(3), 1, Hand.LEFT), 0)
    given = {
        f"{name.replace('_', '-')}.{axis}": Known(float(figure), 0.003)
        for name in PLACES
        for axis, figure in zip(AXES, getattr(car, name), strict=True)
    }
    layout = long(given)
    again = layout.corner(Hand.LEFT)

    for name in PLACES:
        assert np.allclose(getattr(again, name), getattr(car, name)), name
    assert layout.guessed == frozenset()
    assert set(given) == {one.key for one in LONG}


def test_a_point_that_is_missing_is_named():
    with pytest.raises(Refused, match="Upper arm's front pivot, ahead of the wheel's centre line is missing"):
        long({})


EITHER_WAY = {
    *("shaft-rise", "ball-inset", "ball-ahead", "lower-ball-ahead"),
    *("steering-arm-in", "tie-inner-ahead"),
}


@pytest.mark.parametrize("one", [one for one in SHORT if one.key not in EITHER_WAY])
@pytest.mark.parametrize("value", [0.0, -0.2])
def test_a_length_that_is_not_above_0_is_named(one, value):
    with pytest.raises(Refused, match=f"{one.name}: a length above 0 is needed"):
        short({one.key: Known(value, 0.001)}, Steer.BEHIND)


@pytest.mark.parametrize("key", sorted(EITHER_WAY))
def test_what_can_lie_either_way_may_have_a_minus(key):
    assert -0.01 in short({key: Known(-0.01, 0.001)}, Steer.BEHIND).figures


def test_of_hard_points_only_what_is_along_the_car_may_have_a_minus():
    assert {one.key.split(".")[1] for one in LONG if one.signed} == {"ahead"}
    assert {one.key.split(".")[1] for one in LONG if not one.signed} == {"out", "up"}


@pytest.mark.parametrize(
    ("lengths", "what"),
    [
        ({"upper_arm": 0.05, "upper_pivot_height": 0.6}, "upper arm"),
        ({"lower_arm": 0.1, "lower_pivot_height": 0.4}, "lower arm"),
        ({"tie_rod": 0.1, "tie_inner_height": 0.4}, "tie rod"),
        ({"tie_rod": 0.1, "tie_inner_ahead": 0.2}, "tie rod"),
        ({"tie_rod": 0.125, "tie_inner_ahead": 0.125, "tie_inner_height": 0.195}, "tie rod"),
    ],
)
def test_an_arm_shorter_than_its_ends_are_apart_is_named(lengths, what):
    with pytest.raises(Refused, match=f"The {what} is shorter than its own ends are apart"):
        short(measured(**lengths), Steer.BEHIND).corner(Hand.LEFT)


def test_many_corners_come_from_many_figures_at_once():
    figures = np.repeat(USUAL.figures_m[:, None], 4, axis=1)
    figures[8] += np.array((0.0, 0.01, 0.02, 0.03))  # lower arm

    many = USUAL.corner(Hand.LEFT, figures)

    assert many.lower_ball.shape == (3, 4)
    arms = length(many.lower_ball - (many.lower_front + many.lower_rear) / 2)
    assert np.diff(arms) == pytest.approx([0.01] * 3, abs=1e-4)


def test_a_length_is_drawn_to_three_spreads_and_no_further():
    drawn = USUAL.drawn_m(np.random.default_rng(6), 2000)

    out = (drawn - USUAL.figures_m[:, None]) / USUAL.spreads_m[:, None]
    assert out.shape == (24, 2000)
    assert (out.min(), out.max()) == pytest.approx((-3, 3))
    assert out.std() == pytest.approx(1, rel=0.02)


def test_a_shim_moves_the_shaft_outboard_only_outboard_of_its_bracket():
    assert ShaftAt.OUTBOARD.outboard == 1
    assert ShaftAt.INBOARD.outboard == -1
