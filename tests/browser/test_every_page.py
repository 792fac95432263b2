"""Every page of the demo: no violation of WCAG, no sideways scroll, light enough."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from sqlmodel import col, select

import seed_demo
from server.app import create_app
from server.settings import Settings
from server.shop import sign_in
from server.shop.guess import Sender
from server.store.engine import Store
from server.store.tables import Job, Person, Step, Tag
from server.web import cookie
from tests.browser.conftest import DESKTOP, Live, serving

pytestmark = pytest.mark.browser

RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],
}
TALL_PHONE = {"viewport": {"width": 360, "height": 12000}, "is_mobile": True, "has_touch": True}
NARROWEST = {"viewport": {"width": 320, "height": 640}, "is_mobile": True, "has_touch": True}
HEAVIEST_page_bytes = 50_000


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    data = tmp_path_factory.mktemp("demo") / "data"
    with Store(data) as store:
        settings = Settings(data=data, pin_passes=1, pin_memory_KiB=8)
        app = create_app(settings, store)
        seed_demo.seed(store, app.state.photos, settings, datetime.now(UTC))
        with serving(app) as live:
            yield live


@pytest.fixture(scope="module")
def pages(demo: Live) -> list[str]:
    """Every page, with a step of every operation each way, and those that somebody has in hand."""
    with demo.app.state.store.reading() as db:
        jobs = list(db.exec(select(Job).order_by(col(Job.id))))
        steps = list(db.exec(select(Step).order_by(col(Step.id))))
        code = db.exec(select(Tag.code)).first()
    begun = [step for step in steps if step.state in ("in hand", "on hold")]
    kinds = {(step.operation, step.direction): f"/steps/{step.id}" for step in (*steps, *begun)}
    of_job = [
        f"/jobs/{job.id}{page}"
        for job in (jobs[0], jobs[-1])
        for page in ("", "/tags", "/targets", "/release", "/handover")
    ]
    vehicle = f"/vehicles/{jobs[0].vehicle_id}/spec"
    corners = [f"/vehicles/{jobs[1].vehicle_id}/corner", f"/vehicles/{jobs[2].vehicle_id}/points"]
    angles = [f"/jobs/{jobs[0].id}/alignment", f"/jobs/{jobs[1].id}/alignment"]
    what_if = f"/jobs/{jobs[1].id}/what-if?lift=3%2F4+in"
    fixed = ["/", "/jobs/new", "/shims", "/people", "/people/1", "/bays", "/me", "/bench", f"/tags/{code}"]
    return [
        *fixed,
        "/bench/spring-held",
        vehicle,
        f"{vehicle}/camber",
        *corners,
        *angles,
        what_if,
        f"{corners[0]}/corner.steer",
        *of_job,
        *kinds.values(),
    ]


@pytest.fixture
def signed_in(demo: Live):
    """A cookie for the foreman."""
    with demo.app.state.store.writing() as db:
        foreman = db.exec(select(Person).where(Person.role == "foreman")).first()
        ticket = sign_in.open_session(db, foreman, sender=Sender("127.0.0.1"), now=datetime.now(UTC))
    return {"name": cookie.SESSION, "value": ticket.token, "url": demo.address}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_breaks_a_rule_of_wcag(demo, pages, signed_in, open_phone, scheme):
    page = open_phone(**TALL_PHONE, color_scheme=scheme)
    page.context.add_cookies([signed_in])
    broken = {}
    for path in pages if scheme == "light" else pages[:40]:  # dark differs in its colours alone
        page.goto(demo.address + path)
        found = Axe().run(page, options=RULES).response["violations"]
        if found:
            broken[path] = [(one["id"], [node["html"][:120] for node in one["nodes"][:2]]) for one in found]

    assert broken == {}, broken


@pytest.mark.parametrize("size", [NARROWEST, DESKTOP], ids=["320", "desktop"])
def test_no_page_scrolls_sideways(demo, pages, signed_in, open_phone, size):
    page = open_phone(**size)
    page.context.add_cookies([signed_in])
    wide = {}
    for path in pages:
        page.goto(demo.address + path)
        over = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        if over > 0:
            wide[path] = over

    assert wide == {}


def test_targets_on_step_pages_are_large_enough_for_gloves(demo, pages, signed_in, open_phone):
    page = open_phone(**TALL_PHONE)
    page.context.add_cookies([signed_in])
    small = {}
    for path in [one for one in pages if one.startswith("/steps/")]:
        page.goto(demo.address + path)
        found = page.evaluate(
            """() => [...document.querySelectorAll(
                'main button, main summary, main input:not([type=hidden]), main .choice__box')]
                .filter(one => one.offsetParent && !one.closest('details:not([open]) > :not(summary)'))
                .map(one => [one, (one.closest('label') ?? one).getBoundingClientRect()])
                .filter(([, box]) => box.height < 63.5)
                .map(([one, box]) => `${one.outerHTML.slice(0, 90)} ${Math.round(box.height)}`)"""
        )
        if found:
            small[path] = found

    assert small == {}


@pytest.mark.parametrize(
    "kind", ["/steps/", "/vehicles/2/corner", "/vehicles/3/points", "/jobs/1/alignment", "/jobs/2/what-if"]
)
def test_the_first_load_of_a_page_stays_light(demo, pages, signed_in, open_phone, kind):
    page = open_phone(**TALL_PHONE)
    page.context.add_cookies([signed_in])
    answers = []
    page.on("response", lambda answer: "/photos/" not in answer.url and answers.append(answer))
    page.goto(demo.address + next(one for one in pages if one.startswith(kind)))
    page.wait_for_load_state("networkidle")
    received = sum(answer.request.sizes()["responseBodySize"] for answer in answers)

    assert 10_000 < received < HEAVIEST_page_bytes
