from datetime import UTC, datetime, timedelta
from typing import Annotated

import pytest
from fastapi import Depends, FastAPI, Request
from fastapi.responses import PlainTextResponse, Response

from server.store.tables import Tag, TorqueRecord
from server.web.form import Fields, fields
from server.web.page import dom_id, new_client_id, own_path, saved, templates
from server.web.visitor import Signed
from tests.web.phone import PARTIAL, Phone

NOW = datetime(2026, 11, 25, 14, 0, tzinfo=UTC)
FULL = {"HX-Request": "true", "HX-Request-Type": "full"}


@pytest.fixture
def probe(app: FastAPI) -> None:
    @app.post("/saved")
    def save(
        request: Request, visitor: Signed, form: Annotated[Fields, Depends(fields("with_fragment"))]
    ) -> Response:
        fragment = (lambda: PlainTextResponse("the part")) if form["with_fragment"] else None
        return saved(request, "/steps/3", fragment)


@pytest.mark.usefixtures("probe")
class TestAfterAWrite:
    def test_a_browser_is_sent_on_to_the_result(self, bo: Phone) -> None:
        answer = bo.fill_in("/saved", with_fragment="yes")

        assert (answer.status_code, answer.headers["location"]) == (303, "/steps/3")

    def test_htmx_gets_the_part_it_asked_for(self, bo: Phone) -> None:
        answer = bo.fill_in("/saved", with_fragment="yes", headers=PARTIAL)

        assert (answer.status_code, answer.text) == (200, "the part")

    def test_htmx_loads_the_page_where_there_is_no_part(self, bo: Phone) -> None:
        answer = bo.fill_in("/saved", headers=PARTIAL)

        assert (answer.status_code, answer.headers["hx-redirect"]) == (204, "/steps/3")

    @pytest.mark.parametrize("headers", [FULL, PARTIAL | {"HX-History-Restore-Request": "true"}])
    def test_htmx_asking_for_a_page_never_gets_a_part(self, bo: Phone, headers: dict[str, str]) -> None:
        answer = bo.fill_in("/saved", with_fragment="yes", headers=headers)

        assert answer.headers["hx-redirect"] == "/steps/3"


@pytest.mark.parametrize("path", ["/", "/jobs/3?corner=LF", "/people/1", "/a%20b"])
def test_a_path_of_ours_is_gone_on_to(path: str) -> None:
    assert own_path(path) == path


@pytest.mark.parametrize(
    "path",
    [
        *(
            "",
            "//evil.example",
            "/\\evil.example",
            "\\\\evil.example",
            "javascript:alert(1)",
            "http://evil.example",
        ),
        *(
            "evil.example",
            " /x",
            "/x\r\nSet-Cookie: a=b",
            "/\t/evil.example",
            "/é",
            "/<script>",
            "/" + "x" * 500,
        ),
        "///evil.example",
    ],
)
def test_a_path_that_may_lead_elsewhere_leads_to_the_board(path: str) -> None:
    assert own_path(path) == "/"


def test_the_id_of_an_element_is_noun_number_part() -> None:
    assert dom_id(Tag(id=7), "shelf") == "tag-7-shelf"
    assert dom_id(TorqueRecord(id=12)) == "torque-record-12"


def test_what_was_never_stored_has_no_element() -> None:
    with pytest.raises(ValueError, match="never stored"):
        dom_id(Tag())


def test_ids_for_writes_are_never_the_same() -> None:
    assert len({new_client_id() for _ in range(1000)}) == 1000


@pytest.mark.parametrize(
    ("ago", "said"),
    [
        (timedelta(seconds=-90), "0 min"),
        (timedelta(seconds=59), "0 min"),
        (timedelta(minutes=34), "34 min"),
        (timedelta(minutes=130), "2 h 10 min"),
        (timedelta(hours=3), "3 h"),
        (timedelta(hours=30), "30 h"),
        (timedelta(days=3), "3 d"),
    ],
)
def test_an_age_is_said_as_one_says_it(tmp_path: object, ago: timedelta, said: str) -> None:
    template = templates(str(tmp_path)).from_string("{{ at | age }}")

    assert template.render(at=NOW - ago, now=NOW) == said


def test_a_moment_shows_its_year_only_if_it_is_another(
    tmp_path: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    template = templates(str(tmp_path)).from_string("{{ at | when }}")

    assert template.render(at=NOW, now=NOW)[:10] == "Wed 25 Nov"
    assert template.render(at=NOW - timedelta(days=365), now=NOW)[:15] == "Tue 25 Nov 2025"


def test_a_name_that_was_not_handed_over_is_an_error(tmp_path: object) -> None:
    from jinja2 import UndefinedError

    with pytest.raises(UndefinedError):
        templates(str(tmp_path)).from_string("{{ nobody }}").render()


def test_whatever_is_shown_is_shown_as_text(tmp_path: object) -> None:
    shown = (
        templates(str(tmp_path)).from_string("<p title='{{ x }}'>{{ x }}</p>").render(x="'<img onerror=x>\"")
    )

    assert "<img" not in shown
    assert shown.count("'") == 2
