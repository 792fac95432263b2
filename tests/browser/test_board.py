"""What the board and the intake do by script, in a real browser, and what stays without it."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from server.shop.bay import add_bay
from server.web.visitor import utc_now
from tests.browser.conftest import Live
from tests.web.conftest import hire
from tests.web.phone import PEOPLE
from tests.web.work import open_work

pytestmark = pytest.mark.browser

Open = Callable[..., Page]
HIDE = """Object.defineProperty(document, "hidden", { get: () => window.looksAway === true });"""


@pytest.fixture
def people(live: Live):
    return hire(live.app, utc_now)


@pytest.fixture
def page(live: Live, people, open_phone: Open) -> Page:
    """A phone that Bo is signed in at, on the board."""
    page = open_phone()
    page.add_init_script(HIDE)
    sign_in(page, live)
    return page


def sign_in(page: Page, live: Live) -> None:
    page.goto(live.address + "/sign-in")
    page.fill("[name=name]", "Bo Berg")
    page.fill("[name=pin]", PEOPLE["Bo Berg"][1])
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Board")).to_be_visible()


def tick(page: Page) -> None:
    """The ten seconds have passed."""
    page.evaluate('htmx.trigger("#board", "every")')


def test_a_change_appears_by_itself(live: Live, people, page: Page) -> None:
    open_work(live.app, people, utc_now, scopes=["shocks"], plate="KX 61")

    tick(page)

    expect(page.locator(".bay__plate", has_text="KX 61")).to_be_visible()
    assert page.locator("#board").count() == 1


def test_the_board_asks_every_ten_seconds(page: Page) -> None:
    with page.expect_request(lambda request: "hx-request" in request.headers, timeout=12_000) as asked:
        pass

    assert asked.value.headers["hx-request-type"] == "partial"


def test_it_rests_while_nobody_looks_and_asks_at_once_when_somebody_does(page: Page) -> None:
    asked = []
    page.on("request", lambda request: asked.append(request.url))

    page.evaluate("window.looksAway = true")
    tick(page)
    page.wait_for_timeout(300)
    assert asked == []

    with page.expect_response(lambda response: response.ok):
        page.evaluate('window.looksAway = false; document.dispatchEvent(new Event("visibilitychange"))')
    assert len(asked) == 1


def test_the_plan_shows_itself_while_the_form_is_filled_in(live: Live, page: Page) -> None:
    page.goto(live.address + "/jobs/new")
    page.locator("[name=drive][value=LHD]").check(force=True)
    expect(page.locator("#plan")).to_contain_text("Choose what has to be reached.")

    page.locator("[name=scopes][value=shocks]").check(force=True)

    expect(page.locator("#plan summary").first).to_contain_text("Strip")


def test_without_script_a_button_shows_the_plan_and_the_form_still_takes_the_car_in(
    live: Live, people, open_phone: Open
) -> None:
    with live.app.state.store.writing() as db:
        add_bay(db, shop_id=people["Bo Berg"].shop_id, name="Bay 1")
    page = open_phone(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    sign_in(page, live)
    page.get_by_role("link", name="Take a car in").first.click()
    for name, text in (("make", "Corvane"), ("model", "Tarnlight"), ("plate", "KX 61")):
        page.fill(f"[name={name}]", text)
    page.locator("[name=drive][value=LHD]").check(force=True)
    page.locator("[name=scopes][value=shocks]").check(force=True)

    page.get_by_role("button", name="Show the plan").click()
    expect(page.locator("#plan summary").first).to_contain_text("Strip")
    page.get_by_role("button", name="Take it in").click()

    expect(page.get_by_role("heading", name="Corvane Tarnlight")).to_be_visible()
    expect(page.locator(".cells")).to_contain_text("Bay 1")
