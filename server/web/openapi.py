"""The OpenAPI description of the calculators, made from their own table."""

from collections.abc import Iterable
from importlib.metadata import version
from typing import Any

from server.shop.bench.calculator import Calculator
from server.shop.bench.field import Schema
from server.web import cookie

_TEXT: Schema = {"type": "string"}
_NUMBER: Schema = {"type": "number"}
_REFUSALS = {
    400: "What was sent is not JSON.",
    401: "Nobody is signed in.",
    403: "It was sent by a page of another origin.",
    413: "It is too long, or too deeply nested.",
    415: "It is not application/json in UTF-8.",
    422: "A field does not hold what it should, or the fields do not go together.",
}


def describe(calculators: Iterable[Calculator]) -> dict[str, Any]:
    """An OpenAPI 3.1 document: one operation a calculator, each with an example that works."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Cornerbook bench",
            "version": version("cornerbook"),
            "description": "The bench's calculators in plain SI numbers, the unit at the end of each name.",
        },
        "paths": {f"/api/compute/{one.name}": {"post": _operation(one)} for one in calculators},
        "components": {
            "schemas": {"Result": _RESULT, "Refusal": _REFUSAL},
            "securitySchemes": {
                "session": {"type": "apiKey", "in": "cookie", "name": cookie.SESSION},
            },
        },
        "security": [{"session": []}],
    }


def _operation(one: Calculator) -> dict[str, Any]:
    refusals = {str(status): _answer(words, "Refusal") for status, words in _REFUSALS.items()}
    return {
        "operationId": one.name,
        "tags": [one.subject],
        "summary": one.title,
        "description": one.lead,
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": body_schema(one), "example": example(one)}},
        },
        "responses": {"200": _answer("What comes out.", "Result"), **refusals},
    }


def body_schema(one: Calculator) -> Schema:
    """What a program sends to a calculator."""
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [field.key for field in one.fields if field.needed],
        "properties": {key: schema for field in one.fields for key, schema in field.schema.items()},
    }


def example(one: Calculator) -> dict[str, Any]:
    """Every field with its example."""
    return {key: value for field in one.fields for key, value in field.example_sent.items()}


def _answer(words: str, schema: str) -> dict[str, Any]:
    content = {"application/json": {"schema": {"$ref": f"#/components/schemas/{schema}"}}}
    return {"description": words, "content": content}


def _object(**properties: Schema) -> Schema:
    return {"type": "object", "required": list(properties), "properties": properties}


def _list(items: Schema) -> Schema:
    return {"type": "array", "items": items}


_INPUT = _object(name=_TEXT, value=_NUMBER, uncertainty=_NUMBER, unit=_TEXT)
_LINE: dict[str, Schema] = {
    "key": _TEXT | {"description": "Its name with its unit, the same for ever."},
    "name": _TEXT | {"description": "Its name for people."},
    "value": _NUMBER,
    "uncertainty": _NUMBER | {"description": "Half-width, in the same unit."},
    "unit": _TEXT | {"description": "SI: m, rad, Nm, N, Pa, kg, N_per_m, J, Hz; empty for a plain number."},
    "formula": _TEXT,
    "source": _TEXT,
    "inputs": _list(_INPUT),
    "pieces_m": _list(_NUMBER) | {"description": "Of a shim pack: each piece."},
}
_RESULT = _object(
    **_LINE,
    verdict=_TEXT,
    sentence=_TEXT,
    cautions=_list(_TEXT),
    generic={"type": "boolean", "description": "From tables, not the maker's figure."},
    order=_list({"type": "integer"}) | {"description": "In which fasteners are tightened, from 1."},
    also=_list(_object(**_LINE)) | {"description": "The figures that belong to it."},
)
_REFUSAL = _object(
    sentence=_TEXT | {"description": "What is wrong, in words."},
    field=_TEXT | {"description": "The field it belongs to, empty for none."},
)
