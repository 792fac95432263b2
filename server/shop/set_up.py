"""The first start: whoever can read what the server printed founds the shop and is its foreman."""

import hmac
from datetime import datetime

from server.shop import name as names
from server.shop import person, pin, shop, sign_in
from server.shop.guess import Sender, strike_off, write_down
from server.shop.pin import Pins
from server.shop.refusal import Refusal, TooSoon
from server.store.engine import Store


def check_code(store: Store, code: str, *, right: str, sender: Sender, now: datetime) -> None:
    """Nobody on the Wi-Fi takes the shop over: the code stands only where the server was started.

    raises  Refusal, field "code"; TooSoon
    """
    try:
        with store.writing() as db:
            guess = write_down(db, person_id=None, sender=sender, now=now)
    except TooSoon as refusal:
        raise TooSoon(
            "Too many wrong codes. Try again later.", wait_s=refusal.wait_s, field="code"
        ) from refusal
    typed = "".join(letter for letter in code.upper() if letter.isalnum())
    if not hmac.compare_digest(typed.encode(), right.encode()):
        raise Refusal("That is not the code that the server printed.", field="code")
    with store.writing() as db:
        strike_off(db, guess)


def found(
    store: Store,
    pins: Pins,
    *,
    shop_name: str,
    system: str,
    foreman: str,
    new_pin: str,
    again: str,
    sender: Sender,
    now: datetime,
) -> sign_in.Ticket:
    """The shop with its foreman, signed in at this phone. Opens blocks of its own.

    raises  Conflict where there is a shop already; Refusal, with the field
    """
    names.clean(foreman)
    pin.check_new(new_pin, again)
    pin_hash = pins.hash(new_pin)
    with store.writing() as db:
        home = shop.found(db, name=shop_name, system=system, now=now)
        first = person.add_person(
            db, shop_id=shop.id_of(home), name=foreman, role="foreman", pin_hash=pin_hash, now=now
        )
        return sign_in.open_session(db, first, sender=sender, now=now)
