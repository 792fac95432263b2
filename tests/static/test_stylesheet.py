"""Every pair of colours that carries words reads at 7:1 or better, in the light and in the dark."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SHEET = (ROOT / "static/cornerbook.css").read_text()
THEMED = re.compile(r"--([\w-]+): var\(--light, (#\w{6})\) var\(--dark, (#\w{6})\)")
FIXED = re.compile(r"--([\w-]+): (#\w{6});")

ON_PAPER = [
    ("ink", "paper"),
    ("ink-soft", "paper"),
    ("ink", "wash"),
    ("ink-soft", "wash"),
    ("dye", "paper"),
    ("dye", "dye-wash"),
    ("ink", "dye-wash"),
    ("ink-soft", "dye-wash"),
    ("on-dye", "dye"),
    ("refuse", "paper"),
    ("refuse", "refuse-wash"),
    ("paper", "ink"),
]
ON_SIGNS = [
    ("sign-white", "danger"),
    ("sign-black", "warning"),
    ("sign-black", "caution"),
    ("sign-white", "notice"),
]


def colours(theme: int) -> dict[str, str]:
    themed = {name: values[theme] for name, *values in THEMED.findall(SHEET)}
    return dict(FIXED.findall(SHEET)) | themed


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 glossary."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize(("words", "ground"), ON_PAPER + ON_SIGNS)
def test_words_stand_out_from_their_ground(theme: int, words: str, ground: str) -> None:
    known = colours(theme)

    assert contrast(known[words], known[ground]) >= 7


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
def test_a_ghost_can_still_be_seen(theme: int) -> None:
    known = colours(theme)

    assert contrast(known["rule"], known["paper"]) >= 3


def test_contrast_is_reckoned_as_the_standard_does() -> None:
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(
        4.48, abs=0.005
    )  # the usual example just below 4.5
