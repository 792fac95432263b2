"""The pages full of hostile strings in a real browser: no dialog, no request elsewhere, no complaint."""

from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page

from tests.promise import places
from tests.promise.conftest import Prepared
from tests.promise.hostile import all_thirty, plant
from tests.promise.sender import Sender
from tests.promise.starter import Starter

pytestmark = pytest.mark.browser


@pytest.fixture
def visit(data: Path, prepared: Prepared, starter: Starter, browser: Browser) -> Callable[..., list[str]]:
    """Visits every page of a shop made of hostile strings; what happened that should not have."""
    server = starter.start(data)
    sender = Sender(prepared.garage, prepared.session, server.address, data)
    places.fill(data, prepared.garage, sender)
    sender.client.close()
    server.kill()
    plant(data, all_thirty)

    def visit(*, escape: bool = True, most: int = 100) -> list[str]:
        server = starter.start(data, no_escape=not escape)
        happened: list[str] = []
        with browser.new_context(base_url=server.address) as context:
            context.add_cookies(
                [
                    {"name": name, "value": value, "url": server.address}
                    for name, value in prepared.session.cookies.items()
                ]
            )
            page = context.new_page()
            watch(page, server.address, happened)
            for path in places.addresses(data, prepared.garage)[:most]:
                page.goto(path, wait_until="load")
                page.wait_for_timeout(50)
        server.kill()
        return happened

    return visit


def watch(page: Page, address: str, happened: list[str]) -> None:
    """Note every dialog, complaint of the browser, and request that a page of ours would not make."""

    def requested(method: str, url: str) -> None:
        is_ours = urlsplit(url).netloc == urlsplit(address).netloc or url.startswith(("data:", "blob:"))
        if not is_ours or method != "GET":
            happened.append(f"{method} {url}")

    page.on("request", lambda request: requested(request.method, request.url))
    page.on("dialog", lambda dialog: (happened.append(f"dialog {dialog.message}"), dialog.dismiss()))
    page.on("pageerror", lambda error: happened.append(f"error {error}"))
    page.on("console", lambda said: happened.append(f"console {said.text}") if said.type == "error" else None)


def test_no_page_does_anything_that_a_text_tells_it_to(visit: Callable[..., list[str]]) -> None:
    assert visit() == []


def test_control_a_page_that_does_not_escape_is_found_out(visit: Callable[..., list[str]]) -> None:
    assert visit(escape=False, most=4) != []
