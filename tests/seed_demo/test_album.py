"""What hangs on a part in a picture is what hangs on it in the record, and every photo is one of its car."""

from io import BytesIO

from PIL import Image
from sqlmodel import select

from seed_demo.album import PINNED
from server.store.tables import Capture, Photo, Step, Tag


def test_every_photo_and_mark_that_was_asked_for_is_there_to_be_looked_at(demo, db):
    for photo in db.exec(select(Photo)):
        with demo.photos.open(photo.digest, "display") as picture:
            assert Image.open(BytesIO(picture.read())).size == (photo.width, photo.height) == (1600, 1200)


def test_photos_are_small_and_are_shared_where_they_show_the_same(db):
    photos = {photo.digest: photo for photo in db.exec(select(Photo))}
    taken = db.exec(select(Capture).where(Capture.kind == "photo")).all()

    assert len(photos) < len(taken) / 2
    assert sum(photo.size for photo in photos.values()) / len(photos) < 130_000


def test_every_hook_has_its_own_pin(db, mid_strip):
    pins = db.exec(
        select(Capture).where(
            Capture.job_id == mid_strip.job.id, Capture.key == "spring.hooks", Capture.kind == "mark"
        )
    ).all()

    assert {pin.text for pin in pins} == set(PINNED["spring.hooks"].values())
    assert len({(pin.x, pin.y) for pin in pins}) == 4


def test_different_tie_rods_have_different_photos(db):
    taken = db.exec(select(Capture).where(Capture.key == "tie-rod.photo")).all()

    assert len({one.photo_digest for one in taken}) == len(taken) == 12


def test_everything_that_is_off_lies_somewhere(db, visit):
    out = db.exec(select(Tag, Step).join(Step).where(Tag.job_id == visit.job.id, Tag.state == "out")).all()

    assert all(tag.shelf for tag, _ in out)
