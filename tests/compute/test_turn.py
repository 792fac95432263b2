"""Torque, then angle."""

from math import pi

import pytest

from server.compute.refusal import Refused
from server.compute.turn import FLAT_rad, advance_m, total_rad


def test_a_whole_turn_is_six_flats_and_one_pitch() -> None:
    assert 6 * FLAT_rad == pytest.approx(2 * pi)
    assert advance_m(pitch_m=0.0015, angle_rad=2 * pi) == pytest.approx(0.0015)


@pytest.mark.parametrize("turns", [[], [0.0], [1.0, 0.0], [1.0, -0.5]])
def test_turns_that_do_not_go_on_are_refused(turns: list[float]) -> None:
    with pytest.raises(Refused):
        total_rad(turns)


def test_a_thread_without_pitch_is_refused() -> None:
    with pytest.raises(Refused):
        advance_m(pitch_m=0.0, angle_rad=1.0)
