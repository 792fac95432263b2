"""Pre-alignment beside the car: readings in, the next move in words out, and how it comes nearer."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.compute.show import System, show, usual_unit
from server.compute.unit import Quantity
from server.procedure.fact import CORNERS
from server.shop.alignment import PLACES, ReadingsRefused, Typed, seen_at, step_of, take
from server.shop.capture import Hand, NeedsConfirming, standing
from server.shop.comparison import comparisons
from server.shop.evidence import gather
from server.shop.geometry import lacking
from server.shop.lack import Lack
from server.shop.next_move import next_move
from server.shop.reading_round import as_found, rounds, wanted
from server.shop.refusal import Refusal
from server.shop.row import known
from server.shop.step import NotYet, StepSeen, steps_seen
from server.shop.step_sheet import Asked, StepSheet, step_sheet
from server.shop.target import histories, refresh
from server.web.band import rows
from server.web.car import AtCar, Here
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.page import saved
from server.web.wording import band_of, unit_of
from server.web.write import write

router = APIRouter()

SEEN = "seen:"
AGAIN = (
    "Packs changed",
    "Sleeves turned",
    "Packs changed and sleeves turned",
    "Misread before",
    "Rolled and settled again",
)
LABELS = {
    "camber": "Camber",
    "caster": "Caster by gauge",
    "camber.turned-out": "Camber, this wheel turned out",
    "camber.turned-in": "Camber, this wheel turned in",
    "toe.wheel": "Toe of this wheel alone",
    "pack.front": "Front pack that is in now",
    "pack.rear": "Rear pack that is in now",
    "toe.tape-front": "Tape at the front",
    "toe.tape-rear": "Tape at the rear",
    "toe.tape-diameter": "Front mark to rear mark",
    "steering-wheel.off": "Steering wheel off straight",
}
HELP = {
    "camber": "+ top leans out.",
    "caster": "+ top leans back.",
    "camber.turned-out": "20° out, + top leans out.",
    "camber.turned-in": "20° in, + top leans out.",
    "toe.wheel": "+ toe-in.",
    "steering-wheel.off": "Road wheels straight; + turned left.",
}
NOT_DOWN = ("bench", "up", "after")


@dataclass(frozen=True, slots=True)
class Field:
    """One reading of the form: what stands, what was typed, and what is wrong with that."""

    name: str
    asked: Asked
    typed: str
    refusal: Refusal | None

    @property
    def label(self) -> str:
        """What it is called on this page."""
        return LABELS[self.asked.wanted.id]

    @property
    def wrong(self) -> str:
        """What is wrong with it."""
        return self.refusal.sentence if self.refusal else ""

    @property
    def asks_again(self) -> bool:
        """Whether it can be read but is hard to believe."""
        return isinstance(self.refusal, NeedsConfirming)

    @property
    def is_open(self) -> bool:
        """Whether somebody has used it."""
        return bool(self.typed) or self.asked.last is not None

    def help(self, system: System) -> str:
        """How it counts, and what is usual."""
        return HELP.get(self.asked.wanted.id, "") or band_of(self.asked.wanted, system)

    def unit(self, system: System) -> str:
        """What a bare figure is meant in."""
        return unit_of(self.asked.wanted, system)


@dataclass(frozen=True, slots=True)
class Tried:
    """The form that was refused, if it was."""

    fields: Fields | None = None
    refusal: Refusal | None = None

    @property
    def by_field(self) -> Mapping[str, Refusal]:
        """What is wrong, by the field's name."""
        return self.refusal.by_field if isinstance(self.refusal, ReadingsRefused) else {}

    @property
    def lacking(self) -> list[Lack]:
        """What has to be done first."""
        return self.refusal.lacking if isinstance(self.refusal, NotYet) else []

    def typed(self, name: str) -> str:
        """What was typed there."""
        return self.fields[name] if self.fields else ""


