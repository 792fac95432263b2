"""The people of the shop, for the foreman: who comes, who leaves, whose PIN is new."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.shop import person, pin, sign_in
from server.shop.pin import Pins
from server.shop.receipt import once
from server.shop.refusal import Refusal
from server.store.tables import Person
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.page import page, saved
from server.web.visitor import Checker, Foreman, Now, RowId, Store

router = APIRouter()

ROLES = (
    ("technician", "Technician", "strips, refits, confirms hold points, verifies torques"),
    ("apprentice", "Apprentice", "strips and refits, but confirms and verifies nothing"),
    ("foreman", "Foreman", "all of that, and the people, the bays and what only a foreman may confirm"),
)
BLANK = {"name": "", "role": "technician", "guided": ""}

Act = Callable[[Session], None]
NewPin = Annotated[Fields, Depends(fields("pin", "pin_again"))]
NoFields = Annotated[Fields, Depends(fields())]


@dataclass(frozen=True, slots=True)
class Desk:
    """The foreman at the list of people."""

    request: Request
    visitor: Foreman
    store: Store
    now: Now

    def show(self, typed: dict[str, str], refusal: Refusal | None = None) -> Response:
        with self.store.reading() as db:
            people = person.people(db, self.visitor.shop_id)
        status = status_of(refusal) if refusal else 200
        known = {"people": people, "typed": typed, "roles": ROLES, "refusal": refusal}
        return page(self.request, "person/index.html", status=status, **known)

    def record(self, form: Fields, kind: str, content: dict[str, str], act: Act) -> None:
        """Once, with who did it and when. No PIN is part of the content, since a digest of that is kept."""

        def done() -> str:
            act(db)
            return "/people"

        with self.store.writing() as db:
            once(
                db,
                done,
                client_id=form.client_id,
                kind=kind,
                content=content,
                by=self.visitor.person,
                now=self.now,
            )


@dataclass(frozen=True, slots=True)
class File:
    """What the foreman has before them about one person."""

    desk: Annotated[Desk, Depends()]
    person_id: RowId

    def show(self, refusal: Refusal | None = None) -> Response:
        with self.desk.store.reading() as db:
            one = self.find(db)
        status = status_of(refusal) if refusal else 200
        return page(self.desk.request, "person/show.html", status=status, person=one, refusal=refusal)

    def change(self, form: Fields, what: str, act: Callable[[Session, Person], None]) -> Response:
        content = {"person": str(self.person_id)}
        try:
            self.desk.record(form, f"person {what}", content, lambda db: act(db, self.find(db)))
        except Refusal as refusal:
            return self.show(refusal)
        return saved(self.desk.request, f"/people/{self.person_id}")

    def find(self, db: Session) -> Person:
        return person.find_person(db, self.person_id, shop_id=self.desk.visitor.shop_id)


AtDesk = Annotated[Desk, Depends()]
OnFile = Annotated[File, Depends()]


@router.get("/people")
def show_people(desk: AtDesk) -> Response:
    return desk.show(BLANK)


@router.post("/people")
def create_person(
    desk: AtDesk,
    pins: Checker,
    form: Annotated[Fields, Depends(fields("name", "role", "guided", "pin", "pin_again"))],
) -> Response:
    typed = {name: form[name] for name in BLANK}

    def add(db: Session) -> None:
        person.add_person(
            db,
            shop_id=desk.visitor.shop_id,
            name=form["name"],
            role=form["role"],
            guided=bool(form["guided"]),
            pin_hash=pin_hash,
            now=desk.now,
        )

    try:
        pin_hash = _new_hash(pins, form)
        desk.record(form, "person", typed, add)
    except Refusal as refusal:
        return desk.show(typed, refusal)
    return saved(desk.request, "/people")


@router.get("/people/{person_id}")
def show_person(file: OnFile) -> Response:
    return file.show()


@router.post("/people/{person_id}/pin")
def change_pin(file: OnFile, pins: Checker, form: NewPin) -> Response:
    desk = file.desk

    def change(db: Session, one: Person) -> None:
        here = desk.visitor.sign_in_id if one.id == desk.visitor.person.id else None
        person.change_pin(db, one, pin_hash=pin_hash, but=here, now=desk.now)

    try:
        pin_hash = _new_hash(pins, form)
    except Refusal as refusal:
        return file.show(refusal)
    return file.change(form, "pin", change)


@router.post("/people/{person_id}/return")
def come_back(file: OnFile, pins: Checker, form: NewPin) -> Response:
    try:
        pin_hash = _new_hash(pins, form)
    except Refusal as refusal:
        return file.show(refusal)
    return file.change(form, "return", lambda _db, one: person.come_back(one, pin_hash=pin_hash))


@router.post("/people/{person_id}/departure")
def leave(file: OnFile, form: NoFields) -> Response:
    return file.change(form, "departure", lambda db, one: person.leave(db, one, now=file.desk.now))


@router.post("/people/{person_id}/sign-outs")
def sign_out_everywhere(file: OnFile, form: NoFields) -> Response:
    """For a phone that was lost."""

    def sign_out(db: Session, _one: Person) -> None:
        sign_in.end_all(db, file.person_id, now=file.desk.now)

    return file.change(form, "sign-outs", sign_out)


@router.post("/people/{person_id}/guided")
def change_guided(file: OnFile, form: Annotated[Fields, Depends(fields("guided"))]) -> Response:
    guided = form["guided"] == "yes"
    what = "guided on" if guided else "guided off"
    return file.change(form, what, lambda _db, one: person.guide(one, guided=guided))


def _new_hash(pins: Pins, form: Fields) -> str:
    pin.check_new(form["pin"], form["pin_again"])
    return pins.hash(form["pin"])
