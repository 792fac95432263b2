"""Cotter pins, their holes and slots."""

import pytest

from server.compute.cotter import hole_m, pin_for_hole_m, slot, slots
from server.compute.refusal import Refused

INCH = 0.0254  # m, exact by definition


def test_a_hole_is_a_sixty_fourth_over_its_pin() -> None:
    assert hole_m(INCH / 8) == pytest.approx(9 / 64 * INCH)


@pytest.mark.parametrize(
    ("hole_in", "pin_in"), [(0.078, 1 / 16), (0.1, 1 / 16), (0.12, 3 / 32), (0.5, 3 / 16)]
)
def test_the_thickest_pin_that_goes_through_is_taken(hole_in: float, pin_in: float) -> None:
    assert pin_for_hole_m(hole_in * INCH) == pytest.approx(pin_in * INCH)


def test_a_hole_a_little_short_of_the_printed_one_takes_the_pin_below() -> None:
    # 3/32 in wants 0.1094 in; a thousandth is the table's last digit
    assert pin_for_hole_m(0.1085 * INCH) == pytest.approx(3 / 32 * INCH)
    assert pin_for_hole_m(0.1083 * INCH) == pytest.approx(INCH / 16)


def test_no_pin_goes_through_a_hole_too_small_and_it_says_what_the_smallest_wants() -> None:
    with pytest.raises(Refused, match=r"5/64 in"):
        pin_for_hole_m(0.07 * INCH)


def test_a_thread_that_no_table_has_is_refused_not_rounded() -> None:
    for diameter_m in (0.011, 0.01201, 0.51 * INCH):
        with pytest.raises(Refused):
            slot(diameter_m)


def test_metric_nuts_name_their_pin_and_inch_nuts_their_widest_slot() -> None:
    metric, inch = slot(0.012), slot(0.5 * INCH)

    assert (metric.most_m, inch.pin_m, inch.pin_length_m) == (None, None, None)
    assert metric.pin_m is not None
    assert inch.most_m is not None
    assert metric.pin_m < metric.least_m
    assert inch.least_m < inch.most_m


def test_eight_slots_begin_above_thirty_nine_millimetres() -> None:
    assert (slots(0.039), slots(0.0391)) == (6, 8)
