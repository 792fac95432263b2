from collections.abc import Callable

import pytest
from sqlmodel import select

from server.store.engine import Store
from server.store.tables import Person, Receipt
from tests.web.phone import Phone

NEW = {"name": "Eve Ek", "role": "technician", "guided": "yes", "pin": "917364", "pin_again": "917364"}
PATHS = ("", "/pin", "/return", "/departure", "/sign-outs", "/guided")


def number(people: dict[str, Person], name: str) -> int:
    return people[name].id or 0


def found(store: Store, name: str) -> Person:
    with store.reading() as db:
        return db.exec(select(Person).where(Person.name == name)).one()


def test_the_foreman_adds_somebody_who_can_then_sign_in(ann: Phone, new_phone: Callable[..., Phone]) -> None:
    assert ann.fill_in("/people", **NEW).headers["location"] == "/people"

    assert new_phone().sign_in("Eve Ek", "917364").status_code == 303


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"name": "bo berg"}, "name", "reads like Bo Berg"),
        ({"name": "\u0412o Berg"}, "name", "reads like Bo Berg"),
        ({"name": ""}, "name", "one can read"),
        ({"role": "owner"}, "role", "technician, foreman or apprentice"),
        ({"pin": "111111", "pin_again": "111111"}, "pin", "first PINs"),
        ({"pin_again": "000000"}, "pin_again", "another PIN"),
    ],
)
def test_what_does_not_fit_is_said_beside_its_field_and_the_rest_is_kept(
    ann: Phone, store: Store, changed: dict[str, str], field: str, says: str
) -> None:
    answer = ann.fill_in("/people", **NEW | changed)

    assert answer.status_code == 422
    assert says in answer.text.split(f'id="field-{field}-error">')[1].split("</p>")[0]
    assert field == "name" or 'value="Eve Ek"' in answer.text
    assert "917364" not in answer.text
    with store.reading() as db:
        assert len(db.exec(select(Person)).all()) == 4


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "=1+1 x"])
def test_a_name_is_shown_as_text_everywhere(ann: Phone, name: str) -> None:
    assert ann.fill_in("/people", **NEW | {"name": name}).status_code == 303

    for path in ("/people", "/people/5"):
        shown = ann.get(path).text
        assert "<img" not in shown
        assert "<script>alert" not in shown


def test_sent_twice_somebody_is_added_once(ann: Phone, store: Store) -> None:
    for _ in range(2):
        assert ann.fill_in("/people", client_id="one-and-the-same-id", **NEW).status_code == 303

    found(store, "Eve Ek")


@pytest.mark.parametrize("path", ["/people", "/bays", *(f"/people/2{path}" for path in PATHS)])
@pytest.mark.parametrize("who", ["bo", "dee"])
def test_nobody_but_the_foreman_gets_there(
    request: pytest.FixtureRequest, store: Store, who: str, path: str
) -> None:
    phone: Phone = request.getfixturevalue(who)
    before = [one.model_dump() for one in everybody(store)]

    looked, wrote = phone.get(path), phone.fill_in(path)

    assert looked.status_code in (403, 405)
    assert wrote.status_code in (403, 405)
    assert [one.model_dump() for one in everybody(store)] == before


def test_a_new_pin_replaces_the_old_one_and_signs_out(
    ann: Phone, bo: Phone, people: dict[str, Person], new_phone: Callable[..., Phone]
) -> None:
    path = f"/people/{number(people, 'Bo Berg')}"

    assert ann.fill_in(f"{path}/pin", pin="917364", pin_again="917364").headers["location"] == path

    assert bo.get("/me").status_code == 303
    assert new_phone().sign_in("Bo Berg", "592604").status_code == 422
    assert new_phone(address="10.0.0.9").sign_in("Bo Berg", "917364").status_code == 303


def test_a_new_pin_for_oneself_does_not_sign_oneself_out(ann: Phone, people: dict[str, Person]) -> None:
    ann.fill_in(f"/people/{number(people, 'Ann Adler')}/pin", pin="917364", pin_again="917364")

    assert ann.get("/me").status_code == 200


def test_a_new_pin_that_is_none_is_refused_on_the_page_of_the_person(ann: Phone) -> None:
    answer = ann.fill_in("/people/2/pin", pin="12", pin_again="12")

    assert answer.status_code == 422
    assert 'id="field-pin-error">A PIN is six digits' in answer.text


def test_whoever_leaves_is_out_at_once(ann: Phone, bo: Phone, new_phone: Callable[..., Phone]) -> None:
    assert ann.fill_in("/people/2/departure").status_code == 303

    assert bo.get("/me").status_code == 303
    assert new_phone().sign_in("Bo Berg", "592604").status_code == 422
    assert "left" in ann.get("/people").text


def test_the_only_foreman_cannot_leave(ann: Phone, store: Store) -> None:
    answer = ann.fill_in("/people/1/departure")

    assert answer.status_code == 409
    assert "only foreman" in answer.text
    assert found(store, "Ann Adler").left_at is None


def test_somebody_comes_back_with_a_new_pin(ann: Phone, new_phone: Callable[..., Phone]) -> None:
    ann.fill_in("/people/2/departure")

    ann.fill_in("/people/2/return", pin="917364", pin_again="917364")

    assert new_phone().sign_in("Bo Berg", "917364").status_code == 303


def test_a_lost_phone_is_signed_out_by_the_foreman(ann: Phone, bo: Phone, store: Store) -> None:
    ann.fill_in("/people/2/sign-outs")

    assert bo.get("/me").status_code == 303
    assert found(store, "Bo Berg").left_at is None


@pytest.mark.parametrize(("typed", "guided"), [("yes", True), ("", False), ("no", False)])
def test_guided_mode_is_switched(ann: Phone, store: Store, typed: str, guided: bool) -> None:
    ann.fill_in("/people/2/guided", guided=typed)

    assert found(store, "Bo Berg").guided is guided


@pytest.mark.parametrize("path", PATHS[1:])
def test_somebody_who_is_not_there_cannot_be_changed(ann: Phone, path: str) -> None:
    fields = {"pin": "917364", "pin_again": "917364"} if path in ("/pin", "/return") else {}

    answer = ann.fill_in(f"/people/99{path}", **fields | ({"guided": ""} if path == "/guided" else {}))

    assert answer.status_code == 404
    assert "no such person" in answer.text


def test_every_change_names_who_made_it_and_keeps_no_pin(ann: Phone, store: Store) -> None:
    ann.fill_in("/people/2/pin", pin="917364", pin_again="917364")

    with store.reading() as db:
        receipt = db.exec(select(Receipt)).one()
    assert (receipt.person_id, receipt.kind) == (1, "person pin")


def everybody(store: Store) -> list[Person]:
    with store.reading() as db:
        return list(db.exec(select(Person)))
