"""Targets of a job: what has to be true on the way up, and why."""

from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.compute.show import System
from server.compute.unit import Quantity, unit_named
from server.procedure.fact import CORNERS
from server.procedure.model import Fastener, FrontEnd
from server.shop.comparison import COMPARED_AT, Compared, comparisons, names
from server.shop.evidence import gather
from server.shop.geometry import lacking
from server.shop.look import changed_since_seen, look
from server.shop.spec import sheet
from server.shop.target import DRAWER, MISSING, histories
from server.shop.tightening import Tightening
from server.store.tables import Capture, Spec, Target
from server.web.angle import angles
from server.web.car import Here
from server.web.form import Fields, fields
from server.web.page import go
from server.web.wording import Column, as_column
from server.web.write import write

router = APIRouter()

PLOTTED = {"camber": "°", "caster": "°", "toe.total": "in", "ride-height": "in"}
METRIC = {"in": "mm"}
ALIGNMENT = ("ride-height", "ride-height.frame", "camber", "caster", "toe.total", "toe.angle")
DECIMALS = {"°": 2, "in": 3, "mm": 1}


@dataclass(frozen=True, slots=True)
class Plot:
    """A figure drawn as bars: its band, and where it was found, is aimed at and was left, all in one unit."""

    unit: str
    low: float
    high: float
    found: float | None
    target: float | None
    left: float | None


@dataclass(frozen=True, slots=True)
class Shown:
    """One figure as the page shows it."""

    compared: Compared
    found: Column | None
    target: Column | None
    left: Column | None
    plot: Plot | None

    @property
    def label(self) -> str:
        """Its name, with the corner where it has one."""
        one = self.compared
        return one.name if one.place == "car" else f"{one.name} · {one.place}"

    @property
    def is_said_by_figure(self) -> bool:
        """Whether its sentence says no more than the columns do."""
        return self.compared.key in ALIGNMENT and self.target is not None


@dataclass(frozen=True, slots=True)
class Wanted:
    """A torque of this job: its fastener, its target, its window and what it was before."""

    fastener: Fastener
    target: Target
    window_Nm: tuple[float, float] | None
    before: list[Target]


@router.get("/jobs/{job_id}/targets")
def show_targets(here: Here) -> Response:
    with here.store.reading() as db:
        car = here.car(db)
        front_end = here.front_end(car.job)
        history = histories(db, car.job)
        compared = comparisons(gather(db, car.job, front_end), history)
        specs = sheet(db, car.job.vehicle_id)
        torques = _torques(front_end, history, specs)
        changed = changed_since_seen(db, car.job, here.visitor.person, history, system=here.visitor.system)
    shown = [_shown(one, here.visitor.system) for one in compared]
    targets = (*(one.target for one in compared), *(one.target for one in torques))
    on_page = {target.id for target in targets if target}
    groups = [(place, [one for one in shown if one.compared.place == place]) for place in COMPARED_AT]
    return here.page(
        "target/index.html",
        car=car,
        lacking=lacking(specs),
        groups=[(place, group) for place, group in groups if group],
        angles={place: angles(compared, specs, place, system=here.visitor.system) for place in CORNERS},
        torques=torques,
        changed={target_id: was for target_id, was in changed.items() if target_id in on_page},
        names=names(front_end),
        missing=MISSING,
        drawer=DRAWER,
    )


@router.post("/jobs/{job_id}/targets/looks")
def create_look(here: Here, form: Annotated[Fields, Depends(fields())]) -> Response:
    """Somebody has seen all targets as they are now."""

    def act(db: Session) -> str:
        look(db, here.job(db), by=here.visitor.person, now=here.now)
        return f"/jobs/{here.job_id}/targets"

    path = write(here.store, here.visitor, form, f"look at {here.job_id}", act, now=here.now)
    return go(here.request, path)


def plot(compared: Compared, system: System) -> Plot | None:
    """The bars of a figure that has a band."""
    target = compared.target
    if compared.key not in PLOTTED or target is None or target.value is None or not target.uncertainty:
        return None
    name = PLOTTED[compared.key]
    unit = unit_named(METRIC.get(name, name) if system == "metric" else name, Quantity(target.quantity))

    def drawn(value: float | None) -> float | None:
        return None if value is None else round(unit.of(value), DECIMALS[unit.name])

    found = compared.found.value if compared.found else None
    left = compared.left.value if compared.left else None
    low, high = target.value - target.uncertainty, target.value + target.uncertainty
    return Plot(
        unit.name, drawn(low) or 0.0, drawn(high) or 0.0, drawn(found), drawn(target.value), drawn(left)
    )


def _shown(compared: Compared, system: System) -> Shown:
    found, target, left = (_column(one, system) for one in (compared.found, compared.target, compared.left))
    return Shown(compared, found, target, left, plot(compared, system))


def _column(figure: Capture | Target | None, system: System) -> Column | None:
    """Without the link to its why, which stands right below."""
    column = as_column(figure, system)
    return replace(column, href="") if column else None


def _torques(
    front_end: FrontEnd, aimed: dict[tuple[str, str], list[Target]], specs: dict[str, Spec]
) -> list[Wanted]:
    """The torques that this job's steps ask for, in the order of the fasteners."""
    found = []
    for fastener in front_end.fasteners:
        history = aimed.get((fastener.torque, "car"))
        if history:
            window = _window(fastener, specs.get(fastener.torque))
            found.append(Wanted(fastener, history[0], window, history[1:]))
    return found


def _window(fastener: Fastener, line: Spec | None) -> tuple[float, float] | None:
    if line is None:
        return None
    tightening = Tightening(fastener, "torque", line, ())
    return tightening.window_Nm(len(tightening.stages))
