"""What stands on a drawing: figures, fasteners in order, the scale bar."""

import re
from itertools import pairwise

import numpy as np
import pytest

from server.compute.answer import Known
from server.compute.constants import INCH_m
from server.compute.corner import Hand
from server.compute.dimension import LONG
from server.compute.layout import ShaftAt, Steer, long
from server.compute.linkage import at_arm
from server.compute.refusal import Refused
from server.compute.vector import point
from server.procedure.load import front_ends
from server.web.drawing import Drawing, drawn
from server.web.placed import Fit
from server.web.projection import WIDTH, Projection
from tests.web.cars import pose

SAID = {
    "tie-rod": "12 5/8 in",
    "spring": "≈ 10 in",
    "pack.front": "1/8 in",
    "pack.rear": "3/16 in",
    "camber": "-0.5°",
    "caster": "3°",
    "inclination": "9.1°",
    "scrub": "≈ 1 1/2 in",
}


def draw(hand: Hand = Hand.LEFT, steer: Steer = Steer.BEHIND, **more) -> Drawing:
    return drawn(pose(hand, steer), Fit(), **{"said": SAID} | more)


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("steer", Steer)
def test_every_figure_stands_on_the_paper(hand: Hand, steer: Steer) -> None:
    drawing = draw(hand, steer)

    words = " ".join(one.text for one in drawing.labels)
    assert all(figure in words for figure in SAID.values())
    for one in drawing.labels:
        assert 0 <= one.at.real <= WIDTH, one
        assert 10 <= one.at.imag <= drawing.height, one


def test_a_figure_that_nobody_knows_is_not_drawn() -> None:
    words = [one.text for one in draw(said={}).labels]

    assert words == ["from the front", "from above, front down", "4 in"]


@pytest.mark.parametrize(
    ("system", "length_m", "words"), [("inch", 4 * float(INCH_m), "4 in"), ("metric", 0.1, "100 mm")]
)
def test_the_scale_bar_is_as_long_as_it_says(system, length_m: float, words: str) -> None:
    drawing = draw(said={}, system=system)

    first, last = (float(re.findall(r"M([\d.]+)", drawing.thin)[i]) for i in (0, 2))
    assert last - first == pytest.approx(length_m * Projection.of(pose()).scale, abs=0.11)
    assert drawing.labels[-1].text == words


def test_the_tie_rod_is_measured_between_its_stud_centres() -> None:
    stands = pose()
    on = Projection.of(stands)

    start = re.search(r"M([\d.]+) [\d.]+l(-?[\d.]+)", drawn(stands, Fit(), said={"tie-rod": "x"}).thin)
    assert start is not None
    inner, outer = on.plan(stands.tie_inner).real, on.plan(stands.tie_outer).real
    assert [float(one) for one in start.groups()] == pytest.approx([inner, outer - inner], abs=0.11)


def test_the_scrub_lies_between_the_axis_foot_and_the_contact() -> None:
    stands = pose()
    scale = Projection.of(stands).scale

    path = drawn(stands, Fit(), said={"scrub": "x"}).thin
    start = re.match(r"M[\d.]+ [\d.]+l(-?[\d.]+) ?0", path)
    assert start is not None
    assert float(start[1]) == pytest.approx(float(stands.scrub_m) * scale, abs=0.6)


@pytest.mark.parametrize("front_end", front_ends().values(), ids=lambda one: one.id)
@pytest.mark.parametrize("hand", Hand)
def test_every_fastener_of_the_library_has_a_place_on_the_paper(front_end, hand: Hand) -> None:
    for fastener in front_end.fasteners:
        drawing = draw(hand, dots=(fastener.id,))

        assert drawing.dots, fastener.id
        for dot in drawing.dots:
            assert 10 < dot.at.real < WIDTH - 10
            assert 10 < dot.at.imag < drawing.height - 10


def test_dots_are_numbered_through_in_the_order_of_tightening() -> None:
    dots = draw(dots=("shock-top-nut", "shock-bottom-bolt")).dots

    assert [(one.number, one.fastener) for one in dots] == [
        (1, "shock-top-nut"),
        (2, "shock-bottom-bolt"),
        (3, "shock-bottom-bolt"),
    ]


def test_dots_of_one_fastener_do_not_cover_each_other() -> None:
    for front_end in front_ends().values():
        for fastener in front_end.fasteners:
            spots = sorted(
                (one.at for one in draw(dots=(fastener.id,)).dots), key=lambda at: (at.real, at.imag)
            )
            assert all(abs(one - other) > 20 for one, other in pairwise(spots)), fastener.id


def test_a_group_in_a_circle_has_its_ring_and_others_have_none() -> None:
    assert draw(dots=("wheel-nut",)).ring is not None
    assert draw(dots=("link-nut",)).ring is None


@pytest.mark.parametrize("shaft_at", ShaftAt)
def test_the_frame_bears_on_either_side_of_the_shaft(shaft_at: ShaftAt) -> None:
    drawing = drawn(pose(), Fit(shaft_at), said={})

    assert drawing.frame.count("z") == 7


def test_the_place_is_told_by_the_side() -> None:
    assert [draw(hand).place for hand in (Hand.LEFT, Hand.RIGHT)] == ["LF", "RF"]


def test_no_scrub_is_said_without_a_dimension_line() -> None:
    stands = pose()
    axis = stands.upper_ball - stands.lower_ball
    foot = stands.lower_ball - axis * (stands.lower_ball[2] / axis[2])
    straight = at_arm(stands.corner.with_points({"spin": np.array((0.0, 1.0, 0.0))}))
    middle = point(float(straight.wheel_centre[0]), float(foot[1]), float(straight.wheel_centre[2]))
    over_the_axis = at_arm(straight.corner.with_points({"wheel_centre": middle}))
    assert float(over_the_axis.scrub_m) == pytest.approx(0, abs=1e-9)

    drawing = drawn(over_the_axis, Fit(), said={"scrub": "0 in"})

    assert "scrub 0 in" in [one.text for one in drawing.labels]
    assert drawing.thin == drawn(over_the_axis, Fit(), said={}).thin


def test_whatever_corner_the_linkage_takes_can_be_drawn() -> None:
    """Hard points as somebody might mistype them: on a coarse grid, so that some fall together."""
    random = np.random.default_rng(7)
    taken = 0
    for _ in range(120):
        points = {key: Known(float(random.integers(1, 12)) / 12, 0.001) for key in (one.key for one in LONG)}
        try:
            stands = at_arm(long(points).corner(Hand.RIGHT))
        except Refused:
            continue
        if not stands.fault:
            taken += 1
            assert not re.search("nan|inf", str(drawn(stands, Fit(), said=SAID)))
    assert taken > 20
