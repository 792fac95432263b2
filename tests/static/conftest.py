"""A phone's browser, with its script or without, on a small site that keeps what it was sent."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.need import need
from tests.static.site import Site, running

OPTIONS = ("--no-sandbox", "--disable-gpu", "--disable-background-networking")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=need("chromium"), args=OPTIONS)
        yield started
        started.close()


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
