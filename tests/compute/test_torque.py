"""Windows, drag, stages, order."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.compute.refusal import Refused
from server.compute.torque import (
    Condition,
    DragRule,
    Window,
    derated_Nm,
    order_in_line,
    order_on_circle,
    stages_Nm,
    window_about,
    window_with_drag,
)

LBF_FT = 1.3558179483314004  # N·m, exact by definition


@pytest.mark.parametrize(("low", "high"), [(0.0, 10.0), (-5.0, 10.0), (20.0, 10.0), (float("nan"), 10.0)])
def test_a_window_that_cannot_be_is_refused(low: float, high: float) -> None:
    with pytest.raises(Refused):
        Window(low, high)


def test_a_single_figure_gets_the_standard_ten_percent_or_its_own() -> None:
    standard, own = window_about(100.0), window_about(100.0, 0.05)

    assert (standard.lowest_Nm, standard.highest_Nm) == pytest.approx((90.0, 110.0))
    assert (own.lowest_Nm, own.highest_Nm) == pytest.approx((95.0, 105.0))


def test_drag_below_zero_is_refused() -> None:
    with pytest.raises(Refused):
        window_with_drag(Window(50.0, 70.0), -1.0, DragRule.ALWAYS)


@pytest.mark.parametrize(("drag", "added"), [(16.6, 0.0), (50 / 3, 50 / 3), (20.0, 20.0)])
def test_the_third_rule_adds_from_a_third_of_the_lowest_up(drag: float, added: float) -> None:
    window = window_with_drag(Window(50.0, 70.0), drag, DragRule.FROM_A_THIRD)

    assert window == Window(50.0 + added, 70.0 + added)


def test_plated_threads_take_a_fifth_off_and_dry_ones_nothing() -> None:
    assert derated_Nm(100.0, Condition.NEW_PLATED) == pytest.approx(80.0)
    assert derated_Nm(100.0, Condition.DRY) == 100.0


def test_one_pass_up_to_thirty_pound_feet_and_two_above() -> None:
    assert stages_Nm(30 * LBF_FT) == (30 * LBF_FT,)
    assert stages_Nm(31 * LBF_FT) == pytest.approx((0.7 * 31 * LBF_FT, 31 * LBF_FT))


@pytest.mark.parametrize("fractions", [(), (0.0, 1.0), (0.7, 0.7), (1.0, 0.5), (-0.1, 1.0)])
def test_stages_that_do_not_rise_are_refused(fractions: tuple[float, ...]) -> None:
    with pytest.raises(Refused):
        stages_Nm(100.0, fractions)


def test_a_final_torque_of_nothing_is_refused() -> None:
    with pytest.raises(Refused):
        stages_Nm(0.0)


@pytest.mark.parametrize(
    ("count", "order"),
    [
        (1, (1,)),
        (2, (1, 2)),
        (4, (1, 3, 2, 4)),
        (5, (1, 3, 5, 2, 4)),  # US Army TM 10-4320-344-24 para 2.23.1, read
        (6, (1, 4, 2, 5, 3, 6)),
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
    ],
)
def test_the_star_for_the_usual_counts(count: int, order: tuple[int, ...]) -> None:
    assert order_on_circle(count) == order


@given(st.integers(1, 40))
def test_every_star_takes_each_fastener_once_and_crosses_a_quarter_or_more(count: int) -> None:
    order = order_on_circle(count)

    assert sorted(order) == list(range(1, count + 1))
    for a, b in pairwise(order):
        assert min((a - b) % count, (b - a) % count) * 4 >= count


def test_a_line_goes_from_the_middle_outward() -> None:
    assert order_in_line(5) == (3, 2, 4, 1, 5)
    assert order_in_line(4) == (2, 3, 1, 4)


@given(st.integers(1, 40))
def test_every_line_takes_each_fastener_once_and_never_turns_back_inward(count: int) -> None:
    order = order_in_line(count)
    from_middle = [abs(place - (count + 1) / 2) for place in order]

    assert sorted(order) == list(range(1, count + 1))
    assert from_middle == sorted(from_middle)


@pytest.mark.parametrize("count", [0, -1])
def test_no_fasteners_have_no_order(count: int) -> None:
    with pytest.raises(Refused):
        order_on_circle(count)
    with pytest.raises(Refused):
        order_in_line(count)


def test_small_torques_are_torques_too() -> None:
    assert Window(0.5, 0.8).shifted(0.0) == Window(0.5, 0.8)
    assert stages_Nm(0.5) == (0.5,)


@pytest.mark.parametrize("drag", [0.0, 0.5])
def test_little_or_no_drag_is_added_as_it_is(drag: float) -> None:
    assert window_with_drag(Window(50.0, 70.0), drag, DragRule.ALWAYS) == Window(50.0 + drag, 70.0 + drag)
