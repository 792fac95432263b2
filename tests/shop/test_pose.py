"""What the record says of a corner, as the linkage wants it."""

from math import radians
from types import SimpleNamespace

import numpy as np
import pytest

from server.compute.corner import Hand
from server.compute.layout import ShaftAt, Steer, short
from server.compute.linkage import AS_IT_STOOD, Setting, at_arm, posed
from server.shop.pose import changed, figures, setting, stood

CORNER = short({}, Steer.BEHIND).corner(Hand.LEFT)
FOUND = {
    "camber": radians(-0.7),
    "caster": radians(2.5),
    "toe": radians(0.2),
    "pack.front": 0.003,
    "pack.rear": 0.004,
}


def look(rows):
    return lambda key, place: rows.get((key, place))


def test_half_of_the_car_s_toe_is_each_wheel_s() -> None:
    rows = {("toe.angle", "car"): SimpleNamespace(value=0.004)}

    assert figures(look(rows), "LF") == {"toe": 0.002}


def test_a_figure_without_a_value_is_not_known() -> None:
    rows = {("camber", "LF"): SimpleNamespace(value=None), ("caster", "LF"): SimpleNamespace(value=0.05)}

    assert figures(look(rows), "LF") == {"caster": 0.05}


def test_the_corner_reads_what_was_found() -> None:
    read = at_arm(stood(CORNER, FOUND)).readings

    assert [float(one) for one in read.stacked] == pytest.approx(
        [FOUND[key] for key in ("camber", "caster", "toe")]
    )


def test_an_angle_that_nobody_read_stays_as_the_lengths_have_it() -> None:
    before, after = at_arm(CORNER).readings, at_arm(stood(CORNER, {"camber": radians(-0.7)})).readings

    assert float(after.caster_rad) == pytest.approx(float(before.caster_rad))


@pytest.mark.parametrize(("shaft_at", "sign"), [(ShaftAt.OUTBOARD, 1), (ShaftAt.INBOARD, -1)])
def test_a_thicker_pack_moves_the_shaft_to_where_it_sits(shaft_at: ShaftAt, sign: int) -> None:
    change = setting(FOUND, FOUND | {"pack.front": 0.005}, shaft_at)

    assert (change.front_m, change.rear_m) == (pytest.approx(sign * 0.002), 0.0)


def test_what_is_not_known_on_both_sides_has_not_changed() -> None:
    assert setting({}, {"tie-rod.length": 0.3, "pack.rear": 0.002}, ShaftAt.OUTBOARD) == Setting(
        0.0, 0.0, 0.0
    )


def test_a_corner_read_again_reads_that_from_then_on() -> None:
    corner, change = changed(stood(CORNER, FOUND), Setting(0.003, 0.003), {"camber": radians(0.3)})

    assert change == AS_IT_STOOD
    assert float(posed(corner, change).readings.camber_rad) == pytest.approx(radians(0.3))


def test_a_corner_not_read_again_is_predicted() -> None:
    change = Setting(0.003, 0.003)

    assert changed(CORNER, change, {}) == (CORNER, change)


def test_a_change_that_cannot_be_is_left_for_the_curves_to_say() -> None:
    change = Setting(0.5, 0.5)

    assert np.any(posed(CORNER, change).fault)
    assert changed(CORNER, change, {"camber": 0.0})[1] is change
