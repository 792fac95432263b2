"""The bench: every calculator outside of a job. A result has an address, so a form here is a plain GET."""

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from fastapi import APIRouter, Request, Response

from server.compute.answer import Answer, Input
from server.compute.show import System, show, show_made
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.table import by_subject, calculator
from server.shop.refusal import Refusal
from server.shop.shim import drawer
from server.store import engine
from server.web.openapi import example
from server.web.page import page, wants_fragment
from server.web.visitor import Now, Signed, Store, Visitor

router = APIRouter()

OTHER: dict[System, System] = {"inch": "metric", "metric": "inch"}
QUANTITY = {
    "": Quantity.NUMBER,
    "m": Quantity.LENGTH,
    "rad": Quantity.ANGLE,
    "Nm": Quantity.TORQUE,
    "N": Quantity.FORCE,
    "Pa": Quantity.STRESS,
    "kg": Quantity.MASS,
    "N_per_m": Quantity.RATE,
    "J": Quantity.ENERGY,
    "Hz": Quantity.FREQUENCY,
}  # by the unit that an answer's input carries
UNNAMED = {"m2": "m²", "Nm_per_rad": "N·m/rad"}  # what no quantity of ours is counted in
TWICE = "That address has a field twice. Fill the form in again."


@dataclass(frozen=True, slots=True)
class Filled:
    """A calculator's form: what stands in it, how it was read, what is wrong with it, what comes out."""

    typed: Mapping[str, str]
    read_as: Mapping[str, str] = field(default_factory=dict)  # by field: `12 5/8 in = 320.675 mm`
    wrong: Mapping[str, str] = field(default_factory=dict)  # a sentence by field, "" for none of them
    result: Result | None = None
    doubts: tuple[str, ...] = ()


@router.get("/bench")
def show_bench(request: Request, visitor: Signed) -> Response:
    return page(request, "bench/index.html", subjects=by_subject())


@router.get("/bench/{name}")
def show_calculator(request: Request, name: str, visitor: Signed, store: Store, now: Now) -> Response:
    asked = calculator(name)
    system = visitor.system
    names = {one.name for one in asked.fields}
    sent = [(key, text) for key, text in request.query_params.multi_items() if key in names]
    if not sent:
        today = now.astimezone().date().isoformat()
        filled = Filled(_new(asked, {"system": system, "today": today}, visitor, store))
    elif len(dict(sent)) < len(sent):
        filled = Filled(dict(sent), wrong={"": TWICE})
    else:
        filled = fill_in(asked, dict(sent), system)
    return page(
        request,
        "bench/_calculator.html" if wants_fragment(request) else "bench/show.html",
        status=422 if filled.wrong else 200,
        asked=asked,
        filled=filled,
        system=system,
        sent_example=json.dumps(example(asked), indent=2, ensure_ascii=False),
        shown=shown,
        shown_input=shown_input,
        pieces=pieces,
    )


def fill_in(asked: Calculator, typed: Mapping[str, str], system: System) -> Filled:
    """Reads every field, so that each wrong one is said beside it at once, and works it out if none is."""
    values: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    read_as: dict[str, str] = {}
    doubts: list[str] = []
    for one in asked.fields:
        try:
            read = one.read(typed.get(one.name, ""), system)
        except Refusal as refusal:
            wrong[one.name] = refusal.sentence
            continue
        values[one.name] = read.value
        read_as[one.name] = read.echo
        doubts += [read.doubt] if read.doubt else []
    if wrong:
        return Filled(typed, read_as, wrong)
    try:
        result = asked.result(values)
    except Refusal as refusal:
        return Filled(typed, read_as, {refusal.field: refusal.sentence})
    return Filled(typed, read_as, {}, result, tuple(doubts))


def _new(asked: Calculator, offered: dict[str, str], visitor: Visitor, store: engine.Store) -> dict[str, str]:
    """What a form that nobody has touched has filled in."""
    if any(one.offered == "drawer" for one in asked.fields):
        offered = offered | {"drawer": _drawer(visitor, store)}
    return {one.name: offered.get(one.offered, one.start) for one in asked.fields}


def _drawer(visitor: Visitor, store: engine.Store) -> str:
    with store.reading() as db:
        return "\n".join(f"{shim.count} × {shim.text}" for shim in drawer(db, visitor.shop_id) if shim.count)


@dataclass(frozen=True, slots=True)
class Shown:
    """A figure as a page writes it."""

    own: str  # 12 5/8 in
    spread: str  # ± 1/32 in, or nothing
    other: str  # the same in the other system, or nothing


def shown(answer: Answer, system: System) -> Shown:
    """In the shop's own units, with the other system beside it where that differs."""
    own, other = (_written(answer, one) for one in (system, OTHER[system]))
    figure, _, spread = own.partition(" ± ")
    return Shown(figure, f"± {spread}" if spread else "", other if other != own else "")


def _written(answer: Answer, system: System) -> str:
    return show(answer.value, answer.quantity, system=system, uncertainty=answer.uncertainty or None)


def shown_input(one: Input, system: System) -> str:
    """`handle 18 in ± 0.05 in`."""
    quantity = QUANTITY.get(one.unit)
    if quantity is None:
        return f"{one.name} {one.value:.4g} {UNNAMED.get(one.unit, one.unit)}".rstrip()
    return f"{one.name} {show(one.value, quantity, system=system, uncertainty=one.uncertainty or None)}"


def pieces(line: Line, system: System) -> str:
    """`2 × 1/8 in + 1/16 in`: which shims a pack is made of."""
    counted = Counter(line.pieces_m)
    named = {one: show_made(one, system=system) for one in counted}
    return " + ".join(f"{count} × {named[one]}" for one, count in counted.items())
