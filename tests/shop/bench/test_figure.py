"""Figures typed with their units and sent as plain SI: both are understood strictly."""

from math import inf, nan

import pytest

from server.compute.answer import Known
from server.shop.bench.figure import Count, Share, a_length, a_number, a_torque, an_angle
from server.shop.refusal import Refusal

REACH = a_length(name="reach", label="Reach", example="4 in")
OFFSET = a_length(name="offset", label="Offset", example="1 mm", signed=True, needed=False)
COUNT = Count(name="count", label="Count", most=40, example="5")
SHARE = Share(name="accuracy", label="Accuracy", example="4")


def test_a_bare_figure_is_meant_in_the_shops_units() -> None:
    assert REACH.read("4", "inch").value.value == pytest.approx(0.1016)
    assert REACH.read("4", "metric").value.value == pytest.approx(0.004)
    assert (REACH.unit("inch"), REACH.unit("metric")) == ("in", "mm")


def test_what_was_typed_comes_back_as_it_was_read() -> None:
    assert REACH.read("12 5/8", "inch").echo == "12 5/8 in = 320.675 mm"


def test_a_comma_that_could_mark_thousands_is_doubted() -> None:
    assert "decimal comma" in REACH.read("1,234 mm", "metric").doubt


@pytest.mark.parametrize(
    "text", ["", "   ", "abc", "-4 in", "0", "4 Nm", "nan", "1e309", "1_000", "9" * 400, "½ ½"]
)
def test_what_cannot_be_read_is_refused_beside_the_field(text: str) -> None:
    with pytest.raises(Refusal) as refused:
        REACH.read(text, "inch")

    assert refused.value.field == "reach"
    assert refused.value.sentence.endswith(".")


def test_a_figure_beyond_any_workshop_is_refused() -> None:
    with pytest.raises(Refusal, match="is taken here"):
        REACH.read("101 m", "metric")


def test_a_signed_field_takes_a_minus_and_zero() -> None:
    assert OFFSET.read("-2 mm", "metric").value.value == -0.002
    assert OFFSET.read("0", "metric").value.value == 0


def test_an_empty_field_that_is_not_needed_has_no_value() -> None:
    assert OFFSET.read(" ", "inch").value is None
    assert OFFSET.take({}) is None


def test_units_end_the_names_that_programs_use() -> None:
    torque = a_torque(name="torque", label="Torque", example="95 lbf·ft")
    angle = an_angle(name="angle", label="Angle", example="5°")
    plain = a_number(name="ratio", label="Ratio", example="0.5")

    assert [one.key for one in (REACH, torque, angle, plain)] == [
        "reach_m",
        "torque_Nm",
        "angle_rad",
        "ratio",
    ]


def test_a_program_may_say_how_far_off_a_figure_is() -> None:
    assert REACH.take({"reach_m": 0.1, "reach_m_uncertainty": 0.001}) == Known(0.1, 0.001)
    assert REACH.take({"reach_m": 1}) == Known(1.0, 0.0)


@pytest.mark.parametrize(
    "sent", [True, None, "0.1", [0.1], {"v": 0.1}, nan, inf, -inf, 0, -0.1, 1e300, 2**63, 10**400]
)
def test_what_is_no_plain_number_is_refused_by_its_own_name(sent: object) -> None:
    with pytest.raises(Refusal) as refused:
        REACH.take({"reach_m": sent})

    assert refused.value.field == "reach_m"


@pytest.mark.parametrize("off", [-0.001, 0.1, 0.2, "0", False, nan])
def test_an_uncertainty_is_below_the_figure_itself(off: object) -> None:
    with pytest.raises(Refusal) as refused:
        REACH.take({"reach_m": 0.1, "reach_m_uncertainty": off})

    assert refused.value.field == "reach_m_uncertainty"


def test_a_needed_field_that_was_not_sent_is_asked_for() -> None:
    with pytest.raises(Refusal, match="reach_m is needed"):
        REACH.take({})


@pytest.mark.parametrize("text", ["4", "4 %", "4%", "4.0 %"])
def test_a_share_is_typed_in_percent(text: str) -> None:
    assert SHARE.read(text, "inch").value == pytest.approx(0.04)


@pytest.mark.parametrize("text", ["0", "60", "4 mm", "-4", "%"])
def test_a_share_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(Refusal):
        SHARE.read(text, "inch")


@pytest.mark.parametrize("sent", [5, 5.0])
def test_a_whole_number_may_be_sent_either_way(sent: float) -> None:
    assert COUNT.take({"count": sent}) == 5


@pytest.mark.parametrize("sent", [True, 5.5, 0, 41, "5", nan, 2**63])
def test_a_count_that_cannot_be_is_refused(sent: object) -> None:
    with pytest.raises(Refusal):
        COUNT.take({"count": sent})


@pytest.mark.parametrize("text", ["5.5", "0", "41", "five", "5 mm"])
def test_a_typed_count_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(Refusal):
        COUNT.read(text, "inch")
