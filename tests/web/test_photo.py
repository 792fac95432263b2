from io import BytesIO

import pytest
from PIL import Image
from sqlmodel import select

from server.store.tables import Capture
from tests.shop.conftest import grey_picture
from tests.web.next_door import phone_next_door


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["shocks"], "shock")


@pytest.fixture
def photo(work):
    """One that was taken at the intake."""
    with work.store.reading() as db:
        return db.exec(select(Capture).where(Capture.kind == "photo")).first()


def path(photo, size="display"):
    return f"/photos/{photo.photo_digest}/{size}"


@pytest.mark.parametrize("size", ["thumbnail", "display"])
def test_a_photo_is_a_picture_that_is_kept_for_a_year_and_runs_nothing(bo, photo, size):
    answer = bo.get(path(photo, size))

    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/jpeg")
    assert answer.headers["cache-control"] == "private, max-age=31536000, immutable"
    assert answer.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert answer.headers["x-content-type-options"] == "nosniff"
    with Image.open(BytesIO(answer.content)) as picture:
        assert picture.format == "JPEG"


def test_only_who_is_signed_in_sees_a_photo(bo, phone, photo):
    answer = phone.get(path(photo))

    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")
    assert "immutable" not in answer.headers.get("cache-control", "")


def test_a_photo_of_the_shop_next_door_is_not_there(app, clock, photo):
    fay = phone_next_door(app, clock)

    for digest in (photo.photo_digest, "0" * 64):
        answer = fay.get(f"/photos/{digest}/display")
        assert answer.status_code == 404
        assert "There is no such photo here." in answer.text


def test_a_picture_that_is_stored_but_was_never_captured_is_not_there(app, bo):
    picture = BytesIO()
    Image.new("RGB", (20, 20), "red").save(picture, "JPEG")
    stored = app.state.photos.put(picture.getvalue())

    assert bo.get(f"/photos/{stored.digest}/display").status_code == 404


@pytest.mark.parametrize(
    ("digest", "size"),
    [
        ("0" * 64, "display"),
        ("{}", "huge"),
        ("..%2f..%2fcornerbook.sqlite3", "display"),
        ("{}%00", "display"),
        ("{}.jpg", "display"),
        ("x" * 3000, "display"),
    ],
)
def test_what_is_no_photo_is_not_there(bo, photo, digest, size):
    answer = bo.get(f"/photos/{digest.format(photo.photo_digest)}/{size}")

    assert answer.status_code == 404
    assert "immutable" not in answer.headers.get("cache-control", "")


def test_the_same_picture_taken_at_two_steps_is_one_photo_and_shown_at_both(bo, work):
    steps = [next(one for one in work.steps() if one.operation == name) for name in ("shock", "intake")]
    for step in steps:
        bo.fill_in(f"/steps/{step.id}/photos", files=[("photo", ("a.jpg", grey_picture(), "image/jpeg"))])

    with work.store.reading() as db:
        first, second = db.exec(select(Capture).where(Capture.kind == "photo", Capture.key == "")).all()
    assert first.photo_digest == second.photo_digest
    for step in steps:
        assert f'src="{path(first)}"' in bo.get(f"/steps/{step.id}").text
