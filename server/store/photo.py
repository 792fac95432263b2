"""Where photos are kept: outside the database, under the SHA-256 of the bytes as they came.

`PhotoFolder` keeps one folder a photo, `3f/3fa9.../`, with the bytes as received (never served to anyone)
and the two copies made of them. The folder appears in one rename after everything in it has been
synced, so a photo is there whole or not at all.
"""

import os
import re
import shutil
import tempfile
import threading
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO, Literal, Protocol

from server.store.crash import crash_point
from server.store.durable import sync_folder
from server.store.picture import PictureDamaged, check_length, develop, upright_size

SizeName = Literal["display", "thumbnail"]

DECODERS = 2  # a picture of 64 million pixels takes hundreds of MiB while it is decoded
RECEIVED = "received"
COPIES = {"display": "display.jpg", "thumbnail": "thumbnail.jpg"}
INCOMING = ".incoming-"


@dataclass(frozen=True, slots=True)
class Stored:
    """What is known of a photo once it is safe: width and height upright [px], size as received [bytes]."""

    digest: str
    width: int
    height: int
    size: int


class NoSuchPhoto(LookupError):
    pass


class PhotoStore(Protocol):
    """Keeps photos by content. The same bytes twice are one photo."""

    def put(self, received: bytes, *, declared: str | None = None) -> Stored:
        """Keep a photo; when this returns it survives a power cut.

        declared   the SHA-256 the sender computed, in hexadecimal, if it could
        raises     picture.PictureRefused, with a sentence for whoever took it; nothing is kept then
        """

    def open(self, digest: str, size: SizeName) -> BinaryIO:
        """A copy of it, as JPEG.

        raises     NoSuchPhoto
        """


class PhotoFolder:
    """Photos in a folder. Whoever makes one holds the lock of the `Store`: leftovers are swept out."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._decoding = threading.BoundedSemaphore(DECODERS)
        folder.mkdir(parents=True, exist_ok=True)
        sync_folder(folder.parent)
        for leftover in folder.glob(f"??/{INCOMING}*"):
            shutil.rmtree(leftover)

    def put(self, received: bytes, *, declared: str | None = None) -> Stored:
        crash_point("photo: body read")
        check_length(received)
        digest = sha256(received).hexdigest()
        if declared is not None and declared.lower() != digest:
            raise PictureDamaged("This picture was changed on its way. Send it again.")
        if self._home(digest).exists():
            width, height = upright_size(received)
            self._sync_names(digest)  # whoever stored it may have died before doing so
        else:
            with self._decoding:
                picture = develop(received)
            width, height = picture.width, picture.height
            copies = {COPIES["display"]: picture.display, COPIES["thumbnail"]: picture.thumbnail}
            self._keep(digest, {RECEIVED: received, **copies})
        return Stored(digest=digest, width=width, height=height, size=len(received))

    def open(self, digest: str, size: SizeName) -> BinaryIO:
        if not re.fullmatch("[0-9a-f]{64}", digest) or size not in COPIES:
            raise NoSuchPhoto(digest)
        try:
            return (self._home(digest) / COPIES[size]).open("rb")
        except FileNotFoundError as error:
            raise NoSuchPhoto(digest) from error

    def _home(self, digest: str) -> Path:
        return self._folder / digest[:2] / digest

    def _keep(self, digest: str, contents: dict[str, bytes]) -> None:
        home = self._home(digest)
        home.parent.mkdir(exist_ok=True)
        incoming = Path(tempfile.mkdtemp(prefix=INCOMING, dir=home.parent))
        try:
            for name, content in contents.items():
                _write(incoming / name, content)
            sync_folder(incoming)
            crash_point("photo: file synced")
            _rename(incoming, home)
            crash_point("photo: renamed")
            self._sync_names(digest)
            crash_point("photo: directory synced")
        finally:
            shutil.rmtree(incoming, ignore_errors=True)

    def _sync_names(self, digest: str) -> None:
        sync_folder(self._home(digest).parent)
        sync_folder(self._folder)


def _write(path: Path, content: bytes) -> None:
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        crash_point("photo: temp written")
        os.fsync(file.fileno())


def _rename(incoming: Path, home: Path) -> None:
    try:
        incoming.rename(home)
    except OSError:
        if not home.is_dir():  # else the same photo came twice at once, and the other was quicker
            raise
