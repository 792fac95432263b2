import re
from collections.abc import Iterator
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.responses import PlainTextResponse, Response
from fastapi.routing import APIRoute

from server.store.engine import Store
from server.store.tables import Person
from server.web.visitor import Foreman, RowId, Signed
from tests.web.phone import Phone

OPEN_TO_ALL = {"/health", "/sign-in", "/sign-out", "/set-up"}


def routes(app: FastAPI) -> Iterator[tuple[str, str]]:
    """Every method and path that somebody could ask for, with a number in each gap."""
    for route in all_routes(app.routes):
        for method in sorted(route.methods - {"HEAD"}):
            yield method, re.sub(r"{[^}]+}", "1", route.path)


def all_routes(listed: Any) -> Iterator[APIRoute]:
    for route in listed:
        if isinstance(route, APIRoute):
            yield route
        elif hasattr(route, "original_router"):
            yield from all_routes(route.original_router.routes)


def test_the_list_of_routes_is_whole(app: FastAPI) -> None:
    assert {("GET", "/me"), ("POST", "/me/pin"), ("POST", "/people/1/departure")} <= set(routes(app))


def test_without_signing_in_every_page_leads_to_the_sign_in(
    app: FastAPI, people: dict[str, Person], phone: Phone
) -> None:
    phone.open_form("/sign-in")
    open_ones = {}
    for method, path in routes(app):
        answer = phone.get(path) if method == "GET" else phone.fill_in(path)
        if not (answer.status_code == 401 or answer.headers.get("location", "").startswith("/sign-in")):
            open_ones[path] = answer.status_code

    assert set(open_ones) <= OPEN_TO_ALL, open_ones


def test_nothing_is_written_without_the_key_of_the_form(app: FastAPI, ann: Phone, store: Store) -> None:
    accepted = {
        path: answer.status_code
        for method, path in routes(app)
        if method == "POST" and not path.startswith("/api/")
        if (answer := ann.fill_in(path, form_key="")).status_code < 400
    }

    assert accepted == {}


def test_no_page_is_written_to_by_a_get(app: FastAPI) -> None:
    both = {path for method, path in routes(app) if method == "GET"}

    assert not {path for path in both if re.search(r"/(departure|return|guided|sign-outs)$", path)}


@pytest.fixture
def probe(app: FastAPI) -> None:
    def who(visitor: Any) -> Response:
        return PlainTextResponse(visitor.person.name)

    @app.get("/for-all")
    def for_all(visitor: Signed) -> Response:
        return who(visitor)

    @app.get("/for-foreman")
    def for_foreman(visitor: Foreman) -> Response:
        return who(visitor)

    @app.get("/row/{row_id}")
    def row(row_id: RowId) -> Response:
        return PlainTextResponse(str(row_id))


@pytest.mark.usefixtures("probe")
@pytest.mark.parametrize(
    ("who", "statuses"),
    [("ann", (200, 200)), ("bo", (200, 403)), ("dee", (200, 403)), ("phone", (303, 303))],
)
def test_each_role_gets_as_far_as_it_may(
    request: pytest.FixtureRequest, people: dict[str, Person], who: str, statuses: tuple[int, int, int]
) -> None:
    phone: Phone = request.getfixturevalue(who)

    got = [phone.get(f"/for-{whom}").status_code for whom in ("all", "foreman")]

    assert tuple(got) == statuses


@pytest.mark.usefixtures("probe")
@pytest.mark.parametrize("number", ["0", "-1", "1.5", "1e3", "2147483648", "9" * 5000, "٣", "x", "0x1"])
def test_what_is_no_row_number_is_not_there(phone: Phone, number: str) -> None:
    assert phone.get(f"/row/{number}").status_code == 404


@pytest.mark.usefixtures("probe")
def test_the_largest_row_number_is_one(phone: Phone) -> None:
    assert phone.get("/row/2147483647").status_code == 200
