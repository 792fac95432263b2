"""Sign in by name and PIN; sign out."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.shop import shop, sign_in
from server.shop.refusal import Refusal
from server.web import cookie
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.page import go, own_path, page
from server.web.visitor import Anyone, Checker, Now, Store, sender

router = APIRouter()


@router.get("/sign-in")
def show_sign_in(request: Request, visitor: Anyone, store: Store, next: str = "/") -> Response:
    if visitor is not None:
        return go(request, own_path(next))
    with store.reading() as db:
        if shop.the_shop(db) is None:
            return go(request, "/set-up")
    return _form(request, name="", next=next)


@router.post("/sign-in")
def create_sign_in(
    request: Request,
    store: Store,
    pins: Checker,
    now: Now,
    form: Annotated[Fields, Depends(fields("name", "pin", "next"))],
) -> Response:
    try:
        ticket = sign_in.sign_in(
            store, pins, name=form["name"], pin=form["pin"], sender=sender(request), now=now
        )
    except Refusal as refusal:
        return _form(request, name=form["name"], next=form["next"], refusal=refusal)
    return welcome(request, ticket, form["next"])


@router.post("/sign-out")
def end_sign_in(
    request: Request, visitor: Anyone, store: Store, now: Now, form: Annotated[Fields, Depends(fields())]
) -> Response:
    if visitor is not None:
        with store.writing() as db:
            sign_in.end(db, visitor.sign_in_id, now=now)
    response = go(request, "/sign-in")
    cookie.take_back(request, response, name=cookie.SESSION)
    return response


def welcome(request: Request, ticket: sign_in.Ticket, path: str) -> Response:
    """In, with fresh tokens for the session and for the phone."""
    response = go(request, own_path(path))
    cookie.give(request, response, name=cookie.SESSION, token=ticket.token)
    cookie.give(request, response, name=cookie.PHONE, token=ticket.device)
    return response


def _form(request: Request, *, name: str, next: str, refusal: Refusal | None = None) -> Response:
    status = status_of(refusal) if refusal else 200
    return page(request, "sign_in/show.html", status=status, name=name, next=own_path(next), refusal=refusal)
