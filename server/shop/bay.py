"""The bays of the shop, in the order of the board."""

from sqlmodel import Session, col, select

from server.shop.refusal import Refusal
from server.shop.text import line
from server.store.tables import Bay, Job

LONGEST_NAME = 40
MOST = 40


def bays(db: Session, shop_id: int) -> list[Bay]:
    return list(db.exec(select(Bay).where(Bay.shop_id == shop_id).order_by(col(Bay.place), col(Bay.id))))


def free_bays(db: Session, shop_id: int) -> list[Bay]:
    """Those without a car in them."""
    taken = select(Job.bay_id).where(Job.shop_id == shop_id, col(Job.released_at).is_(None))
    in_use = set(db.exec(taken))
    return [bay for bay in bays(db, shop_id) if bay.id not in in_use]


def add_bays(db: Session, names: list[str], *, shop_id: int) -> None:
    """All of them or none; blank ones are passed over.

    raises  Refusal, its field "name-" with the place in the list
    """
    for place, name in enumerate(names):
        if name.strip():
            try:
                add_bay(db, shop_id=shop_id, name=name)
            except Refusal as refusal:
                raise Refusal(refusal.sentence, field=f"name-{place}") from refusal


def add_bay(db: Session, *, shop_id: int, name: str) -> Bay:
    """A bay after the last one.

    raises  Refusal, field "name"
    """
    name = line(name, field="name", longest=LONGEST_NAME)
    there = bays(db, shop_id)
    if any(bay.name.casefold() == name.casefold() for bay in there):
        raise Refusal("There is a bay of that name.", field="name")
    if len(there) >= MOST:
        raise Refusal(f"There are {MOST} bays already; the board shows no more.", field="name")
    bay = Bay(shop_id=shop_id, name=name, place=max((bay.place for bay in there), default=0) + 1)
    db.add(bay)
    db.flush()
    return bay
