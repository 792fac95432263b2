"""504 corners nobody chose, solved twice: in closed form, and by least squares on six degrees of freedom."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pytest

from server.compute import linkage
from server.compute.corner import Corner, Hand
from server.compute.linkage import Setting, Shaft
from server.compute.pose import Pose
from server.compute.vector import Floats
from tests.compute import by_least_squares
from tests.compute.by_least_squares import Stand
from tests.compute.plausible import corners, one_of, one_setting, settings

EACH = {"travel": 32, "arm": 31}  # of eight kinds
ASKED_deg, CLOSE_deg, CLOSE_m = 0.005, 1e-6, 1e-8
KINDS = [(hand, ahead, shaft) for hand in Hand for ahead in (False, True) for shaft in Shaft]
Way = Callable[[Corner, float, Setting], Stand]


@dataclass(frozen=True)
class Twice:
    ours: Pose
    other: list[Stand]

    def both(self, name: str, ours: Floats) -> tuple[Floats, Floats]:
        return ours, np.array([getattr(stand, name) for stand in self.other])


@pytest.fixture(scope="module", params=["travel", "arm"])
def twice(request: pytest.FixtureRequest) -> list[Twice]:
    """Half the corners by the height of the wheel, half by the angle of the arm."""
    return list(_solved(request.param))


def _solved(way: str) -> Iterator[Twice]:
    random = np.random.default_rng(EACH[way])
    spread = 0.06 if way == "travel" else 0.15
    many = EACH[way]
    for hand, ahead, shaft in KINDS:
        corner, setting = corners(random, many, hand, ahead=ahead), settings(random, many, shaft)
        moved = random.uniform(-spread, spread, many)
        ours = getattr(linkage, f"at_{way}")(corner, moved, setting)
        solve: Way = getattr(by_least_squares, f"at_{way}")
        other = [solve(one_of(corner, i), moved[i], one_setting(setting, i)) for i in range(many)]
        yield Twice(ours, other)


def test_both_agree_on_which_poses_cannot_be(twice: list[Twice]) -> None:
    impossible = np.concatenate([one.ours.fault > 0 for one in twice])
    open_links = [np.isnan(stand.toe) for one in twice for stand in one.other]

    np.testing.assert_array_equal(impossible, open_links)
    assert len(impossible) >= 248
    assert np.mean(impossible) < 0.02


def test_both_read_the_same_angles(twice: list[Twice]) -> None:
    for one in twice:
        read = one.ours.readings
        for name, ours in (
            ("camber", read.camber_rad),
            ("caster", read.caster_rad),
            ("toe", read.toe_rad),
            ("inclination", one.ours.inclination_rad),
        ):
            np.testing.assert_allclose(*one.both(name, np.rad2deg(ours)), rtol=0, atol=CLOSE_deg)
    assert CLOSE_deg < ASKED_deg


def test_both_put_every_joint_in_the_same_place(twice: list[Twice]) -> None:
    for one in twice:
        ours = np.stack([getattr(one.ours, name) for name in by_least_squares.ON_THE_KNUCKLE])
        np.testing.assert_allclose(*one.both("joints", ours.transpose(2, 0, 1)), rtol=0, atol=CLOSE_m)


@pytest.mark.parametrize("name", ["scrub", "trail", "spring"])
def test_both_measure_the_same_lengths(twice: list[Twice], name: str) -> None:
    for one in twice:
        np.testing.assert_allclose(*one.both(name, getattr(one.ours, f"{name}_m")), rtol=0, atol=CLOSE_m)


def test_the_steering_goes_as_far_as_it_does_on_a_car(twice: list[Twice]) -> None:
    toe = np.concatenate([one.ours.readings.toe_rad for one in twice])

    assert np.nanmax(np.rad2deg(toe)) - np.nanmin(np.rad2deg(toe)) > 35
