from datetime import datetime, timedelta

import pytest
from sqlmodel import Session

from server.shop.guess import Sender, WAITS_s, strike_off, write_down
from server.shop.refusal import TooSoon
from server.store.engine import Store
from tests.shop.garage import NOW, PHONE, open_garage


def tries_until(store: Store, person_id: int | None, sender: Sender, *, start: datetime, last_s: int) -> int:
    """How many wrong tries are let through by someone who tries every second."""
    count = 0
    for second in range(last_s):
        with store.writing() as db:
            count += is_let_through(db, person_id, sender, start + timedelta(seconds=second))
    return count


def is_let_through(db: Session, person_id: int | None, sender: Sender, now: datetime) -> bool:
    try:
        write_down(db, person_id=person_id, sender=sender, now=now)
    except TooSoon:
        return False
    return True


def test_the_waits_grow_from_the_third_wrong_pin_on(store: Store) -> None:
    ann, _ = open_garage(store)
    now = NOW
    for wait_s in (0, 0, 0, 5, 15, 60, 60):
        with store.writing() as db:
            if wait_s:
                assert not is_let_through(db, ann.id, PHONE, now + timedelta(seconds=wait_s - 1))
            now += timedelta(seconds=wait_s)
            assert is_let_through(db, ann.id, PHONE, now)


def test_a_thousand_tries_in_a_row_are_few(store: Store) -> None:
    ann, _ = open_garage(store)

    assert tries_until(store, ann.id, PHONE, start=NOW, last_s=300) <= 10


def test_asking_during_the_wait_does_not_make_it_longer(store: Store) -> None:
    ann, _ = open_garage(store)
    with store.writing() as db:
        for _ in range(3):
            write_down(db, person_id=ann.id, sender=PHONE, now=NOW)
        for second in range(5):
            assert not is_let_through(db, ann.id, PHONE, NOW + timedelta(seconds=second))

        assert is_let_through(db, ann.id, PHONE, NOW + timedelta(seconds=5))


def test_the_refusal_says_how_long_to_wait(store: Store) -> None:
    ann, _ = open_garage(store)
    with store.writing() as db:
        for _ in range(3):
            write_down(db, person_id=ann.id, sender=PHONE, now=NOW)

        with pytest.raises(TooSoon) as refused:
            write_down(db, person_id=ann.id, sender=PHONE, now=NOW + timedelta(seconds=1))

    assert refused.value.wait_s == 5
    assert "5 s" in refused.value.sentence


def test_guesses_from_many_addresses_at_one_person_are_counted_together(store: Store) -> None:
    ann, _ = open_garage(store)
    with store.writing() as db:
        let_through = [is_let_through(db, ann.id, Sender(f"10.0.0.{n}"), NOW) for n in range(50)]

    assert sum(let_through) == 3


def test_guesses_from_one_address_at_many_people_are_counted_together(store: Store) -> None:
    ann, bo = open_garage(store)
    with store.writing() as db:
        let_through = [is_let_through(db, who, PHONE, NOW) for who in (ann.id, bo.id, None) * 10]

    assert sum(let_through) == 3


def test_a_network_of_ipv6_addresses_counts_as_one(store: Store) -> None:
    open_garage(store)
    with store.writing() as db:
        let_through = [is_let_through(db, None, Sender(f"fd00::{n:x}"), NOW) for n in range(1, 20)]

    assert sum(let_through) == 3


def test_a_right_pin_clears_what_came_from_its_place_only(store: Store) -> None:
    ann, _ = open_garage(store)
    elsewhere = Sender("10.0.0.1")
    with store.writing() as db:
        write_down(db, person_id=ann.id, sender=elsewhere, now=NOW)
        write_down(db, person_id=ann.id, sender=PHONE, now=NOW)
        strike_off(db, write_down(db, person_id=ann.id, sender=PHONE, now=NOW))

        let_through = [is_let_through(db, ann.id, PHONE, NOW) for _ in range(5)]

    assert sum(let_through) == 2


def test_wrong_pins_of_yesterday_are_forgotten(store: Store) -> None:
    ann, _ = open_garage(store)
    with store.writing() as db:
        for hour in range(10):
            is_let_through(db, ann.id, PHONE, NOW + timedelta(hours=hour))

        tomorrow = [is_let_through(db, ann.id, PHONE, NOW + timedelta(hours=40)) for _ in range(5)]

    assert sum(tomorrow) == 3


def test_a_clock_put_back_shuts_nobody_out_for_longer_than_the_wait(store: Store) -> None:
    ann, _ = open_garage(store)
    with store.writing() as db:
        for _ in range(4):
            is_let_through(db, ann.id, PHONE, NOW)
        with pytest.raises(TooSoon) as refused:
            write_down(db, person_id=ann.id, sender=PHONE, now=NOW - timedelta(hours=1))

    assert refused.value.wait_s <= max(WAITS_s) + 1
