"""Outlines against spots that were worked out by hand."""

import re

import pytest

from server.web.outline import circle, coils, fork, line, number, strip, tapered


def spots(path: str) -> list[complex]:
    """Every spot of a path of straight lines."""
    found: list[complex] = []
    for piece in re.findall(r"[Ml][^Mlz]*", path):
        x, y = (float(one) for one in re.findall(r"-?[\d.]+", piece))
        found.append(complex(x, y) + (found[-1] if piece[0] == "l" else 0))
    return found


@pytest.mark.parametrize(("length", "text"), [(12.34, "12.3"), (12.0, "12"), (-0.04, "0"), (-3.06, "-3.1")])
def test_a_length_is_written_as_short_as_it_can_be(length: float, text: str) -> None:
    assert number(length) == text


def test_rounding_does_not_add_up_along_a_line() -> None:
    far = [complex(0.26 * i, 0.14 * i) for i in range(101)]

    assert spots(line(*far))[-1] == pytest.approx(26 + 14j, abs=0.06)


def test_a_strip_is_as_wide_as_it_is_said_to_be() -> None:
    assert spots(strip(0j, 10 + 0j, 4)) == [2j, 10 + 2j, 10 - 2j, -2j]


def test_a_circle_is_two_arcs_of_its_radius() -> None:
    assert circle(10 + 20j, 5) == "M5 20a5 5 0 1 0 10 0a5 5 0 1 0-10 0z"


def test_an_arm_tapers_from_one_end_to_the_other() -> None:
    assert tapered(0j, 100 + 0j, 20, 10) == "M0 10l100-5A5 5 0 0 0 100 -5L0 -10A10 10 0 0 0 0 10z"


def test_the_legs_of_a_fork_meet_on_the_line_through_the_ball_joint() -> None:
    outline = spots(fork(-50 + 40j, -50 - 40j, 50 + 0j, 10, 12))

    crotch = outline[5]
    assert crotch.imag == pytest.approx(0, abs=0.06)
    assert crotch.real < 50 - 5


def test_a_fork_is_the_same_whichever_leg_is_named_first() -> None:
    one, other = (spots(fork(*legs, 50 + 0j, 10, 12)) for legs in ((-40j, 40j), (40j, -40j)))

    assert sorted(map(str, one)) == sorted(map(str, (spot.conjugate() for spot in other)))


def test_legs_one_above_the_other_are_still_an_outline() -> None:
    assert len(spots(fork(-50 + 0j, -50 + 0j, 50 + 0j, 10, 12))) == 7


def test_a_strip_without_length_is_still_an_outline() -> None:
    assert spots(strip(5 + 5j, 5 + 5j, 4)) == [5 + 7j, 5 + 7j, 5 + 3j, 5 + 3j]


def test_a_spring_has_as_many_coils_in_front_as_turns() -> None:
    front, behind = coils(100j, 0j, 40, 6)

    assert front.count("M") == behind.count("M") == 6
    assert {abs(one.real) for one in spots(front)} == {20}
