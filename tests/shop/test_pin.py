import threading

import pytest

from server.shop.pin import AT_ONCE, Pins, check_new, is_pin
from server.shop.refusal import Refusal, TooSoon
from tests.shop.garage import PINS


@pytest.mark.parametrize("pin", ["748291", "000037", "592604"])
def test_six_digits_without_a_pattern_are_a_pin(pin: str) -> None:
    check_new(pin, pin)


@pytest.mark.parametrize(
    "pin",
    [
        *("", "12345", "7482910", "7" * 1000, "74829a", "748 91", " 748291", "748291\n", "-48291", "7482.1"),
        *("٧٤٨٢٩١", "７４８２９１", "७४८२९१", "74829\u00b9"),
    ],
)
def test_only_six_ascii_digits_are_a_pin(pin: str) -> None:
    assert not is_pin(pin)
    with pytest.raises(Refusal) as refused:
        check_new(pin, pin)
    assert refused.value.field == "pin"


@pytest.mark.parametrize(
    "pin", ["111111", "000000", "121212", "123123", "123456", "654321", "567890", "098765"]
)
def test_a_pin_that_is_tried_first_is_refused(pin: str) -> None:
    with pytest.raises(Refusal, match="first PINs"):
        check_new(pin, pin)


@pytest.mark.parametrize("pin", ["241299", "122499", "991224", "290200"])
def test_a_date_is_refused_in_each_order(pin: str) -> None:
    with pytest.raises(Refusal, match="date"):
        check_new(pin, pin)


def test_a_pin_mistyped_the_second_time_is_refused_beside_the_second_field() -> None:
    with pytest.raises(Refusal) as refused:
        check_new("748291", "748292")

    assert refused.value.field == "pin_again"


def test_a_hash_matches_its_pin_only() -> None:
    kept = PINS.hash("748291")

    assert PINS.match("748291", kept)
    assert not PINS.match("748292", kept)


def test_the_same_pin_twice_gives_two_hashes_and_neither_holds_it() -> None:
    one, other = PINS.hash("748291"), PINS.hash("748291")

    assert one != other
    assert "748291" not in one


def test_without_the_key_the_right_pin_does_not_match() -> None:
    stolen = PINS.hash("748291")

    assert not Pins(b"\1" * 32, passes=1, memory_KiB=8).match("748291", stolen)


def test_the_hash_is_argon2id_of_the_cost_asked_for() -> None:
    assert Pins(bytes(32), passes=2, memory_KiB=16).hash("748291").startswith("$argon2id$v=19$m=16,t=2,p=1$")


def test_nobody_matches_no_pin() -> None:
    assert not PINS.match("748291", None)


def test_a_third_at_once_waits_its_turn_and_is_then_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("server.shop.pin.PATIENCE_s", 0.05)
    pins = Pins(bytes(32), passes=1, memory_KiB=8)
    turns = [pins._turns.acquire() for _ in range(AT_ONCE)]

    with pytest.raises(TooSoon):
        pins.match("748291", None)

    for _ in turns:
        pins._turns.release()
    assert not pins.match("748291", None)


def test_never_more_than_two_are_hashed_at_once() -> None:
    pins = Pins(bytes(32), passes=1, memory_KiB=8)
    inside, most, lock = 0, 0, threading.Lock()
    hash_now = pins._argon2.hash

    class Watched:
        def hash(self, keyed: bytes) -> str:
            nonlocal inside, most
            with lock:
                inside += 1
                most = max(most, inside)
            threading.Event().wait(0.01)
            with lock:
                inside -= 1
            return hash_now(keyed)

    pins._argon2 = Watched()  # type: ignore[assignment]
    threads = [threading.Thread(target=pins.hash, args=("748291",)) for _ in range(10)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert most == AT_ONCE
