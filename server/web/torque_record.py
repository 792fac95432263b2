"""Torques at a step: pulled, pinned, corrected, and verified by a second person."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.procedure.model import FrontEnd
from server.shop import torque_record as rule
from server.shop.capture import Hand
from server.shop.move import Rung
from server.shop.person import find_person
from server.shop.refusal import Missing, Refusal
from server.shop.row import known
from server.shop.sign_in import check_pin
from server.shop.step import start
from server.shop.tightening import Tightening, awaits_pin, tightenings
from server.shop.torque_record import Pull
from server.store.tables import Job, Person, Step, TorqueRecord
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.step import AtStep, Here, Part, Tried
from server.web.visitor import Checker, RowId

router = APIRouter()


@router.post("/steps/{step_id}/torques")
def create_torque(
    here: Here,
    form: Annotated[Fields, Depends(fields("fastener", "text", "wrench", "setting", "paint", "confirmed"))],
) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        start(db, job, step, front_end, by=here.visitor.person, now=here.now)
        said = Pull(
            form["text"],
            form["wrench"],
            form["setting"],
            form["paint"] == "yes",
            form["confirmed"] == "yes",
        )
        pending = _tightening(db, step, front_end, form["fastener"], "torque")
        rule.pull(db, step, pending, _hand(here, form), said)

    return here.write(
        form, "torque", act, part=_part(form["fastener"], "torque"), name=f"torque {form['fastener']}"
    )


@router.post("/steps/{step_id}/pins")
def create_pin(here: Here, form: Annotated[Fields, Depends(fields("fastener"))]) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        start(db, job, step, front_end, by=here.visitor.person, now=here.now)
        rule.pin(db, step, _tightening(db, step, front_end, form["fastener"], "cotter"), _hand(here, form))

    return here.write(
        form, "pin", act, part=_part(form["fastener"], "cotter"), name=f"pin {form['fastener']}"
    )


@router.post("/steps/{step_id}/torques/{record_id}/correction")
def create_correction(
    here: Here, record_id: RowId, form: Annotated[Fields, Depends(fields("text", "reason", "confirmed"))]
) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        start(db, job, step, front_end, by=here.visitor.person, now=here.now)
        before = _record(db, step, record_id)
        if before.act != "torque":
            raise Missing("There is no such torque at this step.")
        pending = _tightening(db, step, front_end, before.fastener, "torque")
        said = Pull(form["text"], confirmed=form["confirmed"] == "yes")
        rule.correct(db, step, pending, before, _hand(here, form), said, reason=form["reason"])

    return here.write(form, f"correct {record_id}", act, part=_of(here, record_id))


@router.post("/steps/{step_id}/torques/{record_id}/verification")
def create_verification(
    here: Here,
    record_id: RowId,
    pins: Checker,
    form: Annotated[Fields, Depends(fields("person", "pin"))],
) -> Response:
    name, part = f"verify {record_id}", _of(here, record_id)
    try:
        second = _second_person(here, pins, form)
    except Refusal as refusal:
        return here.show(part=part, tried=Tried(name, form, refusal), status=status_of(refusal))

    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        record = _record(db, step, record_id)
        if awaits_pin(tightenings(db, step, Rung.of(front_end, step), front_end), record):
            raise Refusal("The cotter pin comes first: the second person looks at it too.")
        rule.verify(db, record, Hand(second, here.now, form.client_id))

    return here.write(form, name, act, part=part)


def _second_person(here: AtStep, pins: Checker, form: Fields) -> Person:
    """The one who verifies: the person signed in, or another who gives their PIN for this one act."""
    if not form["person"]:
        return here.visitor.person
    if not (form["person"].isascii() and form["person"].isdigit() and len(form["person"]) <= 9):
        raise Refusal("Choose who verifies.", field="person")
    with here.store.reading() as db:
        second = find_person(db, int(form["person"]), shop_id=here.visitor.shop_id)
    if second.id == here.visitor.person_id:
        return here.visitor.person
    return check_pin(
        here.store,
        pins,
        person_id=known(second.id),
        pin=form["pin"],
        sender=here.visitor.sender,
        now=here.now,
    )


def _tightening(db: Session, step: Step, front_end: FrontEnd, fastener: str, act: str) -> Tightening:
    for one in tightenings(db, step, Rung.of(front_end, step), front_end):
        if (one.fastener.id, one.act) == (fastener, act):
            return one
    raise Missing("This step does not tighten that. Load the page again.")


def _record(db: Session, step: Step, record_id: int) -> TorqueRecord:
    record = db.get(TorqueRecord, record_id)
    if record is None or record.step_id != step.id:
        raise Missing("There is no such torque at this step.")
    return record


def _of(here: AtStep, record_id: int) -> Part:
    with here.store.reading() as db:
        _, step, _ = here.find(db)
        record = _record(db, step, record_id)
    return _part(record.fastener, record.act)


def _part(fastener: str, act: str) -> Part:
    return Part("tightening", fastener, act)


def _hand(here: AtStep, form: Fields) -> Hand:
    return Hand(here.visitor.person, here.now, form.client_id)
