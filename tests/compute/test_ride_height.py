"""Springs felt at the wheel."""

import pytest

from server.compute.refusal import Refused
from server.compute.ride_height import corner_drop_m, height_change_m, wheel_rate_N_per_m

OLD = {"old_free_length_m": 0.400, "old_rate_N_per_m": 60e3}


def test_the_same_spring_changes_nothing() -> None:
    same = {"new_free_length_m": 0.400, "new_rate_N_per_m": 60e3}

    assert height_change_m(force_N=8000.0, **OLD, **same, motion_ratio=0.5) == 0


def test_a_longer_spring_lifts_the_corner_by_more_than_its_own_length() -> None:
    longer = {"new_free_length_m": 0.410, "new_rate_N_per_m": 60e3}

    assert height_change_m(force_N=8000.0, **OLD, **longer, motion_ratio=0.5) == pytest.approx(0.020)


def test_a_stiffer_spring_lifts_the_corner() -> None:
    stiffer = {"new_free_length_m": 0.400, "new_rate_N_per_m": 66e3}

    assert height_change_m(force_N=8000.0, **OLD, **stiffer, motion_ratio=0.5) > 0


@pytest.mark.parametrize("motion_ratio", [0.0, -0.5])
def test_a_motion_ratio_that_cannot_be_is_refused(motion_ratio: float) -> None:
    with pytest.raises(Refused):
        wheel_rate_N_per_m(rate_N_per_m=60e3, motion_ratio=motion_ratio)
    with pytest.raises(Refused):
        corner_drop_m(longer_m=0.4, shorter_m=0.39, motion_ratio=motion_ratio)
