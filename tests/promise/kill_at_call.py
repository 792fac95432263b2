"""Kill the recording of a capture at every system call that writes, syncs or renames, one after the other.

uv run python -m tests.promise.kill_at_call
"""

import json
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Self

from tests.need import need
from tests.promise.garage import prepare
from tests.promise.one_capture import CLIENT_ID, TEXT
from tests.promise.record import Findings, look
from tests.promise.sender import Sending, picture

CALLS = "write,pwrite64,fsync,fdatasync,rename,ftruncate,mkdir,unlink,unlinkat"
CONTENT = {"photo": sha256(picture(1)).hexdigest(), "measurement": TEXT}


@dataclass(frozen=True, slots=True)
class Killed:
    """What became of one capture killed at its Nth call."""

    call: int
    is_over: bool  # it had ended before that call
    heard: bool
    found: Findings
    found_after_retry: Findings


@dataclass
class Worker:
    strace: str
    process: "subprocess.Popen[str]" = field(init=False)

    def __enter__(self) -> Self:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.promise.one_capture"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            bufsize=1,
        )
        return self

    def __exit__(self, *_error: object) -> None:
        self.process.communicate()

    def record(self, data: Path, kind: str, *, kill_at: int | None) -> tuple[bool, bool]:
        """Whether the capture was acknowledged, and whether it came to its end."""
        self._say([str(data), kind])
        pid = self._hear()
        watching = self._watch(pid, kill_at) if kill_at is not None else None
        self._say("go")
        heard, last = False, self._hear()
        if last.startswith("303 "):
            heard, last = True, self._hear()
        if watching is not None:
            watching.communicate()
        assert last in ("ended", "SIGKILL"), last
        return heard, last == "ended"

    def _watch(self, pid: int, kill_at: int) -> "subprocess.Popen[str]":
        inject = f"inject={CALLS}:signal=SIGKILL:when={kill_at}"
        watching = subprocess.Popen(
            [self.strace, "-f", "-p", str(pid), "-e", f"trace={CALLS}", "-e", inject],
            stderr=subprocess.PIPE,
            text=True,
        )
        assert watching.stderr is not None
        line = watching.stderr.readline()
        assert "attached" in line, line
        return watching

    def _say(self, what: object) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps(what) + "\n")

    def _hear(self) -> Any:
        assert self.process.stdout is not None
        return json.loads(self.process.stdout.readline())


def kill_at(worker: Worker, prepared: Path, folder: Path, kind: str, call: int) -> Killed:
    """Kill it at that call, look, send it again, and look again."""
    data = shutil.copytree(prepared, folder / f"{kind}-{call}")
    sent = [Sending(kind, "", {}, CONTENT[kind], client_id=CLIENT_ID)]
    heard, is_over = worker.record(data, kind, kill_at=call)
    found = look(data, sent=sent, acknowledged=[CLIENT_ID] if heard else [])
    again, ended = worker.record(data, kind, kill_at=None)
    assert (again, ended) == (True, True)
    found_after = look(data, sent=sent, acknowledged=[CLIENT_ID])
    shutil.rmtree(data)
    return Killed(call, is_over, heard, found, found_after)


def every_call(worker: Worker, prepared: Path, folder: Path, kind: str) -> Iterator[Killed]:
    """At every call, until there is none left."""
    call = 1
    while not (killed := kill_at(worker, prepared, folder, kind, call)).is_over:
        yield killed
        call += 1


def main() -> int:
    began, wrong = time.monotonic(), 0
    with TemporaryDirectory() as folder, Worker(need("strace")) as worker:
        prepared = Path(folder) / "prepared"
        prepare(prepared)
        for kind in CONTENT:
            killed = list(every_call(worker, prepared, Path(folder), kind))
            bad = [one for one in killed if one.found or one.found_after_retry]
            wrong += len(bad)
            acknowledged = sum(one.heard for one in killed)
            print(f"{kind}: killed at {len(killed)} calls, {acknowledged} acknowledged; wrong: {bad}")
    print(f"{time.monotonic() - began:.0f} s")
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main())
