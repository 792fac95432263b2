"""One line of a spec sheet: written, corrected, or taken over from what grade and thread give."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Response
from sqlmodel import Session

from server.compute.grade import GRADES
from server.procedure.model import FrontEnd
from server.shop import spec as rule
from server.shop.capture import NeedsConfirming
from server.shop.generic_torque import FINISHES, Joint, Proposal, propose
from server.shop.refusal import Refusal
from server.shop.spec_sheet import SheetLine, sheet_line, thread_of
from server.store.tables import Spec, Vehicle
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.spec import AtSheet, Here

router = APIRouter()

Key = Annotated[str, Path(pattern=r"^[a-z][a-z0-9.-]{0,59}$")]
Short = Annotated[str, Query(max_length=60)]
NAMES = ("text", "source", "generic", "confirmed", "supersedes", "reason")


@router.get("/vehicles/{vehicle_id}/spec/{key}")
@router.get("/vehicles/{vehicle_id}/corner/{key}")
@router.get("/vehicles/{vehicle_id}/points/{key}")
def show_line(here: Here, key: Key, grade: Short = "", thread: Short = "", finish: Short = "") -> Response:
    """The line; with grade, thread and finish also the generic torque that they give."""
    if not (grade or thread or finish):
        return _show(here, key)
    joint = Joint(grade, thread, finish)
    try:
        return _show(here, key, joint=joint, proposal=propose(joint, system=here.visitor.system))
    except Refusal as refusal:
        return _show(here, key, joint=joint, refusal=refusal)


@router.post("/vehicles/{vehicle_id}/spec/{key}")
@router.post("/vehicles/{vehicle_id}/corner/{key}")
@router.post("/vehicles/{vehicle_id}/points/{key}")
def write_line(here: Here, key: Key, form: Annotated[Fields, Depends(fields(*NAMES))]) -> Response:
    def act(db: Session, vehicle: Vehicle, front_end: FrontEnd) -> None:
        line = here.line(front_end, key)
        rule.write_line(
            db,
            vehicle,
            line,
            client_id=form.client_id,
            text=form["text"],
            source=form["source"],
            generic=form["generic"] == "yes",
            confirmed=form["confirmed"] == "yes",
            supersedes=_standing(sheet_line(db, vehicle, line), form["supersedes"]),
            reason=form["reason"],
            by=here.visitor.person,
            now=here.now,
        )

    typed = {name: form[name] for name in NAMES}
    return here.write(form, f"line {key}", act, lambda refusal: _show(here, key, typed, refusal=refusal))


def _standing(seen: SheetLine, supersedes: str) -> Spec | None:
    """What the page showed as standing; raises Refusal for what never stood on this line."""
    if not supersedes:
        return None
    for one in seen.written:
        if str(one.spec.id) == supersedes:
            return one.spec
    raise Refusal("That is not what stands on this line. Load the page again.")


def _show(
    here: AtSheet,
    key: str,
    typed: Mapping[str, str] | None = None,
    *,
    refusal: Refusal | None = None,
    joint: Joint | None = None,
    proposal: Proposal | None = None,
) -> Response:
    with here.store.reading() as db:
        vehicle, front_end = here.find(db)
        seen = sheet_line(db, vehicle, here.line(front_end, key))
        return here.page(
            db,
            "spec/line.html",
            status=status_of(refusal) if refusal else 200,
            seen=seen,
            typed=typed or _start(seen, proposal),
            refusal=refusal,
            asks_again=isinstance(refusal, NeedsConfirming),
            joint=joint or Joint("", thread_of(front_end, key), ""),
            proposal=proposal,
            grades=[("", "choose"), *((grade, grade) for grade in GRADES)],
            finishes=[("", "choose"), *((name, words) for name, (_, words) in FINISHES.items())],
        )


def _start(seen: SheetLine, proposal: Proposal | None) -> dict[str, str]:
    """What the form starts with: the proposal, or what stands."""
    empty = dict.fromkeys(NAMES, "")
    if proposal:
        return empty | {"text": proposal.text, "source": proposal.source, "generic": "yes"}
    if seen.standing:
        return empty | {"text": seen.standing.spec.text, "source": seen.standing.spec.source}
    return empty
