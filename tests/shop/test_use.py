"""Which steps would have been done otherwise if a target were another."""

import pytest

from server.shop.move import Rung
from server.shop.use import rests_on, shows
from tests.shop.conftest import library

FRONT_END = library()["coil-on-lower-arm"]


@pytest.fixture
def make_up():
    operation = FRONT_END.operation("packs")
    return Rung(operation, operation.up)


def test_packs_rest_on_the_thickness_they_were_made_up_to(make_up):
    assert rests_on(make_up, FRONT_END, place="LF", key="pack.front", at="LF")
    assert not rests_on(make_up, FRONT_END, place="LF", key="pack.front", at="RF")


@pytest.mark.parametrize("what", ["camber", "caster", "toe", "likely"])
def test_what_the_wheels_are_expected_to_read_is_shown_but_nothing_was_set_by_it(make_up, what):
    assert shows(make_up, place="LF", key=f"packs.{what}", at="LF")
    assert not rests_on(make_up, FRONT_END, place="LF", key=f"packs.{what}", at="LF")
