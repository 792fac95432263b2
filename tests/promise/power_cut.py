"""Power cuts: the data folder lies on a file system of its own, which drops all that was not flushed.

sudo uv run python -m tests.promise.power_cut [cuts] [seed] [no_sync] [no_photo_sync]

The folder is on ext4 in a loop-mounted image. At a random moment the file system is shut down by ioctl
(nothing more reaches the image, not even its journal), the server is killed, the image is mounted again
and its record looked at. Only what was acknowledged before the cut counts. Not shown by this: torn
sectors, and drives that say that they have written what they have not.

With `no_sync` (the database does not sync) or `no_photo_sync` (photos do not) the run has to lose
something: a rig that cannot fail shows nothing. Root only; by hand only.
"""

import fcntl
import os
import random
import struct
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.promise.crowd import Crowd, gather
from tests.promise.garage import prepare, sign_in
from tests.promise.record import look
from tests.promise.sender import Sender
from tests.promise.starter import Starter

PHONES = 4
MOST, LONGEST_s = 40, 0.1  # a cut comes after so many acknowledged captures, and so much later
IMAGE_bytes = 512 * 2**20
SHUT_DOWN = 0x8004587D  # EXT4_IOC_SHUTDOWN
WITHOUT_JOURNAL = 2  # EXT4_GOING_FLAGS_NOLOGFLUSH


@dataclass
class Tally:
    cuts: int = 0
    acknowledged: int = 0  # before a cut
    too_late: int = 0  # after the cut: the phone could not have heard
    lost: set[str] = field(default_factory=set)
    torn: set[str] = field(default_factory=set)
    other: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.cuts} cuts: {self.acknowledged} acknowledged before a cut, {self.too_late} after it; "
            f"{len(self.lost)} lost, {len(self.torn)} photos torn, otherwise wrong: {self.other or 'nothing'}"
        )


@dataclass(frozen=True, slots=True)
class Disk:
    """An image with a file system that can be cut off."""

    image: Path
    mount: Path

    def make(self) -> None:
        with self.image.open("wb") as file:
            file.truncate(IMAGE_bytes)
        subprocess.run(["mkfs.ext4", "-q", "-F", self.image], check=True)
        self.mount.mkdir()

    @contextmanager
    def mounted(self) -> Iterator[None]:
        subprocess.run(["mount", "-o", "loop", self.image, self.mount], check=True)
        try:
            yield
        finally:
            subprocess.run(["umount", self.mount], check=True)

    def cut(self) -> None:
        handle = os.open(self.mount, os.O_RDONLY)
        try:
            fcntl.ioctl(handle, SHUT_DOWN, struct.pack("I", WITHOUT_JOURNAL))
        finally:
            os.close(handle)


def cut_once(
    disk: Disk, starter: Starter, crowd: Crowd, tally: Tally, draw: random.Random, **changes: bool
) -> None:
    """Post until the power goes, then look at what the disk has."""
    with disk.mounted():
        server = starter.start(disk.mount / "data", **changes)
        crowd.go_to(server.address)
        with crowd.posting():
            crowd.wait_for(draw.randint(1, MOST), longest_s=30)
            time.sleep(draw.uniform(0, LONGEST_s))
            cut_at = time.monotonic()
            disk.cut()
            server.kill()
    tally.cuts += 1
    in_time = set(crowd.heard(before=cut_at))
    too_late = [one for one in crowd.heard() if one not in in_time]
    tally.too_late += len(too_late)
    crowd.forget(too_late)
    with disk.mounted():
        found = look(disk.mount / "data", sent=crowd.sent, acknowledged=in_time)
    tally.acknowledged = len(in_time)
    tally.lost |= set(found.lost)
    tally.torn |= set(found.torn)
    tally.other += found.twice + found.half + found.damage + crowd.strange(before=cut_at)


def main(cuts: int, seed: int, changes: dict[str, bool]) -> int:
    began = time.monotonic()
    print(f"{cuts} cuts, seed {seed}, taken out: {', '.join(changes) or 'nothing'}", flush=True)
    with TemporaryDirectory() as folder, Starter() as starter:
        disk, tally, draw = Disk(Path(folder) / "image", Path(folder) / "disk"), Tally(), random.Random(seed)
        disk.make()
        data = disk.mount / "data"
        with disk.mounted():
            garage = prepare(data)
            server = starter.start(data)
            session = sign_in(server)
            server.kill()
            os.sync()

        def new_sender(number: int) -> Sender:
            return Sender(garage, session, "http://127.0.0.1", data, number, timeout_s=10)

        crowd = gather(new_sender, PHONES, seed)
        for _ in range(cuts):
            cut_once(disk, starter, crowd, tally, draw, **changes)
            if tally.lost or tally.torn or tally.other:
                break
        for phone in crowd.phones:
            phone.sender.client.close()
    print(tally, f"({time.monotonic() - began:.0f} s)")
    return int(bool(tally.lost or tally.torn or tally.other) != bool(changes))


if __name__ == "__main__":
    numbers = [int(one) for one in sys.argv[1:] if one.isdigit()]
    taken_out = {one: True for one in sys.argv[1:] if not one.isdigit()}
    sys.exit(main(*(numbers + [100, random.SystemRandom().randrange(2**32)][len(numbers) :]), taken_out))
