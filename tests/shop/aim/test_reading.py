"""What the wheels are said to read, and how sure that is said to be."""

import pytest

from server.shop.aim.reading import often
from tests.shop.bench_top import aimed, evidence
from tests.shop.test_realign import DRAWER, TAPE, WANTED, WORDS, found

BOTH = found("LF") | found("RF") | TAPE


def test_each_reading_to_come_stands_with_what_it_rests_on():
    aims = aimed(evidence(down=BOTH, sheet=WORDS | WANTED, drawer=DRAWER))

    camber = aims["packs.camber", "LF"]
    assert camber.says.startswith("Camber with these packs: 0.")
    assert "±" in camber.says
    assert {one.key for one in camber.captures} >= {"camber", "caster", "pack.front", "toe.tape-front"}
    assert "corner.shaft-at" in {one.key for one in camber.specs}
    assert aims["packs.toe", "RF"].says.startswith("Toe of this wheel with these packs:")
    assert aims["packs.toe", "RF"].says.endswith(", toe-in.")


def test_a_toe_that_nobody_measured_is_not_foretold():
    aims = aimed(evidence(down=found(), sheet=WORDS | WANTED, drawer=DRAWER))

    assert ("packs.toe", "LF") not in aims
    assert ("packs.camber", "LF") in aims


def test_the_chance_is_told_with_its_band_and_the_length_to_measure_next():
    likely = aimed(evidence(down=BOTH, sheet=WORDS | WANTED, drawer=DRAWER))["packs.likely", "car"]

    assert "camber and caster within 1/2°, toe within 1/16 in (1.6 mm), common practice" in likely.says
    assert "Worn joints read wrong and new ones sit elsewhere: read again on the floor." in likely.says
    assert "To be surer, measure next: " in likely.says
    assert 0 < likely.answer.value < 1


@pytest.mark.parametrize(
    ("likely", "words"),
    [
        (0.0, "in fewer than 1 of 20 cases"),
        (0.049, "in fewer than 1 of 20 cases"),
        (0.52, "in about 5 of 10 cases"),
        (0.94, "in about 9 of 10 cases"),
        (1.0, "in more than 19 of 20 cases"),
    ],
)
def test_neither_never_nor_always_is_promised(likely, words):
    assert often(likely) == words


def test_what_is_missed_says_by_how_much_and_why():
    given = evidence(down=found(camber="-2"), sheet=WORDS | {"camber": "1°"}, drawer={})

    camber = aimed(given)["packs.camber", "LF"]

    assert "less than wanted" in camber.says or "more than wanted" in camber.says
    assert camber.says.endswith(
        ("the drawer comes no nearer.", "a pack cannot be less than none.", "stand against more.")
    )
