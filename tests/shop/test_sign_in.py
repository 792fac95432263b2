from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta

import pytest
from sqlmodel import select

from server.shop import person, sign_in
from server.shop.guess import Sender
from server.shop.refusal import Refusal, TooSoon
from server.shop.sign_in import Limits, Ticket
from server.store.engine import Store
from server.store.tables import Guess, Person, SignIn
from tests.shop.garage import ANN, ANN_PIN, BO, BO_PIN, NOW, PHONE, PINS, open_garage

LIMITS = Limits(idle=timedelta(hours=4), longest=timedelta(hours=16))


def enter(
    store: Store, name: str = ANN, pin: str = ANN_PIN, sender: Sender = PHONE, now: datetime = NOW
) -> Ticket:
    return sign_in.sign_in(store, PINS, name=name, pin=pin, sender=sender, now=now)


def who(store: Store, ticket: Ticket, now: datetime = NOW) -> str | None:
    with store.reading() as db:
        present = sign_in.find(db, ticket.token, limits=LIMITS, now=now)
        return present.person.name if present else None


def outcome(act: Callable[[], Ticket]) -> str:
    try:
        return act().person.name
    except Refusal as refusal:
        return type(refusal).__name__


def test_name_and_pin_open_a_session(store: Store) -> None:
    open_garage(store)

    assert who(store, enter(store)) == ANN


def test_the_name_may_be_typed_without_capitals_or_blank(store: Store) -> None:
    open_garage(store)

    assert enter(store, name="annadler").person.name == ANN


def test_unknown_name_and_wrong_pin_get_the_same_answer(store: Store) -> None:
    open_garage(store)
    answers = set()
    for name, pin in ((ANN, BO_PIN), ("Nobody", ANN_PIN), ("", ANN_PIN)):
        with pytest.raises(Refusal) as refused:
            enter(store, name=name, pin=pin, sender=Sender(f"10.0.0.{len(name)}"))
        answers.add((type(refused.value), refused.value.sentence, refused.value.field))

    assert len(answers) == 1


def test_what_is_no_pin_is_neither_checked_nor_counted(store: Store) -> None:
    open_garage(store)
    for pin in ("", "12345", "٧٤٨٢٩١", "7482911", "x" * 1000):
        with pytest.raises(Refusal):
            enter(store, pin=pin)

    with store.reading() as db:
        assert db.exec(select(Guess)).all() == []


def test_fifty_at_once_are_not_fifty_tries(store: Store) -> None:
    open_garage(store)
    with ThreadPoolExecutor(20) as crowd:
        found = list(crowd.map(lambda n: outcome(lambda: enter(store, pin=f"80{n:02}13")), range(50)))

    assert found.count("Refusal") == 3
    assert found.count("TooSoon") == 47


def test_the_right_pin_gets_in_after_the_wait(store: Store) -> None:
    open_garage(store)
    for _ in range(3):
        outcome(lambda: enter(store, pin=BO_PIN))
    with pytest.raises(TooSoon):
        enter(store, now=NOW + timedelta(seconds=4))

    assert enter(store, now=NOW + timedelta(seconds=5)).person.name == ANN


def test_nobody_else_can_keep_a_person_from_their_own_phone(store: Store) -> None:
    open_garage(store)
    own = Sender("192.168.7.30", enter(store, sender=Sender("192.168.7.30")).device)
    for n in range(40):
        outcome(lambda n=n: enter(store, pin=BO_PIN, sender=Sender(f"10.0.0.{n}")))  # type: ignore[misc]

    assert enter(store, sender=own).person.name == ANN
    with pytest.raises(TooSoon):
        enter(store, sender=Sender("10.0.0.99"))


def test_a_stolen_phone_may_not_guess_on_as_its_owner(store: Store) -> None:
    open_garage(store)
    own = Sender("192.168.7.30", enter(store, sender=Sender("192.168.7.30")).device)
    now, checked = NOW, 0
    for _ in range(200):
        now += timedelta(seconds=1)
        checked += outcome(lambda: enter(store, pin=BO_PIN, sender=own, now=now)) == "Refusal"  # noqa: B023

    assert checked <= 10


def test_only_a_digest_of_the_token_is_kept(store: Store) -> None:
    open_garage(store)
    ticket = enter(store)

    with store.reading() as db:
        row = db.exec(select(SignIn)).one()
    kept = " ".join(str(value) for value in row.model_dump().values())
    assert ticket.token not in kept
    assert ticket.device not in kept


