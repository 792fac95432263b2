"""Another shop on the same server, with one technician at a phone."""

from fastapi import FastAPI
from sqlmodel import col, select

from server.shop import sign_in
from server.shop.guess import Sender
from server.store.tables import Person, Shop, SignIn
from server.web.form_key import mask
from tests.web.phone import Clock, Phone

ADDRESS = "192.168.7.99"


def phone_next_door(app: FastAPI, clock: Clock) -> Phone:
    """Somebody who is a foreman there and nobody here, signed in."""
    with app.state.store.writing() as db:
        shop = Shop(name="Next Door", created_at=clock())
        db.add(shop)
        db.flush()
        fay = Person(
            shop_id=shop.id, name="Fay Finch", name_key="fay", role="foreman", pin_hash="", created_at=clock()
        )
        db.add(fay)
        db.flush()
        ticket = sign_in.open_session(db, fay, sender=Sender(ADDRESS), now=clock())
        newest = db.exec(select(SignIn).order_by(col(SignIn.id).desc())).first()
        assert newest is not None
        phone = Phone(app, address=ADDRESS)
        phone.keep(session=ticket.token, device=ticket.device, form_key=mask(newest.form_key))
    return phone
