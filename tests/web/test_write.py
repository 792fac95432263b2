import hashlib
import json
import sqlite3
from collections.abc import Callable

import pytest
from fastapi import FastAPI
from httpx import Response
from sqlalchemy.exc import OperationalError
from sqlmodel import Session, select

from server.shop.bay import add_bay
from server.shop.guess import Sender
from server.shop.refusal import Conflict, Refusal
from server.shop.shop import the_shop
from server.store import engine
from server.store.engine import Store
from server.store.tables import Bay, Person, Receipt
from server.web.form import Fields
from server.web.visitor import Visitor
from server.web.write import write
from tests.web.phone import PARTIAL, Clock, Phone

ID = "phone-made-id-0001"


@pytest.fixture
def send(store: Store, people: dict[str, Person], clock: Clock) -> Callable[..., str]:
    """Writes a bay down, as a handler would, with a form that says its name."""
    with store.reading() as db:
        home = the_shop(db)
    assert home is not None
    bo = Visitor(people["Bo Berg"], home, 1, "key", Sender(""))

    def send(name: str, *, client_id: str = ID, then_refuse: bool = False) -> str:
        form = Fields(
            {"client_id": [client_id], "form_key": ["key"], "name": [name], "new_pin": ["123456"]}, {}
        )

        def act(db: Session) -> str:
            add_bay(db, shop_id=bo.shop_id, name=name)
            if then_refuse:
                raise Refusal("Not that one.")
            return f"/bays#{name}"

        return write(store, bo, form, "bay", act, now=clock())

    return send


def names(store: Store) -> list[str]:
    with store.reading() as db:
        return list(db.exec(select(Bay.name).order_by(Bay.id)))  # type: ignore[arg-type]


def test_a_write_is_one_commit_with_its_receipt_in_somebodys_name(
    send: Callable[..., str], store: Store, people: dict[str, Person], clock: Clock
) -> None:
    assert send("Pit") == "/bays#Pit"

    assert names(store) == ["Pit"]
    with store.reading() as db:
        kept = db.get_one(Receipt, ID)
    assert (kept.kind, kept.answer, kept.at) == ("bay", "/bays#Pit", clock())
    assert kept.person_id == people["Bo Berg"].id


def test_what_is_refused_half_way_is_not_written_and_may_be_put_right_under_the_same_id(
    send: Callable[..., str], store: Store
) -> None:
    with pytest.raises(Refusal, match="Not that one"):
        send("Pit", then_refuse=True)
    assert names(store) == []

    assert send("Lift") == "/bays#Lift"
    assert names(store) == ["Lift"]


def test_the_same_form_twice_is_written_once_and_another_under_its_id_not_at_all(
    send: Callable[..., str], store: Store
) -> None:
    assert send("Pit") == send("Pit")

    with pytest.raises(Conflict):
        send("Lift")
    assert names(store) == ["Pit"]


def test_a_receipt_keeps_nothing_by_which_a_pin_could_be_guessed(
    send: Callable[..., str], store: Store, people: dict[str, Person]
) -> None:
    send("Pit")

    without = {"name": ["Pit"]}
    digest = hashlib.sha256(json.dumps(without, sort_keys=True).encode()).hexdigest()
    with store.reading() as db:
        assert db.get_one(Receipt, ID).digest == digest


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """A store, opened after this, that waits for nobody. Name it first."""
    monkeypatch.setattr(engine, "PATIENCE_s", 0.05)
    monkeypatch.setitem(engine.PRAGMAS, "busy_timeout", "50")


def is_try_again(answer: Response) -> bool:
    said = "The records are busy just now. Nothing of this was recorded" in answer.text
    return said and (answer.status_code, answer.headers["retry-after"]) == (503, "5")


def test_a_database_locked_by_another_program_is_told_as_busy(
    impatient: None, ann: Phone, store: Store
) -> None:
    other = sqlite3.connect(str(store.url.database), isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")

    page, note, form = ann.get("/me"), ann.get("/me", headers=PARTIAL), ann.fill_in("/bays", name="Pit")

    other.close()
    assert is_try_again(page)
    assert is_try_again(note)
    assert "<html" not in note.text
    assert is_try_again(form)
    assert ann.get("/me").status_code == 200


def test_a_write_that_waits_too_long_for_its_turn_can_be_sent_again(
    impatient: None, ann: Phone, store: Store
) -> None:
    with store.writing():
        answer = ann.fill_in("/bays", name="Pit", client_id="sent-twice-000001")

    assert is_try_again(answer)
    assert ann.fill_in("/bays", name="Pit", client_id="sent-twice-000001").status_code == 303
    assert "Pit" in ann.get("/bays").text


def test_any_other_trouble_with_the_database_is_a_failure(
    app: FastAPI, new_phone: Callable[..., Phone]
) -> None:
    @app.get("/trouble")
    def fail() -> None:
        raise OperationalError("SELECT 1", {}, sqlite3.OperationalError("disk I/O error"))

    answer = new_phone(lenient=True).get("/trouble")

    assert answer.status_code == 500
    assert "Something went wrong on our side" in answer.text
