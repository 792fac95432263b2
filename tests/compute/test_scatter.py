"""Uncertainty two ways, to first order and by drawing, and what each input costs."""

from math import radians
from statistics import NormalDist

import numpy as np
import pytest

from server.compute.answer import Known
from server.compute.corner import Hand
from server.compute.dimension import SHORT
from server.compute.layout import Steer, short
from server.compute.linkage import Setting
from server.compute.pose import Readings, readings
from server.compute.scatter import (
    NINETY,
    Budget,
    Scatter,
    Share,
    Wheel,
    half_of_draws,
    half_widths,
    predicted,
)

FOUND = readings(*map(radians, (1.0, 0.5, -0.1)))
SPREAD = readings(*map(radians, (0.05, 0.15, 0.03)))
SURE = readings(0.0, 0.0, 0.0)
MOVE = Setting(0.001, 0.003, 0.0005)
GUESSED = short({}, Steer.BEHIND)


def tape(half_width_m):
    """Every length measured so well."""
    return short(
        {
            one.key: Known(figure, half_width_m)
            for one, figure in zip(GUESSED.dimensions, GUESSED.figures, strict=True)
        },
        Steer.BEHIND,
    )


def scatter(layout, spread=SPREAD, move=MOVE, hands=(Hand.LEFT,)):
    wheels = tuple(Wheel(hand, FOUND, spread) for hand in hands)
    return Scatter(layout, wheels, (move,) * len(hands))


def test_both_ways_agree_where_the_linkage_is_as_good_as_linear():
    """Lengths within 2 mm; ten thousand draws are good to 0.7 % of a standard deviation."""
    one = scatter(tape(0.002))

    drawn = one.draws().std(axis=2)[:, 0]

    assert drawn == pytest.approx(one.budgets()[0].spread, rel=0.03)


def test_for_wild_guesses_they_part_but_not_by_much():
    one = scatter(GUESSED)

    assert one.draws().std(axis=2)[:, 0] == pytest.approx(one.budgets()[0].spread, rel=0.15)


def test_the_mean_of_the_draws_is_the_prediction():
    one = scatter(tape(0.002))
    middle = predicted(GUESSED, GUESSED.figures_m, FOUND, MOVE)

    assert one.draws().mean(axis=2)[:, 0] == pytest.approx(middle, abs=radians(0.005))


def test_nothing_uncertain_and_nothing_moved_leaves_nothing_uncertain():
    one = scatter(tape(0.0), SURE, Setting())

    assert np.abs(one.draws(100) - FOUND.stacked[:, None, None]).max() < 1e-12
    assert one.budgets()[0].spread == pytest.approx(np.zeros(3), abs=1e-12)


def test_what_was_not_moved_is_as_uncertain_as_its_reading_however_wild_the_lengths():
    """The corner is calibrated by what was found: a length alone predicts nothing absolute."""
    assert scatter(GUESSED, move=Setting()).budgets()[0].spread == pytest.approx(SPREAD.stacked)


def test_the_models_own_choices_cost_something_only_when_packs_are_unequal():
    sure = tape(0.0)
    unequal, equal = (
        scatter(sure, SURE, Setting(*packs)).budgets()[0].spread for packs in ((0.003, -0.003), (0.0, 0.0))
    )
    assert unequal[0] > radians(0.003)
    assert equal == pytest.approx(np.zeros(3), abs=1e-12)


def test_the_models_own_choices_are_drawn_as_flat_bands_of_that_width():
    """Of a flat band the standard deviation is the half-width over √3 (GUM 4.3.7)."""
    one = scatter(tape(0.0), SURE, Setting(0.003, -0.003))

    assert one.draws().std(axis=2)[:, 0] == pytest.approx(one.budgets()[0].spread, rel=0.03)


def test_a_page_looked_at_twice_shows_the_same():
    assert np.array_equal(scatter(GUESSED).draws(50), scatter(GUESSED).draws(50))


