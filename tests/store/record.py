"""A small server's worth of work, to be killed and traced.

`python -m tests.store.record FOLDER COUNT` records COUNT photos one by one, bytes first and then the row, and
acknowledges each by a line with its digest once both are safe.

`python -m tests.store.record FOLDER --die` does so with one photo in FOLDER/0, FOLDER/1, ..., each time in
a process of its own that dies at the next of these crash points, and tells the signal it died of.
"""

import os
import sys
from pathlib import Path

from PIL import Image

from server.store.crash import CRASH_POINTS
from server.store.engine import Store
from server.store.photo import PhotoFolder
from server.store.tables import Photo
from tests.store.fill import NOON
from tests.store.shot import encode

POINTS = tuple(point for point in CRASH_POINTS if point.startswith(("photo:", "store:")))
"""The crash points in this room; those of the rooms above are no part of this work."""


def record(data: Path, count: int) -> None:
    with Store(data) as store:
        photos = PhotoFolder(data / "photos")
        for number in range(count):
            stored = photos.put(encode(Image.new("RGB", (64, 48), (number, 99, 99)), quality=95))
            row = Photo(
                digest=stored.digest,
                width=stored.width,
                height=stored.height,
                size=stored.size,
                stored_at=NOON,
            )
            with store.writing() as db:
                if db.get(Photo, stored.digest) is None:
                    db.add(row)
            os.write(1, f"{stored.digest}\n".encode())


def die_at_each_point(folder: Path) -> None:
    for number, point in enumerate(POINTS):
        if (child := os.fork()) == 0:
            os.environ["CORNERBOOK_CRASH_AT"] = point
            record(folder / str(number), 1)
            os._exit(0)
        _, status = os.waitpid(child, 0)
        os.write(1, f"signal {os.WTERMSIG(status)} at {point}\n".encode())


if __name__ == "__main__":
    data, what = Path(sys.argv[1]), sys.argv[2]
    if what == "--die":
        die_at_each_point(data)
    else:
        record(data, int(what))
