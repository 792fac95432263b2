"""The compressor's screw."""

from math import pi, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.compute.answer import Known
from server.compute.compressor import efficiency, holds_itself, load_N, lower_Nm, raise_Nm
from server.compute.refusal import Refused

SCREW = {"mean_diameter_m": 0.018, "lead_m": 0.002, "friction": 0.14, "flank_rad": radians(30)}
COLLAR = {"collar_friction": 0.14, "collar_radius_m": 0.012}


@given(st.floats(100, 20_000))
def test_the_load_behind_a_torque_is_the_one_that_asked_for_it(load: float) -> None:
    torque = raise_Nm(load_N=load, **SCREW, **COLLAR)

    assert load_N(torque_Nm=torque, **SCREW, **COLLAR) == pytest.approx(load)


def test_without_friction_all_work_reaches_the_load_and_the_screw_runs_back() -> None:
    smooth = {**SCREW, "friction": 0.0}
    torque = raise_Nm(load_N=5000.0, **smooth)

    assert efficiency(**smooth) == pytest.approx(1.0)
    assert lower_Nm(load_N=5000.0, **smooth) == pytest.approx(-torque)


def test_a_screw_that_would_run_back_does_not_hold_itself() -> None:
    assert holds_itself(mean_diameter_m=0.018, lead_m=0.002, lowest_friction=0.1)
    assert not holds_itself(mean_diameter_m=0.018, lead_m=0.012, lowest_friction=0.1)


def test_a_v_thread_grips_harder_than_a_square_one() -> None:
    border = {"mean_diameter_m": 0.018, "lead_m": 0.0062, "lowest_friction": 0.1}

    assert holds_itself(**border, flank_rad=radians(30))
    assert not holds_itself(**border)


def test_friction_scatter_dominates_the_torque() -> None:
    torque = raise_Nm.answer(load_N=Known(5000.0, 100.0), **{**SCREW, "friction": Known(0.14, 0.03)})

    assert torque.uncertainty / torque.value == pytest.approx(0.175, abs=0.01)


@pytest.mark.parametrize("wrong", [{"mean_diameter_m": 0.0}, {"lead_m": 0.0}, {"friction": -0.1}])
def test_a_screw_that_cannot_be_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(Refused):
        raise_Nm(load_N=5000.0, **{**SCREW, **wrong})


@pytest.mark.parametrize("alone", [{"collar_friction": 0.14}, {"collar_radius_m": 0.012}])
def test_a_collar_counts_only_with_friction_and_radius_both(alone: dict[str, float]) -> None:
    assert raise_Nm(load_N=5000.0, **SCREW, **alone) == raise_Nm(load_N=5000.0, **SCREW)
    assert lower_Nm(load_N=5000.0, **SCREW, **alone) == lower_Nm(load_N=5000.0, **SCREW)
    assert load_N(torque_Nm=20.0, **SCREW, **alone) == load_N(torque_Nm=20.0, **SCREW)
    assert efficiency(**SCREW, **alone) == efficiency(**SCREW)


def test_a_thread_is_square_unless_said_otherwise() -> None:
    square = {**SCREW, "flank_rad": 0.0}
    unsaid = {name: value for name, value in SCREW.items() if name != "flank_rad"}

    assert raise_Nm(load_N=5000.0, **unsaid) == raise_Nm(load_N=5000.0, **square)
    assert lower_Nm(load_N=5000.0, **unsaid) == lower_Nm(load_N=5000.0, **square)
    assert load_N(torque_Nm=20.0, **unsaid) == load_N(torque_Nm=20.0, **square)
    assert efficiency(**unsaid) == efficiency(**square)


def test_a_collar_takes_its_own_torque_whichever_way_it_turns() -> None:
    collar = 5000.0 * 0.14 * 0.012

    for turn in (raise_Nm, lower_Nm):
        assert turn(load_N=5000.0, **SCREW, **COLLAR) - turn(load_N=5000.0, **SCREW) == pytest.approx(collar)


def test_a_screw_on_the_very_border_does_not_hold_itself() -> None:
    lead_over_girth = 0.004 / (pi * 0.018)

    assert not holds_itself(mean_diameter_m=0.018, lead_m=0.004, lowest_friction=lead_over_girth)
