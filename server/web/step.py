"""The step: one operation at one place, going one way. Shown, started, finished, confirmed, reopened."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response
from markupsafe import escape
from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.shop import step as rule
from server.shop.capture import NeedsConfirming
from server.shop.lack import Lack
from server.shop.look import unseen
from server.shop.person import people
from server.shop.refusal import Missing, Refusal
from server.shop.step_sheet import StepSheet, step_sheet
from server.shop.target import refresh
from server.shop.torque_record import may_verify
from server.shop.wrench import Adapter, Setting, setting
from server.store.engine import Store as StoreType
from server.store.tables import Hold, Job, Person, Step
from server.web.corner_drawing import corner_drawing, spring_drawing
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.library import Library
from server.web.page import page, saved, wants_fragment
from server.web.visitor import Now, RowId, Signed, Store, Visitor
from server.web.write import write

router = APIRouter()

Typed = Annotated[str, Query(max_length=60)]


@dataclass(frozen=True, slots=True)
class Tried:
    """The form that was refused, if one was: which, what was typed, and why."""

    form: str = ""
    fields: Fields | None = None
    refusal: Refusal | None = None
    is_homeless: bool = False  # its form is not on the page any more, so that the page itself has to tell

    def typed(self, form: str, name: str) -> str:
        """What was typed into that field of that form."""
        return self.fields[name] if self.fields and form == self.form else ""

    def wrong(self, form: str, name: str) -> str:
        """What is wrong with that field of that form."""
        return (
            self.refusal.sentence if self.refusal and (form, name) == (self.form, self.refusal.field) else ""
        )

    def otherwise_wrong(self, form: str, *beside: str) -> str:
        """What is wrong with that form that is said beside none of these fields."""
        if self.refusal is None or form != self.form or self.refusal.field in beside:
            return ""
        return self.refusal.sentence

    def needs_confirming(self, form: str) -> bool:
        """Whether the figure in that form wants a second look."""
        return form == self.form and isinstance(self.refusal, NeedsConfirming)

    def is_told_in(self, answer: Response) -> bool:
        """Whether the page says why, if there is anything to say."""
        return self.refusal is None or str(escape(self.refusal.sentence)).encode() in answer.body

    @property
    def orphan(self) -> str:
        """What was typed into a form that is not on the page any more."""
        typed = self.fields.content.get("text", []) if self.fields and self.is_homeless else []
        return next(iter(typed), "")

    @property
    def lacking(self) -> list[Lack]:
        """What a step still lacked when somebody said it was done."""
        return self.refusal.lacking if isinstance(self.refusal, rule.NotYet) else []


@dataclass(frozen=True, slots=True)
class Part:
    """The one part of the page that a form belongs to: an item of one of its lists."""

    kind: str = ""  # asked | free | decision | tightening | "" for the whole sheet
    key: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class AtStep:
    """What every handler of a step works with."""

    request: Request
    step_id: int
    visitor: Visitor
    store: StoreType
    library: dict[str, FrontEnd]
    now: datetime

    def find(self, db: Session) -> tuple[Job, Step, FrontEnd]:
        """The step with its job and front end; raises Missing."""
        here = Step.id == self.step_id, Job.shop_id == self.visitor.shop_id
        found = db.exec(select(Job, Step).join(Step, col(Step.job_id) == Job.id).where(*here)).first()
        if found is None:
            raise Missing("There is no such step here.")
        job, step = found
        return job, step, self.library[job.front_end]

    def write(
        self,
        form: Fields,
        kind: str,
        act: Callable[[Session, Job, Step, FrontEnd], object],
        *,
        part: Part = Part(),
        name: str = "",
        moves_on: bool = False,
    ) -> Response:
        """Do `act` once, in one block, and answer with the part of the page that it changed.

        moves_on  whether so much changes that the page is loaded anew
        name    of the form, so that a refusal is shown beside it with what was typed
        raises  Missing for a form that this step does not have
        """

        def inside(db: Session) -> str:
            job, step, front_end = self.find(db)
            act(db, job, step, front_end)
            refresh(db, job, front_end, now=self.now)
            return f"/steps/{self.step_id}"

        try:
            path = write(self.store, self.visitor, form, f"{kind} at {self.step_id}", inside, now=self.now)
        except Missing:
            raise
        except Refusal as refusal:
            return self.show(part=part, tried=Tried(name or kind, form, refusal), status=status_of(refusal))
        return saved(self.request, path, None if moves_on else lambda: self.show(part=part))

    def show(
        self,
        *,
        part: Part = Part(),
        tried: Tried = Tried(),
        status: int = 200,
        adapter: Adapter | None = None,
    ) -> Response:
        """The page, or for htmx the part of it that changed together with what depends on it."""
        is_part = wants_fragment(self.request)
        with self.store.reading() as db:
            job, step, _ = self.find(db)
            sheet = step_sheet(db, job, step, self.library)
            others = self._others(db) if sheet.tightenings else []
            changed = unseen(db, job, self.visitor.person, sheet.targets, system=self.visitor.system)
            drawing = None if is_part else corner_drawing(db, sheet, system=self.visitor.system)
            spring = None if is_part else spring_drawing(db, sheet)
        template = "step/part.swap.html" if is_part else "step/show.html"
        render = partial(
            page,
            self.request,
            template,
            status=status,
            sheet=sheet,
            unseen=changed,
            drawing=drawing,
            spring=spring,
            part=part,
            others=others,
            system=self.visitor.system,
            settings=self._settings(sheet, part, adapter or Adapter()),
            adapter=adapter or Adapter(),
        )
        answer = render(tried=tried)
        if tried.is_told_in(answer):
            return answer
        return render(tried=replace(tried, is_homeless=True))

    def _others(self, db: Session) -> list[Person]:
        """Who could be the second person at this one's phone."""
        return [one for one in people(db, self.visitor.shop_id) if may_verify(one, self.visitor.person)]

    def _settings(self, sheet: StepSheet, part: Part, adapter: Adapter) -> dict[str, Setting | Refusal]:
        """What the wrench is set to for each fastener's next stage; the adapter belongs to one of them."""
        found: dict[str, Setting | Refusal] = {}
        for one in sheet.tightenings:
            if one.act == "torque" and one.next_stage is not None:
                used = adapter if one.fastener.id == part.key else Adapter()
                try:
                    found[one.fastener.id] = setting(one, one.next_stage, used, system=self.visitor.system)
                except Refusal as refusal:
                    found[one.fastener.id] = refusal
        return found


