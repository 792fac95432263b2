"""How long the step page and a capture take, as ratios to the barest thing that could do the same.

    uv run python -m tests.bench.step_page [rounds]

Both servers run in this process over loopback; each round asks each of them once, in turn, so that a
machine that slows down slows down both. Nothing here is a test: it prints what it measured.
"""

import shutil
import sqlite3
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median, quantiles
from tempfile import mkdtemp

import httpx
import uvicorn
from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse
from jinja2 import DictLoader, Environment

from server.app import create_app
from server.network import listen
from server.procedure.load import front_ends
from server.serve import configure
from server.settings import Settings
from server.shop import sign_in
from server.shop.guess import Sender
from server.store.engine import PRAGMAS, Store
from server.store.tables import SignIn
from server.web import cookie
from server.web.form_key import mask
from tests.web.conftest import hire
from tests.web.phone import Clock
from tests.web.work import open_work, walk_to


def main(rounds: int) -> None:
    folder = Path(mkdtemp())
    try:
        measure(folder, rounds)
    finally:
        shutil.rmtree(folder)


def measure(folder: Path, rounds: int) -> None:
    clock = Clock()
    settings = Settings(data=folder / "data", pin_passes=1, pin_memory_KiB=8)
    with Store(settings.data) as store:
        app = create_app(settings, store, clock, front_ends())
        people = hire(app, clock)
        work = open_work(app, people, clock, scopes=["everything"])
        step = walk_to(work, people, "tie-rod")
        with store.writing() as db:
            ticket = sign_in.open_session(db, people["Bo Berg"], sender=Sender("127.0.0.1"), now=clock())
        with store.reading() as db:
            form_key = mask(db.get_one(SignIn, 1).form_key)
        ours = httpx.Client(base_url=serve(app), cookies={cookie.SESSION: ticket.token})
        bare = httpx.Client(base_url=serve(bare_page()))
        commit = bare_commit(folder / "bare.sqlite3")
        path = f"/steps/{step.id}"
        page = ours.get(path)
        page.raise_for_status()
        sent = iter(range(10**9))

        def capture() -> None:
            form = {"key": "tie-rod.length", "place": "LF", "text": "12 5/8", "form_key": form_key}
            answer = ours.post(
                f"{path}/measurements",
                data=form | {"client_id": f"bench-{next(sent):016d}"},
                headers={"Origin": str(ours.base_url).rstrip("/")},
            )
            assert answer.status_code == 303, answer.text[:300]

        times = interleaved(
            {
                "bare page": lambda: bare.get("/").raise_for_status(),
                "step page": lambda: ours.get(path).raise_for_status(),
                "bare commit": commit,
            },
            rounds,
        )
        times |= interleaved({"capture": capture}, min(rounds, 200))
    report(times, page_bytes=len(page.content))


def interleaved(tasks: dict[str, Callable[[], object]], rounds: int) -> dict[str, list[float]]:
    """Seconds of each task, taken in turn; the first tenth is warm-up and left out."""
    times: dict[str, list[float]] = {name: [] for name in tasks}
    for _ in range(rounds + rounds // 10):
        for name, task in tasks.items():
            before = time.perf_counter()
            task()
            times[name].append(time.perf_counter() - before)
    return {name: taken[rounds // 10 :] for name, taken in times.items()}


def report(times: dict[str, list[float]], *, page_bytes: int) -> None:
    for name, taken in times.items():
        tenths = quantiles(taken, n=10)
        middle, low, high = (seconds * 1e3 for seconds in (median(taken), tenths[0], tenths[8]))
        print(f"{name:12} median {middle:7.2f} ms   10-90 % {low:.2f} to {high:.2f} ms")
    page, step, commit, capture = (
        median(times[name]) for name in ("bare page", "step page", "bare commit", "capture")
    )
    print(f"step page / bare page                   {step / page:5.2f}   (aim: at most 3)")
    print(f"capture / (bare commit + bare page)     {capture / (commit + page):5.2f}   (aim: at most 2)")
    print(f"step page: {page_bytes} bytes before compression")


def bare_page() -> FastAPI:
    """A page with nothing behind it but the framework and a template."""
    app = FastAPI()
    template = Environment(
        loader=DictLoader({"page": "<!doctype html><title>{{ t }}</title><p>{{ t }}</p>"}), autoescape=True
    ).get_template("page")

    @app.get("/")
    def show(request: Request) -> HTMLResponse:
        return HTMLResponse(template.render(t=request.url.path))

    return app


def bare_commit(path: Path) -> Callable[[], None]:
    """One row made durable, with the pragmas of the store."""
    db = sqlite3.connect(path, isolation_level=None)
    for name, value in PRAGMAS.items():
        db.execute(f"PRAGMA {name}={value}")
    db.execute("CREATE TABLE capture (id INTEGER PRIMARY KEY, text TEXT)")

    def commit() -> None:
        db.execute("BEGIN IMMEDIATE")
        db.execute("INSERT INTO capture (text) VALUES ('12 5/8')")
        db.execute("COMMIT")

    return commit


def serve(app: FastAPI) -> str:
    """The address of a server for this application as the shop's is run, in a thread of its own."""
    listening = listen("127.0.0.1", 0)
    server = uvicorn.Server(configure(app))
    threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True).start()
    address = f"http://127.0.0.1:{listening.getsockname()[1]}"
    while not server.started:
        time.sleep(0.01)
    return address


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
