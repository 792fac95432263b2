"""Tags: a job's list of them, labels to print, and what the code on a label leads to."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

import segno
from fastapi import APIRouter, Depends, Path, Query, Request, Response
from markupsafe import Markup
from sqlmodel import Session

from server.shop import tag as rule
from server.shop.job import PLACES
from server.shop.refusal import Refusal
from server.shop.tag import TagSeen, find_tag, tags_of_job
from server.shop.tag_list import TagLine, tag_lines
from server.store.tables import Tag
from server.web.car import AtCar, Here
from server.web.error import status_of
from server.web.form import Fields, fields
from server.web.library import Library
from server.web.page import saved, wants_fragment
from server.web.visitor import Now, Signed, Store
from server.web.write import write

router = APIRouter()

QUIET_ZONE = 4  # modules of white around a code: ISO/IEC 18004
LONGEST_CODE = 64
ONLY_HERE = ("localhost", "127.0.0.1", "[::1]")

Code = Annotated[str, Path(pattern=rf"^[A-Za-z0-9_-]{{1,{LONGEST_CODE}}}$")]


@dataclass(frozen=True, slots=True)
class Tried:
    """A form of one tag that was refused, with what was typed."""

    number: int
    shelf: str
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class Label:
    """One label to print."""

    seen: TagSeen
    code: Markup


@dataclass(frozen=True, slots=True)
class AtTag:
    """Somebody with one tag in hand."""

    car: AtCar
    tag: Tag

    def write(
        self, form: Fields, kind: str, act: Callable[[Session, TagSeen], None], *, typed: str = ""
    ) -> Response:
        """Do `act` once, in one block; a refusal is shown at the tag with what was typed."""
        car, number = self.car, self.tag.number

        def inside(db: Session) -> str:
            front_end = car.front_end(car.job(db))
            act(db, next(one for one in tags_of_job(db, car.job_id, front_end) if one.tag.number == number))
            return f"/jobs/{car.job_id}/tags#tag-{number}"

        try:
            path = write(car.store, car.visitor, form, f"{kind} {self.tag.id}", inside, now=car.now)
        except Refusal as refusal:
            return self.show(Tried(number, typed, refusal), status=status_of(refusal))
        return saved(car.request, path, self.show)

    def show(self, tried: Tried | None = None, *, status: int = 200) -> Response:
        """The tag's own page, or for htmx the tag alone."""
        with self.car.store.reading() as db:
            car = self.car.car(db)
            lines = tag_lines(db, car.job, self.car.front_end(car.job))
        line = next(one for one in lines if one.seen.tag.number == self.tag.number)
        is_alone = not wants_fragment(self.car.request)
        template = "tag/show.html" if is_alone else "tag/_tag.html"
        return self.car.page(template, status=status, car=car, line=line, tried=tried, is_alone=is_alone)


def at_tag(request: Request, code: Code, visitor: Signed, store: Store, library: Library, now: Now) -> AtTag:
    """Raises Missing for a code that is on none of this shop's tags."""
    with store.reading() as db:
        tag = find_tag(db, code, shop_id=visitor.shop_id)
    return AtTag(AtCar(request, visitor, store, library, now, tag.job_id), tag)


AtThisTag = Annotated[AtTag, Depends(at_tag)]


@router.get("/jobs/{job_id}/tags")
def show_tags(here: Here) -> Response:
    with here.store.reading() as db:
        car = here.car(db)
        lines = tag_lines(db, car.job, here.front_end(car.job))
    return here.page("tag/index.html", car=car, groups=_groups(lines), tried=None)


@router.get("/jobs/{job_id}/labels")
def show_labels(here: Here, first: Annotated[int, Query(alias="from", ge=1, le=9999)] = 1) -> Response:
    """Labels for what is off the car, from that number on, so that one prints only the new ones."""
    with here.store.reading() as db:
        car = here.car(db)
        tags = tags_of_job(db, here.job_id, here.front_end(car.job))
    out = [one for one in tags if one.tag.state == "out"]
    labels = [
        Label(one, qr_code(address_of(here.request, one.tag))) for one in out if one.tag.number >= first
    ]
    return here.page(
        "tag/labels.html",
        car=car,
        labels=labels,
        first=first,
        is_any_out=bool(out),
        is_only_here=here.request.url.hostname in ONLY_HERE,
    )


@router.get("/tags/{code}")
def show_tag(here: AtThisTag) -> Response:
    return here.show()


@router.post("/tags/{code}/shelf")
def create_shelf(here: AtThisTag, form: Annotated[Fields, Depends(fields("shelf"))]) -> Response:
    def act(db: Session, seen: TagSeen) -> None:
        rule.shelve(
            db,
            seen.tag,
            client_id=form.client_id,
            shelf=form["shelf"],
            by=here.car.visitor.person,
            now=here.car.now,
        )

    return here.write(form, "shelf", act, typed=form["shelf"])


@router.post("/tags/{code}/discarding")
def create_discarding(here: AtThisTag, form: Annotated[Fields, Depends(fields())]) -> Response:
    def act(db: Session, seen: TagSeen) -> None:
        front_end = here.car.front_end(here.car.job(db))
        person, now = here.car.visitor.person, here.car.now
        rule.discard(db, seen, front_end, client_id=form.client_id, by=person, now=now)

    return here.write(form, "discard", act)


def address_of(request: Request, tag: Tag) -> str:
    """Where the code of a tag leads, by the name under which this page was asked for."""
    return f"{request.base_url}tags/{tag.code}"


def qr_code(address: str) -> Markup:
    """A code for a label, dark on light in every theme: at least level M, with its quiet zone."""
    code = segno.make_qr(address, error="m")
    svg = code.svg_inline(border=QUIET_ZONE, dark="#000", light="#fff", omitsize=True, svgclass="code__svg")
    return Markup(svg)  # noqa: S704 - made of an address that this server made


def _groups(lines: list[TagLine]) -> list[tuple[str, list[TagLine], bool]]:
    """What is off the car by where it came from, then what is back and what is gone; open if looked for."""
    out = [(f"Off: {name.lower()}", "out", place) for place, name in PLACES.items()]
    grouped = [
        (name, [one for one in lines if one.seen.tag.state == state and place in ("", one.seen.tag.place)])
        for name, state, place in (*out, ("Back on the car", "refitted", ""), ("Discarded", "discarded", ""))
    ]
    return [(name, group, group[0].seen.tag.state == "out") for name, group in grouped if group]
