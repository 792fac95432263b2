"""JSON without its traps: no field twice, no NaN or infinity, no text that is not Unicode.

router = APIRouter(route_class=StrictRoute)
"""

import json
from collections.abc import Callable, Coroutine
from typing import Any

from fastapi import Request, Response
from fastapi.routing import APIRoute
from starlette.exceptions import HTTPException

BROKEN = "That is not JSON that can be read."


class StrictRequest(Request):
    async def json(self) -> Any:
        try:
            return json.loads(
                (await self.body()).decode("utf-8"),
                object_pairs_hook=_without_doubles,
                parse_constant=_no_constant,
                parse_float=_finite,
            )
        except (ValueError, RecursionError) as error:
            raise HTTPException(400, BROKEN) from error


class StrictRoute(APIRoute):
    """A route whose body is read by `StrictRequest`."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        handle = super().get_route_handler()

        async def handle_strictly(request: Request) -> Response:
            return await handle(StrictRequest(request.scope, request.receive))

        return handle_strictly


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise HTTPException(422, "A field is there twice.")
    for name, value in pairs:
        _is_unicode(name)
        if isinstance(value, str):
            _is_unicode(value)
    return found


def _is_unicode(text: str) -> None:
    """A lone half of a surrogate pair can be written in JSON, but not be kept or sent."""
    text.encode("utf-8")


def _no_constant(name: str) -> None:
    raise HTTPException(422, f"{name} is not a number that one can measure.")


def _finite(text: str) -> float:
    number = float(text)
    if number in (float("inf"), float("-inf")):
        raise HTTPException(422, f"{text[:20]} is larger than any number here.")
    return number
