"""Every table, and only tables. Values are SI; the text as typed stands beside each.

A table class does not check what it is built with: forms and the rules in `shop` do that.
Rows of the append-only tables (see `APPEND_ONLY`) are never changed or deleted, and the database
refuses both: a correction is a new row that names the one it supersedes, and why.
"""

from datetime import datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from server.store.moment import Moment

NAMING = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
SQLModel.metadata.naming_convention = NAMING

APPEND_ONLY = ("capture", "photo", "decision", "target", "torque_record", "verification", "tag_move", "spec")


class Shop(SQLModel, table=True):
    __tablename__ = "shop"

    id: int | None = Field(default=None, primary_key=True)
    name: str
    system: str = "inch"  # inch | metric: what a figure without a unit means on the spec sheet
    created_at: datetime = Field(sa_type=Moment)


class Bay(SQLModel, table=True):
    __tablename__ = "bay"

    id: int | None = Field(default=None, primary_key=True)
    shop_id: int = Field(foreign_key="shop.id", index=True)
    name: str
    place: int  # order on the board


class Person(SQLModel, table=True):
    __tablename__ = "person"
    __table_args__ = (sa.UniqueConstraint("shop_id", "name_key"),)

    id: int | None = Field(default=None, primary_key=True)
    shop_id: int = Field(foreign_key="shop.id", index=True)
    name: str
    name_key: str  # the name as the eye reads it, so that no two can be mistaken for each other
    role: str  # technician | foreman | apprentice
    pin_hash: str
    guided: bool = False
    created_at: datetime = Field(sa_type=Moment)
    left_at: datetime | None = Field(default=None, sa_type=Moment)


class SignIn(SQLModel, table=True):
    """A signed-in phone. Only a hash of its token is kept, so a stolen file opens no session."""

    __tablename__ = "sign_in"

    id: int | None = Field(default=None, primary_key=True)
    token_hash: str = Field(unique=True)
    form_key: str  # what the hidden field of every form of this session must carry
    person_id: int = Field(foreign_key="person.id", index=True)
    device: str = ""
    created_at: datetime = Field(sa_type=Moment)
    seen_at: datetime = Field(sa_type=Moment)
    ended_at: datetime | None = Field(default=None, sa_type=Moment)


class Guess(SQLModel, table=True):
    """A wrong PIN, kept so that guessing can be slowed down per person and per address."""

    __tablename__ = "guess"
    __table_args__ = (
        sa.Index("ix_guess_person_id_at", "person_id", "at"),
        sa.Index("ix_guess_address_at", "address", "at"),
    )

    id: int | None = Field(default=None, primary_key=True)
    person_id: int | None = Field(default=None, foreign_key="person.id")
    address: str
    at: datetime = Field(sa_type=Moment)


class Receipt(SQLModel, table=True):
    """One row a recorded write: the phone's own id for it, so that a second sending is recognised."""

    __tablename__ = "receipt"

    client_id: str = Field(primary_key=True)
    person_id: int | None = Field(default=None, foreign_key="person.id")
    kind: str
    digest: str  # of what was sent: the same id with other content is refused
    answer: str  # where the result can be seen
    at: datetime = Field(sa_type=Moment)


class Vehicle(SQLModel, table=True):
    __tablename__ = "vehicle"

    id: int | None = Field(default=None, primary_key=True)
    shop_id: int = Field(foreign_key="shop.id", index=True)
    make: str
    model: str
    year: int | None = None
    plate: str
    drive: str  # LHD | RHD: the side of the steering shaft
    front_end: str
    created_at: datetime = Field(sa_type=Moment)
    created_by: int = Field(foreign_key="person.id")


class Spec(SQLModel, table=True):
    """One line of a vehicle's spec sheet: a value or a range, with where it comes from."""

    __tablename__ = "spec"

    id: int | None = Field(default=None, primary_key=True)
    client_id: str = Field(unique=True)
    vehicle_id: int = Field(foreign_key="vehicle.id", index=True)
    key: str
    text: str
    quantity: str
    low: float
    high: float
    source: str
    generic: bool = False  # from grade and size, not the maker's: held for a foreman
    person_id: int = Field(foreign_key="person.id")
    at: datetime = Field(sa_type=Moment)
    supersedes_id: int | None = Field(default=None, foreign_key="spec.id", unique=True)
    reason: str = ""


class Shim(SQLModel, table=True):
    """The drawer: how many shims of one thickness are there."""

    __tablename__ = "shim"

    id: int | None = Field(default=None, primary_key=True)
    shop_id: int = Field(foreign_key="shop.id", index=True)
    text: str
    thickness_m: float
    count: int


