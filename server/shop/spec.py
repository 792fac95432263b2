"""The spec sheet of a vehicle: torque values and alignment targets, each with where it comes from."""

import re
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from server.compute import measure
from server.procedure.model import FrontEnd
from server.shop.refusal import Conflict, Refusal
from server.shop.row import known
from server.store.tables import Person, Spec, Vehicle

_RANGE = re.compile(r"(?P<low>.+?)\s*(?:\bto\b|–|\.\.)\s*(?P<high>.+)")
_PLUS_MINUS = re.compile(r"(?P<middle>.+?)\s*(?:±|\+/-|\+-)\s*(?P<half>.+)")


@dataclass(frozen=True, slots=True)
class SpecLine:
    """What a line of the sheet is called and in which unit it is read when none is typed."""

    key: str
    name: str
    quantity: str
    unit: str
    signed: bool = False


# What every car of this kind has, besides one torque for each of its fasteners.
COMMON_LINES = (
    SpecLine("camber", "Camber", "angle", "deg", signed=True),
    SpecLine("caster", "Caster", "angle", "deg", signed=True),
    SpecLine("toe.total", "Total toe, + is in", "length", "in", signed=True),
    SpecLine("toe.diameter", "Diameter at which toe is measured", "length", "in"),
    SpecLine("ride-height", "Ride height", "length", "in"),
    SpecLine("tie-rod.pitch", "Tie-rod thread pitch", "length", "mm"),
    SpecLine("tie-rod.thread", "Tie-rod thread diameter", "length", "mm"),
    SpecLine("spring.rate", "Spring rate", "rate", "lbf/in"),
    SpecLine("spring.free-length", "Spring free length", "length", "in"),
    SpecLine("spring.solid-length", "Spring solid length", "length", "in"),
    SpecLine("new-spring.rate", "Rate of the spring going in", "rate", "lbf/in"),
    SpecLine("new-spring.free-length", "Free length of the spring going in", "length", "in"),
    SpecLine("compressor.rating", "Spring compressor's rated load", "force", "lbf"),
)


def lines_for(front_end: FrontEnd) -> tuple[SpecLine, ...]:
    """Every line the sheet of such a car can have: torques in the order of its fasteners, then the rest."""
    torques = {one.torque: SpecLine(one.torque, one.name, "torque", "lbf·ft") for one in front_end.fasteners}
    return (*torques.values(), *COMMON_LINES)


def sheet(db: Session, vehicle_id: int) -> dict[str, Spec]:
    """The lines that stand, by key."""
    rows = db.exec(select(Spec).where(Spec.vehicle_id == vehicle_id).order_by(col(Spec.id)))
    return {one.key: one for one in rows}


def write_line(
    db: Session,
    vehicle: Vehicle,
    line: SpecLine,
    *,
    client_id: str,
    text: str,
    source: str,
    generic: bool,
    by: Person,
    now: datetime,
    supersedes: Spec | None = None,
    reason: str = "",
) -> Spec:
    """Write one line: a value, a range ("60 to 75 lbf·ft") or a value with a tolerance ("0.5° ± 0.5°").

    raises  Refusal where it cannot be read, has no source, or corrects without a reason;
            Conflict where the line was corrected meanwhile
    """
    low, high = read_range(text, line)
    if line.quantity == "torque" and low <= 0:
        raise Refusal("A torque is more than nothing.", field="text")
    if not source.strip():
        raise Refusal("Say where the value comes from: manual and page, or who decided it.", field="source")
    standing = sheet(db, known(vehicle.id)).get(line.key)
    if (standing.id if standing else None) != (supersedes.id if supersedes else None):
        raise Conflict(f"Someone has written {line.name} meanwhile. Look at it, then correct it.")
    if supersedes and not reason.strip():
        raise Refusal("Say why it is corrected.", field="reason")
    spec = Spec(
        client_id=client_id,
        vehicle_id=known(vehicle.id),
        key=line.key,
        text=text.strip(),
        quantity=line.quantity,
        low=low,
        high=high,
        source=source.strip(),
        generic=generic,
        person_id=known(by.id),
        at=now,
        supersedes_id=supersedes.id if supersedes else None,
        reason=reason.strip(),
    )
    db.add(spec)
    db.flush()
    return spec


def read_range(text: str, line: SpecLine) -> tuple[float, float]:
    """The lowest and highest value [SI] of a line as typed; equal for a single value.

    raises  Refusal where it cannot be read, or runs downward
    """
    try:
        if match := _PLUS_MINUS.fullmatch(text.strip()):
            half = _read(match["half"], line)
            middle = _read(match["middle"], line, unit_of=match["half"])
            return middle - half, middle + half
        if match := _RANGE.fullmatch(text.strip()):
            low = _read(match["low"], line, unit_of=match["high"])
            high = _read(match["high"], line)
            if low > high:
                raise Refusal("A range runs from the smaller value to the larger.", field="text")
            return low, high
        value = _read(text, line)
    except measure.Refused as refused:
        raise Refusal(str(refused), field="text") from refused
    return value, value


def _read(text: str, line: SpecLine, *, unit_of: str = "") -> float:
    """One value; where it has no unit of its own it takes that of `unit_of`."""
    unit = re.sub(r"^[-+−\d.,/\s]*", "", unit_of)
    bare = re.fullmatch(r"[-+−\d.,/\s]+", text)
    return measure.read(
        f"{text} {unit}" if bare and unit else text,
        measure.Quantity(line.quantity),
        default_unit=line.unit,
        signed=line.signed,
    ).value
