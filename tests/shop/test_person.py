from datetime import timedelta

import pytest

from server.shop import person
from server.shop.refusal import Conflict, Missing, Refusal
from server.store.engine import Store
from server.store.tables import Person
from tests.shop.garage import ANN, BO, NOW, PINS, open_garage


def add(store: Store, name: str, role: str = "technician") -> Person:
    with store.writing() as db:
        return person.add_person(db, shop_id=1, name=name, role=role, pin_hash=PINS.hash("917364"), now=NOW)


def test_a_person_is_kept_with_what_they_are(store: Store) -> None:
    open_garage(store)

    added = add(store, " Dee  Dunn ", "apprentice")

    assert (added.name, added.role, added.guided, added.left_at) == ("Dee Dunn", "apprentice", False, None)


@pytest.mark.parametrize("name", ["Ann Adler", "ann adler", "AnnAdler", "\u0410nn Adler", "Ann\u2007Adler"])
def test_a_name_like_somebody_elses_is_refused_naming_them(store: Store, name: str) -> None:
    open_garage(store)

    with pytest.raises(Refusal, match=f"reads like {ANN}") as refused:
        add(store, name)

    assert refused.value.field == "name"


def test_the_name_of_somebody_who_left_stays_theirs(store: Store) -> None:
    _, bo = open_garage(store)
    with store.writing() as db:
        person.leave(db, db.get_one(Person, bo.id), now=NOW)

    with pytest.raises(Refusal, match="who has left"):
        add(store, BO)


@pytest.mark.parametrize("role", ["", "admin", "Foreman", "foreman "])
def test_a_role_there_is_not_is_refused(store: Store, role: str) -> None:
    open_garage(store)

    with pytest.raises(Refusal) as refused:
        add(store, "Dee Dunn", role)

    assert refused.value.field == "role"


def test_a_refused_person_leaves_nothing_behind(store: Store) -> None:
    open_garage(store)
    with pytest.raises(Refusal):
        add(store, "\u200b")

    with store.reading() as db:
        assert [one.name for one in person.people(db, 1)] == [ANN, BO]


def test_those_who_are_there_come_before_those_who_left(store: Store) -> None:
    open_garage(store)
    add(store, "Abe", "foreman")
    with store.writing() as db:
        person.leave(db, person.find_person(db, 1, shop_id=1), now=NOW)

    with store.reading() as db:
        assert [one.name for one in person.people(db, 1)] == ["Abe", BO, ANN]


def test_the_last_foreman_cannot_leave(store: Store) -> None:
    open_garage(store)

    with store.writing() as db, pytest.raises(Conflict, match="only foreman"):
        person.leave(db, person.find_person(db, 1, shop_id=1), now=NOW)


def test_one_cannot_leave_twice(store: Store) -> None:
    _, bo = open_garage(store)
    with store.writing() as db:
        gone = db.get_one(Person, bo.id)
        person.leave(db, gone, now=NOW)

        with pytest.raises(Conflict):
            person.leave(db, gone, now=NOW + timedelta(days=1))
        assert gone.left_at == NOW


def test_somebody_who_left_can_come_back_with_a_new_pin(store: Store) -> None:
    _, bo = open_garage(store)
    with store.writing() as db:
        gone = db.get_one(Person, bo.id)
        person.leave(db, gone, now=NOW)
        person.come_back(gone, pin_hash="new")

    assert (gone.left_at, gone.pin_hash) == (None, "new")


def test_one_who_is_there_cannot_come_back(store: Store) -> None:
    _, bo = open_garage(store)

    with pytest.raises(Conflict):
        person.come_back(bo, pin_hash="new")


def test_a_person_of_another_shop_is_as_absent_as_one_who_never_was(store: Store) -> None:
    open_garage(store)
    sentences = set()
    for person_id, shop_id in ((1, 2), (99, 1)):
        with store.reading() as db, pytest.raises(Missing) as refused:
            person.find_person(db, person_id, shop_id=shop_id)
        sentences.add(refused.value.sentence)

    assert len(sentences) == 1


def test_an_apprentice_is_not_qualified(store: Store) -> None:
    ann, bo = open_garage(store)
    dee = add(store, "Dee Dunn", "apprentice")

    assert [person.is_qualified(one) for one in (ann, bo, dee)] == [True, True, False]
