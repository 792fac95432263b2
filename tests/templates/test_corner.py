"""The drawing of a corner knows every part and every fastener of the library's front end."""

import re
from itertools import pairwise
from math import atan2

import pytest
from jinja2 import Environment

from server.procedure.load import front_ends
from server.procedure.model import FrontEnd

FRONT_END = front_ends()["coil-on-lower-arm"]


def draw(
    environment: Environment,
    *,
    place: str = "LF",
    in_hand: tuple[str, ...] = (),
    off: tuple[str, ...] = (),
    dots: tuple[str, ...] = (),
) -> str:
    template = environment.get_template("drawing/corner.svg.html")
    return template.render(place=place, in_hand=list(in_hand), off=list(off), dots=list(dots))


def class_of(drawing: str, part: str) -> str:
    found = re.search(rf'class="part([^"]*)" data-part="{re.escape(part)}"', drawing)
    assert found, part
    return found[1].strip()


@pytest.fixture(params=front_ends().values(), ids=lambda one: one.id)
def front_end(request: pytest.FixtureRequest) -> FrontEnd:
    found: FrontEnd = request.param
    return found


def test_every_part_of_the_library_is_drawn(environment: Environment, front_end: FrontEnd) -> None:
    drawing = draw(environment)

    assert {part.id for part in front_end.parts} <= set(re.findall(r'data-part="([^"]+)"', drawing))


def test_every_fastener_of_the_library_has_a_place(environment: Environment, front_end: FrontEnd) -> None:
    for fastener in front_end.fasteners:
        drawing = draw(environment, dots=(fastener.id,))

        assert f'data-fastener="{fastener.id}"' in drawing, fastener.id


@pytest.mark.parametrize(
    ("fastener", "count"), [("wheel-nut", 5), ("upper-joint-bolt", 4), ("caliper-bolt", 2)]
)
def test_a_dot_for_each_fastener_of_a_group(environment: Environment, fastener: str, count: int) -> None:
    assert next(one.count for one in FRONT_END.fasteners if one.id == fastener) == count
    assert draw(environment, dots=(fastener,)).count("data-fastener") == count


def test_dots_are_numbered_through(environment: Environment) -> None:
    drawing = draw(environment, dots=("shock-top-nut", "shock-bottom-bolt"))

    assert re.findall(r'data-fastener="([^"]+)".*?<text[^>]*>(\d+)', drawing) == [
        ("shock-top-nut", "1"),
        ("shock-bottom-bolt", "2"),
        ("shock-bottom-bolt", "3"),
    ]


def test_a_star_never_goes_to_the_neighbour(environment: Environment) -> None:
    drawing = draw(environment, dots=("wheel-nut",))

    seats = [
        (float(x), float(y))
        for x, y in re.findall(r'data-fastener="wheel-nut" transform="translate\((\S+) (\S+)\)"', drawing)
    ]
    round_the_ring = sorted(seats, key=lambda seat: angle(seat, about=(38, 70)))
    order = [round_the_ring.index(seat) for seat in seats]
    steps = [abs(one - other) % 5 for one, other in pairwise(order)]
    assert set(steps) <= {2, 3}


def angle(seat: tuple[float, float], *, about: tuple[float, float]) -> float:
    return atan2(seat[1] - about[1], seat[0] - about[0])


def test_a_part_is_in_hand_or_off_or_fitted(environment: Environment) -> None:
    drawing = draw(environment, in_hand=("caliper",), off=("wheel", "caliper"))

    assert class_of(drawing, "caliper") == "is-in-hand"
    assert class_of(drawing, "wheel") == "is-off"
    assert class_of(drawing, "knuckle") == ""


def test_what_is_in_hand_lies_on_top(environment: Environment) -> None:
    drawing = draw(environment, in_hand=("bar",), off=("wheel",))

    order = re.findall(r'data-part="([^"]+)"', drawing)
    assert order[0] == "wheel"
    assert order[-1] == "bar"


def test_the_compressor_is_drawn_only_when_it_is_on(environment: Environment) -> None:
    assert 'data-part="compressor"' not in draw(environment, in_hand=("spring",))
    assert 'data-part="compressor"' in draw(environment, in_hand=("spring", "compressor"))


def test_the_right_corner_is_mirrored_and_its_words_are_not(environment: Environment) -> None:
    left, right = (draw(environment, place=place, dots=("shock-top-nut",)) for place in ("LF", "RF"))

    assert "scale(-1 1)" not in left
    mirrored, _, words = right.rpartition("</g>\n  <text")
    assert "scale(-1 1)" in mirrored
    assert "scale(-1 1)" not in words
    assert "translate(146 76)" in left
    assert "translate(214 76)" in right


def test_it_says_in_words_what_it_shows(environment: Environment) -> None:
    drawing = draw(environment, place="RF", in_hand=("upper-arm", "pack.front"), off=("wheel",))

    assert '<title id="drawing-RF-title">Right front corner, not to scale</title>' in drawing
    assert "In hand: upper arm, pack front. Off the car: wheel." in drawing
