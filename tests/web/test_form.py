import json
from typing import Annotated
from urllib.parse import urlencode

import pytest
from fastapi import Depends, FastAPI
from fastapi.responses import JSONResponse, Response
from sqlmodel import select

from server.store.engine import Store
from server.store.tables import Receipt
from server.web.form import Fields, fields, is_pin
from server.web.visitor import Signed
from tests.web.phone import Phone

URLENCODED = "application/x-www-form-urlencoded"


@pytest.fixture
def probe(app: FastAPI) -> list[Fields]:
    """Two forms, one with a picture; what got through to their handlers."""
    arrived: list[Fields] = []

    @app.post("/note")
    def take_note(
        visitor: Signed, form: Annotated[Fields, Depends(fields("text", "pin", many=("scope",)))]
    ) -> Response:
        arrived.append(form)
        return JSONResponse({"text": form["text"], "scopes": form.many("scope")})

    @app.post("/photo")
    def take_photo(
        visitor: Signed, form: Annotated[Fields, Depends(fields("text", files=("photo",)))]
    ) -> Response:
        arrived.append(form)
        return JSONResponse({"text": form["text"], "sizes": [len(one.body) for one in form.files("photo")]})

    return arrived


def post(phone: Phone, body: bytes, kind: str = URLENCODED, path: str = "/note") -> int:
    return phone.post(path, content=body, headers={"Content-Type": kind}).status_code


def parts(phone: Phone, *more: bytes) -> bytes:
    key = b'Content-Disposition: form-data; name="form_key"\r\n\r\n' + phone.form_key.encode()
    return b"".join(b"--x\r\n" + part + b"\r\n" for part in (key, *more)) + b"--x--\r\n"


def part(name: bytes, body: bytes, more: bytes = b"") -> bytes:
    return b'Content-Disposition: form-data; name="' + name + b'"' + more + b"\r\n\r\n" + body


@pytest.mark.parametrize(
    "text",
    [
        *(
            " 12 5/8 in ",
            "320,7 mm",
            "<script>alert(1)</script>",
            "=1+1",
            "{{7*7}}",
            "a&b=c;d%20+",
            "Ольга 王",
        ),
        *("", "' OR 1=1 --", "\u202eabc", "e\u0301", "\U0001f527", "line\nline", "\ttab"),
    ],
)
@pytest.mark.parametrize("path", ["/note", "/photo"])
def test_what_was_typed_arrives_as_typed(bo: Phone, probe: list[Fields], text: str, path: str) -> None:
    files = {"photo": ("a.jpg", b"x")} if path == "/photo" else None
    answer = bo.fill_in(path, text=text, files=files)

    assert answer.json()["text"] == text


def test_line_ends_are_those_that_were_typed(bo: Phone, probe: list[Fields]) -> None:
    assert bo.fill_in("/note", text="one\r\ntwo").json()["text"] == "one\ntwo"


def test_what_was_left_out_is_empty(bo: Phone, probe: list[Fields]) -> None:
    assert bo.fill_in("/note").json() == {"text": "", "scopes": []}


def test_what_may_be_ticked_several_times_arrives_whole(bo: Phone, probe: list[Fields]) -> None:
    assert bo.fill_in("/note", scope=["springs", "shocks"]).json()["scopes"] == ["springs", "shocks"]


@pytest.mark.parametrize(
    "field", ["role", "signed_by", "created_at", "shop_id", "Text", "text ", "", "visitor"]
)
def test_a_field_that_the_page_does_not_have_is_refused(bo: Phone, probe: list[Fields], field: str) -> None:
    answer = bo.fill_in("/note", text="x", **{field: "foreman"})

    assert answer.status_code == 422
    assert "Nothing was recorded" in answer.text
    assert probe == []


@pytest.mark.parametrize("name", ["text", "form_key", "client_id"])
def test_the_same_field_twice_is_refused(bo: Phone, probe: list[Fields], name: str) -> None:
    answer = bo.fill_in("/note", **{name: ["a", "b"]})

    assert (answer.status_code, probe) == (422, [])


@pytest.mark.parametrize("key", ["", "x", "é", "a" * 60_000])
def test_a_form_without_our_key_is_refused(bo: Phone, probe: list[Fields], key: str) -> None:
    answer = bo.fill_in("/note", form_key=key)

    assert (answer.status_code, probe) == (403, [])


