"""Who is at which phone: signed in by name and PIN, on the server, until signed out or too long away."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from server.shop import name as names
from server.shop.guess import Sender, strike_off, write_down
from server.shop.pin import Pins, is_pin
from server.shop.refusal import Forbidden, Refusal
from server.store.engine import Store
from server.store.tables import Person, Shop, SignIn

TOKEN_BYTES = 32
SEEN_EVERY = timedelta(minutes=1)  # a page view is not worth a disk sync
WRONG = "That name and PIN do not belong together."
NOT_SIX = "A PIN is six digits, 0 to 9."

# Put together once: every request asks it.
_BEHIND = (
    select(SignIn, Person, Shop)
    .join(Person, col(Person.id) == SignIn.person_id)
    .join(Shop, col(Shop.id) == Person.shop_id)
    .where(SignIn.token_hash == bindparam("token_hash"))
    .where(col(SignIn.ended_at).is_(None), col(Person.left_at).is_(None))
)


@dataclass(frozen=True, slots=True)
class Limits:
    """How long a sign-in lasts: without a tap, and at the longest."""

    idle: timedelta
    longest: timedelta


@dataclass(frozen=True, slots=True)
class Ticket:
    """What the phone is given: only here are both tokens in the clear."""

    token: str
    device: str
    person: Person


@dataclass(frozen=True, slots=True)
class Present:
    """A valid sign-in, with whose it is and in which shop."""

    sign_in: SignIn
    person: Person
    shop: Shop


def sign_in(store: Store, pins: Pins, *, name: str, pin: str, sender: Sender, now: datetime) -> Ticket:
    """Check name and PIN and open a session. Opens blocks of its own: call it outside of any.

    raises  Refusal, the same for an unknown name as for a wrong PIN; TooSoon
    """
    with store.reading() as db:
        person = db.exec(select(Person).where(Person.name_key == names.key(name))).first()
    person = _checked(store, pins, person, pin=pin, sender=sender, now=now)
    with store.writing() as db:
        return open_session(db, person, sender=sender, now=now)


def check_pin(
    store: Store, pins: Pins, *, person_id: int, pin: str, sender: Sender, now: datetime, field: str = "pin"
) -> Person:
    """That this person, at whoever's phone, is the one with the PIN. Opens blocks of its own.

    raises  Refusal, TooSoon, both with that field
    """
    with store.reading() as db:
        person = db.get(Person, person_id)
    try:
        return _checked(store, pins, person, pin=pin, sender=sender, now=now)
    except Refusal as refusal:
        refusal.field = field
        raise


def open_session(db: Session, person: Person, *, sender: Sender, now: datetime) -> Ticket:
    """A new session with new tokens. The phone's own token stays only if it is one that we know."""
    token, device = secrets.token_urlsafe(TOKEN_BYTES), _device(db, sender)
    db.add(
        SignIn(
            token_hash=digest(token),
            form_key=secrets.token_urlsafe(TOKEN_BYTES),
            person_id=id_of(person),
            device=Sender("", device).device_hash,
            created_at=now,
            seen_at=now,
        )
    )
    return Ticket(token, device, person)


def find(db: Session, token: str, *, limits: Limits, now: datetime) -> Present | None:
    """The session behind a token, unless it has ended, run out, or its person has left."""
    row = db.exec(_BEHIND, params={"token_hash": digest(token)}).first()
    if row is None or _run_out(row[0], limits=limits, now=now):
        return None
    return Present(*row)


def needs_note(sign_in: SignIn, *, now: datetime) -> bool:
    """Whether it is time to note that the phone is still in use."""
    return now - sign_in.seen_at >= SEEN_EVERY


def note_seen(db: Session, sign_in_id: int, *, now: datetime) -> None:
    row = db.get(SignIn, sign_in_id)
    if row is not None and row.ended_at is None:
        row.seen_at = max(row.seen_at, now)


def end(db: Session, sign_in_id: int, *, now: datetime) -> None:
    """Sign one phone out. What it holds opens nothing any more."""
    row = db.get(SignIn, sign_in_id)
    if row is not None and row.ended_at is None:
        row.ended_at = now


def end_all(db: Session, person_id: int, *, but: int | None = None, now: datetime) -> None:
    """Sign a person out everywhere, save for one phone if it is named."""
    for row in db.exec(select(SignIn).where(SignIn.person_id == person_id, col(SignIn.ended_at).is_(None))):
        if row.id != but:
            row.ended_at = now


def id_of(person: Person) -> int:
    if person.id is None:
        raise ValueError("a person who was never stored cannot sign in")
    return person.id


def digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _checked(
    store: Store, pins: Pins, person: Person | None, *, pin: str, sender: Sender, now: datetime
) -> Person:
    """Written down, then checked, then struck off: no block is open while the hash is computed."""
    if not is_pin(pin):
        raise Refusal(NOT_SIX, field="pin")
    if person is not None and person.left_at is not None:
        person = None
    with store.writing() as db:
        guess = write_down(db, person_id=person.id if person else None, sender=sender, now=now)
    if not pins.match(pin, person.pin_hash if person else None) or person is None:
        raise Refusal(WRONG, field="pin")
    with store.writing() as db:
        strike_off(db, guess)
        present = db.get(Person, person.id)
        if present is None or present.left_at is not None or present.pin_hash != person.pin_hash:
            raise Forbidden(WRONG, field="pin")
    return present


def _device(db: Session, sender: Sender) -> str:
    known = select(SignIn.id).where(SignIn.device == sender.device_hash)
    return sender.device if sender.device and db.exec(known).first() else secrets.token_urlsafe(TOKEN_BYTES)


def _run_out(sign_in: SignIn, *, limits: Limits, now: datetime) -> bool:
    return now - sign_in.seen_at > limits.idle or now - sign_in.created_at > limits.longest
