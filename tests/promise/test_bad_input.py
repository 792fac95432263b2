"""Rows B to D of the catalogue of bad inputs, as far as a phone can send them to a step or a tag."""

import io
import shutil
import struct
import time
import zlib
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
import sqlalchemy as sa
from PIL import Image
from sqlmodel import col, select

from server.app import create_app
from server.settings import Settings
from server.store.engine import Store
from server.store.tables import Capture, Tag
from tests.promise.conftest import Prepared
from tests.promise.garage import library
from tests.promise.phone import phone_of
from tests.promise.sender import ASKED, picture
from tests.store.shot import jpeg
from tests.web.phone import Phone

TABLES = ("capture", "torque_record", "photo", "receipt", "tag_move", "decision", "verification")


class Here:
    """A phone at a step, and all that was recorded there."""

    def __init__(self, phone: Phone, store: Store, data: Path, prepared: Prepared) -> None:
        self.phone, self.store, self.data, self.garage = phone, store, data, prepared.garage
        self.step = f"/steps/{prepared.garage.down_step}"

    def photograph(self, shot: bytes, name: str = "shot.jpg", **more: str) -> httpx.Response:
        form = {"key": "tie-rod.photo", "place": "LF"} | more
        return self.phone.fill_in(f"{self.step}/photos", files={"photo": (name, shot, "image/jpeg")}, **form)

    def last(self) -> Capture:
        with self.store.reading() as db:
            return db.exec(select(Capture).order_by(col(Capture.id).desc()).limit(1)).one()

    def everything(self) -> dict[str, int]:
        with self.store.reading() as db:
            counts = {
                table: db.execute(sa.text(f"SELECT count(*) FROM {table}")).scalar_one()  # noqa: S608
                for table in TABLES
            }
        return counts | {"photo folders": len(list((self.data / "photos").glob("??/*")))}


@pytest.fixture(scope="module")
def here(prepared: Prepared, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Here]:
    data: Path = shutil.copytree(prepared.data, tmp_path_factory.mktemp("bad") / "data")
    with Store(data) as store:
        app = create_app(Settings(data=data), store, library=library())
        yield Here(phone_of(app, prepared.session), store, data, prepared)