def test_the_key_of_another_session_is_refused(bo: Phone, cy: Phone, probe: list[Fields]) -> None:
    assert bo.fill_in("/note", form_key=cy.form_key).status_code == 403


def test_the_key_from_before_signing_in_is_refused(people: object, phone: Phone, probe: list[Fields]) -> None:
    phone.open_form("/sign-in")
    before = phone.form_key
    phone.sign_in("Bo Berg", "592604")

    assert phone.fill_in("/note", form_key=before).status_code == 403


def test_a_form_sent_after_signing_out_leads_to_the_sign_in(bo: Phone, probe: list[Fields]) -> None:
    bo.fill_in("/sign-out")

    answer = bo.fill_in("/note", text="x")

    assert answer.status_code in (303, 403)
    assert probe == []


@pytest.mark.parametrize(
    "kind",
    [
        "text/plain",
        "application/json",
        "",
        "multipart/form-data",
        "multipart/form-data; boundary=x",
        "image/png",
    ],
)
def test_another_kind_of_body_is_refused(bo: Phone, probe: list[Fields], kind: str) -> None:
    assert post(bo, urlencode({"form_key": bo.form_key}).encode(), kind) == 415


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(b"text=caf\xe9", id="latin-1 as it is"),
        pytest.param(b"text=caf%e9", id="latin-1 encoded"),
        pytest.param(b"text=%ed%a0%80", id="lone surrogate"),
        pytest.param(b"text=%f8%88%80%80%80", id="five byte form"),
        pytest.param(b"%ff=1", id="in a name"),
        pytest.param(b"text=\xff\xfe\x00\x00", id="raw bytes"),
    ],
)
def test_what_is_not_utf8_is_refused(bo: Phone, probe: list[Fields], text: bytes) -> None:
    assert post(bo, urlencode({"form_key": bo.form_key}).encode() + b"&" + text) == 400
    assert probe == []


@pytest.mark.parametrize("path", ["/note", "/photo"])
def test_a_nul_is_refused_in_words(bo: Phone, probe: list[Fields], path: str) -> None:
    answer = bo.fill_in(path, text="a\0b")

    assert answer.status_code == 422
    assert "cannot be kept" in answer.text


def test_more_fields_than_a_form_has_are_refused(bo: Phone, probe: list[Fields]) -> None:
    assert bo.fill_in("/note", scope=["s"] * 98).status_code == 200
    assert bo.fill_in("/note", scope=["s"] * 99).status_code == 400


@pytest.mark.parametrize("body", [b"", b"&&&", b"=", b"a", b"%", b"text", b"[" * 30_000, b"\0"])
def test_an_empty_or_senseless_body_is_refused(bo: Phone, probe: list[Fields], body: bytes) -> None:
    assert 400 <= post(bo, body) < 500
    assert probe == []


def test_pictures_arrive_whole(bo: Phone, probe: list[Fields]) -> None:
    files = [("photo", ("a.jpg", b"\xff\xd8\x00\r\n--y")), ("photo", ("b.jpg", b"x" * 3_000_000))]

    assert bo.fill_in("/photo", files=files).json()["sizes"] == [8, 3_000_000]
    assert probe[0].files("photo")[0].body == b"\xff\xd8\x00\r\n--y"


def test_an_empty_file_input_is_no_picture_but_an_empty_file_is_one(bo: Phone, probe: list[Fields]) -> None:
    unused = part(b"photo", b"", b'; filename=""\r\nContent-Type: application/octet-stream')
    empty = part(b"photo", b"", b'; filename="a.jpg"')

    post(bo, parts(bo, unused), "multipart/form-data; boundary=x", "/photo")
    post(bo, parts(bo, empty), "multipart/form-data; boundary=x", "/photo")

    assert [len(form.files("photo")) for form in probe] == [0, 1]


@pytest.mark.parametrize(
    "name",
    ["../../etc/passwd", "CON.jpg", "x" * 300, "\u202egpj.exe", "<img onerror=x>", "=1+1.jpg", "a;b.jpg"],
)
def test_the_name_of_a_file_is_only_text(bo: Phone, probe: list[Fields], name: str) -> None:
    assert bo.fill_in("/photo", files={"photo": (name, b"x")}).status_code == 200
    assert probe[0].files("photo")[0].name == name


