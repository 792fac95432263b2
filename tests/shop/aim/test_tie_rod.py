"""The tie rod's length, corrected for packs, height and joint."""

import pytest

from tests.shop.bench_top import INCH_m, aimed, evidence
from tests.shop.test_realign import DRAWER, TAPE, WANTED, WORDS, found

ROD = ("tie-rod.length", "LF")
DOWN = found() | {ROD: "13 in"}


def test_packs_that_change_want_another_length_to_keep_the_toe():
    aim = aimed(evidence(down=DOWN, sheet=WORDS | WANTED, drawer=DRAWER))[ROD]

    assert "than the old to keep the toe with the packs" in aim.says
    assert aim.answer.value != pytest.approx(13 * INCH_m, abs=1e-5)
    assert aim.answer.value == pytest.approx(13 * INCH_m, abs=3e-3)


def test_a_toe_that_was_measured_is_set_to_the_sheet():
    """Behind the axle a longer rod is toe-in (F8)."""
    kept = aimed(evidence(down=DOWN, sheet=WORDS | WANTED, drawer=DRAWER))[ROD]
    set_in = aimed(evidence(down=DOWN | TAPE, sheet=WORDS | WANTED, drawer=DRAWER))[ROD]

    assert "for the packs and the toe" in set_in.says
    assert set_in.answer.value > kept.answer.value


def test_a_new_joint_that_sits_higher_is_allowed_for_only_when_one_goes_in():
    sheet = WORDS | {"new-tie-rod.rise": "3/8 in"}

    renewed = aimed(evidence(down=DOWN, sheet=sheet, renewed=("tie-rod",)))[ROD]
    kept = aimed(evidence(down=DOWN, sheet=sheet))[ROD]

    assert "for the new joint's height" in renewed.says
    assert renewed.answer.value != pytest.approx(kept.answer.value, abs=1e-5)
    assert kept.says.endswith("as the old assembly was.")
    assert "new-tie-rod.rise" in {one.key for one in renewed.specs}


def test_the_sleeve_turns_to_the_corrected_length():
    sheet = WORDS | WANTED | {"tie-rod.pitch": "1.411 mm"}
    given = evidence(down=DOWN, later={("tie-rod.lies-at", "LF"): "13 in"}, sheet=sheet, drawer=DRAWER)

    aims = aimed(given)

    turns, length = aims["tie-rod.turns", "LF"].answer.value, aims[ROD].answer.value
    assert turns == pytest.approx((length - 13 * INCH_m) / (2 * 1.411e-3))
