"""The drawer: which shims the shop has, and how many of each."""

from sqlmodel import Session, col, select

from server.compute import measure
from server.shop.refusal import Refusal
from server.store.tables import Person, Shim

THICKEST_m = 0.025


def drawer(db: Session, shop_id: int) -> list[Shim]:
    """The shims of a shop, thinnest first."""
    return list(db.exec(select(Shim).where(Shim.shop_id == shop_id).order_by(col(Shim.thickness_m))))


def stock(db: Session, *, text: str, count: str, default_unit: str, by: Person) -> Shim:
    """Say how many shims of a thickness are in the drawer; 0 takes the thickness out of it.

    raises  Refusal, with the field, where either cannot be read
    """
    try:
        thickness = measure.read(text, measure.Quantity.LENGTH, default_unit=default_unit, zero=False)
    except measure.Refused as refused:
        raise Refusal(str(refused), field="thickness") from refused
    if thickness.value > THICKEST_m:
        raise Refusal("A shim is thinner than 25 mm.", field="thickness")
    try:
        number = measure.read(count, measure.Quantity.COUNT, default_unit="", highest=999)
    except measure.Refused as refused:
        raise Refusal(str(refused), field="count") from refused
    if number.implausible:
        raise Refusal("At most 999 of one thickness.", field="count")
    same = [one for one in drawer(db, by.shop_id) if abs(one.thickness_m - thickness.value) < 1e-6]
    shim = same[0] if same else Shim(shop_id=by.shop_id, text="", thickness_m=thickness.value, count=0)
    shim.text, shim.count = text.strip(), int(number.value)
    db.add(shim)
    db.flush()
    return shim
