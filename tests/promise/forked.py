"""The other end of `starter.py`: reads what to do from its input, a JSON list a line, and forks.

["start", FOLDER, CHANGES]   fork a server; answers [pid, port]
["wait", PID]                until that server is dead; answers the signal it died of

Two headers, for tests only: `X-Crash-At: <point>` arms a crash point for that request, and
`X-Answer-First: yes` acknowledges before anything is recorded, as no server should.
CHANGES takes out what keeps a record safe, for the controls: `no_sync` (the database's), `no_photo_sync`,
`no_escape` (templates show what they are given as it is).
"""

import json
import os
import signal
import sys
from pathlib import Path

import uvicorn
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.app import create_app
from server.network import listen
from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.serve import configure
from server.settings import Settings
from server.store import durable, engine, photo
from server.store.engine import Store

SEE_OTHER = {
    "type": "http.response.start",
    "status": 303,
    "headers": [(b"location", b"/"), (b"content-length", b"0")],
}


class Wired:
    """The application behind the two headers."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        headers = Headers(scope=scope)
        if point := headers.get("x-crash-at"):
            os.environ["CORNERBOOK_CRASH_AT"] = point
        if headers.get("x-answer-first"):
            receive = await heard_out(receive)
            await send(SEE_OTHER)
            await send({"type": "http.response.body", "body": b""})
            send = forget
        await self._app(scope, receive, send)


async def heard_out(receive: Receive) -> Receive:
    """What is said over again, once it was heard to its end: after an answer nothing more is received."""
    said = [await receive()]
    while said[-1].get("more_body"):
        said.append(await receive())

    async def again() -> Message:
        return said.pop(0) if said else {"type": "http.disconnect"}

    return again


async def forget(_message: object) -> None:
    """Answered already."""


def serve(data: Path, library: dict[str, FrontEnd], answer: int, changes: dict[str, bool]) -> None:
    take_out(changes)
    settings = Settings(data=data, pin_passes=1, pin_memory_KiB=8)
    with listen("127.0.0.1", 0) as listening, Store(data) as store:
        app = create_app(settings, store, library=library)
        app.state.templates.autoescape = not changes.get("no_escape")
        app.add_middleware(Wired)
        os.write(answer, json.dumps([os.getpid(), listening.getsockname()[1]]).encode() + b"\n")
        uvicorn.Server(configure(app)).run(sockets=[listening])


def take_out(changes: dict[str, bool]) -> None:
    if changes.get("no_sync"):
        engine.PRAGMAS["synchronous"] = "off"
    if changes.get("no_photo_sync"):
        for module in (photo, durable):
            module.os = Unsynced()  # type: ignore[attr-defined]


class Unsynced:
    """The system, but for `fsync`."""

    def __getattr__(self, name: str) -> object:
        return (lambda _file: None) if name == "fsync" else getattr(os, name)


def main() -> None:
    library, answer = front_ends(), sys.stdout.fileno()
    alive: set[int] = set()
    for line in sys.stdin:
        what, *arguments = json.loads(line)
        if what == "start":
            folder, changes = arguments
            if (child := os.fork()) == 0:
                serve(Path(folder), library, answer, changes)
                os._exit(0)
            alive.add(child)
        else:
            _, status = os.waitpid(arguments[0], 0)
            alive.discard(arguments[0])
            os.write(answer, json.dumps(os.WTERMSIG(status)).encode() + b"\n")
    for child in alive:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


if __name__ == "__main__":
    main()
