"""Adapters and the fitness of a wrench."""

from dataclasses import replace
from datetime import date
from math import pi, radians

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from server.compute.answer import Known
from server.compute.refusal import Refused
from server.compute.torque import Window
from server.compute.wrench import (
    TooCoarse,
    Wrench,
    applied_Nm,
    fitness,
    reached,
    setting_Nm,
    settings,
    standard_accuracy,
)

TODAY = date(2024, 5, 1)
WRENCH = Wrench(lowest_Nm=40.0, highest_Nm=200.0, accuracy=0.04, calibrated=date(2024, 1, 1))


def test_an_adapter_that_adds_reach_lowers_the_setting_and_one_that_takes_it_raises_it() -> None:
    reach = {"torque_Nm": 100.0, "handle_m": 0.4}

    assert setting_Nm(**reach, adapter_m=0.1) == pytest.approx(80.0)
    assert setting_Nm(**reach, adapter_m=0.1, angle_rad=pi) == pytest.approx(400 / 3)
    assert setting_Nm(**reach, adapter_m=-0.1) == pytest.approx(400 / 3)


@given(st.floats(5, 500), st.floats(0.1, 1.0), st.floats(-0.05, 0.3), st.floats(0, radians(180)))
def test_applied_undoes_setting(torque: float, handle: float, adapter: float, angle: float) -> None:
    assume(handle > abs(adapter) + 0.01)
    tool = {"handle_m": handle, "adapter_m": adapter, "angle_rad": angle}

    assert applied_Nm(setting_Nm=setting_Nm(torque_Nm=torque, **tool), **tool) == pytest.approx(torque)


@pytest.mark.parametrize(("handle", "adapter"), [(0.0, 0.1), (-0.4, 0.1), (0.1, -0.1), (0.1, -0.2)])
def test_a_reach_of_nothing_is_refused(handle: float, adapter: float) -> None:
    with pytest.raises(Refused):
        setting_Nm(torque_Nm=100.0, handle_m=handle, adapter_m=adapter)


def test_the_setting_carries_the_uncertainty_of_torque_and_lengths() -> None:
    answer = setting_Nm.answer(
        torque_Nm=Known(100.0, 1.0), handle_m=Known(0.4, 0.005), adapter_m=Known(0.1, 0.001), angle_rad=0.0
    )
    by_hand = (0.8 * 1.0) ** 2 + (100 * 0.1 / 0.5**2 * 0.005) ** 2 + (100 * 0.4 / 0.5**2 * 0.001) ** 2

    assert answer.value == pytest.approx(80.0)
    assert answer.uncertainty == pytest.approx(by_hand**0.5, rel=1e-5)
    assert [item.name for item in answer.inputs] == ["torque", "handle", "adapter", "angle"]


@given(st.floats(10, 300), st.floats(1.0, 1.5), st.floats(0, 0.1))
def test_any_setting_inside_the_narrowed_window_lands_inside_the_window(
    lowest: float, ratio: float, accuracy: float
) -> None:
    window = Window(lowest, lowest * ratio)
    assume(ratio >= (1 + accuracy) / (1 - accuracy))

    narrowed = settings(window, accuracy)

    assert reached(narrowed.lowest_Nm, accuracy).lowest_Nm == pytest.approx(window.lowest_Nm)
    assert reached(narrowed.highest_Nm, accuracy).highest_Nm == pytest.approx(window.highest_Nm)


def test_a_wrench_too_coarse_for_the_window_is_refused() -> None:
    with pytest.raises(TooCoarse, match="finer"):
        settings(Window(100.0, 105.0), 0.04)


def test_a_good_wrench_is_fit() -> None:
    verdict = fitness(WRENCH, 120.0, TODAY)

    assert verdict.fit
    assert verdict.reasons == verdict.cautions == ()


@pytest.mark.parametrize(
    ("setting", "fit"),
    [(39.9, False), (40.0, True), (200.0, True), (200.1, False)],
)
def test_the_range_ends_are_inside(setting: float, fit: bool) -> None:
    assert fitness(WRENCH, setting, TODAY).fit is fit


def test_below_a_fifth_of_full_scale_its_accuracy_is_not_vouched_for() -> None:
    wide = replace(WRENCH, lowest_Nm=10.0)

    assert not fitness(wide, 39.0, TODAY).fit
    assert fitness(wide, 40.0, TODAY).fit


@pytest.mark.parametrize(
    ("calibrated", "fit"),
    [
        (None, False),
        (date(2023, 5, 2), True),  # 365 days: 2024 has a 29 February
        (date(2023, 5, 1), False),
        (date(2023, 4, 30), False),
        (date(2024, 5, 2), False),
        (TODAY, True),
    ],
)
def test_calibration_lasts_a_year_and_is_neither_missing_nor_still_to_come(
    calibrated: date | None, fit: bool
) -> None:
    assert fitness(replace(WRENCH, calibrated=calibrated), 120.0, TODAY).fit is fit


@pytest.mark.parametrize(
    ("setting", "cautioned"), [(59.0, True), (60.0, False), (160.0, False), (161.0, True)]
)
def test_outside_its_best_part_it_stays_fit_with_a_caution(setting: float, cautioned: bool) -> None:
    verdict = fitness(WRENCH, setting, TODAY)

    assert verdict.fit
    assert bool(verdict.cautions) is cautioned


@pytest.mark.parametrize(("highest", "fit"), [(130.1, True), (129.0, False)])
def test_its_accuracy_must_suit_the_window_when_one_is_given(highest: float, fit: bool) -> None:
    assert fitness(WRENCH, 125.0, TODAY, window=Window(120.0, highest)).fit is fit


def test_every_reason_is_given_not_only_the_first() -> None:
    assert len(fitness(replace(WRENCH, calibrated=None), 500.0, TODAY).reasons) == 2


def test_the_line_between_four_and_six_percent_is_at_ten_newton_metres() -> None:
    assert standard_accuracy(10.0) == 0.06
    assert standard_accuracy(10.1) == 0.04


def test_what_it_says_of_its_range_is_in_newton_metres_and_pound_feet() -> None:
    wide = replace(WRENCH, lowest_Nm=10.0)

    # a fifth of 200 N·m, 29.5 lbf·ft; 30 % and 80 % of 200 N·m
    assert "Below 40 N·m (30 lbf·ft)" in fitness(wide, 39.0, TODAY).reasons[0]
    assert fitness(WRENCH, 50.0, TODAY).cautions == ("It reads best from 60 to 160 N·m.",)


@pytest.mark.parametrize(("lowest", "highest"), [(-1.0, 200.0), (200.0, 200.0), (200.0, 40.0)])
def test_a_scale_that_runs_backward_is_refused(lowest: float, highest: float) -> None:
    with pytest.raises(Refused, match="lower to its higher"):
        replace(WRENCH, lowest_Nm=lowest, highest_Nm=highest)


def test_a_scale_may_begin_at_nothing() -> None:
    assert fitness(replace(WRENCH, lowest_Nm=0.0), 120.0, TODAY).fit
