"""The bays: named in the set-up, added to whenever one is built."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.shop.bay import add_bays, bays
from server.shop.receipt import once
from server.shop.refusal import Refusal
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.page import page, saved
from server.web.visitor import Foreman, Now, Store, Visitor

router = APIRouter()

LINES = 3


@router.get("/bays")
def show_bays(request: Request, visitor: Foreman, store: Store) -> Response:
    return _page(request, visitor, store, typed=[])


@router.post("/bays")
def create_bays(
    request: Request,
    visitor: Foreman,
    store: Store,
    now: Now,
    form: Annotated[Fields, Depends(fields(many=("name",)))],
) -> Response:
    typed = form.many("name")

    def add() -> str:
        add_bays(db, typed, shop_id=visitor.shop_id)
        return "/bays"

    try:
        with store.writing() as db:
            content = {"names": typed}
            once(db, add, client_id=form.client_id, kind="bays", content=content, by=visitor.person, now=now)
    except Refusal as refusal:
        return _page(request, visitor, store, typed=typed, refusal=refusal)
    return saved(request, "/bays")


def _page(
    request: Request, visitor: Visitor, store: Store, *, typed: list[str], refusal: Refusal | None = None
) -> Response:
    with store.reading() as db:
        there = bays(db, visitor.shop_id)
    lines = typed + [""] * (LINES - len(typed))
    status = status_of(refusal) if refusal else 200
    return page(request, "bay/index.html", status=status, bays=there, lines=lines, refusal=refusal)
