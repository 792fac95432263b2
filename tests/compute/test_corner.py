"""What a corner is made of, and what makes none."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.compute.corner import POINTS, Corner, Hand
from server.compute.refusal import Refused
from server.compute.vector import Floats, point
from tests.compute.plausible import corners
from tests.reference.corner_1 import CORNER_1

TOO_CLOSE_m = 0.9e-3


def with_radius(radius: float) -> Corner:
    points = {name: getattr(CORNER_1, name) for name in POINTS}
    return Corner(**points, loaded_radius=np.array(radius))


@given(st.sampled_from(POINTS), st.integers(0, 2), st.sampled_from([np.nan, np.inf, -np.inf]))
def test_a_coordinate_that_is_no_number_is_refused(name: str, axis: int, figure: float) -> None:
    moved = np.array(getattr(CORNER_1, name))
    moved[axis] = figure
    with pytest.raises(Refused, match="Every point of the corner needs three numbers"):
        CORNER_1.with_points({name: moved})


def test_one_bad_coordinate_among_many_corners_is_refused() -> None:
    many = np.repeat(CORNER_1.upper_ball[:, None], 4, axis=1)
    many[1, 2] = np.nan
    with pytest.raises(Refused, match="three numbers"):
        CORNER_1.with_points({"upper_ball": many})


@pytest.mark.parametrize("radius", [0.0, -0.3, np.nan, np.inf])
def test_a_wheel_needs_a_height_above_the_floor(radius: float) -> None:
    with pytest.raises(Refused, match="height of the wheel's centre above the floor must be above 0"):
        with_radius(radius)


@pytest.mark.parametrize(
    ("one", "other", "sentence"),
    [
        ("lower_front", "lower_rear", "The lower arm's two pivots cannot be in the same place."),
        ("upper_ball", "lower_ball", "The two ball joints cannot be in the same place."),
        ("tie_inner", "tie_outer", "The tie rod's two ends cannot be in the same place."),
        ("spring_lower", "spring_upper", "The spring's two seats cannot be in the same place."),
        ("upper_front", "upper_rear", "The upper arm's front pivot has to lie ahead of its rear one."),
        (
            *("stud_front", "stud_rear"),
            "The front stud of the upper arm's shaft has to lie ahead of the rear one.",
        ),
    ],
)
def test_points_too_close_are_refused(one: str, other: str, sentence: str) -> None:
    beside = getattr(CORNER_1, other) + point(TOO_CLOSE_m, 0, 0)
    with pytest.raises(Refused) as refused:
        CORNER_1.with_points({one: beside})

    assert str(refused.value) == sentence


@pytest.mark.parametrize("name", ["upper", "stud"])
def test_front_and_rear_the_wrong_way_round_are_refused(name: str) -> None:
    front, rear = f"{name}_front", f"{name}_rear"
    with pytest.raises(Refused, match="has to lie ahead of"):
        CORNER_1.with_points({front: getattr(CORNER_1, rear), rear: getattr(CORNER_1, front)})


@pytest.mark.parametrize("above_mm", [-150.0, 0.0, 100.0])
def test_a_lower_ball_joint_that_cannot_be_swung_is_refused(above_mm: float) -> None:
    above = (CORNER_1.lower_front + CORNER_1.lower_rear) / 2 + point(0, 0, above_mm / 1e3)
    with pytest.raises(Refused, match="lower ball joint has to lie beside its arm's pivots"):
        CORNER_1.with_points({"lower_ball": above})


@pytest.mark.parametrize("share", [0.0, 0.3, -0.5])
def test_an_upper_arm_in_line_with_the_ball_joints_is_refused(share: float) -> None:
    """On its own pivots, or its plane through the lower ball joint."""
    middle = (CORNER_1.upper_front + CORNER_1.upper_rear) / 2
    with pytest.raises(Refused, match="upper ball joint has to lie beside its arm's pivots"):
        CORNER_1.with_points({"upper_ball": middle + share * (CORNER_1.lower_ball - middle)})


@pytest.mark.parametrize("beyond", [0.0, 0.5])
def test_a_rod_that_cannot_steer_is_refused(beyond: float) -> None:
    """Its outer end on the steering axis, or the rod pointing straight at it."""
    on_axis = (CORNER_1.upper_ball + CORNER_1.lower_ball) / 2
    with pytest.raises(Refused, match="tie rod's outer end cannot lie on the steering axis"):
        CORNER_1.with_points({"tie_outer": on_axis + beyond * (CORNER_1.tie_inner - on_axis)})


def test_joints_in_one_line_are_refused_without_a_warning() -> None:
    below = CORNER_1.upper_front + 2 * (CORNER_1.upper_rear - CORNER_1.upper_front)
    with pytest.raises(Refused):
        CORNER_1.with_points({"lower_ball": below})


@pytest.mark.parametrize("spin", [(0.0, 1.001, 0.0), (0.0, 0.999, 0.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0)])
def test_a_wheel_axis_of_another_length_or_way_is_refused(spin: tuple[float, float, float]) -> None:
    with pytest.raises(Refused, match="The wheel's axis must be of length 1 and point away from the car"):
        CORNER_1.with_points({"spin": np.array(spin)})


def test_a_corner_takes_points_just_far_enough_apart() -> None:
    beside = CORNER_1.spring_lower + point(0, 0, 1.1e-3)

    assert CORNER_1.with_points({"spring_upper": beside}).spring_upper[2] == beside[2]


def test_the_other_side_is_the_mirror_image() -> None:
    right = CORNER_1.mirrored()

    assert right.hand is Hand.RIGHT
    for name in POINTS:
        np.testing.assert_array_equal(getattr(right, name), getattr(CORNER_1, name) * (1, -1, 1))
    assert right.loaded_radius == CORNER_1.loaded_radius


def test_mirrored_twice_is_the_same_for_many_at_once() -> None:
    many = corners(np.random.default_rng(5), 7, Hand.RIGHT)
    again = many.mirrored().mirrored()

    assert again.hand is Hand.RIGHT
    for name in POINTS:
        np.testing.assert_array_equal(getattr(again, name), getattr(many, name))


@pytest.mark.parametrize("swapped", [False, True])
@pytest.mark.parametrize("stood", [CORNER_1, CORNER_1.mirrored()], ids=["left", "right"])
def test_a_turn_about_the_lower_axis_lifts_the_ball_joint(stood: Corner, swapped: bool) -> None:
    if swapped:
        stood = stood.with_points({"lower_front": stood.lower_rear, "lower_rear": stood.lower_front})
    lift = np.cross(stood.lower_axis, stood.lower_ball - stood.lower_front)

    assert lift[2] > 0
    assert np.linalg.norm(lift) == pytest.approx(0.375404418, abs=1e-9)  # printed with this corner's tables
    assert np.linalg.norm(stood.lower_axis) == pytest.approx(1)


def test_which_way_is_up_does_not_hang_on_where_the_middle_of_the_car_is() -> None:
    """The same corner with its ball joint and its pivots on either side of y = 0."""
    across = {name: getattr(CORNER_1, name) - point(0, 0.6, 0) for name in POINTS if name != "spin"}

    np.testing.assert_array_equal(CORNER_1.with_points(across).lower_axis, CORNER_1.lower_axis)


def test_the_tie_rod_is_as_long_as_its_ends_are_apart() -> None:
    """304.371484 mm: printed with the tables of this corner."""
    assert CORNER_1.tie_rod_m == pytest.approx(0.304371484, abs=1e-9)


def test_a_linkage_behind_the_axle_is_rear_steer() -> None:
    random = np.random.default_rng(6)

    assert np.all(corners(random, 4, Hand.LEFT).is_rear_steer)
    assert not np.any(corners(random, 4, Hand.LEFT, ahead=True).is_rear_steer)


def test_one_point_of_many_makes_many_corners() -> None:
    many = np.repeat(CORNER_1.upper_ball[:, None], 5, axis=1)
    wide: Any = CORNER_1.with_points({"upper_ball": many})

    assert {getattr(wide, name).shape for name in POINTS} == {(3, 1), (3, 5)}
    assert wide.with_points({"spin": np.tile(CORNER_1.spin[:, None, None], (2, 5))}).tie_rod_m.shape == (1, 1)


def test_other_points_by_name_leave_the_rest() -> None:
    moved: Floats = CORNER_1.upper_ball + point(0.01, 0, 0)
    changed = CORNER_1.mirrored().with_points({"upper_ball": moved * (1, -1, 1)})

    assert changed.hand is Hand.RIGHT
    np.testing.assert_array_equal(changed.upper_ball, moved * (1, -1, 1))
    np.testing.assert_array_equal(changed.tie_outer, CORNER_1.tie_outer * (1, -1, 1))
