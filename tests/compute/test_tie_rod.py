"""The new assembly set from the old, and the way the sleeve goes."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.compute.answer import Known
from server.compute.refusal import Refused
from server.compute.tie_rod import (
    End,
    Preset,
    RodEnd,
    Side,
    TooFewThreads,
    preset,
    preset_m,
    sleeve_turns,
    top_goes,
)

PITCH = 0.0254 / 18  # 18 threads per inch
DIAMETER = 0.0254 * 5 / 8


def rod_end(showing: float = 8.0, thread_mm: float = 40.0) -> RodEnd:
    return RodEnd(Known(thread_mm / 1000, 0.0005), Known(showing, 0.25))


def set_from(
    old_mm: float = 320.675,
    now_mm: float = 315.0,
    change_mm: float = 0.0,
    outer: float = 8.0,
    inner: float = 8.0,
) -> Preset:
    return preset(
        old=Known(old_mm / 1000, 0.0008),
        now=Known(now_mm / 1000, 0.0005),
        outer=rod_end(outer),
        inner=rod_end(inner),
        pitch_m=PITCH,
        diameter_m=DIAMETER,
        side=Side.LEFT,
        right_hand=End.OUTER,
        change=change_mm / 1000,
    )


def test_the_new_assembly_gets_the_old_length() -> None:
    result = set_from()

    assert result.length.value == 0.320675
    assert result.length.uncertainty == pytest.approx(0.0008)


def test_turns_are_the_missing_length_over_two_pitches() -> None:
    result = set_from()

    assert result.turns.value == pytest.approx(5.675 / (2 * 25.4 / 18))
    assert result.turns.uncertainty == pytest.approx(np.hypot(0.8, 0.5) / (2 * 25.4 / 18), rel=1e-6)


def test_a_change_called_for_is_added_to_the_old_length() -> None:
    assert set_from(change_mm=-1.5).length.value == pytest.approx(0.319175)


def test_lengthening_brings_the_same_threads_out_at_both_ends() -> None:
    result = set_from()

    assert result.outer.showing == result.inner.showing == pytest.approx(8 + result.turns.value)
    assert result.outer.engaged.value == pytest.approx(0.040 - result.outer.showing * PITCH)


def test_less_than_one_diameter_inside_the_sleeve_is_refused_and_named() -> None:
    spare_threads = (0.040 - DIAMETER) / PITCH
    turns = 5.675e-3 / (2 * PITCH)

    set_from(outer=spare_threads - turns - 0.01)
    with pytest.raises(TooFewThreads, match="outer end"):
        set_from(outer=spare_threads - turns + 0.01)


def test_a_sleeve_that_would_run_out_of_thread_is_refused() -> None:
    with pytest.raises(Refused, match="run out of thread"):
        set_from(now_mm=345.0)


def test_unequal_ends_are_cautioned_against() -> None:
    assert set_from(outer=7.0, inner=9.0).cautions
    assert not set_from(outer=7.0, inner=8.0).cautions


@pytest.mark.parametrize(("old", "change"), [(0.0, 0.0), (-300.0, 0.0), (300.0, -300.0)])
def test_a_length_that_cannot_be_is_refused(old: float, change: float) -> None:
    with pytest.raises(Refused):
        set_from(old_mm=old, change_mm=change)


def test_a_thread_without_pitch_is_refused() -> None:
    with pytest.raises(Refused):
        sleeve_turns(wanted_m=0.32, now_m=0.31, pitch_m=0.0)


def _length_change_per_turn(side: Side, right_hand: End, top_moves: str) -> float:
    """Rod length gained in one turn of the sleeve, from screw motion in vectors and nothing else.

    x forward, y left, z up. A right-hand nut turned by w moves along +w on its screw, a left-hand one -w.
    """
    outward = np.array([0.0, 1.0 if side is Side.LEFT else -1.0, 0.0])
    top_velocity = np.array([-1.0 if top_moves == "rear" else 1.0, 0.0, 0.0])
    spin = np.cross([0.0, 0.0, 1.0], top_velocity)  # w with w x z = v, for |w| = 2 pi radians a turn
    hand = {right_hand: 1.0, (End.INNER if right_hand is End.OUTER else End.OUTER): -1.0}
    sleeve_past_outer = hand[End.OUTER] * spin * PITCH  # the sleeve's move relative to each rod end
    sleeve_past_inner = hand[End.INNER] * spin * PITCH
    return float(np.dot(outward, sleeve_past_inner) - np.dot(outward, sleeve_past_outer))


@pytest.mark.parametrize("side", Side)
@pytest.mark.parametrize("right_hand", End)
@pytest.mark.parametrize("turns", [1.0, -1.0])
def test_the_way_the_sleeve_goes_agrees_with_the_motion_of_screws(
    side: Side, right_hand: End, turns: float
) -> None:
    words = top_goes(turns, side=side, right_hand=right_hand)
    top_moves = words.rsplit(" ", 1)[1]

    gained = _length_change_per_turn(side, right_hand, top_moves)

    assert gained == pytest.approx(2 * PITCH * turns)
    assert words.startswith("lengthen" if turns > 0 else "shorten")


def test_no_turns_leave_the_sleeve() -> None:
    assert "leave" in top_goes(0.0, side=Side.LEFT, right_hand=End.OUTER)


@given(st.floats(300, 340), st.floats(300, 340))
def test_turning_the_sleeve_by_what_is_asked_reaches_the_length(old_mm: float, now_mm: float) -> None:
    turns = sleeve_turns(wanted_m=old_mm / 1000, now_m=now_mm / 1000, pitch_m=PITCH)
    angle = turns * 2 * pi

    assert now_mm / 1000 + 2 * PITCH * angle / (2 * pi) == pytest.approx(old_mm / 1000)


def test_a_length_needs_no_change() -> None:
    assert preset_m(old_m=0.3) == 0.3


@pytest.mark.parametrize(("old", "change"), [(0.0, 0.1), (-0.1, 0.3), (0.3, -0.3), (0.3, -0.4)])
def test_neither_the_old_length_nor_the_new_one_is_nothing(old: float, change: float) -> None:
    with pytest.raises(Refused, match="stud centres"):
        preset_m(old_m=old, change_m=change)


def test_a_length_may_double() -> None:
    assert preset_m(old_m=0.3, change_m=0.3) == pytest.approx(0.6)


def test_one_thread_apart_is_as_near_as_one_can_count_and_more_is_not() -> None:
    assert not set_from(outer=7.0, inner=8.0).cautions
    assert set_from(outer=7.0, inner=8.05).cautions


def test_an_end_may_show_no_thread_and_hold_by_just_its_diameter() -> None:
    end = RodEnd(Known(DIAMETER), Known(0.0))
    length = {"old": Known(0.32), "now": Known(0.32)}

    result = preset(
        **length,
        outer=end,
        inner=end,
        pitch_m=PITCH,
        diameter_m=DIAMETER,
        side=Side.LEFT,
        right_hand=End.OUTER,
    )

    assert result.length.value == 0.32
    assert result.outer.engaged.value == DIAMETER
