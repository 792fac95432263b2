"""Somebody at one step of a job: what they measure, photograph, decide, pull and say, by the shop's rules."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from hashlib import sha256
from uuid import uuid4

from sqlmodel import Session, col, select

from seed_demo.story import Pin, Story
from server.compute.unit import Quantity, plain, unit_named
from server.procedure.model import FrontEnd, Wanted
from server.shop import capture, decision, step, tag, tightening, torque_record
from server.shop.capture import Correction, Hand
from server.shop.hold import holds_at
from server.shop.lack import asked
from server.shop.move import Rung, undone_by
from server.shop.row import known
from server.shop.target import refresh
from server.shop.tightening import Recorded, Tightening
from server.shop.torque_record import Pull
from server.store.photo import PhotoStore
from server.store.tables import Capture, Job, Person, Photo, Step, Tag, TorqueRecord

Picture = Callable[[Wanted, str], bytes]  # what a photo of a wanted capture at a place shows
Pins = Callable[[Wanted, str], Sequence[Pin]]  # what is marked on it

WRENCH = "1/2 in click wrench, no. 3"
FIGURES = ("measurement", "choice")  # kinds of captures that targets can rest on


@dataclass(frozen=True, slots=True)
class Kit:
    """What the people of one job have with them, whichever step they are at."""

    photos: PhotoStore
    story: Story
    picture: Picture
    pins: Pins
    foreman: Person | None  # confirms what only a foreman may
    hung: dict[tuple[str, str], int] = field(default_factory=dict)  # (part, place) -> number of its tag


@dataclass(frozen=True, slots=True)
class AtStep:
    """One person at one step, at one moment, in an open writing block."""

    db: Session
    job: Job
    step: Step
    front_end: FrontEnd
    kit: Kit
    by: Person
    now: datetime

    @property
    def rung(self) -> Rung:
        return Rung.of(self.front_end, self.step)

    def start(self, *, confirmer: Person) -> None:
        """Take the step in hand; what has to be confirmed first is confirmed, and its parts are laid down."""
        step.start(self.db, self.job, self.step, self.front_end, by=self.by, now=self.now)
        if self.step.state == "on hold":
            self.confirm(by=confirmer)
        if self.step.direction == "down":
            self._lay_down()

    def take(self) -> None:
        """Take every capture the step asks for, then decide what is to be decided."""
        story, direction = self.kit.story, self.step.direction
        wants = [
            (wanted, place)
            for wanted, place in asked(self.step, self.rung)
            if wanted.required or wanted.kind == "photo" or story.has(wanted, place, direction)
        ]
        for wanted, place in wants:
            self.capture(wanted, place)
        if self.rung.operation.decides:
            self.decide()
        if self.rung.operation.decides or any(wanted.kind in FIGURES for wanted, _ in wants):
            self.refresh()

    def capture(self, wanted: Wanted, place: str) -> None:
        """Take one wanted capture."""
        if wanted.kind == "measurement":
            self._measure(wanted, place, self.kit.story.typed(wanted, place, self.step.direction))
        elif wanted.kind in ("photo", "mark"):
            self._photograph(wanted, place)
        else:
            words = self.kit.story.words.get(wanted.id) or (wanted.options or ("as it came",))[0]
            capture.note_at(self.db, self.step, self.hand(), text=words, wanted=wanted, place=place)

    def correct(self, wanted_id: str, place: str, typed: str, *, reason: str) -> None:
        """Correct a measurement that stands here."""
        wanted = next(one for one, _ in asked(self.step, self.rung) if one.id == wanted_id)
        before = next(one for one in self._captures() if (one.key, one.place) == (wanted_id, place))
        self._measure(wanted, place, typed, Correction(before, reason))
        self.refresh()

    def decide(self, *, at_most: int | None = None) -> None:
        """Decide on every part that is off at this place, or on the first of them."""
        shown = [one for one in self._captures() if one.kind in ("photo", "measurement")]
        open_ones = [
            one.part for one in decision.to_decide(self.db, self.step, self.front_end) if one.decision is None
        ]
        for part in open_ones[:at_most]:
            said = self.kit.story.verdict(part.id, self.step.place)
            decision.decide(
                self.db,
                self.step,
                part,
                client_id=self.client_id(),
                verdict=said.verdict,
                reason=said.reason,
                evidence=_evidence(shown, said.evidence),
                by=self.by,
                now=self.now,
            )

    def tighten(self, *, second: Person | None, confirmer: Person) -> None:
        """Pull every torque in the middle of its window; a second person verifies."""
        for pending in self.tightenings():
            self.tighten_set(pending, second=second)
        self.confirm(by=confirmer)

    def tighten_set(self, pending: Tightening, *, second: Person | None) -> None:
        """Pull one set of fasteners, stage by stage."""
        while pending.next_stage is not None:
            pulled = Recorded(self._pull(pending), self.by.name, None, ())
            pending = replace(pending, recorded=(*pending.recorded, pulled))
        if second is not None:
            self._verify(pending.recorded[-1].record, by=second)

    def pull_again(self, fastener: str, typed: str, *, reason: str, second: Person) -> None:
        """Correct the last torque recorded of a fastener; it is verified anew."""
        pending = next(one for one in self.tightenings() if one.fastener.id == fastener)
        before, said = pending.recorded[-1].record, Pull(typed, paint=True)
        record = torque_record.correct(self.db, self.step, pending, before, self.hand(), said, reason=reason)
        self._verify(record, by=second)

    def finish(self, *, confirmer: Person) -> None:
        """Say that the step is done, putting back what belongs to it."""
        step.finish(
            self.db,
            self.job,
            self.step,
            self.front_end,
            client_id=self.client_id(),
            revision=self.step.revision,
            put_back=self._put_back(),
            by=self.by,
            now=self.now,
        )
        if self.step.state == "on hold":
            self.confirm(by=confirmer)

    def confirm(self, *, by: Person) -> None:
        """Confirm every hold that is open here, in the name of whoever may."""
        for hold in holds_at(self.db, self.step).values():
            if hold.confirmed_at is None:
                step.confirm_hold(
                    self.db,
                    self.job,
                    self.step,
                    hold,
                    self.front_end,
                    client_id=self.client_id(),
                    by=self.kit.foreman or by if hold.needs_role == "foreman" else by,
                    now=self.now,
                )

    def refresh(self) -> None:
        """Work the job's targets out anew."""
        refresh(self.db, self.job, self.front_end, now=self.now)

    def tightenings(self) -> list[Tightening]:
        """What has to be tightened here, with what has been recorded."""
        return tightening.tightenings(self.db, self.step, self.rung, self.front_end)

    def hand(self, by: Person | None = None) -> Hand:
        """That person, now, with a fresh id."""
        return Hand(by or self.by, self.now, self.client_id())

    def client_id(self) -> str:
        """An id no other write has."""
        return f"walk-{uuid4()}"

    def _measure(self, wanted: Wanted, place: str, typed: str, correction: Correction | None = None) -> None:
        capture.measure_at(
            self.db,
            self.step,
            wanted,
            self.hand(),
            place=place,
            text=typed,
            confirmed=True,
            system=self.kit.story.system,
            correction=correction,
        )

    def _photograph(self, wanted: Wanted, place: str) -> None:
        """A photo, with the pins that belong on it where marks are asked for."""
        row = self._kept(self.kit.picture(wanted, place))
        photo = capture.photograph_at(self.db, self.step, self.hand(), row, key=wanted.id, place=place)
        if wanted.kind != "mark":
            return
        for pin in self.kit.pins(wanted, place):
            words = pin.words or self.kit.story.words.get(wanted.id, "paint line across both, white")
            capture.mark_at(
                self.db, self.step, self.hand(), photo, text=words, x=pin.x, y=pin.y, key=wanted.id
            )

    def _kept(self, picture: bytes) -> Photo:
        """The stored photo; the same picture is stored once, however often it is taken."""
        already = self.db.get(Photo, sha256(picture).hexdigest())
        if already is not None:
            return already
        stored = self.kit.photos.put(picture)
        return Photo(
            digest=stored.digest,
            width=stored.width,
            height=stored.height,
            size=stored.size,
            stored_at=self.now,
        )

    def _captures(self) -> list[Capture]:
        taken = capture.standing(self.db, job_id=known(self.job.id), step_ids=[known(self.step.id)])
        return [one.capture for one in taken]

    def _pull(self, pending: Tightening) -> TorqueRecord:
        if pending.act == "cotter":
            return torque_record.pin(self.db, self.step, pending, self.hand())
        typed = _middle(pending)
        said = Pull(typed, WRENCH, typed, paint=True)
        return torque_record.pull(self.db, self.step, pending, self.hand(), said)

    def _verify(self, record: TorqueRecord, *, by: Person) -> None:
        if tightening.needs_second(record, self.front_end):
            torque_record.verify(self.db, record, self.hand(by))

    def _lay_down(self) -> None:
        """Note the tags that the step has hung, and where their parts lie."""
        shelf = self.kit.story.shelves.get(self.step.place)
        for one in self.db.exec(select(Tag).where(col(Tag.step_id) == self.step.id)).all():
            self.kit.hung[one.part, one.place] = one.number
            if shelf and one.state == "out" and not one.shelf:
                tag.shelve(self.db, one, client_id=self.client_id(), shelf=shelf, by=self.by, now=self.now)

    def _put_back(self) -> set[int]:
        if self.step.direction != "up":
            return set()
        seen = tag.tags_of_job(self.db, known(self.job.id), self.front_end)
        rungs = undone_by(self.front_end, self.step.operation)
        return {one.tag.number for one in tag.on_rungs(seen, rungs, self.step.place, state="out")}


def _middle(pending: Tightening) -> str:
    """The middle of the next stage's window, in the unit of the spec sheet."""
    low_Nm, high_Nm = pending.window_Nm(pending.next_stage or 1)
    unit = unit_named("N·m" if pending.spec and "N·m" in pending.spec.text else "lbf·ft", Quantity.TORQUE)
    middle = unit.of((low_Nm + high_Nm) / 2)
    return f"{plain(middle, 0 if middle >= 10 else 1)}{unit.tail}"


def _evidence(shown: Sequence[Capture], wanted_id: str) -> Capture | None:
    """The capture a decision rests on: the one that is asked for, else the first."""
    asked_for = [one for one in shown if one.key == wanted_id]
    return next(iter([*asked_for, *shown]), None)
