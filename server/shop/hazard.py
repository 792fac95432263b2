"""Hazards: dangerous, true right now, begun and ended by named persons' steps and by nothing else."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd, HazardKind
from server.shop.refusal import Refusal
from server.shop.row import known
from server.shop.text import line
from server.store.tables import Hazard, Job, Person, Step

LONGEST_WORDS = 200

# Put together once: every page of a car asks it.
_LIVE = (
    select(Hazard, Job.front_end, Person.name)
    .join(Job, col(Job.id) == Hazard.job_id)
    .join(Person, col(Person.id) == Hazard.began_by)
    .where(col(Hazard.job_id).in_(bindparam("job_ids", expanding=True)), col(Hazard.ended_at).is_(None))
    .order_by(col(Hazard.began_at), col(Hazard.id))
)


@dataclass(frozen=True, slots=True)
class LiveHazard:
    hazard: Hazard
    kind: HazardKind
    begun_by: str

    def age(self, now: datetime) -> timedelta:
        """How long it has stood; never negative, even when the clock was set back."""
        return max(now - self.hazard.began_at, timedelta())


def live_hazards(db: Session, job_ids: Iterable[int], *, front_ends: dict[str, FrontEnd]) -> list[LiveHazard]:
    """All that is dangerous now on these jobs: what can kill first, then the longest standing."""
    rows = db.exec(_LIVE, params={"job_ids": list(job_ids)}).all()
    live = [LiveHazard(hazard, front_ends[name].hazard(hazard.kind), who) for hazard, name, who in rows]
    return sorted(live, key=lambda one: not one.kind.acute)


def begin(db: Session, step: Step, kinds: Iterable[str], *, by: Person, now: datetime) -> None:
    """From the first turn: a hazard begins when its step is started, not when it is done."""
    for kind in kinds:
        if not _standing(db, step.job_id, kind, step.place):
            db.add(
                Hazard(
                    job_id=step.job_id,
                    kind=kind,
                    place=step.place,
                    began_at=now,
                    began_by=known(by.id),
                    began_step_id=known(step.id),
                )
            )


def end(db: Session, step: Step, kinds: Iterable[str], *, by: Person, now: datetime) -> None:
    """The step that ends a hazard has been done, by a named person who says so."""
    for kind in kinds:
        for hazard in _standing(db, step.job_id, kind, step.place):
            hazard.ended_at, hazard.ended_by, hazard.ended_step_id = now, by.id, step.id


def take_back_end(db: Session, step: Step) -> None:
    """What a step ended stands again, since when and by whom it stood before: it may never have been gone."""
    for hazard in db.exec(select(Hazard).where(Hazard.ended_step_id == step.id)):
        hazard.ended_at, hazard.ended_by, hazard.ended_step_id = None, None, None


def say_energy(db: Session, *, job_id: int, place: str, kind: str, energy_J: float) -> None:
    """How much a live hazard holds, once the figures tell."""
    for hazard in _standing(db, job_id, kind, place):
        hazard.energy_J = energy_J


def make_safe(hazard: Hazard, *, how: str, by: Person) -> None:
    """How a hazard that may stand while the car waits is kept from hurting anyone. It stays live.

    raises  Refusal where nothing was said, or too much
    """
    field = f"made_safe-{hazard.id}"
    if not how.strip():
        raise Refusal("Say how it is kept safe while the car stands.", field=field)
    hazard.made_safe, hazard.made_safe_by = line(how, field=field, longest=LONGEST_WORDS), by.id


def _standing(db: Session, job_id: int, kind: str, place: str) -> list[Hazard]:
    """One, or two where a step that ended it was opened again after another had begun it anew."""
    at_place = Hazard.job_id == job_id, Hazard.kind == kind, Hazard.place == place
    return list(db.exec(select(Hazard).where(*at_place, col(Hazard.ended_at).is_(None))))
