"""What guesses cost: order, kind and width; how the linkage moves is checked elsewhere."""

import numpy as np
import pytest

from server.compute.corner import Hand
from server.compute.dimension import SHORT
from server.compute.linkage import Setting
from server.compute.pose import readings
from server.compute.scatter import Scatter, Wheel
from server.shop.geometry import layout_of
from server.shop.geometry_cost import CORRECTION_m, costs_of
from server.store.tables import Spec

WORDS = {"corner.steer": "behind", "corner.shaft-at": "inboard"}


def specs(**figures_m):
    """Rows of both words and of these lengths, as sure as a millimetre."""
    words = {key: Spec(key=key, text=text, low=0, high=0) for key, text in WORDS.items()}
    lengths = {
        f"corner.{key.replace('_', '-')}": Spec(text="", low=value - 0.001, high=value + 0.001)
        for key, value in figures_m.items()
    }
    return words | lengths


def drawn_off(rows, key):
    """Half of what nine in ten draws of that guess alone put camber, caster and toe off by [rad]."""
    layout = layout_of(rows)
    at = [one.key for one in SHORT].index(key)
    alone = np.zeros_like(layout.spreads_m)
    alone[at] = layout.spreads_m[at]
    only = type(layout)(layout.dimensions, layout.figures_m, alone, layout.guessed, layout.steer)
    wheel = Wheel(Hand.LEFT, readings(0, 0, 0), readings(0, 0, 0))
    scatter = Scatter(only, (wheel,), (Setting(front_m=-CORRECTION_m),))
    low, high = np.quantile(scatter.draws(), (0.05, 0.95), axis=-1)
    return (high - low)[:, 0] / 2


def test_nothing_is_said_before_the_words_are_known():
    assert costs_of({}).by_key == {}
    assert costs_of({"corner.steer": specs()["corner.steer"]}).measure_next is None


def test_every_guess_has_its_cost_and_a_measured_length_has_none():
    assert len(costs_of(specs()).by_key) == len(SHORT)
    assert "corner.upper-arm" not in costs_of(specs(upper_arm=0.22)).by_key


def test_the_next_to_measure_changes_once_it_is_measured():
    first = costs_of(specs()).measure_next
    usual = {one.key: one.usual_m for one in SHORT}
    key = first.removeprefix("corner.")

    again = costs_of(specs(**{key.replace("-", "_"): usual[key]})).measure_next

    assert again not in (None, first)


def test_where_every_guess_that_counts_is_measured_nothing_is_advised():
    costs = costs_of(specs())
    dear = {key.removeprefix("corner.") for key, cost in costs.by_key.items() if cost.counts}
    usual = {one.key.replace("-", "_"): one.usual_m for one in SHORT if one.key in dear}

    left = costs_of(specs(**usual))

    assert left.by_key
    assert left.measure_next is None


def test_studs_farther_apart_turn_a_shim_into_less_caster_so_that_their_guess_costs_caster():
    cost = costs_of(specs()).by_key["corner.stud-spacing"]

    assert (cost.reading, cost.counts) == ("caster", True)


@pytest.mark.parametrize("key", ["upper-arm", "upper-ball-height"])
def test_a_cost_is_what_drawing_that_guess_alone_gives(key):
    cost = costs_of(specs()).by_key[f"corner.{key}"]

    off = drawn_off(specs(), key)[("camber", "caster", "toe").index(cost.reading)]
    assert cost.off_rad == pytest.approx(off, rel=0.05)
