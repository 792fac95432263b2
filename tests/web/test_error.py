from collections.abc import Callable

import pytest
from fastapi import FastAPI
from pydantic import BaseModel, ConfigDict, FiniteFloat
from starlette.requests import ClientDisconnect

from server.shop.refusal import Conflict, Forbidden, Missing, Refusal, TooSoon
from tests.web.phone import PARTIAL, Phone

KINDS = [
    (Refusal("No <b>."), 422),
    (Conflict("No <b>."), 409),
    (Forbidden("No <b>."), 403),
    (Missing("No <b>."), 404),
    (TooSoon("No <b>.", wait_s=7), 429),
]


def refuser(refusal: Refusal) -> Callable[[], None]:
    def refuse() -> None:
        raise refusal

    return refuse


class Length(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")

    length_m: FiniteFloat


@pytest.fixture
def refusing(app: FastAPI) -> FastAPI:
    for number, (refusal, _) in enumerate(KINDS):
        for prefix in ("", "/api"):
            app.add_api_route(f"{prefix}/refuse/{number}", refuser(refusal))

    @app.post("/api/length")
    def take(length: Length) -> float:
        return length.length_m

    return app


@pytest.mark.parametrize("number", range(len(KINDS)))
def test_a_refusal_nobody_caught_is_a_page_with_its_sentence(
    refusing: FastAPI, phone: Phone, number: int
) -> None:
    answer = phone.get(f"/refuse/{number}")

    assert answer.status_code == KINDS[number][1]
    assert "<h1>" in answer.text
    assert "No &lt;b&gt;." in answer.text


@pytest.mark.parametrize("number", range(len(KINDS)))
def test_htmx_gets_the_sentence_alone(refusing: FastAPI, phone: Phone, number: int) -> None:
    answer = phone.get(f"/refuse/{number}", headers=PARTIAL)

    assert answer.status_code == KINDS[number][1]
    assert answer.text.strip() == '<p class="refused" role="alert">No &lt;b&gt;.</p>'


@pytest.mark.parametrize("number", range(len(KINDS)))
def test_the_api_gets_it_as_json(refusing: FastAPI, phone: Phone, number: int) -> None:
    answer = phone.get(f"/api/refuse/{number}")

    assert (answer.status_code, answer.json()["sentence"]) == (KINDS[number][1], "No <b>.")


def test_how_long_to_wait_is_also_said_to_programs(refusing: FastAPI, phone: Phone) -> None:
    assert phone.get("/refuse/4").headers["retry-after"] == "7"


@pytest.mark.parametrize(
    "body",
    [
        *(b"", b"{", b"[]", b"null", b'{"length_m": true}', b'{"length_m": "5"}', b'{"length_m": [5]}'),
        *(b'{"length_m": NaN}', b'{"length_m": 1e309}', b'{"length_m": 1, "x": 1}', b"\xff\xfe"),
        *(b'{"length_m": "\\ud800"}', b'{"\\ud800": 1}', b"[" * 60_000, b'{"a":' * 10_000, b"1" * 60_000),
    ],
)
def test_json_that_does_not_fit_is_refused_in_words(refusing: FastAPI, phone: Phone, body: bytes) -> None:
    answer = phone.post("/api/length", content=body, headers={"Content-Type": "application/json"})

    assert answer.status_code in (400, 422)
    assert answer.json()["sentence"]


def test_json_that_fits_is_read(refusing: FastAPI, phone: Phone) -> None:
    assert phone.post("/api/length", json={"length_m": 1.5}).json() == 1.5


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_json_under_another_name_is_not_read(refusing: FastAPI, phone: Phone, kind: str) -> None:
    answer = phone.post("/api/length", content=b'{"length_m": 1.5}', headers={"Content-Type": kind})

    assert answer.status_code in (415, 422)


def test_a_phone_that_hangs_up_while_sending_is_no_failure_of_ours(app: FastAPI, phone: Phone) -> None:
    @app.post("/gone")
    async def hang_up() -> None:
        raise ClientDisconnect

    assert phone.post("/gone").status_code == 400


@pytest.mark.parametrize(("method", "path", "status"), [("GET", "/nothing", 404), ("POST", "/me", 405)])
def test_what_cannot_be_done_is_a_page_of_ours(phone: Phone, method: str, path: str, status: int) -> None:
    answer = phone.request(method, path)

    assert answer.status_code == status
    assert 'href="/"' in answer.text
