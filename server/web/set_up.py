"""The first page of a new shop. Bays and people follow on their own pages, which stay."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.shop import set_up, shop
from server.shop.refusal import Conflict, Refusal
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.page import go, page
from server.web.sign_in import welcome
from server.web.visitor import Checker, Now, Store, sender

router = APIRouter()

SYSTEMS = (("inch", "Inches", "and lbf·ft"), ("metric", "Millimetres", "and N·m"))
SHOWN_AGAIN = ("code", "shop", "system", "name")


@router.get("/set-up")
def show_set_up(request: Request, store: Store) -> Response:
    with store.reading() as db:
        if shop.the_shop(db) is not None:
            return go(request, "/")
    return _form(request, dict.fromkeys(SHOWN_AGAIN, ""))


@router.post("/set-up")
def create_shop(
    request: Request,
    store: Store,
    pins: Checker,
    now: Now,
    form: Annotated[Fields, Depends(fields(*SHOWN_AGAIN, "pin", "pin_again"))],
) -> Response:
    with store.reading() as db:
        if shop.the_shop(db) is not None:
            raise Conflict("This shop has been set up already. Sign in.")
    at = sender(request)
    try:
        set_up.check_code(store, form["code"], right=request.app.state.set_up_code, sender=at, now=now)
        ticket = set_up.found(
            store,
            pins,
            shop_name=form["shop"],
            system=form["system"],
            foreman=form["name"],
            new_pin=form["pin"],
            again=form["pin_again"],
            sender=at,
            now=now,
        )
    except Refusal as refusal:
        return _form(request, {name: form[name] for name in SHOWN_AGAIN}, refusal)
    return welcome(request, ticket, "/bays")


def _form(request: Request, typed: dict[str, str], refusal: Refusal | None = None) -> Response:
    status = status_of(refusal) if refusal else 200
    return page(request, "set_up/show.html", status=status, typed=typed, systems=SYSTEMS, refusal=refusal)
