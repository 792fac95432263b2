"""Springs held at a length, and those that are refused."""

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from server.compute.answer import Known
from server.compute.refusal import Refused
from server.compute.spring import (
    STEEL,
    CoilBound,
    OverRated,
    OverStressed,
    Spring,
    bergstrasser,
    compress,
    direct_shear,
    energy_J,
    force_N,
    free_length_m,
    length_at_force_m,
    plain_stress_Pa,
    rate_from_loads_N_per_m,
    rate_N_per_m,
    shortest_m,
    stress_at_rest_Pa,
    stress_by_bergstrasser_Pa,
    stress_Pa,
    wahl,
)

WIRE, MEAN = Known(0.015, 0.0001), Known(0.110, 0.0005)
SPRING = Spring(Known(60e3, 900.0), Known(0.400, 0.001), Known(0.150, 0.001), WIRE, MEAN)


def at(length_mm: float) -> Known:
    return Known(length_mm / 1000, 0.0008)


def test_force_and_energy_of_a_compressed_spring() -> None:
    held = compress(SPRING, at(250))

    assert held.force.value == pytest.approx(9000.0)
    assert held.energy.value == pytest.approx(675.0)
    assert held.margin is not None
    assert held.margin.value == pytest.approx(0.100)


def test_energy_is_the_force_summed_over_the_way() -> None:
    work, _ = quad(lambda x: force_N(rate_N_per_m=60e3, free_length_m=0.4, length_m=0.4 - x), 0, 0.15)

    assert energy_J(rate_N_per_m=60e3, free_length_m=0.4, length_m=0.25) == pytest.approx(work, rel=1e-9)


def test_uncertainties_of_force_are_those_worked_by_hand() -> None:
    held = compress(SPRING, at(250))
    by_hand = sqrt((0.150 * 900) ** 2 + (60e3 * 0.001) ** 2 + (60e3 * 0.0008) ** 2)

    assert held.force.uncertainty == pytest.approx(by_hand, rel=1e-6)


def test_one_percent_in_wire_is_four_in_rate() -> None:
    rate = rate_N_per_m.answer(
        wire_m=Known(0.015, 0.00015), mean_diameter_m=0.110, active_coils=8, modulus_Pa=79e9
    )

    assert rate.uncertainty / rate.value == pytest.approx(0.04, rel=1e-3)


def test_the_modulus_of_spring_steel_covers_the_handbooks() -> None:
    # Machinery's Handbook 31 Table 20 p. 346, read: 11.2e6 to 12.0e6 psi.
    assert STEEL.value - STEEL.uncertainty == pytest.approx(77.2e9)
    assert STEEL.value + STEEL.uncertainty == pytest.approx(82.7e9)


def test_a_spring_longer_than_free_pushes_with_nothing_and_says_it_is_loose() -> None:
    held = compress(SPRING, at(410))

    assert held.force.value == held.energy.value == 0
    assert any("loose" in caution for caution in held.cautions)


def test_touching_coils_are_refused_and_so_is_too_little_left() -> None:
    with pytest.raises(CoilBound, match="coils touch"):
        compress(SPRING, at(150))
    with pytest.raises(CoilBound, match="too little is left"):
        compress(SPRING, at(175))


def test_the_allowance_is_fifteen_percent_of_the_deflection_left() -> None:
    shortest = shortest_m(free_length_m=0.400, solid_length_m=0.150)

    assert shortest - 0.150 == pytest.approx(0.15 * (0.400 - shortest))
    assert compress(SPRING, Known(shortest + 1e-6)).margin is not None
    with pytest.raises(CoilBound):
        compress(SPRING, Known(shortest - 1e-6))


def test_an_unknown_solid_length_is_said_not_guessed() -> None:
    held = compress(replace(SPRING, solid_length=None), at(150))

    assert held.margin is None
    assert any("coil bind is not checked" in caution for caution in held.cautions)


def test_the_upper_end_of_the_force_decides_against_the_rating() -> None:
    force = compress(SPRING, at(250)).force

    compress(SPRING, at(250), rating_N=force.value + force.uncertainty + 0.1)
    with pytest.raises(OverRated, match="rated for"):
        compress(SPRING, at(250), rating_N=force.value + force.uncertainty - 0.1)


def test_the_upper_end_of_the_stress_decides_against_its_limit() -> None:
    stress = compress(SPRING, at(250)).stress
    assert stress is not None
    most = stress.value + stress.uncertainty

    compress(SPRING, at(250), stress_limit_Pa=most * 1.001)
    with pytest.raises(OverStressed, match="limit is"):
        compress(SPRING, at(250), stress_limit_Pa=most * 0.999)


def test_a_stress_limit_without_the_wire_is_refused() -> None:
    with pytest.raises(Refused, match="wire"):
        compress(replace(SPRING, wire=None), at(250), stress_limit_Pa=900e6)


@pytest.mark.parametrize(
    ("wire", "mean", "coils"), [(0.0, 0.1, 8), (0.1, 0.1, 8), (0.015, 0.1, 0), (-0.015, 0.1, 8)]
)
def test_a_coil_that_cannot_be_is_refused(wire: float, mean: float, coils: float) -> None:
    with pytest.raises(Refused):
        rate_N_per_m(wire_m=wire, mean_diameter_m=mean, active_coils=coils, modulus_Pa=79e9)


