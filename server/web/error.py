"""What is shown when something cannot be answered: a page in our look, a note for htmx, JSON for the API."""

from http import HTTPStatus
from typing import cast
from urllib.parse import urlencode

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from sqlalchemy.exc import OperationalError
from starlette.exceptions import HTTPException

from server.shop import shop
from server.shop.refusal import Conflict, Forbidden, Missing, Refusal, TooSoon
from server.store.engine import Store
from server.web.headers import add_headers
from server.web.page import go, own_address, own_path, page, wants_fragment

STATUS = {Conflict: 409, Forbidden: 403, Missing: 404, TooSoon: 429}
BUSY_s = 5  # after which the phone may try again
SENTENCES = {
    404: "There is no such page.",
    405: "That cannot be done here.",
    500: "Something went wrong on our side. What was on the page was not recorded: look, then try again.",
    503: "The records are busy just now. Nothing of this was recorded: try again in a few seconds.",
}


def error_answer(request: Request, *, status: int, sentence: str = "", field: str = "") -> Response:
    """The sentence, or the usual one for that status, in the shape that this request can show."""
    sentence = sentence or SENTENCES.get(status, HTTPStatus(status).phrase + ".")
    if request.url.path.startswith("/api/"):
        return JSONResponse({"sentence": sentence, "field": field}, status_code=status)
    template = "error/_note.html" if wants_fragment(request) else "error/show.html"
    return page(request, template, status=status, sentence=sentence, code=status)


def status_of(refusal: Refusal) -> int:
    return STATUS.get(type(refusal), 422)


async def answer_refusal(request: Request, error: Exception) -> Response:
    """A refusal that no handler put beside its field."""
    refusal = cast(Refusal, error)
    answer = error_answer(request, status=status_of(refusal), sentence=refusal.sentence, field=refusal.field)
    if isinstance(refusal, TooSoon):
        answer.headers["Retry-After"] = str(refusal.wait_s)
    return answer


async def answer_http(request: Request, error: Exception) -> Response:
    refused = cast(HTTPException, error)
    usual = refused.detail == HTTPStatus(refused.status_code).phrase
    answer = error_answer(request, status=refused.status_code, sentence="" if usual else refused.detail)
    answer.headers.update(refused.headers or {})
    return answer


async def answer_invalid(request: Request, error: Exception) -> Response:
    """A path or a JSON body that does not fit. What was sent is not echoed."""
    problem = cast(RequestValidationError, error).errors()[0]
    if problem["loc"][0] == "path":
        return error_answer(request, status=404)
    field = ".".join(str(step) for step in problem["loc"][1:])
    sentence = f"{field}: {problem['msg']}." if field else f"{problem['msg']}."
    return error_answer(request, status=422, sentence=_showable(sentence), field=_showable(field))


def answer_not_signed_in(request: Request, error: Exception) -> Response:
    """To the sign-in page and back here, or to the set-up of a shop that is not there yet."""
    if request.url.path.startswith("/api/"):
        return error_answer(request, status=401, sentence="Sign in first.")
    with cast(Store, request.app.state.store).reading() as db:
        if shop.the_shop(db) is None:
            return go(request, "/set-up")
    return go(request, sign_in_address(request))


def sign_in_address(request: Request) -> str:
    """A write cannot be repeated by going to its address, so after one the way back is to its page."""
    is_page = request.method == "GET" and not wants_fragment(request)
    path = own_path(own_address(request) if is_page else _referer(request))
    return "/sign-in" if path == "/" else f"/sign-in?{urlencode({'next': path})}"


async def answer_gone(request: Request, error: Exception) -> Response:
    """The phone hung up in the middle of sending; nobody reads this."""
    return Response(status_code=400)


async def answer_busy(request: Request, error: Exception) -> Response:
    """Others kept the store busy for too long. Any other trouble with it is a failure of ours."""
    if isinstance(error, OperationalError) and "database is locked" not in str(error.orig):
        raise error
    answer = error_answer(request, status=503)
    answer.headers["Retry-After"] = str(BUSY_s)
    return answer


def answer_failure(request: Request, error: Exception) -> Response:
    """The handler of last resort: its answer passes the gate by, so it brings the headers itself."""
    answer = error_answer(request, status=500)
    add_headers(answer.headers)
    return answer


def _referer(request: Request) -> str:
    ours = f"{request.url.scheme}://{request.headers['host']}/"
    referer = request.headers.get("referer", "")
    return referer[len(ours) - 1 :] if referer.startswith(ours) else "/"


def _showable(text: str) -> str:
    return text.encode("utf-8", "backslashreplace").decode()