async def at_step(
    request: Request, step_id: RowId, visitor: Signed, store: Store, library: Library, now: Now
) -> AtStep:
    return AtStep(request, step_id, visitor, store, library, now)


Here = Annotated[AtStep, Depends(at_step)]


@router.get("/steps/{step_id}")
def show_step(here: Here) -> Response:
    return here.show()


@router.get("/steps/{step_id}/settings/{fastener}")
def show_setting(
    here: Here, fastener: str, handle: Typed = "", reach: Typed = "", angle: Typed = ""
) -> Response:
    """The same page, with the wrench's setting for a fastener worked out for an adapter."""
    return here.show(part=Part("tightening", fastener, "torque"), adapter=Adapter(handle, reach, angle))


@router.post("/steps/{step_id}/start")
def start_step(here: Here, form: Annotated[Fields, Depends(fields())]) -> Response:
    return here.write(
        form,
        "start",
        lambda db, job, step, front_end: rule.start(
            db, job, step, front_end, by=here.visitor.person, now=here.now
        ),
    )


@router.post("/steps/{step_id}/finish")
def finish_step(
    here: Here, form: Annotated[Fields, Depends(fields("revision", many=("put_back",)))]
) -> Response:
    return here.write(
        form,
        "finish",
        lambda db, job, step, front_end: rule.finish(
            db,
            job,
            step,
            front_end,
            client_id=form.client_id,
            revision=_number(form["revision"]),
            put_back={_number(one) for one in form.many("put_back")},
            by=here.visitor.person,
            now=here.now,
        ),
        moves_on=True,
    )


@router.post("/steps/{step_id}/holds/{hold_id}/confirmation")
def confirm_hold(here: Here, hold_id: RowId, form: Annotated[Fields, Depends(fields())]) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        hold = _hold_of(db, step, hold_id)
        rule.confirm_hold(
            db, job, step, hold, front_end, client_id=form.client_id, by=here.visitor.person, now=here.now
        )

    return here.write(form, f"confirm {hold_id}", act)


@router.post("/steps/{step_id}/holds/{hold_id}/denial")
def deny_hold(here: Here, hold_id: RowId, form: Annotated[Fields, Depends(fields())]) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        rule.deny_hold(job, step, _hold_of(db, step, hold_id), by=here.visitor.person)

    return here.write(form, f"deny {hold_id}", act, name=f"confirm {hold_id}")


@router.post("/steps/{step_id}/reopening")
def reopen_step(here: Here, form: Annotated[Fields, Depends(fields("revision"))]) -> Response:
    return here.write(
        form,
        "reopen",
        lambda db, job, step, front_end: rule.reopen(
            db,
            job,
            step,
            front_end,
            client_id=form.client_id,
            revision=_number(form["revision"]),
            by=here.visitor.person,
            now=here.now,
        ),
    )


def _hold_of(db: Session, step: Step, hold_id: int) -> Hold:
    hold = db.get(Hold, hold_id)
    if hold is None or hold.step_id != step.id:
        raise Missing("There is no such hold at this step.")
    return hold


def _number(text: str) -> int:
    """A number that the page itself put into the form."""
    if not (text.isascii() and text.isdigit() and len(text) <= 9):
        raise Refusal("This page is not as we made it. Load it again.")
    return int(text)
