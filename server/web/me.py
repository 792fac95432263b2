"""What everybody may change about themselves: their PIN, and how much the steps tell them."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.shop import person, pin, sign_in
from server.shop.receipt import once
from server.shop.refusal import Refusal
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.page import page, saved
from server.web.visitor import Checker, Now, Signed, Store, Visitor

router = APIRouter()


@router.get("/me")
def show_me(request: Request, visitor: Signed) -> Response:
    return _page(request, visitor)


@router.post("/me/pin")
def change_own_pin(
    request: Request,
    visitor: Signed,
    store: Store,
    pins: Checker,
    now: Now,
    form: Annotated[Fields, Depends(fields("old_pin", "pin", "pin_again"))],
) -> Response:
    def change() -> str:
        mine = person.find_person(db, visitor.person_id, shop_id=visitor.shop_id)
        person.change_pin(db, mine, pin_hash=pin_hash, but=visitor.sign_in_id, now=now)
        return "/me"

    try:
        pin.check_new(form["pin"], form["pin_again"])
        sign_in.check_pin(
            store,
            pins,
            person_id=visitor.person_id,
            pin=form["old_pin"],
            sender=visitor.sender,
            now=now,
            field="old_pin",
        )
        pin_hash = pins.hash(form["pin"])
        with store.writing() as db:
            once(db, change, client_id=form.client_id, kind="own pin", content={}, by=visitor.person, now=now)
    except Refusal as refusal:
        return _page(request, visitor, refusal)
    return saved(request, "/me")


@router.post("/me/guided")
def change_own_guided(
    request: Request,
    visitor: Signed,
    store: Store,
    form: Annotated[Fields, Depends(fields("guided"))],
) -> Response:
    with store.writing() as db:
        mine = person.find_person(db, visitor.person_id, shop_id=visitor.shop_id)
        person.guide(mine, guided=form["guided"] == "yes")
    return saved(request, "/me")


def _page(request: Request, visitor: Visitor, refusal: Refusal | None = None) -> Response:
    status = status_of(refusal) if refusal else 200
    return page(request, "me/show.html", status=status, person=visitor.person, refusal=refusal)
