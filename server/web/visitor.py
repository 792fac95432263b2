"""Who asks, and what a handler works with, as dependencies.

    def show_step(request: Request, step_id: RowId, visitor: Signed, store: Store, now: Now) -> Response: ...

`Signed`     anyone signed in; others are led to the sign-in page and back
`Foreman`    foreman, else 403
`Anyone`     the visitor, or None
`Store`      the store: `with store.reading() as db`, `with store.writing() as db`
`Photos`     the place for pictures: `photos.put(upload.body)`, outside of any block of the store
`Now`        this moment, aware UTC, by the clock of the application
`Checker`    the PIN hasher `pins`, for a second person on this phone, outside of any block of the store:
             `check_pin(store, pins, person_id=2, pin=form["pin"], sender=visitor.sender, now=now)`

Name the visitor before the form, so that nobody's body is read before we know whose it is.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Annotated, cast

from fastapi import Depends, Path, Request
from pydantic import BeforeValidator

from server.compute.show import System
from server.settings import Settings
from server.shop import sign_in
from server.shop.guess import Sender
from server.shop.person import is_qualified
from server.shop.pin import Pins
from server.shop.refusal import Forbidden
from server.shop.shop import system_of
from server.store import engine
from server.store.photo import PhotoStore
from server.store.tables import Person, Shop
from server.web import cookie


def _plain_digits(text: str) -> str:
    """`1_0` and `1 ` are no row numbers, though Python reads them as such."""
    if not (text.isascii() and text.isdigit()):
        raise ValueError("not a row number")
    return text


# What a row number can be in any of the databases.
RowId = Annotated[int, BeforeValidator(_plain_digits), Path(ge=1, le=2**31 - 1)]


@dataclass(frozen=True, slots=True)
class Visitor:
    """Somebody signed in, at one phone."""

    person: Person
    shop: Shop
    sign_in_id: int
    form_key: str
    sender: Sender

    @property
    def person_id(self) -> int:
        return cast(int, self.person.id)

    @property
    def shop_id(self) -> int:
        return cast(int, self.shop.id)

    @property
    def system(self) -> System:
        """The shop's own units."""
        return system_of(self.shop)

    @property
    def is_foreman(self) -> bool:
        return self.person.role == "foreman"

    @property
    def is_qualified(self) -> bool:
        return is_qualified(self.person)


class NotSignedIn(Exception):
    """Answered by leading to the sign-in page, or to the set-up where there is no shop yet."""


def utc_now() -> datetime:
    return datetime.now(UTC)


async def the_store(request: Request) -> engine.Store:
    return cast(engine.Store, request.app.state.store)


async def the_photos(request: Request) -> PhotoStore:
    return cast(PhotoStore, request.app.state.photos)


async def this_moment(request: Request) -> datetime:
    return cast(datetime, request.app.state.clock())


async def the_checker(request: Request) -> Pins:
    return cast(Pins, request.app.state.pins)


async def the_settings(request: Request) -> Settings:
    return cast(Settings, request.app.state.settings)


Store = Annotated[engine.Store, Depends(the_store)]
Photos = Annotated[PhotoStore, Depends(the_photos)]
Now = Annotated[datetime, Depends(this_moment)]
Checker = Annotated[Pins, Depends(the_checker)]
Knobs = Annotated[Settings, Depends(the_settings)]


def anyone(request: Request, store: Store, settings: Knobs, now: Now) -> Visitor | None:
    """The visitor behind the session cookie; also left on `request.state.visitor` for the page."""
    request.state.visitor = None
    token = cookie.read(request, cookie.SESSION)
    if not token:
        return None
    with store.reading() as db:
        present = sign_in.find(db, token, limits=limits(settings), now=now)
    if present is None:
        return None
    sign_in_id = cast(int, present.sign_in.id)
    if sign_in.needs_note(present.sign_in, now=now):
        with store.writing() as db:
            sign_in.note_seen(db, sign_in_id, now=now)
    visitor = Visitor(present.person, present.shop, sign_in_id, present.sign_in.form_key, sender(request))
    request.state.visitor = visitor
    return visitor


Anyone = Annotated[Visitor | None, Depends(anyone)]


async def signed(visitor: Anyone) -> Visitor:
    if visitor is None:
        raise NotSignedIn
    return visitor


Signed = Annotated[Visitor, Depends(signed)]


async def foreman(visitor: Signed) -> Visitor:
    if not visitor.is_foreman:
        raise Forbidden("This is for the foreman.")
    return visitor


Foreman = Annotated[Visitor, Depends(foreman)]


def sender(request: Request) -> Sender:
    """By the connection itself: what a client says about its address is not believed."""
    return Sender(request.client.host if request.client else "", cookie.read(request, cookie.PHONE))


def limits(settings: Settings) -> sign_in.Limits:
    return sign_in.Limits(
        idle=timedelta(hours=settings.session_idle_h), longest=timedelta(hours=settings.session_longest_h)
    )