class Job(SQLModel, table=True):
    __tablename__ = "job"
    __table_args__ = (sa.Index("ix_job_shop_id_released_at", "shop_id", "released_at"),)

    id: int | None = Field(default=None, primary_key=True)
    shop_id: int = Field(foreign_key="shop.id", index=True)
    vehicle_id: int = Field(foreign_key="vehicle.id", index=True)
    bay_id: int | None = Field(default=None, foreign_key="bay.id", index=True)
    front_end: str
    scopes: list[str] = Field(sa_type=sa.JSON)
    sides: str  # left | right | both
    drive: str  # LHD | RHD, as it was when the plan was made
    opened_at: datetime = Field(sa_type=Moment)
    opened_by: int = Field(foreign_key="person.id")
    parked_at: datetime | None = Field(default=None, sa_type=Moment)
    parked_by: int | None = Field(default=None, foreign_key="person.id")
    parked_why: str = ""
    released_at: datetime | None = Field(default=None, sa_type=Moment)
    released_by: int | None = Field(default=None, foreign_key="person.id")


class Step(SQLModel, table=True):
    """A rung going one way: one operation at one place, in one direction."""

    __tablename__ = "step"
    __table_args__ = (sa.UniqueConstraint("job_id", "seq"),)

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id")
    seq: int
    operation: str
    place: str  # car | centre | LF | RF
    direction: str  # down | bench | up | after
    after: list[int] = Field(sa_type=sa.JSON)  # seqs of the steps that must be done before
    state: str = "to do"  # to do | in hand | done | on hold | not needed
    revision: int = 0
    started_at: datetime | None = Field(default=None, sa_type=Moment)
    started_by: int | None = Field(default=None, foreign_key="person.id")
    done_at: datetime | None = Field(default=None, sa_type=Moment)
    done_by: int | None = Field(default=None, foreign_key="person.id")


class Photo(SQLModel, table=True):
    """What is known of a stored picture; its bytes lie outside the database under this digest."""

    __tablename__ = "photo"

    digest: str = Field(primary_key=True)
    width: int
    height: int
    size: int
    stored_at: datetime = Field(sa_type=Moment)


class Capture(SQLModel, table=True):
    """A photo, mark, measurement or note, taken at a step."""

    __tablename__ = "capture"
    __table_args__ = (sa.Index("ix_capture_job_id_key", "job_id", "key"),)

    id: int | None = Field(default=None, primary_key=True)
    client_id: str = Field(unique=True)
    job_id: int = Field(foreign_key="job.id")
    step_id: int = Field(foreign_key="step.id", index=True)
    key: str  # which wanted capture it answers, "" for a free one
    place: str  # whose figure it is: the step's place, or the side asked for
    kind: str  # photo | mark | measurement | note | missing
    text: str = ""  # as typed
    value: float | None = None
    uncertainty: float | None = None
    quantity: str = ""
    read_as: str = ""
    confirmed: bool = False  # outside the plausible band, and confirmed by the person
    photo_digest: str | None = Field(default=None, foreign_key="photo.digest")
    on_capture_id: int | None = Field(default=None, foreign_key="capture.id")  # the photo a mark is on
    x: float | None = None  # fractions of the upright picture
    y: float | None = None
    tag_id: int | None = Field(default=None, foreign_key="tag.id")
    person_id: int = Field(foreign_key="person.id")
    at: datetime = Field(sa_type=Moment)
    phone_at: datetime | None = Field(default=None, sa_type=Moment)  # the phone's claim, never used for order
    supersedes_id: int | None = Field(default=None, foreign_key="capture.id", unique=True)
    reason: str = ""


class Tag(SQLModel, table=True):
    __tablename__ = "tag"
    __table_args__ = (sa.UniqueConstraint("job_id", "number"),)

    id: int | None = Field(default=None, primary_key=True)
    client_id: str = Field(unique=True)
    code: str = Field(unique=True)  # opaque, in the QR
    job_id: int = Field(foreign_key="job.id")
    step_id: int = Field(foreign_key="step.id", index=True)
    number: int
    part: str
    place: str
    state: str = "out"  # out | refitted | discarded
    shelf: str = ""
    made_at: datetime = Field(sa_type=Moment)
    made_by: int = Field(foreign_key="person.id")


class TagMove(SQLModel, table=True):
    """What happened to a tag, in order."""

    __tablename__ = "tag_move"

    id: int | None = Field(default=None, primary_key=True)
    client_id: str = Field(unique=True)
    tag_id: int = Field(foreign_key="tag.id", index=True)
    state: str
    shelf: str = ""
    person_id: int = Field(foreign_key="person.id")
    at: datetime = Field(sa_type=Moment)


