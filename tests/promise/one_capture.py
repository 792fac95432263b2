"""Records one capture through the real handler, in a single thread, to be killed at any of its system calls.

Reads FOLDER and KIND (photo or measurement) a line, and forks: the child says its process id, waits for a
line that says that it is being watched, records, acknowledges by the address of the result, and ends. Then
the parent says how it ended.
"""

import json
import os
import signal
import sys
from pathlib import Path

from fastapi import FastAPI, Request
from sqlmodel import select

from server.app import create_app
from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.settings import Settings
from server.shop.guess import Sender
from server.store.engine import Store
from server.store.tables import Person, Shop, Step
from server.web.capture import create_measurement, create_photos
from server.web.form import Fields, Upload
from server.web.step import AtStep
from server.web.visitor import Visitor, utc_now
from tests.promise.sender import picture

CLIENT_ID = "one-capture-and-no-other"
TEXT = "320.5 mm"


def record(data: Path, kind: str, library: dict[str, FrontEnd]) -> str:
    with Store(data) as store:
        app = create_app(Settings(data=data, pin_passes=1, pin_memory_KiB=8), store, library=library)
        here = at_the_tie_rod(app)
        texts = {"client_id": [CLIENT_ID], "form_key": ["checked before"], "place": ["LF"]}
        if kind == "photo":
            form = Fields(texts | {"key": ["tie-rod.photo"]}, {"photo": [Upload("shot.jpg", picture(1))]})
            answer = create_photos(here, app.state.photos, form)
        else:
            typed = {"text": [TEXT], "confirmed": [], "supersedes": [], "reason": []}
            answer = create_measurement(here, Fields(texts | {"key": ["tie-rod.length"]} | typed, {}))
    return f"{answer.status_code} {answer.headers['location']}"


def at_the_tie_rod(app: FastAPI) -> AtStep:
    store = app.state.store
    with store.reading() as db:
        step = db.exec(select(Step.id).where(Step.operation == "tie-rod", Step.place == "LF")).first()
        person, shop = db.get_one(Person, 2), db.exec(select(Shop)).one()
    request = Request({"type": "http", "method": "POST", "path": "/", "headers": [], "app": app})
    visitor = Visitor(person, shop, 1, "", Sender("127.0.0.1"))
    return AtStep(request, step, visitor, store, app.state.front_ends, utc_now())


def say(what: object) -> None:
    os.write(1, json.dumps(what).encode() + b"\n")


def main() -> None:
    library = front_ends()
    while order := os.read(0, 4096).decode():
        folder, kind = json.loads(order)
        if (child := os.fork()) == 0:
            say(os.getpid())
            os.read(0, 4096)
            say(record(Path(folder), kind, library))
            os._exit(0)
        _, status = os.waitpid(child, 0)
        say(signal.Signals(os.WTERMSIG(status)).name if os.WIFSIGNALED(status) else "ended")


if __name__ == "__main__":
    sys.exit(main())
