"""The plots of angles, as they are written down."""

import re
from xml.parsers.expat import ParserCreate

from jinja2 import Environment

from server.compute.linkage import Setting
from server.web.angle import Angles
from server.web.band import Mark, Row
from server.web.curve import plots
from tests.web.cars import corner
from tests.web.test_curve import SHORT_ARMS

ROW = Row("Camber", "camber", "-1°", "0°", (Mark("found", 84.0, -1, "-3°"), Mark("left", 204.0, 0, "-0.5°")))
COLUMNS = {"found": (corner(), Setting()), "target": (corner(), Setting(0.003, 0.002))}


def text(environment: Environment, plotted: Angles) -> str:
    return environment.get_template("target/_angles.html").render(plotted=plotted)


def test_each_column_has_its_curve_in_each_panel(environment: Environment) -> None:
    page = text(environment, Angles("LF", (), plots(COLUMNS, system="inch"), ""))

    assert (
        page.count('curves__line--found" d=') == page.count('curves__line--target" d=') == 4
    )  # one in the key


def test_the_curves_say_today_s_angles_in_words(environment: Environment) -> None:
    page = text(environment, Angles("LF", (), plots(COLUMNS, system="inch"), ""))

    assert "At today's ride height: camber as found -0.5°, target " in page


def test_the_bands_say_their_figures_in_words(environment: Environment) -> None:
    page = text(environment, Angles("LF", (ROW,), None, ""))

    assert "Camber: band -1° to 0°, as found -3°, as left -0.5°." in page
    assert "curves__line" in page  # the key
    assert 'class="curves"' not in page


def test_what_lies_beyond_the_row_has_an_arrow(environment: Environment) -> None:
    assert text(environment, Angles("LF", (ROW,), None, "")).count("bands__beyond") == 1


def test_an_end_of_a_curve_is_marked_and_explained(environment: Environment) -> None:
    short = plots({"found": (SHORT_ARMS, Setting())}, system="metric")
    page = text(environment, Angles("LF", (), short, ""))

    assert "curves__end" in page
    assert "no further" in page
    assert "no further" not in text(environment, Angles("LF", (), plots(COLUMNS, system="metric"), ""))


def test_the_plots_are_well_formed(environment: Environment) -> None:
    page = text(environment, Angles("RF", (ROW,), plots(COLUMNS, system="inch"), "Guessed: all."))

    for svg in re.findall(r"<svg.*?</svg>", page, re.DOTALL):
        ParserCreate().Parse(svg, True)
    assert "Guessed: all." in page
