"""Wrong PINs slow down whoever types them, without shutting the owner out.

A try is written down before it is checked, so that fifty at once are not fifty tries; a right one is
struck off. A phone on which the person has signed in before is counted by itself: guesses from elsewhere do
not make its owner wait. All else is counted by person and by address, and the longer of the two waits holds.
"""

import hashlib
import ipaddress
from dataclasses import dataclass
from datetime import datetime, timedelta

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.shop.refusal import TooSoon
from server.store.tables import Guess, SignIn

WAITS_s = (0, 0, 0, 5, 15, 60, 60, 60, 60, 60, 300)  # after so many wrong ones; the last for all further
REMEMBERED = timedelta(hours=24)
TRUSTED_PHONE_GUESSES = 10  # then the phone counts as a stranger's


@dataclass(frozen=True, slots=True)
class Sender:
    """Where a request came from.

    address  network address, or "" where there is none
    device   the phone's own long-lived token, or ""
    """

    address: str
    device: str = ""

    @property
    def place(self) -> str:
        """The address as guesses are counted: of IPv6 the network, since a host has all of it to itself."""
        try:
            address = ipaddress.ip_address(self.address)
        except ValueError:
            return self.address
        if isinstance(address, ipaddress.IPv6Address):
            return str(address.ipv4_mapped or ipaddress.ip_network((address, 64), strict=False))
        return str(address)

    @property
    def device_hash(self) -> str:
        return hashlib.sha256(self.device.encode()).hexdigest() if self.device else ""


def write_down(db: Session, *, person_id: int | None, sender: Sender, now: datetime) -> Guess:
    """Counts a try as wrong until `strike_off` says otherwise.

    raises  TooSoon while the wait after earlier ones is not over
    """
    trusted = _trusted_place(db, person_id=person_id, sender=sender, now=now)
    if trusted:
        wait = _wait(db, Guess.person_id == person_id, Guess.address == trusted, now=now)
    else:
        wait = max(
            _wait(db, Guess.address == sender.place, now=now),
            _wait(db, Guess.person_id == person_id, col(Guess.address).not_like("phone:%"), now=now)
            if person_id is not None
            else timedelta(0),
        )
    if wait > timedelta(0):
        raise _too_soon(wait)
    guess = Guess(person_id=person_id, address=trusted or sender.place, at=now)
    db.add(guess)
    db.flush()
    return guess


def strike_off(db: Session, guess: Guess) -> None:
    """The PIN was right: this try and the person's earlier ones from the same place count no longer."""
    same = col(Guess.person_id) == guess.person_id, col(Guess.address) == guess.address
    db.exec(sa.delete(Guess).where(*same))


def _trusted_place(db: Session, *, person_id: int | None, sender: Sender, now: datetime) -> str:
    """The phone as a place of its own if this person has signed in on it before and not guessed too often."""
    if person_id is None or not sender.device:
        return ""
    known = select(SignIn.id).where(SignIn.person_id == person_id, SignIn.device == sender.device_hash)
    if db.exec(known).first() is None:
        return ""
    place = f"phone:{sender.device_hash}"
    guesses = _recent(db, Guess.person_id == person_id, Guess.address == place, now=now)
    return place if len(guesses) < TRUSTED_PHONE_GUESSES else ""


def _wait(db: Session, *where: bool | sa.ColumnElement[bool], now: datetime) -> timedelta:
    """What is left of the wait after the last of these guesses; never longer than the wait itself."""
    guesses = _recent(db, *where, now=now)
    if not guesses:
        return timedelta(0)
    whole = timedelta(seconds=WAITS_s[min(len(guesses), len(WAITS_s) - 1)])
    return min(whole, guesses[-1] + whole - now)


def _recent(db: Session, *where: bool | sa.ColumnElement[bool], now: datetime) -> list[datetime]:
    return list(db.exec(select(Guess.at).where(*where, Guess.at > now - REMEMBERED).order_by(col(Guess.at))))


def _too_soon(wait: timedelta) -> TooSoon:
    seconds = int(wait.total_seconds()) + 1
    shown = f"{seconds} s" if seconds < 120 else f"{-(-seconds // 60)} min"
    return TooSoon(f"Too many wrong PINs. Try again in {shown}.", wait_s=seconds, field="pin")