class Decision(SQLModel, table=True):
    __tablename__ = "decision"
    __table_args__ = (sa.Index("ix_decision_job_id_part", "job_id", "part"),)

    id: int | None = Field(default=None, primary_key=True)
    client_id: str = Field(unique=True)
    job_id: int = Field(foreign_key="job.id")
    step_id: int = Field(foreign_key="step.id", index=True)
    part: str
    place: str
    verdict: str  # reuse | renew | repair | send out
    reason: str
    evidence_id: int | None = Field(default=None, foreign_key="capture.id")
    person_id: int = Field(foreign_key="person.id")
    at: datetime = Field(sa_type=Moment)
    supersedes_id: int | None = Field(default=None, foreign_key="decision.id", unique=True)


class Target(SQLModel, table=True):
    """What has to be true on the way up, with all it rests on, so that anyone can ask why."""

    __tablename__ = "target"
    __table_args__ = (sa.Index("ix_target_job_id_key", "job_id", "key", "place"),)

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id")
    key: str
    place: str
    value: float | None = None  # none where the inputs do not carry it: `says` tells why
    uncertainty: float | None = None
    quantity: str = ""
    says: str
    formula: str = ""
    source: str = ""
    inputs: list[dict[str, Any]] = Field(default_factory=list, sa_type=sa.JSON)
    capture_ids: list[int] = Field(default_factory=list, sa_type=sa.JSON)
    spec_ids: list[int] = Field(default_factory=list, sa_type=sa.JSON)
    at: datetime = Field(sa_type=Moment)
    supersedes_id: int | None = Field(default=None, foreign_key="target.id", unique=True)


class Look(SQLModel, table=True):
    """When a person last saw the targets of a job, so that what has changed since can be marked."""

    __tablename__ = "look"
    __table_args__ = (sa.UniqueConstraint("person_id", "job_id"),)

    id: int | None = Field(default=None, primary_key=True)
    person_id: int = Field(foreign_key="person.id")
    job_id: int = Field(foreign_key="job.id")
    at: datetime = Field(sa_type=Moment)


class TorqueRecord(SQLModel, table=True):
    """A fastener (or a group pulled in order) tightened, by the person who pulled the wrench."""

    __tablename__ = "torque_record"

    id: int | None = Field(default=None, primary_key=True)
    client_id: str = Field(unique=True)
    job_id: int = Field(foreign_key="job.id", index=True)
    step_id: int = Field(foreign_key="step.id", index=True)
    fastener: str
    act: str  # torque | cotter
    stage: int = 1  # of the staged plan, from 1
    text: str = ""
    value: float | None = None
    low: float | None = None  # the window at the time
    high: float | None = None
    wrench: str = ""
    setting: str = ""  # what the wrench was set to, with adapter
    paint: bool = False
    confirmed: bool = False
    person_id: int = Field(foreign_key="person.id")
    at: datetime = Field(sa_type=Moment)
    supersedes_id: int | None = Field(default=None, foreign_key="torque_record.id", unique=True)
    reason: str = ""


class Verification(SQLModel, table=True):
    """A second pair of eyes on one torque record."""

    __tablename__ = "verification"

    id: int | None = Field(default=None, primary_key=True)
    client_id: str = Field(unique=True)
    record_id: int = Field(foreign_key="torque_record.id", unique=True)
    person_id: int = Field(foreign_key="person.id")
    at: datetime = Field(sa_type=Moment)


class Hold(SQLModel, table=True):
    """A point nobody passes until a qualified person has confirmed it in their own name."""

    __tablename__ = "hold"

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id", index=True)
    step_id: int = Field(foreign_key="step.id", index=True)
    key: str  # start | end | generic torque: <fastener>
    text: str
    needs_role: str = "technician"  # technician (or foreman) | foreman
    opened_at: datetime = Field(sa_type=Moment)
    confirmed_at: datetime | None = Field(default=None, sa_type=Moment)
    confirmed_by: int | None = Field(default=None, foreign_key="person.id")


class Hazard(SQLModel, table=True):
    """Something dangerous that is true from `began_at` until a named person's step ended it."""

    __tablename__ = "hazard"

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id", index=True)
    kind: str
    place: str
    energy_J: float | None = None
    began_at: datetime = Field(sa_type=Moment)
    began_by: int = Field(foreign_key="person.id")
    began_step_id: int = Field(foreign_key="step.id")
    ended_at: datetime | None = Field(default=None, sa_type=Moment)
    ended_by: int | None = Field(default=None, foreign_key="person.id")
    ended_step_id: int | None = Field(default=None, foreign_key="step.id")
    made_safe: str = ""  # how it stands while the car is parked
    made_safe_by: int | None = Field(default=None, foreign_key="person.id")
