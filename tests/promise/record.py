"""Looks into a data folder of a server at rest: is all there that was acknowledged, once and whole?"""

import sqlite3
from collections.abc import Iterable
from contextlib import closing
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from tests.promise.garage import DATABASE
from tests.promise.sender import Sending

ROWS = """
    SELECT client_id, coalesce(photo_digest, text) FROM capture
    UNION ALL SELECT client_id, text FROM torque_record
"""
PHOTO_FILES = {"received", "display.jpg", "thumbnail.jpg"}


@dataclass
class Findings:
    """Ids of captures that are not as they should be, and what the database says of itself."""

    lost: list[str] = field(default_factory=list)
    twice: list[str] = field(default_factory=list)
    half: list[str] = field(default_factory=list)  # a row without its receipt, or the other way round
    torn: list[str] = field(default_factory=list)  # photos by digest
    damage: list[str] = field(default_factory=list)

    def __bool__(self) -> bool:
        """Whether anything is wrong."""
        return any((self.lost, self.twice, self.half, self.torn, self.damage))


def look(data: Path, *, sent: Iterable[Sending], acknowledged: Iterable[str]) -> Findings:
    """What is wrong with the record.

    sent          every capture that was sent at all
    acknowledged  the client ids of those that the server said were recorded
    """
    with closing(sqlite3.connect(data / DATABASE)) as db:
        integrity = [row[0] for row in db.execute("PRAGMA integrity_check")]
        dangling = [str(row) for row in db.execute("PRAGMA foreign_key_check")]
        rows = db.execute(ROWS).fetchall()
        receipts = {row[0] for row in db.execute("SELECT client_id FROM receipt")}
        photos = [row[0] for row in db.execute("SELECT digest FROM photo")]
    contents: dict[str, list[str]] = {}
    for row_id, content in rows:
        contents.setdefault(content, []).append(row_id)
    found, heard = Findings(), set(acknowledged)
    for one in sent:
        rows_of_it = contents.get(one.content, [])
        if one.client_id in heard and one.row_id not in rows_of_it:
            found.lost.append(one.client_id)
        if len(rows_of_it) > 1:
            found.twice.append(one.client_id)
        if (one.client_id in receipts) != bool(rows_of_it):
            found.half.append(one.client_id)
    found.torn = [digest for digest in photos if not is_whole(data / "photos" / digest[:2] / digest)]
    found.damage = [line for line in integrity if line != "ok"] + dangling
    return found


def is_whole(photo: Path) -> bool:
    """All its files are there, none empty, and the bytes are those that the phone took."""
    names = {file.name for file in photo.iterdir()} if photo.is_dir() else set()
    return (
        names == PHOTO_FILES
        and all((photo / name).stat().st_size for name in names)
        and sha256((photo / "received").read_bytes()).hexdigest() == photo.name
    )
