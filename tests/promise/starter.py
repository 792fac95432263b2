"""Starts servers that can be killed: real processes that answer on a real port.

with Starter() as starter:
    server = starter.start(data)
    ...                          # post to server.address
    server.kill()

The application is imported once, in a process that forks each server off, so that a start takes a
fraction of a second; `command` starts one as the shop does.
"""

import json
import os
import re
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol, Self


class Server(Protocol):
    @property
    def address(self) -> str: ...

    def kill(self) -> None:
        """As a power switch does to a process: SIGKILL. Returns when it is gone."""


class Starter:
    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.promise.forked"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            bufsize=1,
        )

    def start(self, data: Path, **changes: bool) -> "Forked":
        """A server on a data folder; `changes` take something out of it, see `forked.py`."""
        pid, port = self.ask("start", str(data), changes)
        return Forked(self, pid, f"http://127.0.0.1:{port}")

    def ask(self, *what: Any) -> Any:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps(what) + "\n")
        return json.loads(self._process.stdout.readline())

    def close(self) -> None:
        """Every server that is left is killed."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait()
        self._process.stdout.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_error: object) -> None:
        self.close()


@dataclass(frozen=True, slots=True)
class Forked:
    starter: Starter
    pid: int
    address: str

    def kill(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        self.wait()

    def wait(self) -> int:
        """The signal it died of."""
        number: int = self.starter.ask("wait", self.pid)
        return number


class Command:
    """A server started as the shop starts it: `cornerbook serve`."""

    def __init__(self, data: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "server", "serve", "--data", data, "--host", "127.0.0.1", "--port", "0"],
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"CORNERBOOK_PIN_PASSES": "1", "CORNERBOOK_PIN_MEMORY_KIB": "8"},
        )
        assert self._process.stdout is not None
        said = ""
        while not (port := re.search(r"http://localhost:(\d+)", said)):
            line = self._process.stdout.readline()
            assert line, f"the server did not start: {said}"
            said += line
        self.address = f"http://127.0.0.1:{port[1]}"

    def kill(self) -> None:
        self._process.kill()
        self._process.wait()
        assert self._process.stdout is not None
        self._process.stdout.close()
