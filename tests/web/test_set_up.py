from collections.abc import Callable

import pytest
from fastapi import FastAPI
from sqlmodel import select

from server.store.engine import Store
from server.store.tables import Person, Shop
from tests.web.phone import Clock, Phone

TYPED = {
    "shop": "Corner Garage",
    "system": "metric",
    "name": "Ann Adler",
    "pin": "748291",
    "pin_again": "748291",
}


def set_up(app: FastAPI, phone: Phone, **changed: str):  # type: ignore[no-untyped-def]
    phone.open_form("/set-up")
    return phone.fill_in("/set-up", **{"code": app.state.set_up_code} | TYPED | changed)


def shops(store: Store) -> int:
    with store.reading() as db:
        return len(db.exec(select(Shop)).all())


@pytest.mark.parametrize("path", ["/me", "/people", "/bays", "/sign-in", "/sign-in?next=/me"])
def test_before_there_is_a_shop_every_page_leads_to_setting_it_up(phone: Phone, path: str) -> None:
    assert phone.get(path).headers["location"] == "/set-up"


def test_setting_up_leads_on_to_the_bays_signed_in_as_the_foreman(
    app: FastAPI, phone: Phone, store: Store
) -> None:
    answer = set_up(app, phone)

    assert answer.headers["location"] == "/bays"
    assert "Ann Adler" in phone.get("/bays").text
    with store.reading() as db:
        assert db.exec(select(Shop)).one().system == "metric"
        assert db.exec(select(Person)).one().role == "foreman"


def test_a_whole_shop_is_set_up_without_script(app: FastAPI, phone: Phone, store: Store) -> None:
    set_up(app, phone)
    phone.take_key()
    phone.fill_in("/bays", name=["Pit", "Lift", ""])
    phone.fill_in("/people", name="Bo Berg", role="technician", guided="", pin="592604", pin_again="592604")

    people = phone.get("/people").text
    assert "Bo Berg" in people
    assert 'href="/bays"' in people
    assert phone.get("/bays").text.index("Pit") < phone.get("/bays").text.index("Lift")


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("code", "WRONGONE", "not the code"),
        ("shop", " ", "one can read"),
        ("system", "", "inch or metric"),
        ("name", "\u200b", "one can read"),
        ("pin", "123456", "first PINs"),
        ("pin_again", "748292", "another PIN"),
    ],
)
def test_what_does_not_fit_is_said_beside_its_field_and_the_rest_is_kept(
    app: FastAPI, phone: Phone, store: Store, field: str, typed: str, says: str
) -> None:
    answer = set_up(app, phone, **{field: typed})

    assert answer.status_code == 422
    said = answer.text.split(f'id="field-{field}-error">')[1].split("</p>")[0]
    assert says in said
    kept = {"shop": "Corner Garage", "name": "Ann Adler", "code": app.state.set_up_code}
    assert all(f'value="{text}"' in answer.text for name, text in kept.items() if name != field)
    assert "748291" not in answer.text
    assert shops(store) == 0


def test_the_code_is_eight_letters_that_cannot_be_read_as_others(app: FastAPI) -> None:
    assert len(app.state.set_up_code) == 8
    assert not set(app.state.set_up_code) & set("01IO")


def test_guessing_the_code_is_slowed_down(app: FastAPI, phone: Phone, store: Store, clock: Clock) -> None:
    for _ in range(3):
        set_up(app, phone, code="WRONGONE")

    assert set_up(app, phone).status_code == 429
    assert shops(store) == 0
    clock.pass_by(seconds=6)
    assert set_up(app, phone).status_code == 303


def test_a_shop_that_is_there_is_not_set_up_again(app: FastAPI, phone: Phone, store: Store) -> None:
    phone.open_form("/set-up")
    set_up(app, Phone(app))

    assert phone.get("/set-up").headers["location"] == "/"
    answer = phone.fill_in("/set-up", **{"code": app.state.set_up_code} | TYPED)
    assert answer.status_code == 409
    assert shops(store) == 1


def test_nobody_sets_up_without_the_form(app: FastAPI, phone: Phone, store: Store) -> None:
    answer = phone.fill_in("/set-up", code=app.state.set_up_code, **TYPED)

    assert (answer.status_code, shops(store)) == (403, 0)


def test_the_new_foreman_can_sign_in_elsewhere(app: FastAPI, new_phone: Callable[..., Phone]) -> None:
    set_up(app, new_phone())

    assert new_phone(address="10.0.0.9").sign_in("Ann Adler", "748291").status_code == 303
