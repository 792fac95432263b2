"""Ride height: as found, by the sheet, or where another spring puts the car."""

import pytest

from tests.shop.bench_top import INCH_m, aimed, evidence
from tests.shop.test_realign import SPRINGS, WORDS

HEIGHT = ("ride-height", "LF")


def aim(**given):
    return aimed(evidence(down={HEIGHT: "14 1/4 in"}, **given))[HEIGHT]


def test_on_its_own_spring_the_car_stands_as_found():
    assert aim().answer.value == pytest.approx(14.25 * INCH_m)


def test_another_spring_is_told_at_the_wheel_even_when_nobody_read_its_angles():
    lifted = aim(sheet=WORDS | SPRINGS, renewed=("spring",))

    assert "higher than found, by the new spring" in lifted.says
    assert lifted.answer.value > 14.25 * INCH_m + 0.5 * INCH_m  # a half inch of spring is more at the wheel
    assert lifted.answer.uncertainty > 0.1 * INCH_m


@pytest.mark.parametrize(
    ("sheet", "missing"),
    [
        (WORDS, ("spring.rate", "spring.free-length", "new-spring.rate", "new-spring.free-length")),
        (SPRINGS, ()),
    ],
    ids=["no springs on the sheet", "no corner"],
)
def test_a_height_that_cannot_be_told_is_not_called_as_found(sheet, missing):
    unknown = aim(sheet=sheet, renewed=("spring",))

    assert unknown.answer is None
    assert "how high the car will stand on it is not known" in unknown.says
    assert unknown.missing == missing
