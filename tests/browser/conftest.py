"""A real server and a real browser at phone size. Without a Chromium these tests skip, and say so."""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import Browser, Page

from server.app import create_app
from server.settings import Settings
from server.store.engine import Store

PHONE = {
    "viewport": {"width": 360, "height": 740},
    "device_scale_factor": 2,
    "is_mobile": True,
    "has_touch": True,
}
DESKTOP = {"viewport": {"width": 1280, "height": 900}}


@dataclass
class Live:
    """A server that is running, and the application inside."""

    address: str
    app: FastAPI


@pytest.fixture
def live(tmp_path: Path) -> Iterator[Live]:
    """A fresh server before its set-up."""
    with Store(tmp_path / "data") as store:
        settings = Settings(data=tmp_path / "data", pin_passes=1, pin_memory_KiB=8)
        with serving(create_app(settings, store)) as live:
            yield live


class serving:  # noqa: N801 - reads as a verb
    """`with serving(app) as live`: on a free port, stopped at the end."""

    def __init__(self, app: FastAPI) -> None:
        self._app = app
        self._socket = socket.socket()
        self._server = uvicorn.Server(uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=1))
        self._thread = threading.Thread(target=self._server.run, kwargs={"sockets": [self._socket]})

    def __enter__(self) -> Live:
        self._socket.bind(("127.0.0.1", 0))
        self._thread.start()
        while not self._server.started:
            time.sleep(0.01)
        return Live(f"http://127.0.0.1:{self._socket.getsockname()[1]}", self._app)

    def __exit__(self, *_: object) -> None:
        self._server.should_exit = True
        self._thread.join()
        self._socket.close()


@pytest.fixture
def open_phone(browser: Browser) -> Iterator[Callable[..., Page]]:
    """Opens fresh browsers. A complaint on the console is a failure; a refusal (4xx) is not."""
    opened, complaints = [], []

    def make(**kind: object) -> Page:
        context = browser.new_context(**(kind or PHONE))  # type: ignore[arg-type]
        opened.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "console",
            lambda said: (
                said.type == "error" and "status of 4" not in said.text and complaints.append(said.text)
            ),
        )
        return page

    yield make
    for context in opened:
        context.close()
    assert complaints == []
