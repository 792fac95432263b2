"""JSON as programs send it: read strictly, or refused in words."""

import math

import pytest
from starlette.exceptions import HTTPException

from server.shop.refusal import Refusal
from server.web.json_object import LONGEST_NUMBER, MOST_BRACKETS, parse_object


def test_an_object_is_read_as_it_stands() -> None:
    assert parse_object(b'{"a_m": 1.5, "b": "x", "c": [1, 2], "d": 1e-3}') == {
        "a_m": 1.5,
        "b": "x",
        "c": [1, 2],
        "d": 0.001,
    }


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"a_m=1",
        b'{"a": 1,}',
        b"{'a': 1}",
        b'{"a": 1} x',
        b'{"a": 01}',
        b'{"a": .5}',
        b'{"a": 1_000}',
        b'{"\x00": 1}',
        b"\xff\xfe",
        b"\xef\xbb\xbf{}",
        '{"a": "é"}'.encode("latin-1"),
        '{"a": 1}'.encode("utf-16"),
    ],
)
def test_what_is_not_json_in_utf_8_is_not_taken(body: bytes) -> None:
    with pytest.raises(HTTPException) as refused:
        parse_object(body)

    assert refused.value.status_code == 400


@pytest.mark.parametrize("body", [b"[" * 100_000, b'{"a":' * 100_000, b"[" * (MOST_BRACKETS + 1)])
def test_deep_nesting_is_refused_before_it_is_parsed(body: bytes) -> None:
    with pytest.raises(HTTPException) as refused:
        parse_object(body)

    assert refused.value.status_code == 413


@pytest.mark.parametrize("body", [b"[]", b"1", b'"a"', b"null", b"true", b"NaN"])
def test_only_an_object_will_do(body: bytes) -> None:
    with pytest.raises(Refusal, match="one JSON object"):
        parse_object(body)


@pytest.mark.parametrize(
    "body", [b'{"v": 1, "v": 1}', b'{"a": [{"v": 1, "v": 2}]}', b'{"v": 1, "\\u0076": 2}']
)
def test_a_name_that_stands_there_twice_is_refused(body: bytes) -> None:
    with pytest.raises(Refusal) as refused:
        parse_object(body)

    assert refused.value.field == "v"


@pytest.mark.parametrize(
    "text", ["NaN", "1e400", "1e-400", "0.0001e-400", "1" * (LONGEST_NUMBER + 1), "1." + "0" * LONGEST_NUMBER]
)
def test_a_number_that_would_lose_its_meaning_is_no_number(text: str) -> None:
    value = parse_object(f'{{"v": {text}}}'.encode())["v"]

    assert isinstance(value, float)
    assert math.isnan(value) or math.isinf(value)


@pytest.mark.parametrize("text", ["0", "-0", "0.0", "0e9", "-0.0"])
def test_nothing_is_nothing(text: str) -> None:
    assert parse_object(f'{{"v": {text}}}'.encode())["v"] == 0


def test_half_a_character_in_a_name_can_still_be_answered() -> None:
    with pytest.raises(Refusal) as refused:
        parse_object(b'{"\\ud800": 1, "\\ud800": 2}')

    assert refused.value.field.encode() == b"\\ud800"
