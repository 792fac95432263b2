"""Run the application on a data folder until it is told to stop."""

import signal
import sys
from collections.abc import Callable
from types import FrameType

import segno
import uvicorn
from fastapi import FastAPI

from server.app import create_app
from server.network import lan_addresses, listen, url
from server.settings import Settings
from server.shop.shop import the_shop
from server.store.engine import Store

PATIENCE_s = 2  # for answers under way when it is told to stop
WHITE_ON_BLACK, AS_BEFORE = "\x1b[97;40m", "\x1b[0m"


def first_steps(app: FastAPI) -> str:
    """What the foreman needs at the first start, and nothing at any later one."""
    with app.state.store.reading() as db:
        if the_shop(db) is not None:
            return ""
    code = app.state.set_up_code
    return f"First start. Open the page and set up the shop with the code {code[:4]}-{code[4:]}\n"


def serve(settings: Settings, *, prepare: Callable[[FastAPI], str] = first_steps) -> None:
    """The port first, then the data: nothing is touched where it could not be served.

    prepare  gets the application before anyone else does; what it returns is printed
    raises   PortRefused, StoreRefused
    """
    with listen(settings.host, settings.port) as listening, Store(settings.data) as store:
        app = create_app(settings, store)
        signal.signal(signal.SIGTERM, _stop)  # before anyone is told where to find it
        print(prepare(app) + announcement(settings, listening.getsockname()[1]), flush=True)
        uvicorn.Server(configure(app)).run(sockets=[listening])


def configure(app: FastAPI) -> uvicorn.Config:
    """One process: the store has one writer, and the shop is small."""
    return uvicorn.Config(
        app,
        http="h11",
        ws="none",
        lifespan="off",
        proxy_headers=False,  # whoever claims to be forwarding is not believed
        server_header=False,
        access_log=False,
        log_level="warning",
        timeout_graceful_shutdown=PATIENCE_s,
    )


def announcement(settings: Settings, port: int) -> str:
    """Where to point a browser, and for a phone the same as a picture."""
    phones = [url(address, port) for address in lan_addresses(settings.host)]
    lines = [f"On this machine:  {url('localhost', port)}"]
    lines += [f"On a phone:       {address}" for address in phones]
    lines += [code_of(phones[0])] if phones else []
    lines += [f"Data folder:      {settings.data}", "Ctrl-C stops it."]
    return "\n".join(lines)


def code_of(address: str) -> str:
    """A QR code in half blocks; light on dark, so that a terminal on white paper shows it right, too."""
    code = segno.make_qr(address, error="m")
    rows = [bytes(row) for row in code.matrix_iter(border=2)]
    rows += [bytes(len(rows[0]))] * (len(rows) % 2)
    drawn = [
        "".join(" ▀▄█"[(not upper) + 2 * (not lower)] for upper, lower in zip(*pair, strict=True))
        for pair in zip(rows[::2], rows[1::2], strict=True)
    ]
    if sys.stdout.isatty():
        drawn = [f"{WHITE_ON_BLACK}{row}{AS_BEFORE}" for row in drawn]
    text = "\n".join(drawn)
    return text if _can_print(text) else ""


def _can_print(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True


def _stop(_signal: int, _frame: FrameType | None) -> None:
    """uvicorn has stopped by the time it passes the signal on; this is the way out of it."""
    raise SystemExit(0)
