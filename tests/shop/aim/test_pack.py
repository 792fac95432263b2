"""Packs by the linkage, and as found where it says nothing."""

import pytest

from tests.shop.bench_top import INCH_m, aimed, evidence
from tests.shop.test_realign import DRAWER, TAPE, WANTED, WORDS, found

FRONT = ("pack.front", "LF")


def test_with_geometry_and_readings_a_pack_is_what_camber_and_caster_call_for():
    aims = aimed(evidence(down=found() | TAPE, sheet=WORDS | WANTED, drawer=DRAWER))

    front, rear = aims[FRONT], aims["pack.rear", "LF"]
    assert "more than found, for camber and caster" in front.says
    assert front.says.startswith("Make up the front pack to ")
    assert rear.says.startswith("Make up the rear pack to ")
    assert front.answer.value > 3 / 16 * INCH_m  # inboard of its bracket more shims take camber away (F7)
    assert rear.answer.value > front.answer.value  # and a rear shim adds caster there (F3)
    assert front.answer.uncertainty > 0
    assert "Nearest: " in front.says
    assert "linkage" in front.answer.source


def test_without_geometry_it_goes_back_as_found():
    aim = aimed(evidence(down=found(), sheet=WANTED, drawer=DRAWER))[FRONT]

    assert aim.answer.value == pytest.approx(3 / 16 * INCH_m)
    assert "as found" in aim.says


def test_a_pack_made_up_already_is_not_told_which_shims_to_take():
    down = found()
    later = {FRONT: "3/8 in"}

    aim = aimed(evidence(down=down, later=later, sheet=WORDS | WANTED, drawer=DRAWER))[FRONT]

    assert "Nearest" not in aim.says
    assert aim.drawer == ()


def test_a_drawer_that_changes_does_not_move_the_figure():
    sheet = WORDS | WANTED
    rich, poor = (
        aimed(evidence(down=found(), sheet=sheet, drawer=drawer))[FRONT]
        for drawer in (DRAWER, {"1/64 in": 9, "1/32 in": 9, "1/16 in": 9, "1/8 in": 4})
    )
    assert rich.answer.value == poor.answer.value


def test_less_than_no_shims_is_none_at_all():
    given = evidence(
        down=found(camber="-2") | {FRONT: "0 in", ("pack.rear", "LF"): "0 in"},
        sheet=WORDS | WANTED,
        drawer=DRAWER,
    )

    assert aimed(given)[FRONT].answer.value == pytest.approx(0.0, abs=1e-9)


def test_why_there_is_no_plan_is_said_beside_the_pack_that_goes_back_as_found():
    aim = aimed(evidence(down=found(), sheet=WORDS | {"caster": "60°"}, drawer=DRAWER))[FRONT]

    assert aim.answer.value == pytest.approx(3 / 16 * INCH_m)
    assert aim.says.endswith("No shims and no tie-rod length can make this corner read that.")


def test_a_pack_that_was_written_without_a_unit_is_named_with_the_one_it_was_meant_in():
    packs = {FRONT: "0.161", ("pack.rear", "LF"): "0.248"}
    given = evidence(down=found() | packs, sheet=WORDS | WANTED, drawer={"1/16 in": 4})

    aims = aimed(given)

    says = aims[FRONT].says + aims["pack.rear", "LF"].says
    assert "the pack of 0.161 in that is there" in says or "the pack of 0.248 in that is there" in says


def test_a_pack_that_stays_is_named_as_whoever_measured_it_wrote_it():
    packs = {FRONT: "4.10 mm", ("pack.rear", "LF"): "6.30 mm"}
    given = evidence(down=found() | packs, sheet=WORDS | WANTED, drawer={"1/16 in": 4})

    aims = aimed(given)

    says = aims[FRONT].says + aims["pack.rear", "LF"].says
    assert "the pack of 4.10 mm that is there, whole" in says or "the pack of 6.30 mm that is there" in says
