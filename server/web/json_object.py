"""What a program may send: one JSON object, read strictly, bounded before it is parsed.

    @router.post("/api/compute/{name}")
    def compute(name: str, visitor: Signed, sent: Sent) -> JSONResponse: ...

Nothing is guessed: a name given twice is refused, and a number that a float cannot hold is handed on as nan,
for the field that it was meant for to refuse.
"""

import json
import re
from typing import Annotated

from fastapi import Depends, Request
from starlette.exceptions import HTTPException

from server.shop.refusal import Refusal
from server.web.visitor import Signed

MOST_BRACKETS = 100  # more than the longest list asks for; so nothing can be nested deeper either
LONGEST_NUMBER = 40  # characters
WRONG_KIND = "Send it as application/json in UTF-8."
NOT_JSON = "That is not JSON."
TOO_NESTED = "That has more brackets than anything that is asked for here."
NO_OBJECT = "Send one JSON object with the fields by name."
_KIND = re.compile(r'application/json *(; *charset="?utf-8"?)? *', re.IGNORECASE)

Json = dict[str, object]


async def json_object(request: Request, visitor: Signed) -> Json:
    """The object in the body. The visitor comes first: nobody's body is read before we know whose it is.

    raises  HTTPException 400, 413 or 415; Refusal for a name that stands there twice
    """
    if not _KIND.fullmatch(request.headers.get("content-type", "")):
        raise HTTPException(415, WRONG_KIND)
    return parse_object(await request.body())


Sent = Annotated[Json, Depends(json_object)]


def parse_object(body: bytes) -> Json:
    """raises  HTTPException 400 or 413; Refusal for a name that stands there twice"""
    if body.count(b"[") + body.count(b"{") > MOST_BRACKETS:
        raise HTTPException(413, TOO_NESTED)
    try:
        sent = json.loads(
            body.decode("utf-8"), parse_float=_float, parse_int=_int, object_pairs_hook=_each_once
        )
    except ValueError as error:
        if isinstance(error, Refusal):
            raise
        raise HTTPException(400, NOT_JSON) from error
    if not isinstance(sent, dict):
        raise Refusal(NO_OBJECT)
    return sent


def _each_once(pairs: list[tuple[str, object]]) -> Json:
    names = [name for name, _ in pairs]
    if len(set(names)) < len(names):
        raise Refusal("A field stands there twice.", field=showable(max(names, key=names.count)))
    return dict(pairs)


def _float(text: str) -> float:
    value = float(text)
    vanished = value == 0 and any(digit in "123456789" for digit in text.lower().partition("e")[0])
    return float("nan") if vanished or len(text) > LONGEST_NUMBER else value


def _int(text: str) -> int | float:
    return float("nan") if len(text) > LONGEST_NUMBER else int(text)


def showable(name: str) -> str:
    """A name that a program made up, fit for our answer: cut, and with no half of a character in it."""
    return name[:60].encode("utf-8", "backslashreplace").decode()
