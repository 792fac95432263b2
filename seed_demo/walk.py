"""Walks a job along its ladder by the shop's own rules: nothing is inserted behind its people's back."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from sqlmodel import Session

from seed_demo.at_step import AtStep, Kit, Picture, Pins
from seed_demo.story import Pin, Story
from server.procedure.model import FrontEnd, Wanted
from server.shop import step, tag
from server.shop.move import Rung
from server.shop.row import known
from server.store.engine import Store
from server.store.photo import PhotoStore
from server.store.tables import Job, Person, Step

__all__ = ["Picture", "Story", "Walk"]

Later = Callable[[datetime, float], datetime]  # the time when so many minutes of work are done
Stop = Callable[[Step], bool]

TAKEN_AT, PULLED_AT = 0.5, 0.9  # shares of a step's time


def straight_on(now: datetime, minutes: float) -> datetime:
    """Work without a break."""
    return now + timedelta(minutes=minutes)


def nominal(_seq: int) -> float:
    """Every step takes its nominal time."""
    return 1.0


def in_the_middle(_wanted: Wanted, _place: str) -> Sequence[Pin]:
    """One pin, about where a photo shows what it is of."""
    return (Pin(),)


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
    pins: Pins = in_the_middle
    later: Later = straight_on
    pace: Callable[[int], float] = nominal  # how long the step of that number takes, over its nominal time
    foreman: Person | None = None
    hung: dict[tuple[str, str], int] = field(default_factory=dict)  # (part, place) -> number of its tag
    _open: Session | None = field(default=None, init=False, repr=False)
    _held: Job | None = field(default=None, init=False, repr=False)

    def steps(self) -> list[Step]:
        """The steps as they stand."""
        with self.block() as db:
            return step.steps_of(db, self.job_id)

    def ready(self) -> list[Step]:
        """The steps that can be done now, in their planned order."""
        return step.ready(self.steps())

    def until(self, stop: Stop, *, by: Person, second: Person | None, unverified: bool = False) -> Step:
        """Do step after step up to, and without, the first that `stop` is true of."""
        with self.block():
            steps = self.steps()
            for one in steps:
                if one.state == "done":
                    continue
                if stop(one):
                    return one
                self.do(one, by=by, second=None if unverified else second, confirmer=second or by)
        raise LookupError("no step to stop at")

    def do(self, one: Step, *, by: Person, second: Person | None, confirmer: Person | None = None) -> None:
        """Start a step, take what it asks for, and finish it; a release is left to whoever releases."""
        confirmer = confirmer or second or by
        with self.block():
            self.start(one, by=by, confirmer=confirmer)
            self._pass(one, TAKEN_AT)
            self.take(one, by=by)
            self._pass(one, PULLED_AT - TAKEN_AT)
            self.tighten(one, by=by, second=second, confirmer=confirmer)
            self._pass(one, 1 - PULLED_AT)
            self.finish(one, by=by, confirmer=confirmer)

    def start(self, one: Step, *, by: Person, confirmer: Person) -> None:
        """Take a step in hand."""
        with self.at(one, by=by) as here:
            here.start(confirmer=confirmer)

    def take(self, one: Step, *, by: Person) -> None:
        """Take what a step asks for."""
        with self.at(one, by=by) as here:
            here.take()

    def tighten(
        self, one: Step, *, by: Person, second: Person | None, confirmer: Person | None = None
    ) -> None:
        """Pull every torque of a step."""
        with self.at(one, by=by) as here:
            here.tighten(second=second, confirmer=confirmer or second or by)

    def finish(self, one: Step, *, by: Person, confirmer: Person) -> None:
        """Say that a step is done."""
        if one.operation != "release":
            with self.at(one, by=by) as here:
                here.finish(confirmer=confirmer)

    def pass_time(self, minutes: float) -> None:
        """So many minutes of work later."""
        self.now = self.later(self.now, minutes)

    def discard_renewed(self, *, by: Person) -> None:
        """Throw away every old part whose successor is on the car."""
        with self.block() as db:
            front_end = self.front_ends[self._job(db).front_end]
            for seen in tag.tags_of_job(db, self.job_id, front_end):
                if seen.tag.state == "out" and seen.to_be_discarded:
                    client_id = f"discard-{self.job_id:04d}-{seen.tag.number:04d}"
                    tag.discard(db, seen, front_end, client_id=client_id, by=by, now=self.now)

    @contextmanager
    def block(self) -> Iterator[Session]:
        """The writing block that is open, or one for as long as this lasts.

        Nobody else waits for it, so pictures may be made and stored inside.
        """
        if self._open is not None:
            yield self._open
            return
        with self.store.writing() as db:
            self._open = db
            try:
                yield db
            finally:
                self._open = None

    @contextmanager
    def at(self, one: Step, *, by: Person) -> Iterator[AtStep]:
        """Somebody at a step, now."""
        with self.block() as db:
            job, here = self._job(db), db.get_one(Step, known(one.id))
            kit = Kit(self.photos, self.story, self.picture, self.pins, self.foreman, self.hung)
            yield AtStep(db, job, here, self.front_ends[job.front_end], kit, by, self.now)

    def _job(self, db: Session) -> Job:
        """Held on to while a block is open, so that it is read only once there."""
        if self._held is None or self._held not in db:
            self._held = db.get_one(Job, self.job_id)
        return self._held

    def _pass(self, one: Step, share: float) -> None:
        with self.block() as db:
            front_end = self.front_ends[self._job(db).front_end]
        self.pass_time(Rung.of(front_end, one).minutes * self.pace(one.seq) * share)
