"""Vehicles as they come in."""

from collections.abc import Mapping
from datetime import date, datetime

from sqlmodel import Session, col, select

from server.procedure.model import FrontEnd
from server.shop.refusal import Missing, Refusal
from server.shop.row import known
from server.shop.text import line
from server.store.tables import Job, Person, Vehicle

DRIVES = {"LHD": "Left-hand drive", "RHD": "Right-hand drive"}
OLDEST = 1885
LONGEST_NAME = 40


def take_in(
    db: Session,
    *,
    make: str,
    model: str,
    year: str,
    plate: str,
    drive: str,
    front_end: str,
    front_ends: Mapping[str, FrontEnd],
    by: Person,
    now: datetime,
) -> Vehicle:
    """Write down a car; the one that is there already if its plate is known.

    raises  Refusal, with the field, where something is missing or cannot be
    """
    make = line(make, field="make", longest=LONGEST_NAME)
    model = line(model, field="model", longest=LONGEST_NAME)
    built = _year(year, now.date())
    plate = line(plate, field="plate", longest=LONGEST_NAME).upper()
    if drive not in DRIVES:
        raise Refusal("Say on which side the steering shaft is.", field="drive")
    if front_end not in front_ends:
        raise Refusal("Choose the kind of front end.", field="front_end")
    seen = db.exec(select(Vehicle).where(Vehicle.shop_id == by.shop_id, Vehicle.plate == plate)).first()
    vehicle = seen or Vehicle(
        shop_id=by.shop_id,
        plate=plate,
        make="",
        model="",
        drive=drive,
        front_end=front_end,
        created_at=now,
        created_by=known(by.id),
    )
    vehicle.make, vehicle.model, vehicle.year = make, model, built
    vehicle.drive, vehicle.front_end = drive, front_end
    db.add(vehicle)
    db.flush()
    return vehicle


def find_vehicle(db: Session, vehicle_id: int, *, shop_id: int) -> Vehicle:
    """The vehicle of that id in this shop; raises Missing."""
    vehicle = db.get(Vehicle, vehicle_id)
    if vehicle is None or vehicle.shop_id != shop_id:
        raise Missing("There is no such car here.")
    return vehicle


def open_job_of(db: Session, vehicle_id: int) -> Job | None:
    """The job this car is here for now, if it is."""
    return db.exec(select(Job).where(Job.vehicle_id == vehicle_id, col(Job.released_at).is_(None))).first()


def last_job(db: Session, vehicle_id: int, *, before: int) -> Job | None:
    """The job this car was last here for, before that one."""
    query = select(Job).where(Job.vehicle_id == vehicle_id, col(Job.id) < before)
    return db.exec(query.order_by(col(Job.id).desc())).first()


def _year(text: str, today: date) -> int | None:
    if not text.strip():
        return None
    if not (text.strip().isascii() and text.strip().isdigit()) or not OLDEST <= int(text[:9]) <= today.year:
        raise Refusal(f"The year is four digits, {OLDEST} to {today.year}, or left empty.", field="year")
    return int(text)
