"""How the parts lie on the paper."""

import re
from math import degrees, radians

import pytest

from server.compute.corner import Hand
from server.compute.layout import ShaftAt, Steer
from server.procedure.load import front_ends
from server.web.part import parts
from server.web.placed import THINNEST, Fit, Placed
from server.web.projection import Projection
from tests.web.cars import READ, pose

BARE = Fit()


def placed(hand: Hand = Hand.LEFT, steer: Steer = Steer.BEHIND, fit: Fit = BARE) -> Placed:
    stands = pose(hand, steer)
    return Placed(Projection.of(stands), stands, fit)


def test_every_part_of_the_library_has_an_outline() -> None:
    drawn = parts(placed())

    for front_end in front_ends().values():
        assert {part.id for part in front_end.parts} <= drawn.keys()


def test_no_outline_has_a_number_that_is_none() -> None:
    paths = "".join(
        one.path for outlines in parts(placed(fit=Fit(front_pack_m=0.003))).values() for one in outlines
    )

    assert not re.search("nan|inf|e-", paths)


@pytest.mark.parametrize("hand", Hand)
def test_the_wheel_leans_as_its_camber_says(hand: Hand) -> None:
    up = placed(hand).wheel_up

    outboard = up.real * hand
    assert degrees(outboard) == pytest.approx(degrees(READ["camber"]), abs=0.001)
    assert up.imag < 0


@pytest.mark.parametrize("hand", Hand)
def test_toe_in_turns_the_front_of_the_wheel_inboard(hand: Hand) -> None:
    ahead = placed(hand).wheel_ahead

    assert -ahead.real * hand == pytest.approx(READ["toe"], abs=radians(0.001))
    assert ahead.imag > 0  # the front of the car is down the paper


@pytest.mark.parametrize(("thickness_m", "drawn"), [(0.0, 0.0), (0.0005, THINNEST), (0.01, None)])
def test_a_pack_is_as_thick_as_it_is_but_never_out_of_sight(thickness_m: float, drawn: float | None) -> None:
    at = placed()

    assert at.pack(thickness_m) == (thickness_m * at.on.scale if drawn is None else drawn)


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("shaft_at", ShaftAt)
def test_the_bracket_is_on_the_side_of_the_shaft_that_was_seen(hand: Hand, shaft_at: ShaftAt) -> None:
    at = placed(hand, fit=Fit(shaft_at))

    bracket_outboard = at.to_bracket.real * hand > 0
    assert bracket_outboard == (shaft_at is ShaftAt.INBOARD)


def test_no_shims_are_no_pack() -> None:
    drawn = parts(placed(fit=Fit(front_pack_m=0.003)))

    assert drawn["pack.front"]
    assert not drawn["pack.rear"]


@pytest.mark.parametrize(("steer", "free"), [(Steer.BEHIND, 1), (Steer.AHEAD, -1)])
def test_the_bar_lies_where_the_tie_rods_do_not(steer: Steer, free: int) -> None:
    at = placed(steer=steer)

    rod = at.plan("tie_outer").imag - at.on.axle
    assert at.free == free
    assert (at.bar_at - at.on.axle) * rod < 0
