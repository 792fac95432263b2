"""The gate before every route: right host, known method, own origin, bodies of bearable size.

Nothing here believes what a forwarding header says: who stands in front of this server is not known to it.
"""

import asyncio
import ipaddress
import socket
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.settings import Settings
from server.store.crash import crash_point
from server.web.error import error_answer
from server.web.headers import add_headers

METHODS = ("GET", "HEAD", "POST")
UNSAFE = ("POST",)
HEADER_BYTES, HEADER_LINES = 16 * 1024, 100
SLACK = 64 * 1024  # what a multipart body has around its picture

TOO_MUCH = "That is more than fits. Nothing was recorded."
PACKED = "Send it unpacked: compressed forms are not taken."
TOO_SLOW = "The connection stood still for too long. Send it again."
ELSEWHERE = "That came from another page than ours. Nothing was recorded."
NO_METHOD = "That cannot be done here."
TOO_MANY_HEADERS = "That request carries too much around it."
TWO_READINGS = "The length of that was said in two ways."
NO_BODY = "A page is asked for without sending anything along."


class Gate:
    """ASGI middleware, outside of everything but the handler of last resort."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self._app = app
        self._settings = settings
        self._names = own_names() | set(settings.allowed_hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "websocket":  # no page of ours opens one
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        send = _with_headers(send)
        if not is_own_host(headers, scope, self._names):
            refusal = PlainTextResponse("This server is not called that.\n", status_code=421)
            await refusal(scope, receive, send)
            return
        most = _most_bytes(scope, headers, self._settings)
        try:
            check_headers(headers)
            check_method(scope, headers)
            check_origin(scope, headers)
            check_body(headers, most)
        except HTTPException as refused:
            answer = error_answer(Request(scope), status=refused.status_code, sentence=refused.detail)
            answer.headers["Connection"] = "close"  # what follows on it may be no request at all
            await answer(scope, receive, send)
            return
        await self._app(scope, _bounded(receive, most=most, idle_s=self._settings.body_idle_s), send)
        crash_point("web: answer: after")


def own_names() -> set[str]:
    """What this machine is called; its addresses are known from each connection."""
    name = socket.gethostname().lower()
    return {"localhost", name, f"{name.partition('.')[0]}.local"}


def is_own_host(headers: Headers, scope: Scope, names: set[str]) -> bool:
    """Exactly one Host: a name of ours, or the address that was connected to, with the port of this server.

    A name listed with a port is taken with just that port. The page of a stranger whose name leads to our
    address (DNS rebinding) is told by its name.
    """
    sent = headers.getlist("host")
    if len(sent) != 1:
        return False
    host = sent[0].lower()
    if host in {name for name in names if ":" in name}:
        return True
    try:
        parts = urlsplit(f"//{host}")
        port = parts.port or (443 if scope["scheme"] == "https" else 80)
    except ValueError:
        return False
    if parts.hostname is None or parts.netloc != host or "@" in host or port != _port(scope):
        return False
    return parts.hostname in names or _is_own_address(parts.hostname, scope)


def _is_own_address(text: str, scope: Scope) -> bool:
    try:
        address = ipaddress.ip_address(text)
        here = ipaddress.ip_address(_server(scope)[0])
    except ValueError:
        return False
    if isinstance(here, ipaddress.IPv6Address) and here.ipv4_mapped:
        here = here.ipv4_mapped
    return address == here


def _port(scope: Scope) -> int | None:
    return _server(scope)[1]


def _server(scope: Scope) -> tuple[str, int | None]:
    host, port = scope.get("server") or ("", None)
    return host, port


def check_headers(headers: Headers) -> None:
    """raises  HTTPException 431, or 400 where the body could be read in two ways."""
    if len(headers.raw) > HEADER_LINES or sum(len(a) + len(b) for a, b in headers.raw) > HEADER_BYTES:
        raise HTTPException(431, TOO_MANY_HEADERS)
    if "content-length" in headers and "transfer-encoding" in headers:
        raise HTTPException(400, TWO_READINGS)


def check_method(scope: Scope, headers: Headers) -> None:
    """raises  HTTPException 405, or 400 for a body where none belongs."""
    if scope["method"] not in METHODS:
        raise HTTPException(405, NO_METHOD)
    has_body = "transfer-encoding" in headers or headers.get("content-length", "0") != "0"
    if has_body and scope["method"] not in UNSAFE:
        raise HTTPException(400, NO_BODY)


def check_origin(scope: Scope, headers: Headers) -> None:
    """What writes must come from a page of ours. Old browsers say nothing; there the form's key has to do.

    raises  HTTPException 403
    """
    if scope["method"] not in UNSAFE:
        return
    ours = f"{scope['scheme']}://{headers['host']}".lower()
    if any(origin.lower() != ours for origin in headers.getlist("origin")):
        raise HTTPException(403, ELSEWHERE)
    if any(site != "same-origin" for site in headers.getlist("sec-fetch-site")):
        raise HTTPException(403, ELSEWHERE)


def check_body(headers: Headers, most: int) -> None:
    """raises  HTTPException 413, 415, before a byte of the body is read"""
    if headers.get("content-encoding", "identity").lower() != "identity":
        raise HTTPException(415, PACKED)
    length = headers.get("content-length", "0")
    if not length.isascii() or not length.isdigit() or len(length) > 15 or int(length) > most:
        raise HTTPException(413, TOO_MUCH)


def _most_bytes(scope: Scope, headers: Headers, settings: Settings) -> int:
    """Only a multipart form may be as large as a photo; whether it may carry one is the form's business."""
    is_multipart = headers.get("content-type", "").lower().startswith("multipart/form-data")
    is_page = not scope["path"].startswith("/api/")
    return settings.photo_bytes + SLACK if is_multipart and is_page else settings.form_bytes


def _bounded(receive: Receive, *, most: int, idle_s: int) -> Receive:
    """Counts what comes in, whatever it was said to be, and gives up on a connection that stands still."""
    taken = 0
    whole = False

    async def receive_bounded() -> Message:
        nonlocal taken, whole
        if whole:
            return await receive()  # waits for the disconnect, for as long as the answer takes
        try:
            message = await asyncio.wait_for(receive(), idle_s)
        except TimeoutError as error:
            raise HTTPException(408, TOO_SLOW) from error
        taken += len(message.get("body", b""))
        whole = not message.get("more_body", False)
        if taken > most:
            raise HTTPException(413, TOO_MUCH)
        return message

    return receive_bounded


def _with_headers(send: Send) -> Send:
    async def send_with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            add_headers(MutableHeaders(scope=message))
        await send(message)

    return send_with_headers
