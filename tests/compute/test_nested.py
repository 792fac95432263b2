"""Two springs, one inside the other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.compute.nested import energy_J, force_N, length_at_force_m
from server.compute.refusal import Refused

PAIR = {
    "outer_rate_N_per_m": 40e3,
    "outer_free_m": 0.40,
    "inner_rate_N_per_m": 20e3,
    "inner_free_m": 0.35,
}


@pytest.mark.parametrize(("length", "force", "energy"), [(0.41, 0, 0), (0.37, 1200, 18), (0.30, 5000, 225)])
def test_the_longer_one_pushes_alone_until_the_other_is_met(
    length: float, force: float, energy: float
) -> None:
    assert force_N(**PAIR, length_m=length) == pytest.approx(force)
    assert energy_J(**PAIR, length_m=length) == pytest.approx(energy)


@given(st.floats(0.2, 0.399), st.floats(0.25, 0.45))
def test_the_length_at_a_force_is_where_they_push_with_it(length: float, inner_free: float) -> None:
    pair = {**PAIR, "inner_free_m": inner_free}

    assert length_at_force_m(**pair, force_N=force_N(**pair, length_m=length)) == pytest.approx(length)


@pytest.mark.parametrize("wrong", [{"outer_rate_N_per_m": 0.0}, {"inner_rate_N_per_m": -1.0}])
def test_a_spring_without_rate_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(Refused):
        length_at_force_m(**{**PAIR, **wrong}, force_N=100.0)


def test_soft_springs_are_springs_too() -> None:
    soft = {**PAIR, "outer_rate_N_per_m": 0.5, "inner_rate_N_per_m": 0.5}

    assert length_at_force_m(**soft, force_N=0.025) == pytest.approx(0.35)
