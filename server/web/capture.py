"""Captures at a step: measurements, notes, gaps, photos and the marks on them."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd, Wanted
from server.shop import capture as rule
from server.shop.capture import Correction, Hand
from server.shop.lack import asked
from server.shop.move import Rung
from server.shop.refusal import Missing, Refusal
from server.shop.row import known
from server.shop.step import start
from server.shop.vehicle import last_job
from server.store.picture import PictureRefused
from server.store.tables import Capture, Job, Photo, Step
from server.web.form import Fields, Upload, fields
from server.web.step import AtStep, Here, Part, Tried
from server.web.visitor import Photos

router = APIRouter()

PHOTO_SHOWN_px = 280  # how wide a photo is shown where a mark is put on it: the unit of `tap.x`
ONLY_GROWS = ("odometer",)


@router.post("/steps/{step_id}/measurements")
def create_measurement(
    here: Here,
    form: Annotated[Fields, Depends(fields("key", "place", "text", "confirmed", "supersedes", "reason"))],
) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        wanted = _wanted(form, step, front_end, kinds=("measurement",))
        rule.measure_at(
            db,
            _begun(db, here, job, step, front_end),
            wanted,
            _hand(here, form),
            place=form["place"],
            text=form["text"],
            confirmed=form["confirmed"] == "yes",
            system=here.visitor.system,
            last_visit=_last_visit(db, job, wanted),
            correction=_correction(db, form),
        )

    return here.write(form, "measurement", act, part=_part(form), name=_name("measurement", form))


@router.post("/steps/{step_id}/notes")
def create_note(
    here: Here, form: Annotated[Fields, Depends(fields("key", "place", "text", "supersedes", "reason"))]
) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        wanted = _wanted(form, step, front_end, kinds=("note", "choice")) if form["key"] else None
        rule.note_at(
            db,
            _begun(db, here, job, step, front_end),
            _hand(here, form),
            text=form["text"],
            wanted=wanted,
            place=form["place"] if wanted else "",
            correction=_correction(db, form),
        )

    return here.write(form, "note", act, part=_part(form), name=_name("note", form))


@router.post("/steps/{step_id}/gaps")
def create_gap(
    here: Here, form: Annotated[Fields, Depends(fields("key", "place", "text", "supersedes", "reason"))]
) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        rule.miss_at(
            db,
            _begun(db, here, job, step, front_end),
            _wanted(form, step, front_end),
            _hand(here, form),
            place=form["place"],
            reason=form["text"],
            correction=_correction(db, form),
        )

    return here.write(form, "gap", act, part=_part(form), name=_name("gap", form))


@router.post("/steps/{step_id}/photos")
def create_photos(
    here: Here,
    photos: Photos,
    form: Annotated[Fields, Depends(fields("key", "place", files=("photo",)))],
) -> Response:
    part, name = _part(form), _name("photo", form)
    try:
        stored = [store_photo(here, photos, upload) for upload in form.files("photo")]
        if not stored:
            raise Refusal("Take a photo first.", field="photo")
    except Refusal as refusal:
        return here.show(part=part, tried=Tried(name, form, refusal), status=422)

    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        wanted = _wanted(form, step, front_end, kinds=("photo", "mark")) if form["key"] else None
        begun = _begun(db, here, job, step, front_end)
        for number, photo in enumerate(stored):
            hand = Hand(here.visitor.person, here.now, f"{form.client_id}.{number}")
            place = form["place"] if wanted else ""
            rule.photograph_at(db, begun, hand, photo, key=form["key"], place=place)

    return here.write(form, "photo", act, part=part, name=name)


@router.post("/steps/{step_id}/marks")
def create_mark(
    here: Here, form: Annotated[Fields, Depends(fields("key", "place", "photo", "text", "tap.x", "tap.y"))]
) -> Response:
    def act(db: Session, job: Job, step: Step, front_end: FrontEnd) -> None:
        if form["key"]:
            _wanted(form, step, front_end, kinds=("photo", "mark"))
        taken = _row(db, form["photo"])
        picture = db.get(Photo, taken.photo_digest) if taken and taken.photo_digest else None
        if picture is None:
            raise Refusal("A mark goes on a photo of this step: take one first.", field="text")
        if (form["tap.x"], form["tap.y"]) == ("0", "0"):  # what Enter in the field beside it sends
            raise Refusal("Tap the place on the photo.", field="x")
        shown_high_px = max(round(PHOTO_SHOWN_px * picture.height / picture.width), 1)
        rule.mark_at(
            db,
            _begun(db, here, job, step, front_end),
            _hand(here, form),
            taken,
            text=form["text"],
            x=_pixel(form["tap.x"]) / PHOTO_SHOWN_px,
            y=_pixel(form["tap.y"]) / shown_high_px,
            key=form["key"],
        )

    return here.write(form, "mark", act, part=_part(form), name=f"mark {form['photo']}")


def store_photo(here: AtStep, photos: Photos, upload: Upload) -> Photo:
    """Keep an uploaded picture, outside of any block of the store; raises Refusal for what is none."""
    try:
        stored = photos.put(upload.body)
    except PictureRefused as refused:
        raise Refusal(str(refused), field="photo") from refused
    return Photo(
        digest=stored.digest,
        width=stored.width,
        height=stored.height,
        size=stored.size,
        stored_at=here.now,
    )


def _begun(db: Session, here: AtStep, job: Job, step: Step, front_end: FrontEnd) -> Step:
    """Who takes a capture has the step in hand: it starts, and so do its hazards."""
    if job.released_at is not None:
        raise Refusal("This job has been released; what is found now goes on a new one.")
    start(db, job, step, front_end, by=here.visitor.person, now=here.now)
    return step


def _wanted(form: Fields, step: Step, front_end: FrontEnd, *, kinds: tuple[str, ...] = ()) -> Wanted:
    """What the form answers; one of these kinds, if any are named."""
    for wanted, place in asked(step, Rung.of(front_end, step)):
        if (wanted.id, place) == (form["key"], form["place"]) and (not kinds or wanted.kind in kinds):
            return wanted
    raise Missing("This step does not ask for that. Load the page again.")


def _last_visit(db: Session, job: Job, wanted: Wanted) -> float | None:
    """The same figure at the end of the car's last job, for one that only grows."""
    before = last_job(db, job.vehicle_id, before=known(job.id)) if wanted.id in ONLY_GROWS else None
    if before is None:
        return None
    figures = Capture.job_id == before.id, Capture.key == wanted.id, col(Capture.value).is_not(None)
    return db.exec(select(Capture.value).where(*figures).order_by(col(Capture.id).desc())).first()


def _correction(db: Session, form: Fields) -> Correction | None:
    if not form["supersedes"]:
        return None
    before = _row(db, form["supersedes"])
    if before is None:
        raise Refusal("There is no such capture to correct. Load the page again.")
    return Correction(before, form["reason"])


def _row(db: Session, text: str) -> Capture | None:
    return db.get(Capture, int(text)) if text.isascii() and text.isdigit() and len(text) <= 9 else None


def _pixel(text: str) -> float:
    whole, _, part = text.partition(".")
    if not ((whole + part).isascii() and (whole + part).isdigit() and len(text) <= 12):
        raise Refusal("Tap the place on the photo.", field="x")
    return float(text)


def _hand(here: AtStep, form: Fields) -> Hand:
    return Hand(here.visitor.person, here.now, form.client_id)


def _part(form: Fields) -> Part:
    return Part("asked", form["key"], form["place"]) if form["key"] else Part("free")


def _name(kind: str, form: Fields) -> str:
    return f"{kind} {form['key']} {form['place']}"
