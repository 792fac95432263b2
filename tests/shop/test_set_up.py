from datetime import timedelta

import pytest
from sqlmodel import select

from server.shop import set_up
from server.shop.guess import Sender
from server.shop.refusal import Conflict, Refusal, TooSoon
from server.store.engine import Store
from server.store.tables import Person, Shop, SignIn
from tests.shop.garage import NOW, PHONE, PINS, open_garage

CODE = "GRUB9NZ4"


def found(store: Store, **changed: str) -> None:
    typed = {
        "shop_name": "Corner Garage",
        "system": "inch",
        "foreman": "Ann Adler",
        "new_pin": "748291",
        "again": "748291",
    }
    set_up.found(store, PINS, **typed | changed, sender=PHONE, now=NOW)


def test_a_shop_begins_with_its_foreman_signed_in(store: Store) -> None:
    found(store)

    with store.reading() as db:
        assert db.exec(select(Shop)).one().name == "Corner Garage"
        assert db.exec(select(Person)).one().role == "foreman"
        assert db.exec(select(SignIn)).one().person_id == 1


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"shop_name": " "}, "shop"),
        ({"shop_name": "x" * 81}, "shop"),
        ({"shop_name": "a\u202eb"}, "shop"),
        ({"system": "cubits"}, "system"),
        ({"system": ""}, "system"),
        ({"foreman": "\u200b"}, "name"),
        ({"new_pin": "12345"}, "pin"),
        ({"new_pin": "748292"}, "pin_again"),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_founded(
    store: Store, changed: dict[str, str], field: str
) -> None:
    with pytest.raises(Refusal) as refused:
        found(store, **changed)

    assert refused.value.field == field
    with store.reading() as db:
        assert db.exec(select(Shop)).all() == []
        assert db.exec(select(Person)).all() == []


def test_a_shop_is_founded_once(store: Store) -> None:
    open_garage(store)

    with pytest.raises(Conflict):
        found(store, foreman="Eve")


@pytest.mark.parametrize("typed", [CODE, "grub-9nz4", " GRUB 9NZ4 "])
def test_the_code_may_be_typed_as_it_is_printed(store: Store, typed: str) -> None:
    set_up.check_code(store, typed, right=CODE, sender=PHONE, now=NOW)


@pytest.mark.parametrize("typed", ["", "GRUB9NZ", "GRUB9NZ44", "ÀRUB9NZ4", "x" * 10_000])
def test_another_code_is_refused(store: Store, typed: str) -> None:
    with pytest.raises(Refusal) as refused:
        set_up.check_code(store, typed, right=CODE, sender=PHONE, now=NOW)

    assert refused.value.field == "code"


def test_guessing_the_code_is_slowed_down(store: Store) -> None:
    checked = 0
    for second in range(120):
        with pytest.raises(Refusal) as refused:
            set_up.check_code(
                store, "x", right=CODE, sender=Sender("10.0.0.1"), now=NOW + timedelta(seconds=second)
            )
        checked += not isinstance(refused.value, TooSoon)

    assert checked <= 7