def test_a_picture_over_the_limit_is_refused(bo: Phone, probe: list[Fields]) -> None:
    answer = bo.fill_in("/photo", files={"photo": ("a.jpg", b"x" * (25 * 2**20 + 1))})

    assert (answer.status_code, probe) == (413, [])


@pytest.mark.parametrize(
    "body",
    [
        pytest.param(part(b"text", b"caf\xe9"), id="latin-1"),
        pytest.param(part(b"text", b"\xed\xa0\x80"), id="lone surrogate"),
        pytest.param(part(b"caf\xe9", b""), id="latin-1 name"),
        pytest.param(part(b"photo", b"", b'; filename="caf\xe9"'), id="latin-1 file name"),
        pytest.param(b"Content-Disposition: form-data\r\n\r\nx", id="no name"),
        pytest.param(b"\r\nx", id="no header"),
        pytest.param(b"X: " + b"y" * 1_000_000 + b"\r\n\r\nx", id="long header"),
        pytest.param(b"X" * 1_000_000 + b": y\r\n\r\nx", id="long header name"),
        pytest.param(b"bad header\r\n\r\nx", id="broken header"),
    ],
)
def test_a_malformed_part_is_refused(bo: Phone, probe: list[Fields], body: bytes) -> None:
    assert post(bo, parts(bo, body), "multipart/form-data; boundary=x", "/photo") == 400
    assert probe == []


@pytest.mark.parametrize(
    "kind",
    [
        "multipart/form-data",
        "multipart/form-data; boundary=",
        "multipart/form-data; boundary=" + "x" * 10_000,
        "multipart/form-data; boundary=other",
    ],
)
def test_a_boundary_that_is_none_is_refused(bo: Phone, probe: list[Fields], kind: str) -> None:
    assert post(bo, parts(bo), kind, "/photo") == 400


def test_a_multipart_body_cut_short_is_refused(bo: Phone, probe: list[Fields]) -> None:
    whole = parts(bo, part(b"photo", b"x" * 5000, b'; filename="a.jpg"'))

    for end in (0, 10, 150, len(whole) // 2, len(whole) - 4):
        assert post(bo, whole[:end], "multipart/form-data; boundary=x", "/photo") == 400
    assert probe == []


def test_ten_thousand_parts_are_refused(bo: Phone, probe: list[Fields]) -> None:
    body = parts(bo, *[part(b"text", b"")] * 10_000)

    assert post(bo, body, "multipart/form-data; boundary=x", "/photo") == 400


def test_a_text_where_a_picture_belongs_and_the_other_way_round_are_refused(
    bo: Phone, probe: list[Fields]
) -> None:
    text = parts(bo, part(b"photo", b"x"))
    picture = parts(bo, part(b"text", b"x", b'; filename="a.txt"'))

    assert post(bo, text, "multipart/form-data; boundary=x", "/photo") == 422
    assert post(bo, picture, "multipart/form-data; boundary=x", "/photo") == 422


def test_a_stranger_is_sent_to_the_sign_in_before_their_picture_is_read(
    people: object, phone: Phone, probe: list[Fields]
) -> None:
    answer = phone.post("/photo", files={"photo": ("a.jpg", b"x")})

    assert answer.headers["location"] == "/sign-in"


def test_a_pin_is_no_part_of_what_a_digest_is_kept_of(bo: Phone, probe: list[Fields]) -> None:
    bo.fill_in("/note", text="x", pin="592604")

    assert "592604" not in json.dumps(probe[0].content)
    assert probe[0].content["text"] == ["x"]
    assert [is_pin(name) for name in ("pin", "old_pin", "pin_again", "pinion", "spin")] == [True] * 3 + [
        False
    ] * 2


def test_a_form_sent_twice_is_recorded_once(ann: Phone, store: Store) -> None:
    for _ in range(3):
        assert ann.fill_in("/bays", name=["Pit"], client_id="one-and-the-same-id").status_code == 303

    with store.reading() as db:
        assert len(db.exec(select(Receipt)).all()) == 1


def test_the_same_id_with_something_else_is_refused(ann: Phone) -> None:
    ann.fill_in("/bays", name=["Pit"], client_id="one-and-the-same-id")

    answer = ann.fill_in("/bays", name=["Lift"], client_id="one-and-the-same-id")

    assert answer.status_code == 409
    assert "Lift" in answer.text
