"""A shop whose people have PINs, for the rules about who may come in."""

from datetime import UTC, datetime

from server.shop import person, shop
from server.shop.guess import Sender
from server.shop.pin import Pins
from server.store.engine import Store
from server.store.tables import Person

NOW = datetime(2026, 11, 25, 14, 0, tzinfo=UTC)
PINS = Pins(bytes(32), passes=1, memory_KiB=8)  # as in the shop, but hashed in no time
PHONE = Sender("192.168.7.20")

ANN, ANN_PIN = "Ann Adler", "748291"
BO, BO_PIN = "Bo Berg", "592604"


def open_garage(store: Store) -> tuple[Person, Person]:
    """Ann, the foreman, and Bo, a technician."""
    with store.writing() as db:
        home = shop.id_of(shop.found(db, name="Corner Garage", system="inch", now=NOW))
        ann, bo = (
            person.add_person(db, shop_id=home, name=name, role=role, pin_hash=PINS.hash(pin), now=NOW)
            for name, role, pin in ((ANN, "foreman", ANN_PIN), (BO, "technician", BO_PIN))
        )
        return ann, bo
