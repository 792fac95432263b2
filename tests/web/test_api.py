"""The bench for programs: every calculator in plain SI, described, strict, and never at a loss."""

import json
from typing import Any

import httpx
import pytest
from fastapi.openapi.models import OpenAPI
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from server.shop.bench.calculator import Calculator
from server.shop.bench.table import CALCULATORS
from server.web.openapi import body_schema, example
from tests.web.phone import Phone

NAMES = [one.name for one in CALCULATORS]
SETTING = {"torque_Nm": 40.0, "handle_m": 0.3, "adapter_m": 0.1}
SETTING_URL = "/api/compute/wrench-setting"


def send(phone: Phone, name: str, body: Any) -> httpx.Response:
    """Also what is no JSON by the book: NaN, halves of characters."""
    return phone.post(
        f"/api/compute/{name}", content=json.dumps(body), headers={"Content-Type": "application/json"}
    )


def described(phone: Phone) -> dict[str, Any]:
    description: dict[str, Any] = phone.get("/api/openapi.json").json()
    return description


def test_the_description_is_openapi_and_names_every_calculator(dee: Phone) -> None:
    description = described(dee)

    OpenAPI.model_validate(description)
    assert list(description["paths"]) == [f"/api/compute/{name}" for name in NAMES]


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_every_described_example_works_and_answers_as_described(dee: Phone, one: Calculator) -> None:
    description = described(dee)
    operation = description["paths"][f"/api/compute/{one.name}"]["post"]
    body = operation["requestBody"]["content"]["application/json"]["example"]

    answer = send(dee, one.name, body)

    assert answer.status_code == 200, answer.text
    check(answer.json(), description["components"]["schemas"]["Result"])


def check(value: Any, schema: dict[str, Any]) -> None:
    """Just as much of JSON Schema as the description of a result uses."""
    kinds = {
        "object": dict,
        "array": list,
        "string": str,
        "number": (int, float),
        "integer": int,
        "boolean": bool,
    }
    assert isinstance(value, kinds[schema["type"]])  # type: ignore[arg-type]
    if schema["type"] == "object":
        assert set(value) == set(schema["required"])
        for name, inner in schema["properties"].items():
            check(value[name], inner)
    if schema["type"] == "array":
        for item in value:
            check(item, schema["items"])


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_every_field_is_described_with_its_bounds_or_its_words(one: Calculator) -> None:
    schema = body_schema(one)

    assert set(schema["required"]) <= set(schema["properties"])
    assert set(example(one)) == set(schema["properties"])
    for field in schema["properties"].values():
        assert field["description"]
        assert {"minimum", "enum", "maxLength", "pattern", "items"} & set(field)


def test_the_answer_carries_its_why(dee: Phone) -> None:
    # US Army TM 9-2350-261-20-1 p. 2-29, read: 40 lbf·ft at 12 in with 4 in more is set to 30
    answer = send(dee, "wrench-setting", SETTING | {"torque_Nm_uncertainty": 0.4}).json()

    assert (answer["key"], answer["value"], answer["unit"]) == ("setting_Nm", pytest.approx(30), "Nm")
    assert answer["uncertainty"] == pytest.approx(0.3)
    assert "L / (L + E" in answer["formula"]
    assert answer["source"].startswith("US Army TM")
    assert answer["inputs"][0] == {"name": "torque", "value": 40.0, "uncertainty": 0.4, "unit": "Nm"}
    assert answer["generic"] is False


def test_what_must_be_read_first_stands_among_the_cautions(dee: Phone) -> None:
    generic = send(dee, "generic-torque", {"grade": "SAE 5", "thread": "1/2-20", "finish": "zinc"}).json()

    assert generic["generic"] is True
    assert generic["cautions"][0].startswith("Not the maker's figure.")


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"torque_Nm": True}, "torque_Nm"),
        ({"torque_Nm": "40"}, "torque_Nm"),
        ({"torque_Nm": None}, "torque_Nm"),
        ({"torque_Nm": [40]}, "torque_Nm"),
        ({"torque_Nm": {"v": 40}}, "torque_Nm"),
        ({"torque_Nm": float("nan")}, "torque_Nm"),
        ({"torque_Nm": float("-inf")}, "torque_Nm"),
        ({"torque_Nm": 2**63}, "torque_Nm"),
        ({"torque_Nm": -40}, "torque_Nm"),
        ({"torque_Nm_uncertainty": 50}, "torque_Nm_uncertainty"),
        ({"torque": 40}, "torque"),
        ({"signed_by": 3}, "signed_by"),
        ({"\ud800": 3}, "\\ud800"),
        ({"adapter_m": -0.4}, "adapter_m"),
    ],
)
def test_what_is_wrong_is_said_of_its_field(dee: Phone, change: dict[str, Any], field: str) -> None:
    answer = send(dee, "wrench-setting", SETTING | change)

    assert answer.status_code == 422
    assert answer.json()["field"] == field
    assert answer.json()["sentence"].endswith(".")


@pytest.mark.parametrize(
    ("number", "field"),
    [("1e309", "torque_Nm"), ("1e-400", "torque_Nm"), ("1" * 400, "torque_Nm"), ("NaN", "torque_Nm")],
)
def test_a_number_that_no_float_holds_is_refused(dee: Phone, number: str, field: str) -> None:
    body = f'{{"torque_Nm": {number}, "handle_m": 0.3, "adapter_m": 0.1}}'

    answer = dee.post(SETTING_URL, content=body, headers={"Content-Type": "application/json"})

    assert (answer.status_code, answer.json()["field"]) == (422, field)


