"""A reading that the packs which are in do not explain."""

from math import radians

import pytest

from server.shop.odd_reading import odd_readings
from server.store.tables import Target
from tests.shop.bench_top import INCH_m, evidence

PLANNED = {"pack.front": INCH_m / 4, "pack.rear": INCH_m / 2}
EXPECTED = {"packs.camber": radians(-0.5), "packs.caster": radians(1.5)}
AS_PLANNED = {("pack.front", "LF"): "1/4 in", ("pack.rear", "LF"): "1/2 in"}
AS_EXPECTED = {("camber", "LF"): "-0.3°", ("caster", "LF"): "1°"}


def odd(read, packs=AS_PLANNED, expected=EXPECTED):
    targets = {
        (key, "LF"): Target(job_id=1, key=key, place="LF", value=value, uncertainty=radians(0.1), says="")
        for key, value in (PLANNED | expected).items()
    }
    return list(odd_readings(evidence(later=packs | read), targets, "LF"))


def test_what_reads_about_as_expected_is_not_doubted():
    assert odd(AS_EXPECTED) == []


@pytest.mark.parametrize(
    ("read", "says"),
    [
        ({("camber", "LF"): "2.5°"}, "Camber reads 2.5°; with these packs -0.5° ± 0.1° was to be expected."),
        ({("caster", "LF"): "-1°"}, "Caster reads -1°; with these packs 1.5° ± 0.1° was to be expected."),
    ],
)
def test_what_reads_far_off_is_read_again_before_a_pack_is_touched(read, says):
    (sentence,) = odd(AS_EXPECTED | read)

    assert sentence.startswith(says)
    assert "Read it again before a pack is touched." in sentence


def test_other_packs_than_those_planned_are_expected_to_read_otherwise():
    assert odd({("camber", "LF"): "2.5°"}, packs=AS_PLANNED | {("pack.rear", "LF"): "1/4 in"}) == []


def test_where_nothing_was_expected_nothing_is_odd():
    assert odd({("camber", "LF"): "2.5°"}, expected={}) == []
