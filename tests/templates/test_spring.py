"""The unrolled wire, as it is written down."""

import re

from jinja2 import Environment

from server.web.spring import ends_of, hooks_of, unrolled

MARKS = ("Upper hook: coil 2, 4 o'clock", "Lower hook: coil 6, 10 o'clock")


def draw(environment: Environment, *marks: str) -> str:
    spring = unrolled(hooks_of(marks), ends_of(marks))
    return environment.get_template("drawing/spring.svg.html").render(spring=spring, place="LF")


def test_every_hook_is_numbered_and_told(environment: Environment) -> None:
    drawing = draw(environment, *MARKS)

    assert drawing.count('class="coils__hook"') == 2
    assert re.findall(r'coils__number">(\d)</span> ([^<]+)', drawing) == [
        ("1", "Upper hook: coil 2, 4 o&#39;clock"),
        ("2", "Lower hook: coil 6, 10 o&#39;clock"),
    ]


def test_it_says_how_many_coils_the_hooks_have_between_them(environment: Environment) -> None:
    drawing = draw(environment, *MARKS)

    assert "4.5 coils between them." in drawing
    assert ">4.5</text>" in drawing


def test_the_wire_s_end_is_shown_where_somebody_said_it_points(environment: Environment) -> None:
    assert "bottom end" not in draw(environment, *MARKS)
    assert "coils__more" in draw(environment, *MARKS)
    ended = draw(environment, *MARKS, "Lower end: 4 o'clock")
    assert "bottom end" in ended
    assert "coils__more" not in ended
