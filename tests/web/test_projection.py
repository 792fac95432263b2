"""Both views against points placed by hand, and against the pose's own distances."""

from itertools import combinations

import numpy as np
import pytest

from server.compute.corner import Hand
from server.compute.linkage import Setting, at_arm
from server.compute.vector import point
from server.web.projection import WIDTH, Projection
from tests.web.cars import corner, pose

PAPER = Projection(scale=500, centre_line=-100, floor=300, axle=450, ends=(360, 540), height=570, hand=1)
JOINTS = ("upper_front", "upper_rear", "upper_ball", "lower_ball", "tie_inner", "tie_outer", "wheel_centre")


def test_the_front_view_looks_along_the_car() -> None:
    assert PAPER.front(point(9.0, 0.6, 0.2)) == 200 + 200j


def test_the_plan_has_the_front_of_the_car_downwards() -> None:
    assert PAPER.plan(point(0.1, 0.6, 9.0)) == 200 + 500j


def test_both_views_stand_above_each_other() -> None:
    somewhere = point(0.1, 0.55, 0.3)

    assert PAPER.front(somewhere).real == PAPER.plan(somewhere).real


@pytest.mark.parametrize("hand", Hand)
def test_it_is_true_to_scale(hand: Hand) -> None:
    """Three joints' distances from the pose: both views together are the whole distance."""
    stands = pose(hand)
    on = Projection.of(stands)
    for one, other in combinations(JOINTS, 2):
        a, b = getattr(stands, one), getattr(stands, other)
        front, plan = on.front(a) - on.front(b), on.plan(a) - on.plan(b)
        drawn = np.hypot(abs(front), plan.imag)
        assert drawn / on.scale == pytest.approx(float(np.linalg.norm(a - b)), abs=1e-9)


def test_the_left_corner_lies_to_the_right_as_one_sees_it_from_the_front() -> None:
    left, right = (Projection.of(pose(hand)) for hand in (Hand.LEFT, Hand.RIGHT))

    assert left.front(pose(Hand.LEFT).wheel_centre).real > WIDTH / 2
    assert right.front(pose(Hand.RIGHT).wheel_centre).real < WIDTH / 2


def test_the_right_corner_is_the_left_one_in_a_mirror() -> None:
    left, right = pose(Hand.LEFT), pose(Hand.RIGHT)
    on_left, on_right = Projection.of(left), Projection.of(right)
    for name in JOINTS:
        one, other = on_left.front(getattr(left, name)), on_right.front(getattr(right, name))
        assert WIDTH - one.real == pytest.approx(other.real)
        assert one.imag == pytest.approx(other.imag)


@pytest.mark.parametrize("hand", Hand)
def test_every_joint_lies_on_the_paper(hand: Hand) -> None:
    stands = pose(hand)
    on = Projection.of(stands)
    for name in JOINTS:
        for spot in (on.front(getattr(stands, name)), on.plan(getattr(stands, name))):
            assert 0 < spot.real < WIDTH
            assert 0 < spot.imag < on.height


def test_a_pose_that_cannot_be_is_not_drawn() -> None:
    with pytest.raises(ValueError, match="cannot be"):
        Projection.of(at_arm(corner(), 0.0, Setting(front_m=0.5, rear_m=0.5)))
