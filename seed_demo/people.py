"""The invented shop: its bays, its drawer of shims, and five people with a PIN each."""

import secrets
from dataclasses import dataclass
from datetime import datetime

from server.settings import Settings
from server.shop import bay, person, pin, shim, shop
from server.shop.pin import Pins
from server.shop.refusal import Refusal
from server.store import pin_key
from server.store.engine import Store
from server.store.tables import Bay, Person

SHOP = "Quoin Yard Garage"
BAYS = ["Bay 1", "Bay 2", "Bay 3"]
PEOPLE = (
    ("Maren", "foreman", False),
    ("Edda", "technician", False),
    ("Joss", "technician", False),
    ("Teo", "technician", False),
    ("Pim", "apprentice", True),
)  # name, role, guided
DRAWER = (
    *(("1/32 in", 14), ("1/16 in", 12), ("1/8 in", 16)),
    *(("0.5 mm", 10), ("1 mm", 12), ("2 mm", 8), ("3 mm", 8)),
)


@dataclass(frozen=True, slots=True)
class Crew:
    """Everyone and every bay, by name."""

    maren: Person
    edda: Person
    joss: Person
    teo: Person
    pim: Person
    bays: tuple[Bay, ...]
    pins: tuple[str, ...]  # in the order of PEOPLE

    @property
    def who_can_sign_in(self) -> list[tuple[str, str, str]]:
        """Name, role and PIN of each."""
        return [(name, role, code) for (name, role, _), code in zip(PEOPLE, self.pins, strict=True)]


def found(store: Store, settings: Settings, *, now: datetime) -> Crew:
    """Found the shop with everyone in it."""
    key = pin_key.read_or_make(settings.data)
    pins = Pins(key, passes=settings.pin_passes, memory_KiB=settings.pin_memory_KiB)
    codes = tuple(_new_pin() for _ in PEOPLE)
    hashes = [pins.hash(code) for code in codes]
    with store.writing() as db:
        home = shop.found(db, name=SHOP, system="inch", now=now)
        shop_id = shop.id_of(home)
        people = [
            person.add_person(
                db, shop_id=shop_id, name=name, role=role, pin_hash=pin_hash, guided=guided, now=now
            )
            for (name, role, guided), pin_hash in zip(PEOPLE, hashes, strict=True)
        ]
        bay.add_bays(db, BAYS, shop_id=shop_id)
        for text, count in DRAWER:
            shim.stock(db, text=text, count=str(count), default_unit="in", by=people[0])
        maren, edda, joss, teo, pim = people
        return Crew(maren, edda, joss, teo, pim, tuple(bay.bays(db, shop_id)), codes)


def _new_pin() -> str:
    """One that the shop would let somebody choose."""
    while True:
        code = f"{secrets.randbelow(10**pin.LENGTH):0{pin.LENGTH}d}"
        try:
            pin.check_new(code, code)
        except Refusal:
            continue
        return code
