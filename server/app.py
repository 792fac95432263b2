"""The only place that wires things. Nothing is built at import."""

import hashlib
import hmac
import secrets
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa
from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import ClientDisconnect

from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.settings import Settings
from server.shop.pin import Pins
from server.shop.refusal import Refusal
from server.shop.shop import the_shop
from server.store import pin_key
from server.store.engine import Store
from server.store.photo import PhotoFolder
from server.store.refused import StoreRefused
from server.web import (
    alignment,
    api,
    bay,
    bench,
    board,
    capture,
    corner,
    decision,
    error,
    handover,
    health,
    intake,
    job,
    me,
    person,
    photo,
    release,
    set_up,
    shim,
    sign_in,
    spec,
    spec_line,
    step,
    tag,
    target,
    torque_record,
    what_if,
    wording,
)
from server.web.asset import Assets, StaticFolder
from server.web.page import templates
from server.web.security import Gate
from server.web.visitor import NotSignedIn, utc_now

CODE_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"  # none that is read as another
CODE_LENGTH = 8


def create_app(
    settings: Settings,
    store: Store | None = None,
    clock: Callable[[], datetime] = utc_now,
    library: dict[str, FrontEnd] | None = None,
) -> FastAPI:
    """The application on one data folder.

    store    opened here if none is handed over; whoever calls closes `app.state.store`
    clock    what time it is, aware UTC
    library  the front ends, read and checked here (for a second or so) if none are handed over
    raises   StoreRefused, LibraryError
    """
    store = store or Store(settings.data)
    key = _pin_key(settings, store)
    app = FastAPI(title="Cornerbook", docs_url=None, redoc_url=None, openapi_url=None, redirect_slashes=False)
    app.state.settings = settings
    app.state.store = store
    app.state.photos = PhotoFolder(settings.data / "photos")
    app.state.clock = clock
    app.state.front_ends = library or front_ends()
    app.state.pins = Pins(key, passes=settings.pin_passes, memory_KiB=settings.pin_memory_KiB)
    app.state.form_secret = hmac.digest(key, b"form key", hashlib.sha256)
    app.state.set_up_code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    add_templates(app)
    add_pages(app)
    add_answers(app)
    app.add_middleware(GZipMiddleware, minimum_size=500)
    app.add_middleware(Gate, settings=settings)
    return app


def add_templates(app: FastAPI) -> None:
    app.state.templates = templates(str(beside("templates")))
    app.state.templates.filters.update(wording.FILTERS)
    app.state.templates.globals["asset"] = Assets(beside("static")).address
    app.mount("/static", StaticFolder(directory=beside("static")))


def add_pages(app: FastAPI) -> None:
    """One line a subject. Pages stay out of the OpenAPI description; only the bench is an interface."""
    for subject in (
        api,
        bay,
        bench,
        board,
        intake,
        job,
        shim,
        spec,
        corner,
        spec_line,
        torque_record,
        step,
        photo,
        decision,
        capture,
        tag,
        target,
        alignment,
        what_if,
        release,
        handover,
        health,
        me,
        person,
        set_up,
        sign_in,
    ):
        app.include_router(subject.router, include_in_schema=False)


def add_answers(app: FastAPI) -> None:
    """What is answered where no handler could."""
    app.add_exception_handler(Refusal, error.answer_refusal)
    app.add_exception_handler(HTTPException, error.answer_http)
    app.add_exception_handler(RequestValidationError, error.answer_invalid)
    app.add_exception_handler(NotSignedIn, error.answer_not_signed_in)
    app.add_exception_handler(sa.exc.OperationalError, error.answer_busy)
    app.add_exception_handler(sa.exc.TimeoutError, error.answer_busy)
    app.add_exception_handler(ClientDisconnect, error.answer_gone)
    app.add_exception_handler(Exception, error.answer_failure)


def _pin_key(settings: Settings, store: Store) -> bytes:
    """A new key for a new shop only: with another one no PIN of an old shop would be right any more."""
    if not pin_key.is_there(settings.data):
        with store.reading() as db:
            if the_shop(db) is not None:
                raise StoreRefused(
                    f"{settings.data / pin_key.NAME} is missing, and without it no PIN can be checked. "
                    "Put back the file of the last backup."
                )
    return pin_key.read_or_make(settings.data)


def beside(name: str) -> Path:
    """`templates` or `static`: inside an installed package, next to it in the source tree."""
    package = Path(__file__).parent
    inside = package / name
    return inside if inside.is_dir() else package.parent / name
