import json

import pytest
from fastapi import FastAPI, Request
from starlette.responses import PlainTextResponse, Response

from server.web.visitor import Signed
from tests.web.phone import Phone

STRICT = (
    "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
    "frame-ancestors 'none'; form-action 'self'"
)


@pytest.fixture
def reading(app: FastAPI) -> list[str]:
    """Says which requests came through to a route that reads its body."""
    passed: list[str] = []

    @app.api_route("/through", methods=["GET", "POST"])
    async def go_through(request: Request) -> Response:
        passed.append(request.method)
        return PlainTextResponse(str(len(await request.body())))

    @app.post("/api/through")
    async def take_json(request: Request) -> Response:
        return PlainTextResponse(str(len(await request.body())))

    return passed


@pytest.mark.parametrize(
    "host",
    [
        *("evil.example", "localhost.evil.example", "evil.example:80", "192.168.7.99", "localhost:8081"),
        *(
            "",
            "localhost@evil.example",
            "evil.example@localhost",
            "localhost/",
            "[::1",
            "localhost:x",
            "[::1]",
        ),
    ],
)
def test_a_host_that_is_not_ours_is_refused_before_any_route(
    phone: Phone, reading: list[str], host: str
) -> None:
    answer = phone.get("/through", headers={"Host": host})

    assert answer.status_code == 421
    assert reading == []