@router.get("/jobs/{job_id}/alignment")
def show_alignment(here: Here) -> Response:
    return _show(here)


@router.post("/jobs/{job_id}/alignment")
def create_readings(
    here: Here,
    form: Annotated[
        Fields,
        Depends(fields("reason", *PLACES, *(f"{SEEN}{name}" for name in PLACES), many=("confirmed",))),
    ],
) -> Response:
    """Every reading that is filled in, or none."""

    def act(db: Session) -> str:
        job = here.job(db)
        step, front_end = step_of(db, job), here.front_end(job)
        typed = {
            name: Typed(
                form[name],
                seen_at(db, step, _number(form[f"{SEEN}{name}"]), name) if form[f"{SEEN}{name}"] else None,
                name in form.many("confirmed"),
            )
            for name in PLACES
        }
        hand = Hand(here.visitor.person, here.now, form.client_id)
        take(db, job, step, front_end, typed, hand, reason=form["reason"], system=here.visitor.system)
        refresh(db, job, front_end, now=here.now)
        return f"/jobs/{here.job_id}/alignment#move"

    try:
        path = write(here.store, here.visitor, form, f"readings {here.job_id}", act, now=here.now)
    except Refusal as refusal:
        return _show(here, Tried(form, refusal))
    return saved(here.request, path)


def _show(here: AtCar, tried: Tried = Tried()) -> Response:
    system = here.visitor.system
    with here.store.reading() as db:
        car = here.car(db)
        front_end = here.front_end(car.job)
        step = step_of(db, car.job)
        sheet = step_sheet(db, car.job, step, here.library)
        evidence = gather(db, car.job, front_end)
        aimed = histories(db, car.job)
        compared = comparisons(evidence, aimed)
        taken = standing(db, job_id=known(car.job.id), step_ids=[known(step.id)])
        others = steps_seen(db, known(car.job.id))
    read = rounds([one for one in taken if one.capture.key], aimed, system=system)
    return here.page(
        "alignment/show.html",
        status=status_of(tried.refusal) if tried.refusal else 200,
        car=car,
        sheet=sheet,
        move=next_move(evidence, {at: history[0] for at, history in aimed.items()}),
        fields=_fields(sheet, tried),
        tried=tried,
        again=AGAIN,
        may_read=_may_read(sheet),
        heights=[one for one in compared if one.key == "ride-height"],
        bands={place: rows(compared, place, lambda angle: _angle(angle, system)) for place in CORNERS},
        rounds=read,
        found=as_found(evidence, system=system),
        wanted=wanted(evidence, system=system),
        lacking=lacking(evidence.specs),
        toe_unit=usual_unit(Quantity.LENGTH, system),
        steps=_by_operation(others),
    )


def _fields(sheet: StepSheet, tried: Tried) -> dict[str, Field]:
    """The form's fields by name."""
    by_name = {f"{one.wanted.id}@{one.place}": one for one in sheet.asked}
    return {name: Field(name, by_name[name], tried.typed(name), tried.by_field.get(name)) for name in PLACES}


def _may_read(sheet: StepSheet) -> bool:
    """Whether a reading would be taken now."""
    return sheet.job.released_at is None and sheet.job.parked_at is None and not sheet.waits_for


def _by_operation(steps: Iterable[StepSeen]) -> dict[str, list[StepSeen]]:
    """The steps at the bench, of the refit and after it, by operation."""
    found: dict[str, list[StepSeen]] = {}
    for one in steps:
        if one.direction in NOT_DOWN:
            found.setdefault(one.operation, []).append(one)
    return found


def _angle(angle_rad: float, system: System) -> str:
    return show(angle_rad, Quantity.ANGLE, system=system)


def _number(text: str) -> int:
    """A number that the page itself put into the form."""
    if not (text.isascii() and text.isdigit() and len(text) <= 9):
        raise Refusal("This page is not as we made it. Load it again.")
    return int(text)
