"""Where a fact is looked for."""

from server.procedure.fact import Fact, holds, initial, resolve
from server.procedure.load import parse
from tests.procedure.small import SMALL


def test_a_bare_name_means_the_place_itself() -> None:
    assert resolve({"wheel": "off"}, "RF") == {Fact("RF", "wheel", "off")}
    assert resolve({"stance": "floor"}, "car") == {Fact("car", "stance", "floor")}


def test_each_means_both_corners() -> None:
    assert resolve({"each.wheel": "on"}, "car") == {Fact("LF", "wheel", "on"), Fact("RF", "wheel", "on")}


def test_car_and_centre_look_away_from_a_corner() -> None:
    facts = resolve({"car.stance": "stands", "centre.bar": "off"}, "LF")

    assert facts == {Fact("car", "stance", "stands"), Fact("centre", "bar", "off")}


def test_a_car_comes_in_with_the_first_value_of_each_state() -> None:
    state = initial(parse(SMALL, file="small.yaml"))

    assert state == {("car", "stance"): "floor", ("LF", "wheel"): "on", ("RF", "wheel"): "on"}


def test_facts_hold_when_all_of_them_are_true() -> None:
    state = initial(parse(SMALL, file="small.yaml"))

    assert holds(resolve({"each.wheel": "on"}, "car"), state)
    assert not holds(resolve({"wheel": "on", "car.stance": "stands"}, "LF"), state)