def test_both_wheels_share_the_layout_but_not_their_gauges_noise():
    lengths = scatter(GUESSED, SURE, hands=tuple(Hand)).draws(2000)
    gauges = scatter(tape(0.0), SPREAD, hands=tuple(Hand)).draws(2000)

    assert np.corrcoef(lengths[1])[0, 1] > 0.95
    assert [abs(np.corrcoef(reading)[0, 1]) < 0.1 for reading in gauges] == [True] * 3


def test_right_and_left_are_as_uncertain():
    left, right = scatter(GUESSED, hands=tuple(Hand)).budgets()

    assert left.spread == pytest.approx(right.spread)


def test_the_share_of_a_length_is_what_the_reading_moves_when_it_is_that_much_off():
    """By two predictions, a spread apart, without the budget's own slopes."""
    at = [one.key for one in GUESSED.dimensions].index("stud-spacing")
    both = np.repeat(GUESSED.figures_m[:, None], 2, axis=1)
    both[at] += np.array((0.5, -0.5)) * 0.025
    apart = np.ptp(predicted(GUESSED, both, FOUND, MOVE), axis=1)

    share = scatter(GUESSED).budgets()[0].shares[at]

    assert share.dimension.key == "stud-spacing"
    assert share.spread == pytest.approx(apart, rel=0.05, abs=1e-7)


def test_the_length_to_measure_next_is_the_guess_that_costs_most():
    tolerance = np.radians((0.5, 0.5, 0.15))
    all_guessed = scatter(GUESSED).budgets()[0]
    worst = max(
        (one for one in all_guessed.shares if one.dimension),
        key=lambda one: float(np.sum((one.spread / tolerance) ** 2)),
    )
    assert all_guessed.measure_next(tolerance) is worst

    known = GUESSED.with_measured(worst.dimension.key, Known(worst.dimension.usual_m, 0.001))
    after = scatter(known).budgets()[0]
    assert after.measure_next(tolerance).dimension.key != worst.dimension.key
    assert np.all(after.spread <= all_guessed.spread + 1e-12)


@pytest.mark.parametrize("both", [2.0, 2.2])
def test_what_costs_most_is_what_adds_most_to_the_sum_of_squares(both):
    """3² is more than 2² + 2², and less than twice 2.2²."""
    one, two = GUESSED.dimensions[:2]
    shares = (Share("one", np.array((3.0, 0, 0)), one), Share("two", np.array((both, both, 0)), two))

    worst = Budget(shares, GUESSED.guessed).measure_next(np.ones(3))

    assert worst.name == ("one" if both == 2.0 else "two")


def test_with_everything_measured_there_is_nothing_to_measure_next():
    assert scatter(tape(0.002)).budgets()[0].measure_next(np.ones(3)) is None


def test_ninety_percent_of_a_normal_distribution_is_meant():
    assert pytest.approx(NormalDist().inv_cdf(0.95), abs=1e-4) == NINETY


def test_readings_of_many_corners_go_through_at_once():
    figures = np.repeat(GUESSED.figures_m[:, None], 5, axis=1)
    found = Readings(*(np.full(5, each) for each in FOUND.stacked))

    assert predicted(GUESSED, figures, found, Setting()) == pytest.approx(
        np.repeat(FOUND.stacked[:, None], 5, axis=1)
    )


def test_figures_of_the_layout_alone_are_as_uncertain_as_their_slopes_say():
    """Against the derivative by hand: sin has the slope cos. One length is sure and costs nothing."""
    layout = GUESSED.with_measured("tie-rod", Known(0.33, 0.0))
    weights = np.random.default_rng(4).uniform(-1, 1, (2, len(SHORT)))

    widths = half_widths(layout, lambda figures: weights @ np.sin(figures))

    costs = weights * np.cos(layout.figures_m) * layout.spreads_m
    assert widths == pytest.approx(NINETY * np.linalg.norm(costs, axis=1), rel=1e-5)


def test_nine_tenths_of_the_draws_lie_within_the_half_width_and_what_cannot_be_is_no_draw():
    """Of evenly spread figures 90 % lie within 90 % of their span."""
    even = np.append(np.linspace(-1, 1, 2001), np.nan)

    assert half_of_draws(np.stack((even, 3 * even))[None])[0] == pytest.approx((0.9, 2.7))
