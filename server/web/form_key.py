"""What proves that a form was made by us for this phone: every form that writes carries it, hidden.

Signed in, it is the key of the session. Before that it is a keyed digest of the phone's own cookie. Each page
carries it behind a mask of its own, so that the length of a compressed page tells nothing of it.
"""

import hashlib
import hmac
import secrets

from fastapi import Request

from server.web import cookie


def form_key(request: Request) -> str:
    """The key for the forms of this page. Needs `request.state.visitor`; may give the phone its token."""
    visitor = getattr(request.state, "visitor", None)
    return mask(visitor.form_key if visitor else _of_phone(request, _phone(request)))


def is_form_key(request: Request, sent: str) -> bool:
    visitor = getattr(request.state, "visitor", None)
    phone = cookie.read(request, cookie.PHONE)
    if visitor is None and not phone:
        return False
    right = visitor.form_key if visitor else _of_phone(request, phone)
    return hmac.compare_digest(unmask(sent), right.encode())


def _phone(request: Request) -> str:
    """The phone's token; a new one is remembered for the answer to set as its cookie."""
    token = cookie.read(request, cookie.PHONE) or getattr(request.state, "new_phone", "")
    if not token:
        token = request.state.new_phone = cookie.new_token()
    return token


def _of_phone(request: Request, phone: str) -> str:
    secret: bytes = request.app.state.form_secret
    return hmac.new(secret, phone.encode(), hashlib.sha256).hexdigest()


def mask(key: str) -> str:
    """The key as a page carries it, different each time."""
    pad = secrets.token_bytes(len(key))
    return (pad + _xor(pad, key.encode())).hex()


def unmask(sent: str) -> bytes:
    """The key behind its mask; something that fits no key where there is none."""
    try:
        both = bytes.fromhex(sent)
    except ValueError:
        return b""
    return _xor(both[: len(both) // 2], both[len(both) // 2 :])


def _xor(some: bytes, others: bytes) -> bytes:
    return bytes(one ^ other for one, other in zip(some, others, strict=False))
