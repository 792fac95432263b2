"""Every calculator against figures from outside, typed the way a technician types them."""

import csv
from pathlib import Path

import pytest

from server.shop.bench.calculator import Calculator
from server.shop.bench.table import CALCULATORS, by_subject, calculator
from server.shop.refusal import Missing
from tests.reference.published import values
from tests.shop.bench.fill import example_with, read_all, work_out

with Path(__file__).with_name("check.csv").open(newline="") as lines:
    CHECKS = list(csv.DictReader(lines))
NAMES = [one.name for one in CALCULATORS]


@pytest.mark.parametrize("row", CHECKS, ids=lambda row: f"{row['calculator']}-{row['source'][:30]}")
def test_a_figure_from_outside_comes_out(row: dict[str, str]) -> None:
    typed = dict(part.split(" = ", 1) for part in row["typed"].split("; "))

    result = work_out(row["calculator"], **typed)

    figures = {line.key: line.answer.value for line in result.lines}
    for key, expected in values(row["expected"]).items():
        assert figures[key] == pytest.approx(expected, rel=float(row["rel_tol"]), abs=1e-12), row["source"]


def test_every_calculator_has_such_a_figure() -> None:
    assert {row["calculator"] for row in CHECKS} == set(NAMES)


def test_no_two_share_a_name_nor_two_fields_of_one() -> None:
    assert len(set(NAMES)) == len(NAMES)
    for one in CALCULATORS:
        keys = [key for field in one.fields for key in field.keys]
        assert len(set(keys)) == len(keys), one.name


def test_each_subject_is_named_once() -> None:
    subjects = [subject for subject, _ in by_subject()]

    assert len(set(subjects)) == len(subjects)
    assert [one for _, some in by_subject() for one in some] == list(CALCULATORS)


def test_an_unknown_one_is_missing() -> None:
    with pytest.raises(Missing):
        calculator("flux-capacitor")


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_the_example_means_the_same_typed_and_sent(one: Calculator) -> None:
    sent = {key: value for field in one.fields for key, value in field.example_sent.items()}

    by_hand = one.result(read_all(one, one.example))
    by_program = one.result({field.name: field.take(sent) for field in one.fields})

    for typed, taken in zip(by_hand.lines, by_program.lines, strict=True):
        assert taken.key == typed.key
        assert taken.answer.value == pytest.approx(typed.answer.value, rel=1e-4, abs=1e-5)


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_what_may_be_left_out_can_be_left_out(one: Calculator) -> None:
    needed = {field.name: field.example for field in one.fields if field.needed}

    result = one.result(read_all(one, needed))

    assert result.lines


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_every_figure_says_how_and_where_from(one: Calculator) -> None:
    result = one.result(read_all(one, one.example))

    assert all(line.answer.formula and line.answer.source and line.name for line in result.lines)


def test_the_keys_of_a_result_end_in_their_unit() -> None:
    units = {
        "length": "_m",
        "torque": "_Nm",
        "angle": "_rad",
        "force": "_N",
        "spring rate": "_N_per_m",
        "energy": "_J",
    }
    for one in CALCULATORS:
        for line in one.result(read_all(one, one.example)).lines:
            assert line.key.endswith(units.get(line.answer.quantity, "")), (one.name, line.key)


def test_five_on_a_circle_go_round_crosswise() -> None:
    # US Army TM 10-4320-344-24 para 2.23.1, read
    assert example_with("tightening-plan", count="5").order == (1, 3, 5, 2, 4)


def test_a_single_fastener_has_no_order() -> None:
    result = example_with("tightening-plan", count="1")

    assert result.order == ()
    assert result.says == ""
