"""What proves that a form was made by us for this phone: every form that writes carries it, hidden.

Signed in, it is the key of the session. Before that it is a keyed digest of the phone's own cookie.
"""

import hashlib
import hmac

from fastapi import Request

from server.web import cookie


def form_key(request: Request) -> str:
    """The key for the forms of this page. Needs `request.state.visitor`; may give the phone its token."""
    visitor = getattr(request.state, "visitor", None)
    return visitor.form_key if visitor else _of_phone(request, _phone(request))


def is_form_key(request: Request, sent: str) -> bool:
    visitor = getattr(request.state, "visitor", None)
    phone = cookie.read(request, cookie.PHONE)
    if visitor is None and not phone:
        return False
    right = visitor.form_key if visitor else _of_phone(request, phone)
    return hmac.compare_digest(sent.encode(), right.encode())


def _phone(request: Request) -> str:
    """The phone's token; a new one is remembered for the answer to set as its cookie."""
    token = cookie.read(request, cookie.PHONE) or getattr(request.state, "new_phone", "")
    if not token:
        token = request.state.new_phone = cookie.new_token()
    return token


def _of_phone(request: Request, phone: str) -> str:
    secret: bytes = request.app.state.form_secret
    return hmac.new(secret, phone.encode(), hashlib.sha256).hexdigest()
