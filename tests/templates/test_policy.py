"""No template needs an exception from the content security policy."""

import re
from pathlib import Path

import pytest

TEMPLATES = Path(__file__).parents[2] / "templates"
FORBIDDEN = {
    "a style attribute": re.compile(r"<[^>]*\sstyle="),
    "a style element": re.compile(r"<style"),
    "an event attribute": re.compile(r"<[^>]*\son\w+="),
    "htmx's evaluated attributes": re.compile(r"hx-on|js:|hx-trigger=\"[^\"]*\["),
    "a script without a file": re.compile(r"<script(?![^>]*\ssrc=)"),
    "anything from elsewhere": re.compile(r"(?:src|href)=\"(?:https?:)?//"),
}


@pytest.mark.parametrize("name", FORBIDDEN)
def test_no_template_has(name: str) -> None:
    guilty = [path.name for path in TEMPLATES.rglob("*.html") if FORBIDDEN[name].search(path.read_text())]

    assert guilty == []


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("a style attribute", '<p class="a" style="x">'),
        ("an event attribute", '<p onclick="x">'),
        ("htmx's evaluated attributes", '<p hx-trigger="click[x]">'),
        ("a script without a file", "<script>"),
        ("anything from elsewhere", '<script src="//x.example/y.js">'),
    ],
)
def test_the_search_would_find(name: str, bad: str) -> None:
    assert FORBIDDEN[name].search(bad)
