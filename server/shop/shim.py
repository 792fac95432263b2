"""The drawer: which shims the shop has, and how many of each."""

from sqlmodel import Session, col, select

from server.compute import measure
from server.shop.refusal import Missing, Refusal
from server.store.tables import Person, Shim

THICKEST_m = 0.025
MOST = 999
_SAME_m = 1e-6


def drawer(db: Session, shop_id: int) -> list[Shim]:
    """The shims of a shop, thinnest first; those that have run out keep their place."""
    return list(db.exec(select(Shim).where(Shim.shop_id == shop_id).order_by(col(Shim.thickness_m))))


def find_shim(db: Session, shim_id: int, *, shop_id: int) -> Shim:
    """The thickness of that id in this shop's drawer; raises Missing."""
    shim = db.get(Shim, shim_id)
    if shim is None or shim.shop_id != shop_id:
        raise Missing("There is no such thickness in the drawer.")
    return shim


def stock(db: Session, *, text: str, count: str, default_unit: str, by: Person) -> Shim:
    """Say how many shims of a thickness are in the drawer, also of one that is there already.

    raises  Refusal, with the field, where either cannot be read
    """
    thickness_m, number = _thickness_m(text, default_unit), _number(count)
    same = [one for one in drawer(db, by.shop_id) if abs(one.thickness_m - thickness_m) < _SAME_m]
    shim = same[0] if same else Shim(shop_id=by.shop_id, text="", thickness_m=thickness_m, count=0)
    shim.text, shim.count = text.strip(), number
    db.add(shim)
    db.flush()
    return shim


def count_again(shim: Shim, count: str) -> None:
    """Say how many are left; raises Refusal, field "count"."""
    shim.count = _number(count)


def _thickness_m(text: str, default_unit: str) -> float:
    try:
        thickness = measure.read(text, measure.Quantity.LENGTH, default_unit=default_unit, zero=False)
    except measure.Refused as refused:
        raise Refusal(str(refused), field="thickness") from refused
    if thickness.value > THICKEST_m:
        raise Refusal(
            f"{thickness.read_as} is no shim; those are thinner than 1 in or 25 mm.", field="thickness"
        )
    if thickness.implausible:
        raise Refusal(f"{thickness.implausible.split('. ')[0]}. Type it with a point.", field="thickness")
    return thickness.value


def _number(count: str) -> int:
    try:
        number = measure.read(count, measure.Quantity.COUNT, default_unit="", highest=MOST)
    except measure.Refused as refused:
        raise Refusal(str(refused), field="count") from refused
    if number.implausible:
        raise Refusal(f"At most {MOST} of one thickness.", field="count")
    return int(number.value)
