"""Curves over travel against the linkage's own poses."""

from math import degrees, radians

import numpy as np
import pytest

from server.compute.linkage import Setting, at_travel
from server.web.curve import OUT_OF_REACH, REACH_m, axis, over_travel, plots
from tests.web.cars import READ, corner

AS_FOUND = {"found": (corner(), Setting())}
SHORT_ARMS = corner(upper_arm=0.1, ball_inset=0.04, upper_ball_height=0.43)


def test_the_curve_goes_through_what_was_read_at_today_s_height() -> None:
    read = over_travel(AS_FOUND, np.zeros(1))["found"]

    assert float(read.camber_rad[0]) == pytest.approx(READ["camber"], abs=1e-12)
    assert float(read.toe_rad[0]) == pytest.approx(READ["toe"], abs=1e-12)


def test_a_change_moves_its_own_curve_alone() -> None:
    both = AS_FOUND | {"target": (corner(), Setting(0.003, 0.003))}
    read = over_travel(both, np.array([-0.02, 0.0, 0.02]))

    assert np.all(np.abs(read["found"].camber_rad - read["target"].camber_rad) > radians(0.2))


@pytest.mark.parametrize(
    ("system", "unit", "ends"), [("inch", "in", ("-2", "2")), ("metric", "mm", ("-50", "50"))]
)
def test_travel_is_told_in_the_shop_s_unit_upwards(system, unit: str, ends: tuple[str, str]) -> None:
    drawn = plots(AS_FOUND, system=system)

    assert drawn.unit == unit
    assert (drawn.travel[0].text, drawn.travel[-1].text) == ends
    assert drawn.travel[0].at > drawn.today > drawn.travel[-1].at


def test_an_angle_that_nobody_read_has_no_curve() -> None:
    drawn = plots(AS_FOUND, {"toe", "camber"}, system="inch")

    assert [one.name for one in drawn.panels] == ["camber", "toe"]
    assert drawn.panels[0].right < drawn.panels[1].left


def test_today_s_angle_is_said_and_marked_on_its_axis() -> None:
    camber = plots(AS_FOUND, system="inch").panels[0]

    assert camber.said == {"found": "-0.5°"}
    first, last = camber.ticks[0], camber.ticks[-1]
    share = (camber.curves[0].today.real - first.at) / (last.at - first.at)
    assert float(first.text) + share * (float(last.text) - float(first.text)) == pytest.approx(-0.5)


def test_every_curve_stays_inside_its_panel() -> None:
    for panel in plots(AS_FOUND, system="inch").panels:
        assert panel.left <= panel.curves[0].today.real <= panel.right


def test_a_curve_that_reaches_everywhere_has_no_marked_end() -> None:
    assert not any(curve.ends for panel in plots(AS_FOUND, system="inch").panels for curve in panel.curves)


def test_a_curve_ends_with_a_mark_where_no_pose_answers() -> None:
    reach = at_travel(SHORT_ARMS, np.linspace(-REACH_m, REACH_m, 121)).readings.camber_rad
    assert np.isnan(reach).any()
    assert not np.isnan(reach[60])

    curve = plots({"found": (SHORT_ARMS, Setting())}, system="inch").panels[0].curves[0]

    assert len(curve.ends) == int(np.isnan(reach[0])) + int(np.isnan(reach[-1]))
    assert "nan" not in curve.path


def test_a_change_out_of_reach_is_said_not_drawn() -> None:
    camber = plots(AS_FOUND | {"target": (corner(), Setting(0.5, 0.5))}, system="inch").panels[0]

    assert camber.said["target"] == OUT_OF_REACH
    assert [one.column for one in camber.curves] == ["found"]


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [(-2.7, 0.1, (-3, 1, 1)), (-5.4, 1.0, (-6, 2, 2)), (0.11, 0.13, (-0.2, 0.4, 0.2)), (1.0, 1.0, None)],
)
def test_an_axis_has_round_ends_and_few_steps(low: float, high: float, expected) -> None:
    first, last, step = axis(low, high)

    assert first <= low
    assert high <= last
    assert 2 <= round((last - first) / step) <= 6
    if expected:
        assert (first, last, step) == pytest.approx(expected)


def test_the_drawn_curve_is_the_linkage_s() -> None:
    """The first spot of the path, read back through the axis."""
    panel = plots(AS_FOUND, system="inch").panels[0]
    x = float(panel.curves[0].path[1:].split(" ")[0].split("l")[0])
    first, last = panel.ticks[0], panel.ticks[-1]
    angle = float(first.text) + (x - first.at) / (last.at - first.at) * (float(last.text) - float(first.text))

    assert angle == pytest.approx(degrees(float(at_travel(corner(), -REACH_m).readings.camber_rad)), abs=0.01)
