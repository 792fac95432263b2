"""Bench decisions at a step."""

from typing import Annotated, TypeVar

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.procedure.model import FrontEnd
from server.shop import decision as rule
from server.shop.capture import Hand, photograph_at
from server.shop.decision import to_decide
from server.shop.move import Rung
from server.shop.refusal import Missing, Refusal
from server.shop.step import start
from server.store.tables import Capture, Decision, Job, Step
from server.web.capture import store_photo
from server.web.form import Fields, fields
from server.web.step import Here, Part, Tried
from server.web.visitor import Photos

router = APIRouter()

Row = TypeVar("Row", Capture, Decision)


@router.post("/steps/{step_id}/decisions")
def create_decision(
    here: Here,
    photos: Photos,
    form: Annotated[
        Fields, Depends(fields("part", "verdict", "reason", "evidence", "supersedes", files=("photo",)))
    ],
) -> Response:
    part, name = Part("decision", form["part"]), f"decision {form['part']}"
    try:
        stored = [store_photo(here, photos, upload) for upload in form.files("photo")]
    except Refusal as refusal:
        return here.show(part=part, tried=Tried(name, form, refusal), status=422)

    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        person, now = here.visitor.person, here.now
        start(db, job, step, front_end, by=person, now=now)
        decides = Rung.of(front_end, step).operation.decides
        parts = to_decide(db, step, front_end) if decides else []
        open_one = next((one for one in parts if one.part.id == form["part"]), None)
        if open_one is None:
            raise Missing("That part is not decided on here. Load the page again.")
        taken = [
            photograph_at(db, step, Hand(person, now, f"{form.client_id}.{number}"), photo)
            for number, photo in enumerate(stored)
        ]
        rule.decide(
            db,
            step,
            open_one.part,
            client_id=form.client_id,
            verdict=form["verdict"],
            reason=form["reason"],
            evidence=taken[0] if taken else _find(db, Capture, form["evidence"]),
            by=person,
            now=now,
            supersedes=_find(db, Decision, form["supersedes"]),
        )

    return here.write(form, "decision", act, part=part, name=name)


def _find(db: Session, table: type[Row], text: str) -> Row | None:
    return db.get(table, int(text)) if text.isascii() and text.isdigit() and len(text) <= 9 else None
