import sqlite3
from collections.abc import Callable

import pytest
from fastapi import FastAPI
from httpx import Response
from sqlalchemy.exc import OperationalError

from server.store import engine
from server.store.engine import Store
from tests.web.phone import Phone

PARTIAL = {"HX-Request": "true", "HX-Request-Type": "partial"}


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
