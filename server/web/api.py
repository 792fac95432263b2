"""The bench for other programs: the same calculators, in plain SI numbers. For those who are signed in.

Working something out changes nothing, so the form key is not asked for; the gate still wants the same origin.
"""

from typing import Any

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from server.compute.answer import Answer
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.figure import SI
from server.shop.bench.table import CALCULATORS, calculator
from server.shop.refusal import Refusal
from server.web.json_object import Json, Sent, showable
from server.web.openapi import describe
from server.web.visitor import Signed

router = APIRouter(prefix="/api")


@router.get("/openapi.json")
def show_description(visitor: Signed) -> JSONResponse:
    return JSONResponse(describe(CALCULATORS))


@router.post("/compute/{name}")
def compute(name: str, visitor: Signed, sent: Sent) -> JSONResponse:
    asked = calculator(name)
    return JSONResponse(as_json(asked, result_of(asked, sent)))


def result_of(asked: Calculator, sent: Json) -> Result:
    """What comes out of what was sent; raises Refusal with the name of the field as it was sent."""
    known = {key for field in asked.fields for key in field.keys}
    if stray := next((key for key in sent if key not in known), None):
        raise Refusal("There is no such field here.", field=showable(stray))
    values = {field.name: field.take(sent) for field in asked.fields}
    try:
        return asked.result(values)
    except Refusal as refusal:
        keys = {field.name: field.key for field in asked.fields}
        raise Refusal(refusal.sentence, field=keys.get(refusal.field, "")) from refusal


def as_json(asked: Calculator, result: Result) -> dict[str, Any]:
    """The figure asked for on top, the others after it."""
    warned = (asked.sign.text,) if asked.sign else ()
    return {
        **_line(result.main),
        "verdict": result.verdict,
        "sentence": result.says,
        "cautions": [*warned, *result.all_cautions],
        "generic": result.generic,
        "order": list(result.order),
        "also": [_line(line) for line in result.lines[1:]],
    }


def _line(line: Line) -> dict[str, Any]:
    answer = line.answer
    return {
        "key": line.key,
        "name": line.name,
        "value": answer.value,
        "uncertainty": answer.uncertainty,
        "unit": _unit(answer),
        "formula": answer.formula,
        "source": answer.source,
        "inputs": [
            {"name": one.name, "value": one.value, "uncertainty": one.uncertainty, "unit": one.unit}
            for one in answer.inputs
        ],
        "pieces_m": list(line.pieces_m),
    }


def _unit(answer: Answer) -> str:
    return SI.get(answer.quantity, "")