def test_a_field_left_out_is_asked_for(dee: Phone) -> None:
    answer = send(dee, "wrench-setting", {})

    assert (answer.status_code, answer.json()) == (
        422,
        {"sentence": "torque_Nm is needed.", "field": "torque_Nm"},
    )


@pytest.mark.parametrize(
    ("body", "kind", "status"),
    [
        (b"{}", "text/plain", 415),
        (b"torque_Nm=40", "application/x-www-form-urlencoded", 415),
        (b"{}", "application/json; charset=latin-1", 415),
        (b"{}", "application/json-patch+json", 415),
        (b"", "application/json", 400),
        (b"\xff", "application/json", 400),
        (b"{", "application/json", 400),
        (b"[" * 60_000, "application/json", 413),
        (b'{"a": "' + b"x" * 70_000 + b'"}', "application/json", 413),
        (b"[]", "application/json", 422),
        (b'{"torque_Nm": 1, "torque_Nm": 2}', "application/json", 422),
        (b'{"a": "\xc3"}', "application/json", 400),
    ],
)
def test_a_body_of_another_kind_is_refused_in_words(dee: Phone, body: bytes, kind: str, status: int) -> None:
    answer = dee.post(SETTING_URL, content=body, headers={"Content-Type": kind})

    assert answer.status_code == status
    assert set(answer.json()) == {"sentence", "field"}


def test_a_packed_body_is_not_unpacked(dee: Phone) -> None:
    headers = {"Content-Type": "application/json", "Content-Encoding": "gzip"}

    assert dee.post(SETTING_URL, content=b"\x1f\x8b", headers=headers).status_code == 415


def test_charset_utf_8_may_be_said(dee: Phone) -> None:
    headers = {"Content-Type": "application/json; charset=UTF-8"}

    assert dee.post(SETTING_URL, content=json.dumps(SETTING), headers=headers).status_code == 200


def test_nobody_is_answered_who_is_not_signed_in(phone: Phone, people: object) -> None:
    assert send(phone, "wrench-setting", SETTING).status_code == 401
    assert phone.get("/api/openapi.json").status_code == 401


def test_nobodys_body_is_read_before_it_is_known_whose_it_is(phone: Phone, people: object) -> None:
    answer = phone.post(SETTING_URL, content=b"{", headers={"Content-Type": "application/json"})

    assert answer.status_code == 401


def test_a_page_of_another_origin_gets_nothing(dee: Phone) -> None:
    answer = dee.post(SETTING_URL, json=SETTING, headers={"Origin": "http://evil.example"})

    assert answer.status_code == 403


@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE", "PATCH"])
def test_only_a_post_asks(dee: Phone, method: str) -> None:
    assert dee.request(method, SETTING_URL).status_code == 405


def test_an_unknown_calculator_is_missing(dee: Phone) -> None:
    answer = send(dee, "flux-capacitor", {})

    assert (answer.status_code, answer.json()["field"]) == (404, "")


ANYTHING = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**70), 2**70)
    | st.floats()
    | st.text(st.characters(), max_size=50)
    | st.sampled_from(["1/2-20", "M12x1.5", "2026-02-30", "12 5/8 in", "left", "1/0", "\ud800", "1e309"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=10), inner, max_size=3),
    max_leaves=6,
)


def fitting(schema: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Whatever the description allows, its ends among them."""
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    if schema["type"] == "number":
        low, high = schema["minimum"], schema["maximum"]
        return st.sampled_from([low, high]) | st.floats(low, high)
    if schema["type"] == "integer":
        return st.integers(schema["minimum"], schema["maximum"])
    if schema["type"] == "array":
        return st.lists(fitting(schema["items"]), min_size=1, max_size=min(schema["maxItems"], 6))
    if schema["type"] == "object":
        return st.fixed_dictionaries({name: fitting(inner) for name, inner in schema["properties"].items()})
    return st.sampled_from(
        ["1/2-20", "M12x1.5", "12 5/8", "-1/16 in", "2026-02-28", "0001-01-01", "9999-12-31"]
    )


@st.composite
def bodies(draw: st.DrawFn, one: Calculator) -> dict[str, Any]:
    """The example with some fields replaced by what fits or by anything at all, left out, or added."""
    body = dict(example(one))
    for name, schema in body_schema(one)["properties"].items():
        what = draw(st.sampled_from(["example", "example", "fits", "fits", "anything", "nothing"]))
        if what == "fits":
            body[name] = draw(fitting(schema))
        elif what == "anything":
            body[name] = draw(ANYTHING)
        elif what == "nothing":
            del body[name]
    return body | draw(st.just({}) | st.dictionaries(st.text(max_size=8), ANYTHING, max_size=1))


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_whatever_is_sent_is_answered_or_refused(dee: Phone, one: Calculator) -> None:
    @settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
    @given(bodies(one))
    def try_it(body: dict[str, Any]) -> None:
        answer = send(dee, one.name, body)

        assert answer.status_code in (200, 422), answer.text
        if answer.status_code == 422:
            assert answer.json()["sentence"]

    try_it()
