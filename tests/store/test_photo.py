import threading
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from pathlib import Path

import pytest

from server.store import photo
from server.store.photo import NoSuchPhoto, PhotoFolder, PhotoStore, Stored
from server.store.picture import NotAPicture, Picture, PictureDamaged, PictureTooLarge
from tests.store import shot


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "data" / "photos"


def files(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def test_a_photo_is_kept_under_the_digest_of_the_bytes_as_sent(photos: PhotoFolder) -> None:
    sent = shot.jpeg(640, 480)

    stored = photos.put(sent)

    assert stored == Stored(digest=sha256(sent).hexdigest(), width=640, height=480, size=len(sent))


def test_the_bytes_as_sent_are_kept_unchanged(photos: PhotoFolder, folder: Path) -> None:
    sent = shot.talkative()

    digest = photos.put(sent).digest

    assert (folder / digest[:2] / digest / "received").read_bytes() == sent


def test_only_rewritten_copies_can_be_opened(photos: PhotoFolder) -> None:
    digest = photos.put(shot.jpeg(1000, 750)).digest

    with photos.open(digest, "display") as display, photos.open(digest, "thumbnail") as thumbnail:
        assert shot.decode(display.read()).size == (1000, 750)
        assert shot.decode(thumbnail.read()).size == (400, 300)
    with pytest.raises(NoSuchPhoto):
        photos.open(digest, "received")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "digest",
    [
        "0" * 64,
        "",
        "..",
        "../../cornerbook.sqlite3",
        "/etc/passwd",
        "A" * 64,
        "0" * 63 + "\n",
        "CON.jpg",
        "a\0" * 32,
    ],
)
def test_what_names_no_photo_opens_nothing(photos: PhotoFolder, digest: str) -> None:
    with pytest.raises(NoSuchPhoto):
        photos.open(digest, "display")


def test_a_folder_of_photos_is_a_place_for_photos(photos: PhotoFolder) -> None:
    place: PhotoStore = photos

    assert place.put(shot.jpeg()).size > 0


def test_the_same_photo_twice_is_one_photo(photos: PhotoFolder, folder: Path) -> None:
    sent = shot.jpeg(exif=shot.exif(6))

    assert photos.put(sent) == photos.put(sent)
    assert len(files(folder)) == 3


def test_the_same_photo_from_six_phones_at_once_is_one_photo(photos: PhotoFolder, folder: Path) -> None:
    sent = shot.jpeg()
    together = threading.Barrier(6)

    def send(_: int) -> Stored:
        together.wait(5)
        return photos.put(sent)

    with ThreadPoolExecutor(6) as phones:
        stored = set(phones.map(send, range(6)))

    assert len(stored) == 1
    assert len(files(folder)) == 3


def test_a_photo_that_arrived_changed_is_refused_and_not_kept(photos: PhotoFolder, folder: Path) -> None:
    sent = shot.jpeg()
    declared = sha256(sent).hexdigest()

    with pytest.raises(PictureDamaged, match="changed on its way"):
        photos.put(sent, declared=declared[:-1] + ("0" if declared[-1] != "0" else "1"))

    assert files(folder) == []


def test_a_declared_digest_may_be_written_either_way(photos: PhotoFolder) -> None:
    sent = shot.jpeg()
    digest = sha256(sent).hexdigest()

    assert photos.put(sent, declared=digest.upper()).digest == digest


@pytest.mark.parametrize(
    ("sent", "refusal"),
    [
        (b"", NotAPicture),
        (b"no picture", NotAPicture),
        (shot.jpeg()[:-2], PictureDamaged),
        (shot.jpeg() + bytes(26 * 2**20), PictureTooLarge),
        (shot.jpeg_claiming(65_535, 65_535), PictureTooLarge),
    ],
    ids=["nothing", "text", "cut short", "too many bytes", "too many pixels"],
)
def test_nothing_is_kept_of_what_is_refused(
    photos: PhotoFolder, folder: Path, sent: bytes, refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        photos.put(sent)

    assert list(folder.rglob("*")) == []


def test_no_more_than_two_pictures_are_decoded_at_once(
    photos: PhotoFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    running, most = 0, 0
    counting = threading.Lock()

    def develop(received: bytes) -> Picture:
        nonlocal running, most
        with counting:
            running += 1
            most = max(most, running)
        threading.Event().wait(0.02)
        with counting:
            running -= 1
        return Picture(1, 1, b"", b"")

    monkeypatch.setattr(photo, "develop", develop)
    with ThreadPoolExecutor(8) as phones:
        list(phones.map(photos.put, [bytes([n]) for n in range(8)]))

    assert most == 2


def test_a_full_disk_leaves_nothing_behind(
    photos: PhotoFolder, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(photo.os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        photos.put(shot.jpeg())

    assert files(folder) == []


def test_what_a_crash_left_half_written_is_swept_out_at_the_next_start(
    photos: PhotoFolder, folder: Path
) -> None:
    kept = photos.put(shot.jpeg())
    orphan = folder / kept.digest[:2] / ".incoming-abc"
    orphan.mkdir()
    (orphan / "received").write_bytes(b"half a pict")

    again = PhotoFolder(folder)

    assert not orphan.exists()
    again.open(kept.digest, "display").close()
