"""The generic torque and what it admits about itself."""

from statistics import fmean

import pytest

from server.compute.grade import Finish
from server.compute.preload import (
    PERMANENT,
    REUSED,
    GenericTorque,
    Thread,
    friction_torque_Nm,
    generic_torque,
    stress_area_m2,
    yield_preload_N,
)
from server.compute.refusal import Refused

INCH = 0.0254  # m, exact by definition
LBF_FT = 1.3558179483314004  # N·m, exact by definition


def half_inch(finish: Finish, fraction: float = REUSED) -> GenericTorque:
    return generic_torque(
        grade="SAE 5",
        diameter_m=INCH / 2,
        pitch_m=INCH / 13,
        thread=Thread.INCH,
        finish=finish,
        fraction=fraction,
    )


def test_half_inch_grade_five_zinc_is_about_seventy_five_pound_feet() -> None:
    # US Army TM 10-4320-316-14 Table G-1 prints 75 lbf·ft (read); the chain to it is ours.
    torque = half_inch(Finish.ZINC).torque

    assert torque.value / LBF_FT == pytest.approx(75, rel=0.01)


def test_the_range_is_the_scatter_of_the_nut_factor() -> None:
    for finish, scatter in ((Finish.ZINC, 0.35), (Finish.LUBRICATED, 0.25)):
        torque = half_inch(finish).torque
        assert torque.uncertainty / torque.value == pytest.approx(scatter, rel=1e-6)


def test_the_scatter_covers_ten_bolts_that_were_measured() -> None:
    # Shigley 9th ed. Table 8-14, read: ten lubricated bolts at 90 N·m, preload in kN.
    measured = [30.3, 32.5, 32.5, 32.9, 32.9, 33.8, 34.3, 34.7, 37.4, 40.5]
    mean, scatter = fmean(measured), Finish.LUBRICATED.scatter

    assert all(mean * (1 - scatter) <= force <= mean * (1 + scatter) for force in measured)


def test_it_always_says_that_it_is_not_the_makers() -> None:
    generic = half_inch(Finish.LUBRICATED)

    assert generic.generic
    assert any("not the maker" in caution for caution in generic.cautions)
    assert any("rubber" in caution for caution in generic.cautions)


def test_it_warns_where_the_scatter_reaches_past_the_proof_load() -> None:
    assert len(half_inch(Finish.LUBRICATED).cautions) == 2
    assert any("proof load" in caution for caution in half_inch(Finish.ZINC).cautions)
    assert any("proof load" in caution for caution in half_inch(Finish.LUBRICATED, PERMANENT).cautions)


def test_the_preload_aimed_at_is_the_fraction_of_the_proof_load() -> None:
    generic = half_inch(Finish.ZINC)

    assert generic.preload.value == pytest.approx(0.75 * generic.proof_load_N)


def test_inch_and_metric_rules_differ_on_the_same_thread() -> None:
    size = {"diameter_m": 0.012, "pitch_m": 0.00175}

    assert stress_area_m2(**size, thread=Thread.INCH) < stress_area_m2(**size, thread=Thread.METRIC)


@pytest.mark.parametrize(("diameter", "pitch"), [(0.012, 0.0), (0.012, -0.001), (0.001, 0.002), (0.0, 0.001)])
def test_a_thread_that_cannot_be_is_refused(diameter: float, pitch: float) -> None:
    with pytest.raises(Refused):
        stress_area_m2(diameter_m=diameter, pitch_m=pitch, thread=Thread.METRIC)


def test_a_joint_that_stays_together_takes_nine_tenths_of_the_proof_load() -> None:
    generic = half_inch(Finish.LUBRICATED, PERMANENT)  # Shigley 9th ed. p. 442

    assert generic.preload.value == pytest.approx(0.90 * generic.proof_load_N)


def test_the_scatter_may_reach_just_the_proof_load() -> None:
    assert len(half_inch(Finish.LUBRICATED, 0.8).cautions) == 2  # 0.8 · 1.25 = 1


def test_a_thread_cut_to_its_very_middle_is_refused() -> None:
    with pytest.raises(Refused):
        stress_area_m2(diameter_m=0.9743 * 0.001, pitch_m=0.001, thread=Thread.INCH)


def test_yield_is_used_to_nine_tenths_unless_said_otherwise() -> None:
    bolt = {"diameter_m": 0.012, "pitch_m": 0.00125, "thread_friction": 0.12, "yield_Pa": 940e6}

    # VDI 2230 guide values, read: 70.5 kN
    assert yield_preload_N(**bolt) == pytest.approx(70.5e3, rel=0.007)


def test_friction_under_the_head_and_in_the_thread_count_each_for_itself() -> None:
    bolt = {"preload_N": 50e3, "diameter_m": 0.012, "pitch_m": 0.00125, "bearing_m": 0.018, "hole_m": 0.013}

    both = friction_torque_Nm(**bolt, thread_friction=0.1, head_friction=0.2)
    head = both - friction_torque_Nm(**bolt, thread_friction=0.1, head_friction=0.0)

    assert head == pytest.approx(0.2 * 50e3 * (0.018 + 0.013) / 4)
