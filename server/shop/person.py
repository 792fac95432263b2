"""The people of the shop: who they are, what they may do, when they come and go."""

from datetime import datetime

from sqlmodel import Session, col, select

from server.shop import name as names
from server.shop import sign_in
from server.shop.refusal import Conflict, Missing, Refusal
from server.store.tables import Person

ROLES = ("technician", "foreman", "apprentice")


def add_person(
    db: Session, *, shop_id: int, name: str, role: str, pin_hash: str, guided: bool = False, now: datetime
) -> Person:
    """raises  Refusal, field "name" or "role"."""
    name = names.clean(name)
    if role not in ROLES:
        raise Refusal("Choose what they are: technician, foreman or apprentice.", field="role")
    key = names.key(name)
    like = db.exec(select(Person).where(Person.shop_id == shop_id, Person.name_key == key)).first()
    if like is not None:
        raise Refusal(_too_like(like), field="name")
    person = Person(
        shop_id=shop_id, name=name, name_key=key, role=role, pin_hash=pin_hash, guided=guided, created_at=now
    )
    db.add(person)
    db.flush()
    return person


def people(db: Session, shop_id: int) -> list[Person]:
    """Those who are there first, then those who have left, each by name."""
    found = db.exec(select(Person).where(Person.shop_id == shop_id)).all()
    return sorted(found, key=lambda person: (person.left_at is not None, person.name.casefold()))


def find_person(db: Session, person_id: int, *, shop_id: int) -> Person:
    """raises  Missing, also for a person of another shop."""
    person = db.get(Person, person_id)
    if person is None or person.shop_id != shop_id:
        raise Missing("There is no such person here.")
    return person


def change_pin(db: Session, person: Person, *, pin_hash: str, but: int | None = None, now: datetime) -> None:
    """A new PIN; every phone signed in with the old one is signed out, save for `but`."""
    person.pin_hash = pin_hash
    sign_in.end_all(db, sign_in.id_of(person), but=but, now=now)


def leave(db: Session, person: Person, *, now: datetime) -> None:
    """They are signed out everywhere at once; what they recorded keeps their name.

    raises  Conflict for one who has left already, or the last foreman
    """
    if person.left_at is not None:
        raise Conflict(f"{person.name} has left already.")
    if person.role == "foreman" and _foremen(db, person.shop_id) == 1:
        raise Conflict(f"{person.name} is the only foreman. Add another one first.")
    person.left_at = now
    sign_in.end_all(db, sign_in.id_of(person), now=now)


def come_back(person: Person, *, pin_hash: str) -> None:
    """raises  Conflict for one who has not left."""
    if person.left_at is None:
        raise Conflict(f"{person.name} has not left.")
    person.left_at = None
    person.pin_hash = pin_hash


def guide(person: Person, *, guided: bool) -> None:
    """Whether each step also shows them why, and what goes wrong."""
    person.guided = guided


def is_qualified(person: Person) -> bool:
    """May confirm a hold point and verify a torque."""
    return person.role in ("technician", "foreman")


def _foremen(db: Session, shop_id: int) -> int:
    here = Person.shop_id == shop_id, Person.role == "foreman", col(Person.left_at).is_(None)
    return len(db.exec(select(Person.id).where(*here)).all())


def _too_like(other: Person) -> str:
    left = ", who has left" if other.left_at is not None else ""
    return f"That reads like {other.name}{left}. Add a surname or an initial, so that nobody mixes them up."
