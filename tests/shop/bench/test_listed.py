"""Lists of thicknesses and of turns, and what is in a drawer."""

from math import radians

import pytest

from server.shop.bench.listed import Stock, Thicknesses, Turns
from server.shop.refusal import Refusal

PACKS = Thicknesses(name="packs", label="Packs", most=4, zero=True, example="3/16 in")
PIECES = Thicknesses(name="pieces", label="Pieces", most=20, example="1/8 in")
TURNS = Turns(name="turns", label="Turns", most=3, example="45° + 30°")
DRAWER = Stock(name="drawer", label="Drawer", example="6 × 1/8 in")


@pytest.mark.parametrize("text", ["1/8\n1/16", "1/8 in + 1/16 in", " 1/8;1/16 \n\n", "1/8\r\n1/16"])
def test_thicknesses_stand_one_a_line_or_with_a_plus(text: str) -> None:
    found = [one.value for one in PIECES.read(text, "inch").value]

    assert found == pytest.approx([0.003175, 0.0015875])


@pytest.mark.parametrize("text", ["6 × 1/8", "6x1/8 in", "6 * 1/8", "6 X 3.175 mm", "2 × 1/8\n4 × 0.125"])
def test_a_drawer_has_a_line_for_each_thickness(text: str) -> None:
    assert DRAWER.read(text, "inch").value == pytest.approx({0.003175: 6})


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        (PIECES, "1/8\nabc", "No. 2: "),
        (PIECES, "0", "No. 1: "),
        (PIECES, "30 mm", "too thick"),
        (PIECES, "0.001 mm", "thinner than any shim"),
        (PIECES, "+", "at least one"),
        (PACKS, "1+1+1+1+1", "At most 4"),
        (TURNS, "45\n45 mm", "No. 2: "),
        (TURNS, "45 + 0.5", "No. 2: a turn lies between"),
        (TURNS, "1+1+1+1", "At most 3"),
        (DRAWER, "1/8 in", "how many and how thick"),
        (DRAWER, "6 × 1/8\n6 × wide", "No. 2: "),
    ],
)
def test_the_line_that_is_wrong_is_named(field: Thicknesses | Turns | Stock, text: str, says: str) -> None:
    with pytest.raises(Refusal, match=says) as refused:
        field.read(text, "inch")

    assert refused.value.field == field.name


@pytest.mark.parametrize("text", ["45° + 30°", "45\n30", "45 deg; 30 deg"])
def test_turns_are_degrees_unless_said_otherwise(text: str) -> None:
    assert [one.value for one in TURNS.read(text, "inch").value] == pytest.approx([radians(45), radians(30)])


@pytest.mark.parametrize("sent", [[], [0.5] * 4, [0.0], [6.3], ["45"], 0.5])
def test_turns_that_a_program_cannot_mean_are_refused(sent: object) -> None:
    with pytest.raises(Refusal) as refused:
        TURNS.take({"turns_rad": sent})

    assert refused.value.field == "turns_rad"


def test_a_pack_without_shims_can_be_wanted_but_not_measured() -> None:
    assert PACKS.take({"packs_m": [0.0]})[0].value == 0
    with pytest.raises(Refusal):
        PIECES.take({"pieces_m": [0.0]})


@pytest.mark.parametrize("sent", [[], [0.001] * 5, 0.001, None, "1/8", [True], [None], [[0.001]], {"a": 1}])
def test_what_is_no_list_of_thicknesses_is_refused(sent: object) -> None:
    with pytest.raises(Refusal) as refused:
        PACKS.take({"packs_m": sent})

    assert refused.value.field == "packs_m"


@pytest.mark.parametrize(
    "sent",
    [
        [],
        [0.003],
        [{"thickness_m": 0.003}],
        [{"thickness_m": 0.003, "count": 1, "colour": "red"}],
        [{"thickness_m": 0.003, "count": 1.5}],
        [{"thickness_m": 0.003, "count": -1}],
        [{"thickness_m": 0.0, "count": 1}],
        [{"thickness_m": "1/8", "count": 1}],
    ],
)
def test_what_is_no_drawer_is_refused(sent: object) -> None:
    with pytest.raises(Refusal) as refused:
        DRAWER.take({"drawer": sent})

    assert refused.value.field == "drawer"
