"""Vectors many at a time, against numpy's and scipy's own for one at a time."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from server.compute.vector import (
    Floats,
    cross,
    dot,
    length,
    point,
    three_spheres,
    turned,
    unit,
    which_side,
    widen,
)

coordinate = st.floats(-1, 1).filter(lambda x: x == 0 or abs(x) > 1e-3)
place = st.tuples(coordinate, coordinate, coordinate).map(lambda xyz: np.array(xyz))


@given(place, place)
def test_products_are_numpys(a: Floats, b: Floats) -> None:
    assert dot(a, b) == pytest.approx(np.dot(a, b), abs=1e-15)
    np.testing.assert_allclose(cross(a, b), np.cross(a, b), atol=1e-15)
    assert length(a) == pytest.approx(np.linalg.norm(a))


def test_products_go_pair_by_pair() -> None:
    a, b = np.random.default_rng(3).normal(size=(2, 3, 4, 5))

    np.testing.assert_allclose(dot(a, b), np.einsum("i...,i...", a, b))
    np.testing.assert_allclose(cross(a, b), np.cross(a, b, axis=0))
    np.testing.assert_allclose(length(unit(a)), np.ones((4, 5)))
    rows, columns = a[:, :, :1], b[:, :1, :]
    np.testing.assert_allclose(cross(rows, columns), np.cross(rows, columns, axis=0))
    np.testing.assert_allclose(cross(columns, rows), np.cross(columns, rows, axis=0))


@given(place, place.filter(lambda xyz: np.linalg.norm(xyz) > 0.01), st.floats(-7, 7))
def test_a_turn_is_scipys_turn(a: Floats, axis: Floats, angle: float) -> None:
    axis = unit(axis)

    np.testing.assert_allclose(
        turned(a, axis, np.asarray(angle)), Rotation.from_rotvec(angle * axis).apply(a), atol=1e-14
    )


def test_a_point_widens_to_go_with_many() -> None:
    one, many = point(1.0, 2.0, 3.0), np.zeros((3, 4))

    assert widen(one, (5, 4)).shape == (3, 1, 1)
    assert widen(many, (5, 4)).shape == (3, 1, 4)
    assert widen(many, (4,)) is not None
    np.testing.assert_array_equal((widen(one, (4,)) + many)[:, 2], one)


def centres() -> tuple[Floats, Floats, Floats]:
    return point(0.1, -0.2, 0.3), point(1.2, 0.1, 0.2), point(0.4, 0.9, -0.1)


@given(place.filter(lambda xyz: abs(xyz[2]) > 0.02), st.sampled_from([(0, 1, 2), (1, 0, 2), (2, 1, 0)]))
def test_the_point_at_three_distances_is_found_again(local: Floats, order: tuple[int, int, int]) -> None:
    first, second, third = (centres()[place] for place in order)
    normal = unit(np.cross(second - first, third - first))
    there = first + local[0] * (second - first) + local[1] * (third - first) + local[2] * normal
    side = which_side((first, second, third), of=there)
    distances = tuple(np.asarray(np.linalg.norm(there - one)) for one in (first, second, third))

    assert side == np.sign(local[2])
    np.testing.assert_allclose(three_spheres((first, second, third), distances, side), there, atol=1e-9)
    mirrored = there - 2 * local[2] * normal
    np.testing.assert_allclose(three_spheres((first, second, third), distances, -side), mirrored, atol=1e-9)


def test_a_point_in_the_plane_of_three_is_on_no_side_of_it() -> None:
    first, second, third = point(0, 0, 0), point(1, 0, 0), point(0, 1, 0)

    assert which_side((first, second, third), of=point(0.3, 0.3, 0)) == 0


def test_spheres_that_just_touch_meet_in_one_point() -> None:
    """Two of radius 1 round centres 2 apart; the third centre at right angles to the point between."""
    three = (point(0, 0, 0), point(2, 0, 0), point(1, 1, 0))

    met = three_spheres(three, (np.asarray(1.0), np.asarray(1.0), np.asarray(1.0)), np.asarray(1.0))

    np.testing.assert_allclose(met, (1, 0, 0))


def test_spheres_that_do_not_meet_have_no_point() -> None:
    radii = (np.array([0.1, 0.9]), np.array([0.1, 0.9]), np.array([0.1, 0.9]))
    met = three_spheres(tuple(widen(one, (2,)) for one in centres()), radii, np.asarray(1.0))

    assert np.all(np.isnan(met[:, 0]))
    assert np.all(np.isfinite(met[:, 1]))
