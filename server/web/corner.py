"""A corner's geometry, as a person under the car measures it: a tape's lengths, or hard points."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.compute.dimension import LONG, PLACES, SHORT
from server.compute.scatter import NINETY
from server.compute.show import System, show
from server.compute.unit import Quantity
from server.shop.geometry import (
    CORNER,
    LONG_LINES,
    POINT,
    SHORT_LINES,
    WORD_LINES,
    is_long,
    lacking,
    with_margin,
)
from server.shop.geometry_cost import Cost, costs_of
from server.shop.refusal import Refusal
from server.shop.spec import SpecLine, sheet
from server.shop.spec_sheet import SheetLine, sheet_lines
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.spec import AtSheet, Here, doubted, refused_lines

router = APIRouter()

# In the order in which one goes round under the car.
GROUPS = (
    (
        "Heights above the floor",
        (
            "wheel-height",
            "lower-ball-height",
            "upper-ball-height",
            "lower-pivot-height",
            "upper-pivot-height",
            "shaft-rise",
            "tie-outer-height",
            "tie-inner-height",
        ),
    ),
    ("Arms", ("lower-arm", "upper-arm", "stud-spacing", "pivot-spacing", "lower-spacing")),
    ("Plumb lines", ("ball-out", "wheel-out", "ball-inset", "ball-ahead", "lower-ball-ahead")),
    ("Steering", ("steering-arm", "steering-arm-in", "tie-inner-ahead", "tie-rod")),
    ("Spring", ("spring-out", "spring-length")),
)
AXES = ("ahead", "out", "up")
NAMES = {one.key: one.name for one in (*WORD_LINES, *SHORT_LINES, *LONG_LINES)}
SHORT_KEYS = tuple(one.key for one in (*WORD_LINES, *SHORT_LINES))
LONG_KEYS = tuple(one.key for one in LONG_LINES)


@router.get("/vehicles/{vehicle_id}/corner")
def show_lengths(here: Here) -> Response:
    return _show_lengths(here)


@router.post("/vehicles/{vehicle_id}/corner")
def create_lengths(
    here: Here, form: Annotated[Fields, Depends(fields("source", *SHORT_KEYS, many=("confirmed",)))]
) -> Response:
    """The two words and what was measured of the short form, from one source."""
    texts = {key: form[key] for key in SHORT_KEYS}
    return here.write_lines(form, texts, lambda refusal: _show_lengths(here, form, refusal))


@router.get("/vehicles/{vehicle_id}/points")
def show_points(here: Here) -> Response:
    return _show_points(here)


@router.post("/vehicles/{vehicle_id}/points")
def create_points(
    here: Here,
    form: Annotated[Fields, Depends(fields("source", "margin", *LONG_KEYS, many=("confirmed",)))],
) -> Response:
    """Hard points, from one source and as sure as its one ±."""

    def refused(refusal: Refusal) -> Response:
        return _show_points(here, form, refusal)

    try:
        unit = here.unit(Quantity.LENGTH)
        texts = {key: with_margin(form[key], form["margin"], unit=unit) for key in LONG_KEYS}
    except Refusal as refusal:
        return refused(refusal)
    return here.write_lines(form, texts, refused)


def _show_lengths(here: AtSheet, tried: Fields | None = None, refusal: Refusal | None = None) -> Response:
    with here.store.reading() as db:
        by_key = _by_key(here, db, (*WORD_LINES, *SHORT_LINES))
        costs = costs_of(sheet(db, here.vehicle_id))
        return _page(
            here,
            db,
            "corner/lengths.html",
            tried,
            refusal,
            words=[by_key[one.key] for one in WORD_LINES],
            groups=[(name, [by_key[f"{CORNER}{key}"] for key in keys]) for name, keys in GROUPS],
            guesses=_guesses(here.visitor.system),
            costs={key: _said(cost) for key, cost in costs.by_key.items()},
            dear={key for key, cost in costs.by_key.items() if cost.counts},
            next=by_key.get(costs.measure_next or ""),
            typed={key: tried[key] if tried else "" for key in SHORT_KEYS},
            written=sum(by_key[one.key].standing is not None for one in SHORT_LINES),
            of=len(SHORT),
        )


def _show_points(here: AtSheet, tried: Fields | None = None, refusal: Refusal | None = None) -> Response:
    with here.store.reading() as db:
        by_key = _by_key(here, db, LONG_LINES)
        points = [(name, [by_key[f"{POINT}{place}.{axis}"] for axis in AXES]) for place, name in PLACES]
        return _page(
            here,
            db,
            "corner/points.html",
            tried,
            refusal,
            points=points,
            axes=AXES,
            typed={key: tried[key] if tried else "" for key in LONG_KEYS},
            margin=tried["margin"] if tried else "",
            written=sum(one.standing is not None for one in by_key.values()),
            of=len(LONG),
        )


def _page(
    here: AtSheet,
    db: Session,
    template: str,
    tried: Fields | None,
    refusal: Refusal | None,
    **context: object,
) -> Response:
    specs = sheet(db, here.vehicle_id)
    return here.page(
        db,
        template,
        status=status_of(refusal) if refusal else 200,
        lacking=lacking(specs),
        is_long=is_long(specs),
        source=tried["source"] if tried else f"Tape measure, {here.visitor.person.name}",
        refusal=refusal,
        names=NAMES,
        wrong=refused_lines(refusal),
        asks_again=doubted(refusal),
        **context,
    )


def _by_key(here: AtSheet, db: Session, lines: tuple[SpecLine, ...]) -> dict[str, SheetLine]:
    vehicle, _ = here.find(db)
    return {one.line.key: one for one in sheet_lines(db, vehicle, lines)}


def _guesses(system: System) -> dict[str, str]:
    """What is taken for a length that nobody measured, by the key of its line."""
    return {
        f"{CORNER}{one.key}": show(
            one.usual_m, Quantity.LENGTH, system=system, uncertainty=NINETY * one.spread_m
        )
        for one in SHORT
    }


def _said(cost: Cost) -> str:
    if not cost.counts:
        return "costs next to nothing"
    return f"costs ± {show(cost.off_rad, Quantity.ANGLE, system='metric')} {cost.reading}"
