"""A phone's browser, with its script or without, on a small site that keeps what it was sent."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.static.site import Site, running


@pytest.fixture
def site() -> Iterator[Site]:
    with running() as site:
        yield site


@pytest.fixture
def open_page(browser: Browser, site: Site) -> Iterator[Callable[..., Page]]:
    """open_page("/notes", script=False): a fresh phone there."""
    opened = []
    complaints: list[str] = []

    def open_page(path: str, *, script: bool = True) -> Page:
        context = browser.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=script)
        opened.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(site.address + path)
        return page

    yield open_page
    for context in opened:
        context.close()
    assert complaints == []
