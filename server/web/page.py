"""How a page is answered.

    return page(request, "step/show.html", step=step, refusal=None)              a page, or a fragment
    return page(request, "step/show.html", status=422, ..., refusal=refusal)     the same with what is wrong
    return saved(request, f"/steps/{step.id}")                                   after a write
    return saved(request, f"/steps/{step.id}", lambda: page(request, "step/_captures.html", ...))

Every template knows, besides what its handler hands it:

    visitor        who is signed in (`visitor.person.name`, `.is_qualified`, `.is_foreman`), or None
    shop_name      the shop's name, or None before sign-in
    now            this moment
    form_key       for the hidden field of every form that writes
    new_client_id  a function: a fresh id for one write
    asset          asset("cornerbook.css"): the address of a static file, changing with its content
    dom_id         dom_id(tag, "shelf"): "tag-7-shelf"
    path           path and query of this page
    {{ at | when }}       Tue 25 Nov 14:32, local time, with the year if it is not this one
    {{ at | age }}        34 min, 2 h 10 min, 3 d
    {{ at | stamp }}      2026-11-25T14:32:00+00:00, for <time datetime>
    {{ span | how_long }} the same for a span of time
    {{ hazards | hazard_lines }}   live hazards as `hazard_strip` wants them
"""

import secrets
from collections.abc import Callable
from typing import Any, cast

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from server.web import cookie
from server.web.clock import age, how_long, stamp, when
from server.web.form_key import form_key
from server.web.hazard import hazard_lines


def templates(folder: str) -> Environment:
    """A name that no handler handed over is an error at once, and everything shown is escaped."""
    environment = Environment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    environment.filters.update(when=when, age=age, stamp=stamp, how_long=how_long, hazard_lines=hazard_lines)
    environment.globals.update(new_client_id=new_client_id, dom_id=dom_id)
    return environment


def page(request: Request, template: str, *, status: int = 200, **context: Any) -> HTMLResponse:
    """The template with its context and with what every template knows."""
    visitor = getattr(request.state, "visitor", None)
    state = request.app.state
    known = {
        "visitor": visitor,
        "shop_name": visitor.shop.name if visitor else None,
        "now": state.clock(),
        "form_key": form_key(request),
        "path": own_address(request),
    }
    html = state.templates.get_template(template).render(known | context)
    response = HTMLResponse(html, status_code=status)
    if new_phone := getattr(request.state, "new_phone", ""):
        cookie.give(request, response, name=cookie.PHONE, token=new_phone)
    return response


def saved(request: Request, path: str, fragment: Callable[[], Response] | None = None) -> Response:
    """After a write: the fragment where htmx asked for one, else on to the page that shows the result."""
    if wants_fragment(request):
        return fragment() if fragment else go(request, path)
    return go(request, path)


def go(request: Request, path: str) -> Response:
    """On to another page. A 303 would take htmx's headers along, so htmx is told to load the page whole."""
    if request.headers.get("HX-Request") == "true":
        return Response(status_code=204, headers={"HX-Redirect": path})
    return RedirectResponse(path, status_code=303)


def wants_fragment(request: Request) -> bool:
    """Whether htmx will swap the answer into a part of the page, rather than show it as the page."""
    headers = request.headers
    return headers.get("HX-Request-Type") == "partial" and headers.get("HX-History-Restore-Request") != "true"


def own_address(request: Request) -> str:
    return request.url.path + (f"?{request.url.query}" if request.url.query else "")


def own_path(text: str) -> str:
    """A path of ours to go on to, or "/" for anything that might lead elsewhere."""
    ours = text.startswith("/") and not text.startswith("//")
    plain = text.isascii() and text.isprintable() and not set(text) & set('\\ "<>')
    return text if ours and plain and len(text) <= 500 else "/"


def new_client_id() -> str:
    return secrets.token_urlsafe(16)


def dom_id(thing: object, part: str = "") -> str:
    """The id of the element that shows a row, or one part of it: the same in page, swap and test."""
    number = cast(Any, thing).id
    if number is None:
        raise ValueError(f"a {type(thing).__name__} that was never stored has no place on a page")
    noun = "".join(f"-{c.lower()}" if c.isupper() else c for c in type(thing).__name__).lstrip("-")
    return f"{noun}-{number}" + (f"-{part}" if part else "")
