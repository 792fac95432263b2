"""The shop itself: founded once, by the foreman who starts it up."""

from datetime import datetime

from sqlmodel import Session, select

from server.compute.show import System
from server.shop.refusal import Conflict, Refusal
from server.shop.text import line
from server.store.tables import Shop

SYSTEMS = ("inch", "metric")
LONGEST_NAME = 80


def the_shop(db: Session) -> Shop | None:
    """The shop of this database, or none before the set-up."""
    return db.exec(select(Shop)).first()


def system_of(shop: Shop) -> System:
    """The shop's own units: those of a figure without one."""
    return "metric" if shop.system == "metric" else "inch"


def id_of(shop: Shop) -> int:
    if shop.id is None:
        raise ValueError("a shop that was never stored has nobody in it")
    return shop.id


def found(db: Session, *, name: str, system: str, now: datetime) -> Shop:
    """raises  Conflict where there is a shop already; Refusal, field "shop" or "system"."""
    if the_shop(db) is not None:
        raise Conflict("This shop has been set up already. Sign in.")
    if system not in SYSTEMS:
        raise Refusal("Choose inch or metric.", field="system")
    shop = Shop(name=line(name, field="shop", longest=LONGEST_NAME), system=system, created_at=now)
    db.add(shop)
    db.flush()
    return shop
