"""The drawing to scale: what it highlights, what it says, how heavy it is."""

import re
from xml.parsers.expat import ParserCreate

import pytest
from jinja2 import Environment

from server.compute.corner import Hand
from server.procedure.load import front_ends
from server.web.drawing import drawn
from server.web.placed import Fit
from tests.web.cars import pose

FRONT_END = front_ends()["coil-on-lower-arm"]
SAID = {"tie-rod": "12 5/8 in", "pack.front": "1/8 in", "camber": "-0.5°", "scrub": "≈ 1 1/2 in"}
MOST_BYTES = 9_000


def draw(environment: Environment, *, hand: Hand = Hand.LEFT, in_hand=(), off=(), dots=(), guessed="") -> str:
    fit = Fit(front_pack_m=0.0032, rear_pack_m=0.0064)
    drawing = drawn(pose(hand), fit, said=SAID, dots=tuple(dots), guessed=guessed)
    template = environment.get_template("drawing/to_scale.svg.html")
    return template.render(drawing=drawing, in_hand=list(in_hand), off=frozenset(off))


def elements_of(text: str) -> list[tuple[str, dict[str, str]]]:
    """Names and attributes; raises for a drawing that is not well formed."""
    found: list[tuple[str, dict[str, str]]] = []
    parser = ParserCreate()
    parser.StartElementHandler = lambda name, given: found.append((name, given))
    parser.Parse(text[: text.index("</svg>") + 6], True)
    return found


def class_of(drawing: str, part: str) -> str:
    found = re.search(rf'class="part([^"]*)" data-part="{re.escape(part)}"', drawing)
    assert found, part
    return found[1].strip()


@pytest.mark.parametrize("part", [one.id for one in FRONT_END.parts])
def test_each_part_can_be_in_hand_or_off_or_fitted(environment: Environment, part: str) -> None:
    assert class_of(draw(environment, in_hand=[part], off=[part]), part) == "is-in-hand"
    assert class_of(draw(environment, off=[part]), part) == "is-off"
    assert class_of(draw(environment), part) == ""


def test_what_is_in_hand_lies_on_top(environment: Environment) -> None:
    order = re.findall(r'data-part="([^"]+)"', draw(environment, in_hand=("bar",), off=("wheel",)))

    assert (order[0], order[-1]) == ("wheel", "bar")


def test_the_compressor_is_drawn_only_when_it_is_on(environment: Environment) -> None:
    assert 'data-part="compressor"' not in draw(environment, in_hand=("spring",))
    assert 'data-part="compressor"' in draw(environment, in_hand=("spring", "compressor"))


def test_dots_are_numbered_through(environment: Environment) -> None:
    drawing = draw(environment, dots=("shock-top-nut", "shock-bottom-bolt"))

    assert re.findall(r'data-fastener="([^"]+)".*?<text[^>]*>(\d+)', drawing) == [
        ("shock-top-nut", "1"),
        ("shock-bottom-bolt", "2"),
        ("shock-bottom-bolt", "3"),
    ]


def test_it_says_in_words_what_it_shows(environment: Environment) -> None:
    drawing = draw(environment, hand=Hand.RIGHT, in_hand=("upper-arm",), off=("wheel", "caliper"))

    assert '<title id="drawing-RF-title">Right front corner, to scale</title>' in drawing
    said = re.search(r"<desc[^>]*>(.*?)</desc>", drawing, re.DOTALL)
    assert said is not None
    assert " ".join(said[1].split()) == (
        "In hand: upper arm. Off the car: caliper, wheel. Tie rod 12 5/8 in. Pack front 1/8 in. "
        "Camber -0.5°. Scrub ≈ 1 1/2 in."
    )


def test_it_says_what_is_guessed(environment: Environment) -> None:
    assert '<p class="drawing__guessed">Guessed: all.</p>' in draw(environment, guessed="Guessed: all.")
    assert "drawing__guessed" not in draw(environment)


@pytest.mark.parametrize("hand", Hand)
def test_it_is_well_formed_and_keeps_to_the_policy(environment: Environment, hand: Hand) -> None:
    elements = elements_of(draw(environment, hand=hand, in_hand=("tie-rod",), dots=("wheel-nut",)))

    assert len(elements) > 50
    assert not [name for name, given in elements if "style" in given or name in ("style", "script")]


@pytest.mark.parametrize("hand", Hand)
def test_it_is_light(environment: Environment, hand: Hand) -> None:
    drawing = draw(
        environment, hand=hand, in_hand=("spring", "compressor"), off=("wheel",), dots=("lower-joint-nut",)
    )

    assert len(drawing.encode()) < MOST_BYTES
