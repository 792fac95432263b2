"""What a PIN may be, and how one is kept: argon2id over a keyed digest, never the PIN itself."""

import hashlib
import hmac
import re
import threading
from datetime import date

from argon2 import PasswordHasher
from argon2.exceptions import VerifyMismatchError

from server.shop.refusal import Refusal, TooSoon

LENGTH = 6
AT_ONCE = 2  # a hash takes 64 MiB and a core
PATIENCE_s = 5
UP, DOWN = "01234567890", "09876543210"


class Pins:
    """Makes and checks PIN hashes with the shop's key; never more than two at a time."""

    def __init__(self, key: bytes, *, passes: int, memory_KiB: int) -> None:
        self._key = key
        self._argon2 = PasswordHasher(time_cost=passes, memory_cost=memory_KiB, parallelism=1)
        self._turns = threading.BoundedSemaphore(AT_ONCE)
        self._nobody = self._argon2.hash(b"nobody's")

    def hash(self, pin: str) -> str:
        """raises  TooSoon while others take too long"""
        with _Turn(self._turns):
            return self._argon2.hash(self._keyed(pin))

    def match(self, pin: str, pin_hash: str | None) -> bool:
        """Whether the PIN is the one behind the hash. Without a hash: no, and after the same time.

        raises  TooSoon while others take too long
        """
        with _Turn(self._turns):
            try:
                self._argon2.verify(pin_hash or self._nobody, self._keyed(pin))
            except VerifyMismatchError:
                return False
        return pin_hash is not None

    def _keyed(self, pin: str) -> bytes:
        return hmac.digest(self._key, pin.encode(), hashlib.sha256)


class _Turn:
    def __init__(self, turns: threading.BoundedSemaphore) -> None:
        self._turns = turns

    def __enter__(self) -> None:
        if not self._turns.acquire(timeout=PATIENCE_s):
            sentence = "Too many are signing in at once. Try again in a moment."
            raise TooSoon(sentence, wait_s=PATIENCE_s, field="pin")

    def __exit__(self, *_error: object) -> None:
        self._turns.release()


def is_pin(text: str) -> bool:
    """Six of the ten digits 0-9 and nothing else; digits of other scripts are not folded into them."""
    return re.fullmatch(rf"[0-9]{{{LENGTH}}}", text) is not None


def check_new(pin: str, again: str) -> None:
    """Refuses a PIN that is none, was mistyped, or is among the first that somebody would try."""
    if not is_pin(pin):
        raise Refusal("A PIN is six digits, 0 to 9.", field="pin")
    if _repeats(pin) or pin in UP or pin in DOWN:
        raise Refusal("That is among the first PINs somebody would try. Choose another.", field="pin")
    if _is_date(pin):
        raise Refusal("That reads as a date, and dates are tried first. Choose another.", field="pin")
    if pin != again:
        raise Refusal("The second time it was another PIN. Type the same one twice.", field="pin_again")


def _repeats(pin: str) -> bool:
    """One, two or three digits over and over: 111111, 121212, 123123."""
    return any(pin == pin[:length] * (LENGTH // length) for length in (1, 2, 3))


def _is_date(pin: str) -> bool:
    a, b, c = int(pin[:2]), int(pin[2:4]), int(pin[4:])
    return any(_exists(year, month, day) for year, month, day in ((c, b, a), (c, a, b), (a, b, c)))


def _exists(year: int, month: int, day: int) -> bool:
    try:
        date(2000 + year, month, day)
    except ValueError:
        return False
    return True
