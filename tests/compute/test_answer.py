"""Uncertainty by first-order propagation, against hand-worked sums and a Monte Carlo draw."""

import random
from math import inf, nan, sqrt
from statistics import fmean, stdev

import pytest

from server.compute.answer import Known, formula
from server.compute.refusal import Refused
from server.compute.unit import Quantity


@formula(Quantity.LENGTH, "a + 2b", "by hand")
def weighted_m(*, left_m: float, right_m: float) -> float:
    return left_m + 2 * right_m


@formula(Quantity.NUMBER, "x³", "by hand", limits=lambda *, side: ("large",) if side > 10 else ())
def cube(*, side: float) -> float:
    return side**3


def test_a_formula_called_plainly_gives_the_bare_figure() -> None:
    assert weighted_m(left_m=1.0, right_m=2.0) == 5.0


def test_independent_uncertainties_add_in_squares_weighted_by_their_effect() -> None:
    answer = weighted_m.answer(left_m=Known(1.0, 0.3), right_m=Known(2.0, 0.2))

    assert answer.value == 5.0
    assert answer.uncertainty == pytest.approx(0.5)


def test_exact_inputs_give_an_exact_answer() -> None:
    assert weighted_m.answer(left_m=1.0, right_m=2).uncertainty == 0


def test_the_slope_at_the_value_is_taken_even_where_the_formula_bends() -> None:
    assert cube.answer(side=Known(2.0, 0.1)).uncertainty == pytest.approx(1.2, rel=1e-6)


def test_an_answer_says_what_it_rests_on() -> None:
    answer = weighted_m.answer(left_m=Known(1.0, 0.3), right_m=2.0)

    assert (answer.quantity, answer.formula, answer.source) == (Quantity.LENGTH, "a + 2b", "by hand")
    assert [(i.name, i.value, i.unit, i.uncertainty) for i in answer.inputs] == [
        ("left", 1.0, "m", 0.3),
        ("right", 2.0, "m", 0.0),
    ]
    assert answer.known == Known(answer.value, answer.uncertainty)


def test_an_answer_outside_its_limits_says_so() -> None:
    assert cube.answer(side=2.0).cautions == ()
    assert cube.answer(side=11.0).cautions == ("large",)


@pytest.mark.parametrize(
    ("value", "uncertainty"), [(nan, 0.0), (inf, 0.0), (1.0, nan), (1.0, inf), (1.0, -0.1)]
)
def test_no_figure_goes_in_that_is_not_finite(value: float, uncertainty: float) -> None:
    with pytest.raises(Refused):
        Known(value, uncertainty)
    with pytest.raises(Refused):
        cube.answer(side=Known(value, uncertainty))


def test_first_order_agrees_with_ten_thousand_draws_where_nearly_straight() -> None:
    draw = random.Random(7)
    half_width = 0.02
    results = [cube(side=draw.gauss(2.0, half_width)) for _ in range(10_000)]

    answer = cube.answer(side=Known(2.0, half_width))

    assert stdev(results) == pytest.approx(answer.uncertainty, rel=0.03)
    assert fmean(results) == pytest.approx(answer.value, abs=4 * answer.uncertainty / sqrt(10_000))


def test_an_uncertainty_too_small_to_reckon_with_moves_nothing() -> None:
    assert cube.answer(side=Known(2.0, 5e-324)).uncertainty == 0
