"""The two cookies: `session` opens the shop, `phone` only tells one phone from another.

Over https their names begin with __Host-, so that no neighbour on another port or name can plant them.
"""

import secrets
from datetime import timedelta

from fastapi import Request, Response

SESSION, PHONE = "cornerbook", "cornerbook-phone"
LONGEST = 100  # of a token; ours have 43 characters
PHONE_LASTS = timedelta(days=400)  # the most that browsers grant


def read(request: Request, name: str) -> str:
    """The token, or "" where there is none that could be ours."""
    token = request.cookies.get(_named(request, name), "")
    return token if len(token) <= LONGEST and token.isascii() and token.isprintable() else ""


def give(request: Request, response: Response, *, name: str, token: str) -> None:
    """Out of reach of scripts, and not sent along when another site posts here."""
    response.set_cookie(
        _named(request, name),
        token,
        max_age=int(PHONE_LASTS.total_seconds()) if name == PHONE else None,
        path="/",
        secure=_is_secure(request),
        httponly=True,
        samesite="lax",
    )


def take_back(request: Request, response: Response, *, name: str) -> None:
    response.delete_cookie(
        _named(request, name), path="/", secure=_is_secure(request), httponly=True, samesite="lax"
    )


def new_token() -> str:
    return secrets.token_urlsafe(32)


def _is_secure(request: Request) -> bool:
    return request.url.scheme == "https"


def _named(request: Request, name: str) -> str:
    return f"__Host-{name}" if _is_secure(request) else name