def png_header(width: int, height: int) -> bytes:
    """A whole PNG that claims to be that large, in a few bytes."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0"))
        + chunk(b"IEND", b"")
    )


WHOLE = jpeg(320, 240)
NO_PHOTOS = {
    "B1 nothing": b"",
    "B1 first bytes alone": b"\xff\xd8\xff",
    "B1 text": b"a photo of the tie rod",
    "B2 half": WHOLE[: len(WHOLE) // 2],
    "B2 99 %": WHOLE[: len(WHOLE) * 99 // 100],
    "B2 but two bytes": WHOLE[:-2],
    "B4 60,000 x 60,000": png_header(60_000, 60_000),
    "B5 13,000 x 13,000": png_header(13_000, 13_000),
    "B7 SVG": b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>',
    "B7 HTML": b"<!doctype html><script>alert(1)</script>",
    "B7 PDF": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n",
    "B7 ZIP": b"PK\x03\x04" + b"\0" * 60,
    "B7 GIF": b"GIF89a" + b"\1\0" * 20,
    "B9 HEIC": b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 40,
}


@pytest.mark.parametrize("shot", NO_PHOTOS.values(), ids=NO_PHOTOS.keys())
def test_what_is_no_whole_picture_is_refused_at_once_and_nothing_is_kept(shot: bytes, here: Here) -> None:
    before, began = here.everything(), time.process_time()

    answer = here.photograph(shot)

    assert answer.status_code == 422
    assert "field__error" in answer.text or "refused" in answer.text
    assert time.process_time() - began < 2  # with the page; to decode 60,000 x 60,000 takes far longer
    assert here.everything() == before


def test_what_hides_behind_a_picture_is_never_served(here: Here) -> None:
    assert here.photograph(WHOLE + b"<script>alert(1)</script>").status_code == 303

    address = f"/photos/{here.last().photo_digest}"
    for size in ("display", "thumbnail"):
        served = here.phone.get(f"{address}/{size}")
        assert served.headers["content-type"] == "image/jpeg"
        assert served.headers["x-content-type-options"] == "nosniff"
        assert "sandbox" in served.headers["content-security-policy"]
        assert b"script" not in served.content
    assert here.phone.get(f"{address}/received").status_code in (404, 422)


def test_where_a_picture_was_taken_is_not_served(here: Here) -> None:
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (51.0, 30.0, 0.0), 3: "E", 4: (7.0, 0.0, 0.0)}
    exif[0x010E] = "<script>alert(1)</script>"
    assert here.photograph(jpeg(64, 48, exif=exif)).status_code == 303

    served = here.phone.get(f"/photos/{here.last().photo_digest}/display").content

    assert len(Image.open(io.BytesIO(served)).getexif()) == 0


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/passwd",
        "CON.jpg",
        "x" * 300,
        "\u202egpj.exe",
        "<img src=x onerror=alert(1)>.jpg",
        "=1+1.jpg",
    ],
)
def test_the_name_of_a_file_leads_nowhere_and_is_not_shown(name: str, here: Here) -> None:
    assert here.photograph(picture(7), name).status_code == 303

    page = here.phone.get(here.step).text
    assert name not in page
    assert {path.name for path in here.data.iterdir()} >= {"photos", "cornerbook.sqlite3"}
    assert not list(here.data.rglob("*passwd*")) + list(here.data.rglob("CON*"))


def test_the_same_picture_twice_is_two_captures_of_one_photo(here: Here) -> None:
    before = here.everything()
    for _ in range(2):
        assert here.photograph(picture(123)).status_code == 303

    after = here.everything()
    assert after["capture"] - before["capture"] == 2
    assert after["photo"] - before["photo"] == after["photo folders"] - before["photo folders"] == 1


SENT: dict[str, tuple[str, dict[str, str]]] = {
    "measurement": ("measurements", ASKED | {"text": "12 5/8"}),
    "note": ("notes", {"text": "boot split"}),
    "gap": ("gaps", ASKED | {"text": "rusted through"}),
    "mark": ("marks", {"photo": "1", "text": "punch", "tap.x": "20", "tap.y": "20"}),
    "torque record": ("torques", {"fastener": "outer-tie-rod-nut", "text": "70", "paint": "yes"}),
}


@pytest.mark.parametrize("field", ["person_id", "role", "at", "value", "job_id", "shop_id"])
@pytest.mark.parametrize("kind", SENT)
def test_a_field_slipped_in_is_refused_and_nothing_recorded(kind: str, field: str, here: Here) -> None:
    before = here.everything()
    path, form = SENT[kind]

    answer = here.phone.fill_in(f"{here.step}/{path}", **form, **{field: "1"})

    assert answer.status_code == 422
    assert here.everything() == before


@pytest.mark.parametrize("kind", SENT)
@pytest.mark.parametrize(
    "client_id", ["short", "x" * 65, "an id with blanks in it", "../../../../etc/passwd"]
)
def test_an_id_that_no_phone_makes_is_refused(kind: str, client_id: str, here: Here) -> None:
    before = here.everything()
    path, form = SENT[kind]
    up = here.garage.up_steps[0] if kind == "torque record" else here.garage.down_step

    answer = here.phone.fill_in(f"/steps/{up}/{path}", client_id=client_id, **form)

    assert answer.status_code == 422
    assert here.everything() == before


@pytest.mark.parametrize("kind", SENT)
def test_a_capture_at_a_step_that_is_not_there_is_refused(kind: str, here: Here) -> None:
    before = here.everything()
    path, form = SENT[kind]

    assert here.phone.fill_in(f"/steps/99999/{path}", **form).status_code == 404
    assert here.everything() == before


@pytest.mark.parametrize(
    "text",
    [
        "'; DROP TABLE capture;--",
        "' OR 1=1 --",
        "100 % _ \\",
        "a\u0301b\u0308",
        "\U0001f527" * 300,
        "\u202eabc",
        "line\nline",
        "Ольга 王 ١٢",
    ],
)
def test_a_note_is_kept_and_shown_to_the_letter(text: str, here: Here) -> None:
    assert here.phone.fill_in(f"{here.step}/notes", text=text).status_code == 303

    assert here.last().text == text
    assert text.replace("'", "&#39;") in here.phone.get(here.step).text


@pytest.mark.parametrize(
    ("text", "status"), [("", 422), (" \n\t ", 422), ("x" * 2001, 422), ("x" * 70_000, 413)]
)
def test_a_note_that_is_none_too_long_or_piled_up_is_refused(text: str, status: int, here: Here) -> None:
    before = here.everything()

    assert here.phone.fill_in(f"{here.step}/notes", text=text).status_code == status
    assert here.everything() == before


@pytest.mark.parametrize(
    "code", ["1", "x" * 2000, "http:%2F%2Felsewhere.example", "..%2F..%2Fetc%2Fpasswd", "%00", "' OR 1=1"]
)
def test_a_tag_that_is_none_of_ours_is_not_there(code: str, here: Here) -> None:
    answer = here.phone.get(f"/tags/{code}")

    assert answer.status_code == 404
    assert "location" not in answer.headers


def test_the_code_of_a_tag_with_one_letter_changed_finds_nothing(here: Here) -> None:
    with here.store.reading() as db:
        code = db.exec(select(Tag.code)).first()
    assert code is not None

    assert here.phone.get(f"/tags/{code}").status_code == 200
    other = code[:-1] + ("B" if code[-1] == "A" else "A")
    assert here.phone.get(f"/tags/{other}").status_code == 404