@pytest.mark.parametrize("host", ["localhost", "LocalHost", "localhost:80"])
def test_our_own_names_are_let_in(phone: Phone, reading: list[str], host: str) -> None:
    assert phone.get("/through", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize("host", ["192.168.7.5", "[fd00::5]"])
def test_the_address_that_was_connected_to_is_a_name_of_ours(
    app: FastAPI, reading: list[str], host: str
) -> None:
    assert Phone(app, host=host).get("/through").status_code == 200


def test_a_host_said_twice_is_refused(phone: Phone, reading: list[str]) -> None:
    answer = phone.get("/through", headers=[("Host", "localhost"), ("Host", "evil.example")])

    assert answer.status_code == 421


@pytest.mark.parametrize(
    "header",
    [
        {"X-Forwarded-Host": "localhost", "Host": "evil.example"},
        {"Forwarded": "host=localhost", "Host": "evil.example"},
    ],
)
def test_no_forwarding_header_makes_a_strange_host_ours(phone: Phone, header: dict[str, str]) -> None:
    assert phone.get("/health", headers=header).status_code == 421


def test_forwarding_and_override_headers_have_no_effect(phone: Phone, reading: list[str]) -> None:
    answer = phone.get(
        "/through",
        headers={
            "X-Forwarded-For": "127.0.0.1",
            "X-Forwarded-Proto": "https",
            "X-Original-URL": "/people",
            "X-Rewrite-URL": "/people",
            "X-HTTP-Method-Override": "POST",
        },
    )

    assert (answer.status_code, reading) == (200, ["GET"])


@pytest.mark.parametrize(
    "method", ["TRACE", "CONNECT", "PROPFIND", "FOO", "DELETE", "PUT", "PATCH", "OPTIONS"]
)
def test_methods_that_no_page_uses_are_refused(phone: Phone, reading: list[str], method: str) -> None:
    answer = phone.request(method, "/through")

    assert (answer.status_code, reading) == (405, [])


@pytest.mark.parametrize(
    "header",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://localhost"},
        {"Origin": "http://localhost:8081"},
        {"Origin": "http://localhost.evil.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "none"},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_a_write_from_another_page_is_refused(
    phone: Phone, reading: list[str], header: dict[str, str]
) -> None:
    assert phone.post("/through", headers=header).status_code == 403
    assert reading == []


@pytest.mark.parametrize(
    "header",
    [{"Origin": "http://localhost"}, {"Sec-Fetch-Site": "same-origin"}, {}, {"Origin": "HTTP://LOCALHOST"}],
)
def test_a_write_from_our_own_page_passes(phone: Phone, reading: list[str], header: dict[str, str]) -> None:
    assert phone.post("/through", headers=header).status_code == 200


@pytest.mark.parametrize(
    ("kind", "most"),
    [
        ("application/x-www-form-urlencoded", 64 * 1024),
        ("application/json", 64 * 1024),
        ("text/plain", 64 * 1024),
        ("multipart/form-data; boundary=x", 25 * 2**20 + 64 * 1024),
    ],
)
def test_a_body_may_be_so_large_and_no_larger(phone: Phone, reading: list[str], kind: str, most: int) -> None:
    header = {"Content-Type": kind}

    assert phone.post("/through", content=b"x" * most, headers=header).text == str(most)
    assert phone.post("/through", content=b"x" * (most + 1), headers=header).status_code == 413


def test_a_body_without_a_length_is_counted_as_it_comes(phone: Phone, reading: list[str]) -> None:
    def pieces() -> object:
        for _ in range(70):
            yield b"x" * 1024

    assert phone.post("/through", content=pieces()).status_code == 413  # type: ignore[arg-type]


def test_the_api_takes_no_photo_sized_body(phone: Phone, reading: list[str]) -> None:
    header = {"Content-Type": "multipart/form-data; boundary=x"}

    assert phone.post("/api/through", content=b"x" * 65_537, headers=header).status_code == 413


@pytest.mark.parametrize("length", ["-1", "1e3", "٣", "9" * 400, "65537", ""])
def test_a_length_that_is_none_or_too_much_is_refused_unread(
    phone: Phone, reading: list[str], length: str
) -> None:
    answer = phone.post("/through", content=b"x", headers={"Content-Length": length.encode()})  # type: ignore[dict-item]

    assert (answer.status_code, reading) == (413, [])


@pytest.mark.parametrize("coding", ["gzip", "deflate", "br", "gzip, identity"])
def test_a_packed_body_is_refused_unread(phone: Phone, reading: list[str], coding: str) -> None:
    answer = phone.post("/through", content=b"x", headers={"Content-Encoding": coding})

    assert (answer.status_code, reading) == (415, [])


def test_a_body_on_a_get_is_refused(phone: Phone, reading: list[str]) -> None:
    assert phone.request("GET", "/through", content=b"x").status_code == 400


@pytest.mark.parametrize("path", ["/sign-in", "/nothing", "/health", "/static/cornerbook.css", "/set-up"])
def test_every_answer_keeps_the_browser_on_a_short_lead(phone: Phone, path: str) -> None:
    headers = phone.get(path).headers

    assert headers["content-security-policy"] == STRICT
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "access-control-allow-origin" not in headers


def test_pages_are_not_kept_and_differ_by_what_htmx_asks_for(ann: Phone) -> None:
    headers = ann.get("/people").headers

    assert headers["cache-control"] == "no-store"
    assert set(headers["vary"].split(", ")) == {"Accept-Encoding", "HX-Request", "HX-Request-Type"}


def test_a_failure_of_ours_has_the_headers_and_tells_nothing(app: FastAPI, phone: Phone) -> None:
    @app.get("/broken")
    def break_down() -> None:
        raise RuntimeError("the secret of the house")

    answer = Phone(app, lenient=True).get("/broken")

    assert answer.status_code == 500
    assert answer.headers["content-security-policy"] == STRICT
    assert "secret" not in answer.text
    assert "was not recorded" in answer.text


@pytest.mark.parametrize(
    "path",
    [
        *(
            "/static/../server/settings.py",
            "/static/%2e%2e/server/settings.py",
            "/static/..%2fpyproject.toml",
        ),
        *(
            "/static/..%5cpyproject.toml",
            "/static/%00",
            "/%00",
            "/%ff",
            "/static/",
            "/people/",
        ),
        *(
            "/docs",
            "/redoc",
            "/metrics",
            "/.git/config",
            "/people/9999999999999999999999",
            "/people/-1",
            "/people/x",
        ),
    ],
)
def test_what_is_not_there_looks_the_same_wherever_it_is_not(ann: Phone, path: str) -> None:
    answer = ann.get(path)

    assert answer.status_code == 404
    assert "There is no such page." in answer.text


def test_the_description_of_the_interface_is_for_those_who_are_signed_in(ann: Phone, phone: Phone) -> None:
    assert phone.get("/api/openapi.json").status_code == 401
    described = json.loads(ann.get("/api/openapi.json").text)["paths"]
    assert described
    assert all(path.startswith("/api/") for path in described)


def test_nobody_opens_a_socket_here(app: FastAPI) -> None:
    from starlette.websockets import WebSocketDisconnect

    @app.websocket("/ws")
    async def never(visitor: Signed) -> None:
        raise AssertionError

    with pytest.raises(WebSocketDisconnect), Phone(app).websocket_connect("/ws"):
        pass
