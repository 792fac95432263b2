"""On to the next slot, never back."""

from math import pi, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.compute.answer import Known
from server.compute.castle_nut import (
    Verdict,
    bolt_stiffness_N_per_m,
    index_rad,
    next_slot,
    slope_from_stiffness_Nm_per_rad,
    slope_Nm_per_rad,
    turn_on_rad,
)
from server.compute.refusal import Refused
from server.compute.torque import Window

WINDOW = Window(80.0, 110.0)


@pytest.mark.parametrize(("slots", "holes"), [(3, 1), (5, 1), (0, 1), (6, 0), (6, 3)])
def test_nuts_and_studs_that_are_not_made_are_refused(slots: int, holes: int) -> None:
    with pytest.raises(Refused):
        index_rad(slots=slots, cross_holes=holes)


@pytest.mark.parametrize(
    ("slots", "holes", "step_deg"), [(6, 1, 60), (6, 2, 30), (8, 1, 45), (8, 2, 45), (4, 2, 90)]
)
def test_the_step_between_fitting_places(slots: int, holes: int, step_deg: float) -> None:
    assert index_rad(slots=slots, cross_holes=holes) == pytest.approx(radians(step_deg))


@given(st.floats(-360, 360), st.sampled_from([30.0, 45.0, 60.0]))
def test_the_way_to_the_next_slot_is_forward_and_less_than_a_step(past_deg: float, step_deg: float) -> None:
    turn = turn_on_rad(index_rad=radians(step_deg), slot_past_hole_rad=radians(past_deg))

    assert 0 <= turn < radians(step_deg)


@pytest.mark.parametrize("past_deg", [0.0, 60.0, 120.0, 0.2, 59.8])
def test_a_slot_at_the_hole_needs_no_turning(past_deg: float) -> None:
    assert turn_on_rad(index_rad=radians(60), slot_past_hole_rad=radians(past_deg)) == 0


def test_slope_from_two_readings() -> None:
    assert slope_Nm_per_rad(first_Nm=60.0, second_Nm=90.0, turn_rad=0.5) == pytest.approx(60.0)


@pytest.mark.parametrize(
    ("first", "second", "turn"), [(60.0, 60.0, 0.5), (90.0, 60.0, 0.5), (60.0, 90.0, 0.0)]
)
def test_readings_that_do_not_rise_give_no_slope(first: float, second: float, turn: float) -> None:
    with pytest.raises(Refused):
        slope_Nm_per_rad(first_Nm=first, second_Nm=second, turn_rad=turn)


def test_slope_from_stiffness_is_the_torque_of_the_load_that_one_turn_adds() -> None:
    nut_factor, diameter, stiffness, pitch = 0.2, 0.012, 2e8, 0.00125
    load_of_one_turn = stiffness * pitch

    slope = slope_from_stiffness_Nm_per_rad(
        nut_factor=nut_factor, diameter_m=diameter, stiffness_N_per_m=stiffness, pitch_m=pitch
    )

    assert slope * 2 * pi == pytest.approx(nut_factor * load_of_one_turn * diameter)


@pytest.mark.parametrize(
    ("reached", "turn", "slope", "verdict"),
    [
        (79.9, 0.0, None, Verdict.TIGHTEN_FIRST),
        (79.9, 0.3, 10.0, Verdict.TIGHTEN_FIRST),
        (80.0, 0.0, None, Verdict.FIT_COTTER),
        (110.0, 0.0, None, Verdict.FIT_COTTER),
        (110.1, 0.0, None, Verdict.CHANGE),
        (90.0, 0.5, None, Verdict.TIGHTEN_ON),
        (90.0, 0.5, 40.0, Verdict.TIGHTEN_ON),
        (90.0, 0.5, 40.1, Verdict.CHANGE),
    ],
)
def test_the_verdict_on_a_castle_nut(
    reached: float, turn: float, slope: float | None, verdict: Verdict
) -> None:
    result = next_slot(WINDOW, reached_Nm=reached, turn_rad=turn, slope=slope)

    assert result.verdict is verdict
    assert result.reason.endswith(".")


def test_an_uncertain_slope_warns_before_it_forbids() -> None:
    maybe = next_slot(WINDOW, reached_Nm=90.0, turn_rad=0.5, slope=Known(38.0, 6.0))
    surely = next_slot(WINDOW, reached_Nm=90.0, turn_rad=0.5, slope=Known(50.0, 6.0))

    assert maybe.verdict is Verdict.TIGHTEN_ON
    assert "may lie beyond" in maybe.reason
    assert surely.verdict is Verdict.CHANGE


def test_the_torque_expected_at_the_slot_carries_its_uncertainty() -> None:
    at_slot = next_slot(WINDOW, reached_Nm=90.0, turn_rad=0.5, slope=Known(30.0, 4.0)).at_slot

    assert at_slot is not None
    assert at_slot.value == pytest.approx(105.0)
    assert at_slot.uncertainty == pytest.approx(2.0)


@given(st.floats(1, 300), st.floats(0, 1), st.none() | st.floats(0, 500))
def test_no_verdict_ever_says_to_loosen(reached: float, turn: float, slope: float | None) -> None:
    result = next_slot(WINDOW, reached_Nm=reached, turn_rad=turn, slope=slope)

    assert "loosen" not in f"{result.verdict} {result.reason}".lower()
    assert (result.verdict is Verdict.FIT_COTTER) == (turn == 0 and 80 <= reached <= 110)


def test_a_stud_has_one_hole_unless_said_otherwise() -> None:
    assert index_rad(slots=6) == pytest.approx(radians(60))


def test_half_a_degree_is_not_yet_the_same_place() -> None:
    step = radians(60)

    assert turn_on_rad(index_rad=step, slot_past_hole_rad=-radians(0.5)) == radians(0.5)
    assert turn_on_rad(index_rad=step, slot_past_hole_rad=-radians(0.49)) == 0


def test_a_torque_that_reaches_just_the_highest_is_inside() -> None:
    assert "inside the range" in next_slot(WINDOW, reached_Nm=90.0, turn_rad=0.5, slope=40.0).reason


def test_a_longer_stud_is_softer_and_one_without_length_is_refused() -> None:
    # 92.07 mm² (GB/T 16823.1, read) of steel, 100 mm long: A·E/L
    area = {"area_m2": 92.07e-6}

    assert bolt_stiffness_N_per_m(**area, grip_m=0.1, modulus_Pa=200e9) == pytest.approx(184.14e6)
    assert bolt_stiffness_N_per_m(**area, grip_m=0.1) == pytest.approx(184.14e6 * 206.84 / 200, rel=1e-4)
    with pytest.raises(Refused):
        bolt_stiffness_N_per_m(**area, grip_m=0.0)
