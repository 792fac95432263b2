"""Toe by tape, caster by sweep; the sweep against a wheel turned about its axis in vectors."""

from math import asin, cos, degrees, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from server.compute.alignment import (
    caster_by_sweep_rad,
    caster_exact_rad,
    toe_difference_m,
    toe_m,
    toe_per_wheel_rad,
    total_toe_rad,
)
from server.compute.answer import Known
from server.compute.refusal import Refused


def turned_camber(caster_deg: float, inclination_deg: float, camber_deg: float, steer_deg: float) -> float:
    """Camber of a left wheel turned about its steering axis [rad]; + steer turns its front outward."""
    axis = np.array([-tan(radians(caster_deg)), -tan(radians(inclination_deg)), 1.0])
    camber = radians(camber_deg)
    spin: NDArray[np.float64] = np.array([0.0, cos(camber), -sin(camber)])  # outboard along +y, zero toe
    turn = Rotation.from_rotvec(radians(steer_deg) * axis / np.linalg.norm(axis))
    return asin(-turn.apply(spin)[2])


def test_toe_in_is_positive_when_the_rear_is_wider() -> None:
    difference = toe_difference_m(rear_m=1.503, front_m=1.5)

    assert difference == pytest.approx(0.003)
    assert toe_per_wheel_rad(toe_m=difference, diameter_m=0.65) > 0


@given(st.floats(-1.5, 1.5), st.floats(0.4, 0.8))
def test_tape_and_angle_undo_each_other(per_wheel_deg: float, diameter: float) -> None:
    tape = toe_m(per_wheel_rad=radians(per_wheel_deg), diameter_m=diameter)

    again = toe_per_wheel_rad(toe_m=tape, diameter_m=diameter)

    assert degrees(again) == pytest.approx(per_wheel_deg, abs=1e-9)
    assert total_toe_rad(toe_m=tape, diameter_m=diameter) == pytest.approx(2 * again)


def test_tape_shows_the_gap_between_two_wheels_turned_in() -> None:
    toe, diameter = radians(0.5), 0.65
    track = 1.5
    front = track - 2 * (diameter / 2) * sin(toe)
    rear = track + 2 * (diameter / 2) * sin(toe)

    assert toe_m(per_wheel_rad=toe, diameter_m=diameter) == pytest.approx(rear - front)


def test_toe_angle_carries_the_tape_and_the_diameter() -> None:
    answer = toe_per_wheel_rad.answer(toe_m=Known(0.0032, 0.0008), diameter_m=Known(0.65, 0.01))

    assert degrees(answer.uncertainty) == pytest.approx(degrees(0.0008 / 1.3), rel=0.01)


@pytest.mark.parametrize(("toe", "diameter"), [(0.003, 0.0), (0.003, -0.6), (1.4, 0.65), (-1.4, 0.65)])
def test_a_tape_that_cannot_be_is_refused(toe: float, diameter: float) -> None:
    with pytest.raises(Refused):
        toe_per_wheel_rad(toe_m=toe, diameter_m=diameter)


def test_no_diameter_no_tape() -> None:
    with pytest.raises(Refused):
        toe_m(per_wheel_rad=0.01, diameter_m=0.0)


@given(st.floats(-5, 9), st.floats(0, 14), st.floats(-2, 2), st.sampled_from([10.0, 15.0, 20.0, 25.0]))
def test_exact_caster_comes_back_from_a_wheel_turned_about_its_axis(
    caster: float, inclination: float, camber: float, steer: float
) -> None:
    out = turned_camber(caster, inclination, camber, steer)
    inward = turned_camber(caster, inclination, camber, -steer)

    again = caster_exact_rad(
        camber_out_rad=out,
        camber_in_rad=inward,
        steer_rad=radians(steer),
        camber_rad=radians(camber),
        inclination_rad=radians(inclination),
    )

    assert degrees(again) == pytest.approx(caster, abs=1e-6)


@given(st.floats(0.5, 6), st.floats(0, 9))
def test_the_gauge_relation_is_within_two_percent_of_the_truth(caster: float, inclination: float) -> None:
    out = turned_camber(caster, inclination, 0.0, 20.0)
    inward = turned_camber(caster, inclination, 0.0, -20.0)

    gauge = caster_by_sweep_rad(camber_out_rad=out, camber_in_rad=inward, steer_rad=radians(20))

    assert degrees(gauge) == pytest.approx(caster, rel=0.02)


def test_camber_gained_outward_is_caster_rearward() -> None:
    assert turned_camber(3.0, 8.0, 0.0, 20.0) > turned_camber(3.0, 8.0, 0.0, -20.0)
    assert caster_by_sweep_rad(camber_out_rad=0.02, camber_in_rad=0.0, steer_rad=radians(20)) > 0


@pytest.mark.parametrize("steer_deg", [0.0, -20.0, 60.0])
def test_a_sweep_that_cannot_be_is_refused(steer_deg: float) -> None:
    with pytest.raises(Refused):
        caster_by_sweep_rad(camber_out_rad=0.01, camber_in_rad=0.0, steer_rad=radians(steer_deg))


def test_readings_too_far_apart_for_the_sweep_are_refused() -> None:
    with pytest.raises(Refused, match="too far apart"):
        caster_exact_rad(
            camber_out_rad=0.5, camber_in_rad=-0.5, steer_rad=radians(20), camber_rad=0.0, inclination_rad=0.0
        )


@pytest.mark.parametrize(("steer_deg", "cautioned"), [(9.0, True), (20.0, False), (31.0, True)])
def test_an_unusual_sweep_is_cautioned_about(steer_deg: float, cautioned: bool) -> None:
    answer = caster_by_sweep_rad.answer(camber_out_rad=0.02, camber_in_rad=0.0, steer_rad=radians(steer_deg))

    assert bool(answer.cautions) is cautioned


def test_a_wheel_may_stand_just_square_to_the_road() -> None:
    assert toe_per_wheel_rad(toe_m=1.3, diameter_m=0.65) == pytest.approx(radians(90))


@pytest.mark.parametrize(
    ("steer_deg", "cautioned"), [(10.0, False), (10.5, False), (30.0, False), (30.5, True)]
)
def test_a_sweep_from_ten_to_thirty_degrees_is_usual(steer_deg: float, cautioned: bool) -> None:
    answer = caster_by_sweep_rad.answer(camber_out_rad=0.02, camber_in_rad=0.0, steer_rad=radians(steer_deg))

    assert bool(answer.cautions) is cautioned


def test_readings_as_far_apart_as_the_sweep_itself_are_refused() -> None:
    with pytest.raises(Refused, match="too far apart"):
        caster_exact_rad(
            camber_out_rad=0.3, camber_in_rad=-0.3, steer_rad=0.3, camber_rad=0.0, inclination_rad=0.0
        )
