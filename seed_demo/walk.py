"""Walks a job along its ladder by the shop's own rules: nothing is inserted behind its people's back."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count

from sqlmodel import Session

from server.procedure.model import FrontEnd, Wanted
from server.shop import capture, decision, step, tag, tightening, torque_record
from server.shop.capture import Hand
from server.shop.hold import holds_at
from server.shop.lack import asked
from server.shop.move import Rung, undone_by
from server.shop.row import known
from server.shop.target import refresh
from server.shop.torque_record import Pull
from server.store.engine import Store
from server.store.photo import PhotoStore
from server.store.tables import Capture, Job, Person, Photo, Step

Picture = Callable[[Wanted, str], bytes]  # what a photo of a wanted capture at a place shows


@dataclass
class Story:
    """The invented figures and words of one job."""

    figures: Mapping[tuple[str, str], str]  # (wanted id, place) -> as typed; place "" fits everywhere
    words: Mapping[str, str]  # wanted id -> note or mark
    verdicts: Mapping[str, tuple[str, str]] = field(default_factory=dict)  # part -> verdict and reason

    def typed(self, wanted: Wanted, place: str, direction: str) -> str:
        """What is typed for a wanted figure, the one of this direction before the general one."""
        for key in ((f"{wanted.id}@{direction}", place), (wanted.id, place), (wanted.id, "")):
            if key in self.figures:
                return self.figures[key]
        raise KeyError(f"no figure for {wanted.id} at {place}, {direction}")


@dataclass
class Walk:
    """One job being worked on."""

    store: Store
    photos: PhotoStore
    front_ends: dict[str, FrontEnd]
    job_id: int
    story: Story
    picture: Picture
    now: datetime
    sent: Iterator[int] = field(default_factory=count)

    def steps(self) -> list[Step]:
        """The steps as they stand."""
        with self.store.reading() as db:
            return step.steps_of(db, self.job_id)

    def ready(self) -> list[Step]:
        """The steps that can be done now, in their planned order."""
        steps = self.steps()
        return [one for one in steps if one.state == "to do" and not step.waits_for(one, steps)]

    def until(
        self, stop: Callable[[Step], bool], *, by: Person, second: Person | None, unverified: bool = False
    ) -> Step:
        """Do step after step up to, and without, the first that `stop` is true of."""
        for one in self.steps():
            if one.state == "done":
                continue
            if stop(one):
                return one
            self.do(one, by=by, second=None if unverified else second, confirmer=second or by)
        raise LookupError("no step to stop at")

    def do(self, one: Step, *, by: Person, second: Person | None, confirmer: Person | None = None) -> None:
        """Start a step, take what it asks for, and finish it."""
        self.start(one, by=by, confirmer=confirmer or second or by)
        self.take(one, by=by)
        self.tighten(one, by=by, second=second)
        self.finish(one, by=by, confirmer=confirmer or second or by)

    def start(self, one: Step, *, by: Person, confirmer: Person) -> None:
        """Take a step in hand; what has to be confirmed first is confirmed."""
        with self.store.writing() as db:
            job, here = self._job(db), self._step(db, one)
            step.start(db, job, here, self._front_end(job), by=by, now=self.now)
            self._confirm(db, job, here, by=confirmer)

    def take(self, one: Step, *, by: Person) -> None:
        """Take every capture a step asks for, then decide what is to be decided."""
        with self.store.reading() as db:
            front_end = self._front_end(self._job(db))
        for wanted, place in asked(one, Rung.of(front_end, one)):
            if wanted.required or (wanted.id, place) in self.story.figures or wanted.kind == "photo":
                self.capture(one, wanted, place, by=by)
        if front_end.operation(one.operation).decides:
            self.decide(one, by=by)

    def capture(self, one: Step, wanted: Wanted, place: str, *, by: Person) -> None:
        """Take one wanted capture."""
        stored = self._store_picture(wanted, place) if wanted.kind in ("photo", "mark") else None
        with self.store.writing() as db:
            job, here = self._job(db), self._step(db, one)
            if wanted.kind == "measurement":
                typed = self.story.typed(wanted, place, one.direction)
                capture.measure_at(
                    db, here, wanted, self.hand(by), place=place, text=typed, confirmed=True, system="inch"
                )
            elif stored is not None:
                self._picture_and_mark(db, here, wanted, place, stored, by=by)
            else:
                words = self.story.words.get(wanted.id) or (wanted.options or ("as it came",))[0]
                capture.note_at(db, here, self.hand(by), text=words, wanted=wanted, place=place)
            refresh(db, job, self._front_end(job), now=self.now)

    def decide(self, one: Step, *, by: Person) -> None:
        """Decide on every part that is off at this step's place."""
        with self.store.writing() as db:
            job, here = self._job(db), self._step(db, one)
            front_end = self._front_end(job)
            evidence = self._evidence(db, here)
            for open_one in decision.to_decide(db, here, front_end):
                if open_one.decision is None:
                    verdict, reason = self.story.verdicts.get(
                        open_one.part.id, ("reuse", "no play, no cracks")
                    )
                    decision.decide(
                        db,
                        here,
                        open_one.part,
                        client_id=self.client_id(),
                        verdict=verdict,
                        reason=reason,
                        evidence=evidence,
                        by=by,
                        now=self.now,
                    )
            refresh(db, job, front_end, now=self.now)

    def tighten(self, one: Step, *, by: Person, second: Person | None) -> None:
        """Pull every torque of a step in the middle of its window; a second person verifies."""
        with self.store.writing() as db:
            here = self._step(db, one)
            front_end = self._front_end(self._job(db))
            rung = Rung.of(front_end, here)
            for at in range(len(tightening.tightenings(db, here, rung, front_end))):
                while (todo := tightening.tightenings(db, here, rung, front_end)[at]).next_stage is not None:
                    self._pull(db, here, todo, by=by)
                done = tightening.tightenings(db, here, rung, front_end)[at].recorded[-1].record
                if second is not None and tightening.needs_second(done, front_end):
                    torque_record.verify(db, done, self.hand(second))

    def finish(self, one: Step, *, by: Person, confirmer: Person) -> None:
        """Say that a step is done, putting back what belongs to it; what has to be confirmed is confirmed."""
        if one.operation == "release":
            return
        self.now += timedelta(minutes=self._minutes(one))
        with self.store.writing() as db:
            job, here = self._job(db), self._step(db, one)
            front_end = self._front_end(job)
            back = tag.on_rungs(
                tag.tags_of_job(db, self.job_id, front_end),
                undone_by(front_end, here.operation),
                here.place,
                state="out",
            )
            step.finish(
                db,
                job,
                here,
                front_end,
                client_id=self.client_id(),
                revision=here.revision,
                put_back={each.tag.number for each in back},
                by=by,
                now=self.now,
            )
            self._confirm(db, job, here, by=confirmer)

    def discard_renewed(self, *, by: Person) -> None:
        """Throw away every old part whose successor is on the car."""
        with self.store.writing() as db:
            front_end = self._front_end(self._job(db))
            for seen in tag.tags_of_job(db, self.job_id, front_end):
                if seen.tag.state == "out" and seen.to_be_discarded:
                    tag.discard(db, seen, front_end, client_id=self.client_id(), by=by, now=self.now)

    def hand(self, by: Person) -> Hand:
        """That person, now, with a fresh id."""
        return Hand(by, self.now, self.client_id())

    def client_id(self) -> str:
        """An id no other write of this walk has."""
        return f"walk-{self.job_id:06d}-{next(self.sent):06d}"

    def _pull(self, db: Session, here: Step, todo: tightening.Tightening, *, by: Person) -> None:
        if todo.act == "cotter":
            torque_record.pin(db, here, todo, self.hand(by))
            return
        low_Nm, high_Nm = todo.window_Nm(todo.next_stage or 1)
        middle_Nm = (low_Nm + high_Nm) / 2
        said = Pull(f"{middle_Nm:.1f} N·m", wrench="Half-inch click wrench", paint=True)
        torque_record.pull(db, here, todo, self.hand(by), said)

    def _picture_and_mark(
        self, db: Session, here: Step, wanted: Wanted, place: str, stored: Photo, *, by: Person
    ) -> None:
        photo = capture.photograph_at(
            db,
            here,
            self.hand(by),
            stored,
            key=wanted.id,
            place=place,
        )
        if wanted.kind == "mark":
            words = self.story.words.get(wanted.id, "paint line across both, white")
            capture.mark_at(db, here, self.hand(by), photo, text=words, x=0.5, y=0.45, key=wanted.id)

    def _store_picture(self, wanted: Wanted, place: str) -> Photo:
        stored = self.photos.put(self.picture(wanted, place))
        return Photo(
            digest=stored.digest,
            width=stored.width,
            height=stored.height,
            size=stored.size,
            stored_at=self.now,
        )

    def _evidence(self, db: Session, here: Step) -> Capture | None:
        taken = capture.standing(db, job_id=self.job_id, step_ids=[known(here.id)])
        return next((one.capture for one in taken if one.capture.kind in ("photo", "measurement")), None)

    def _confirm(self, db: Session, job: Job, here: Step, *, by: Person) -> None:
        for hold in holds_at(db, here).values():
            if hold.confirmed_at is None:
                step.confirm_hold(
                    db,
                    job,
                    here,
                    hold,
                    self._front_end(job),
                    client_id=self.client_id(),
                    by=by,
                    now=self.now,
                )

    def _minutes(self, one: Step) -> float:
        with self.store.reading() as db:
            return Rung.of(self._front_end(self._job(db)), one).minutes

    def _job(self, db: Session) -> Job:
        return db.get_one(Job, self.job_id)

    def _step(self, db: Session, one: Step) -> Step:
        return db.get_one(Step, known(one.id))

    def _front_end(self, job: Job) -> FrontEnd:
        return self.front_ends[job.front_end]
