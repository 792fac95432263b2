import pytest

from server.shop.bay import MOST, add_bay, add_bays, bays
from server.shop.refusal import Refusal
from server.store.engine import Store
from tests.shop.garage import open_garage


def names(store: Store) -> list[str]:
    with store.reading() as db:
        return [bay.name for bay in bays(db, 1)]


def test_bays_stand_in_the_order_they_were_named(store: Store) -> None:
    open_garage(store)
    with store.writing() as db:
        add_bays(db, ["Pit", "", " Lift  1 "], shop_id=1)
        add_bay(db, shop_id=1, name="Alley")

    assert names(store) == ["Pit", "Lift 1", "Alley"]


@pytest.mark.parametrize("name", ["pit", "x" * 41, "\u200b\u200b", "a\u202eb"])
def test_one_bay_refused_is_none_added(store: Store, name: str) -> None:
    open_garage(store)

    with pytest.raises(Refusal) as refused, store.writing() as db:
        add_bays(db, ["Pit", name, "Lift"], shop_id=1)

    assert refused.value.field == "name-1"
    assert names(store) == []


def test_there_is_an_end_to_bays(store: Store) -> None:
    open_garage(store)

    with pytest.raises(Refusal, match=f"{MOST} bays"), store.writing() as db:
        add_bays(db, [f"Bay {n}" for n in range(MOST + 1)], shop_id=1)