@pytest.mark.parametrize(("rate", "length"), [(0.0, 0.25), (-1.0, 0.25), (60e3, 0.0)])
def test_a_spring_that_cannot_be_is_refused(rate: float, length: float) -> None:
    with pytest.raises(Refused):
        compress(Spring(Known(rate), Known(0.4)), Known(length))


@pytest.mark.parametrize(
    ("mean", "cautioned"), [(0.0451, False), (0.0449, True), (0.2999, False), (0.3001, True)]
)
def test_outside_its_index_the_rate_comes_with_a_caution(mean: float, cautioned: bool) -> None:
    rate = rate_N_per_m.answer(wire_m=0.015, mean_diameter_m=mean, active_coils=8, modulus_Pa=79e9)

    assert bool(rate.cautions) is cautioned


def test_two_readings_the_wrong_way_round_are_refused_but_their_order_is_free() -> None:
    readings = {
        "first_force_N": 90.0,
        "first_length_m": 0.0875,
        "second_force_N": 630.0,
        "second_length_m": 0.05,
    }
    swapped = {
        "first_force_N": 630.0,
        "first_length_m": 0.05,
        "second_force_N": 90.0,
        "second_length_m": 0.0875,
    }

    assert rate_from_loads_N_per_m(**readings) == pytest.approx(rate_from_loads_N_per_m(**swapped))
    with pytest.raises(Refused):
        rate_from_loads_N_per_m(**{**readings, "second_force_N": 80.0})
    with pytest.raises(Refused):
        rate_from_loads_N_per_m(**{**readings, "second_length_m": 0.0875})


@given(st.floats(0.2, 0.5), st.floats(1e4, 2e5), st.floats(0, 8000))
def test_length_at_force_and_free_length_undo_each_other(free: float, rate: float, force: float) -> None:
    length = length_at_force_m(free_length_m=free, force_N=force, rate_N_per_m=rate)

    assert free_length_m(length_m=length, force_N=force, rate_N_per_m=rate) == pytest.approx(free)


@given(st.floats(3.5, 15))
def test_stress_factors_keep_their_order_and_approach_one(index: float) -> None:
    assert 1 < direct_shear(index) < bergstrasser(index) < wahl(index)
    assert wahl(index + 1) < wahl(index)


@given(st.floats(0.01, 0.1), st.floats(1.01, 1.5))
def test_more_compression_is_more_energy_by_the_square(compression: float, ratio: float) -> None:
    first = energy_J(rate_N_per_m=60e3, free_length_m=0.4, length_m=0.4 - compression)
    more = energy_J(rate_N_per_m=60e3, free_length_m=0.4, length_m=0.4 - ratio * compression)

    assert more / first == pytest.approx(ratio**2, rel=1e-9)


def test_the_index_may_be_just_three_or_twenty() -> None:
    for mean in (0.045, 0.3):
        assert not rate_N_per_m.answer(
            wire_m=0.015, mean_diameter_m=mean, active_coils=8, modulus_Pa=79e9
        ).cautions


def test_a_very_soft_spring_is_a_spring_too() -> None:
    assert compress(Spring(Known(0.5), Known(0.4)), Known(0.2)).force.value == pytest.approx(0.1)


SURE = Spring(Known(60e3), Known(0.400), Known(0.150), Known(0.015), Known(0.110))


def test_coils_that_just_touch_touch() -> None:
    with pytest.raises(CoilBound, match="coils touch"):
        compress(SURE, Known(0.150))


def test_the_shortest_length_itself_is_allowed() -> None:
    shortest = Known(shortest_m(free_length_m=0.400, solid_length_m=0.150))

    assert compress(SURE, shortest).force.value == pytest.approx(SURE.rate.value * (0.400 - shortest.value))


def test_a_spring_at_its_free_length_is_loose() -> None:
    assert "At that length the spring is loose." in compress(SURE, Known(0.400)).cautions


def test_just_the_rating_and_just_the_limit_are_allowed() -> None:
    held = compress(SURE, Known(0.250))
    assert held.stress is not None

    compress(SURE, Known(0.250), rating_N=held.force.value, stress_limit_Pa=held.stress.value)


def test_what_is_refused_names_the_upper_end() -> None:
    # 9000 N ± 1000 N by an uncertain free length; the stress goes with the force
    spring = replace(SURE, free_length=Known(0.400, 1000 / 60e3))
    most_MPa = 10_000 / 9000 * stress_Pa(force_N=9000.0, mean_diameter_m=0.110, wire_m=0.015) / 1e6

    with pytest.raises(OverRated, match="push with 10000 N"):
        compress(spring, Known(0.250), rating_N=9500.0)
    with pytest.raises(OverStressed, match=f"stressed to {most_MPa:.0f} MPa"):
        compress(spring, Known(0.250), stress_limit_Pa=500e6)


def test_each_stress_is_the_plain_one_times_its_factor() -> None:
    coil = {"force_N": 5000.0, "mean_diameter_m": 0.110, "wire_m": 0.015}
    plain, index = plain_stress_Pa(**coil), 0.110 / 0.015

    assert stress_Pa(**coil) == pytest.approx(wahl(index) * plain)
    assert stress_by_bergstrasser_Pa(**coil) == pytest.approx(bergstrasser(index) * plain)
    assert stress_at_rest_Pa(**coil) == pytest.approx(direct_shear(index) * plain)