def test_every_sign_in_has_a_token_of_its_own(store: Store) -> None:
    open_garage(store)

    assert len({enter(store).token for _ in range(5)}) == 5


def test_a_token_planted_before_signing_in_is_replaced(store: Store) -> None:
    open_garage(store)

    assert enter(store, sender=Sender("192.168.7.20", "planted")).device != "planted"


def test_the_token_of_a_phone_that_is_known_stays(store: Store) -> None:
    open_garage(store)
    device = enter(store).device

    assert enter(store, name=BO, pin=BO_PIN, sender=Sender(PHONE.address, device)).device == device


def test_signing_out_ends_the_session_on_the_server(store: Store) -> None:
    open_garage(store)
    ticket = enter(store)
    with store.writing() as db:
        sign_in.end(db, db.exec(select(SignIn)).one().id or 0, now=NOW)

    assert who(store, ticket) is None


def test_a_phone_left_alone_is_signed_out(store: Store) -> None:
    open_garage(store)
    ticket = enter(store)

    assert who(store, ticket, NOW + timedelta(hours=4)) == ANN
    assert who(store, ticket, NOW + timedelta(hours=4, seconds=1)) is None


def test_a_phone_in_use_is_signed_out_at_the_end_of_the_day(store: Store) -> None:
    open_garage(store)
    ticket = enter(store)
    now = NOW
    for _ in range(16):
        now += timedelta(hours=1)
        with store.writing() as db:
            sign_in.note_seen(db, 1, now=now)
    assert who(store, ticket, now) == ANN

    assert who(store, ticket, now + timedelta(seconds=1)) is None


def test_a_page_a_second_is_not_a_write_a_second(store: Store) -> None:
    open_garage(store)
    enter(store)
    with store.reading() as db:
        row = db.exec(select(SignIn)).one()

    assert not sign_in.needs_note(row, now=NOW + timedelta(seconds=59))
    assert sign_in.needs_note(row, now=NOW + timedelta(seconds=60))


def test_whoever_leaves_is_signed_out_at_once_and_cannot_come_in(store: Store) -> None:
    _, bo = open_garage(store)
    ticket = enter(store, name=BO, pin=BO_PIN)
    with store.writing() as db:
        person.leave(db, db.get_one(Person, bo.id), now=NOW)

    assert who(store, ticket) is None
    with pytest.raises(Refusal):
        enter(store, name=BO, pin=BO_PIN)


def test_a_new_pin_ends_the_sessions_of_the_old_one(store: Store) -> None:
    _, bo = open_garage(store)
    ticket = enter(store, name=BO, pin=BO_PIN)
    with store.writing() as db:
        person.change_pin(db, db.get_one(Person, bo.id), pin_hash=PINS.hash("917364"), now=NOW)

    assert who(store, ticket) is None


@pytest.mark.parametrize("token", ["", "x", "a" * 43, "é"])
def test_a_token_we_never_gave_opens_nothing(store: Store, token: str) -> None:
    ann, _ = open_garage(store)
    enter(store)

    assert who(store, Ticket(token, "", ann)) is None


def test_a_second_person_is_checked_at_somebody_elses_phone_without_signing_in(store: Store) -> None:
    _, bo = open_garage(store)
    ann_at = Sender(PHONE.address, enter(store).device)

    checked = sign_in.check_pin(store, PINS, person_id=bo.id or 0, pin=BO_PIN, sender=ann_at, now=NOW)

    assert checked.name == BO
    with store.reading() as db:
        assert [row.person_id for row in db.exec(select(SignIn))] == [1]


@pytest.mark.parametrize("pin", [ANN_PIN, "", "12345x"])
def test_a_wrong_pin_of_the_second_person_is_refused_beside_the_field_it_was_typed_in(
    store: Store, pin: str
) -> None:
    _, bo = open_garage(store)

    with pytest.raises(Refusal) as refused:
        sign_in.check_pin(
            store, PINS, person_id=bo.id or 0, pin=pin, sender=PHONE, now=NOW, field="second_pin"
        )

    assert refused.value.field == "second_pin"


def test_a_second_person_who_does_not_exist_is_refused_like_a_wrong_pin(store: Store) -> None:
    open_garage(store)

    with pytest.raises(Refusal, match="do not belong together"):
        sign_in.check_pin(store, PINS, person_id=999, pin=ANN_PIN, sender=PHONE, now=NOW)
