"""The spec sheet of a vehicle: torque values and alignment targets, each with where it comes from."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from math import radians

from sqlmodel import Session, col, select

from server.compute import measure
from server.compute.measure import Quantity
from server.compute.show import System, usual_unit
from server.compute.thread import pitch_per_inch_m, thread_size
from server.compute.unit import unit_named
from server.procedure.model import Fastener, FrontEnd
from server.shop.capture import NeedsConfirming
from server.shop.person import is_qualified
from server.shop.refusal import Conflict, Forbidden, Missing, Refusal
from server.shop.row import known
from server.shop.shop import system_of
from server.shop.text import line as readable
from server.store.tables import Person, Shop, Spec, Vehicle

LONGEST_TEXT = 90  # two figures with their units
LONGEST_WORDS = 200  # of a source or a reason
_RANGE = re.compile(r"(?P<low>.+?) *(?:\bto\b|–|\.\.) *(?P<high>.+)")
_HYPHEN = re.compile(r"(?P<low>[0-9][0-9.,]*) ?- ?(?P<high>[0-9][0-9.,]*[^0-9]*)")  # 12-5/8 is no range
_PLUS_MINUS = re.compile(r"(?P<middle>.+?) *(?:±|\+/-|\+-) *(?P<half>.+)")
_FIGURE = re.compile(r"[-+−0-9.,/ ]*")
_WAY = re.compile(r" *\btoe[ -]?(?:in|out)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SpecLine:
    """A line that the sheet can have."""

    key: str
    name: str
    quantity: Quantity
    plausible: tuple[float, float]  # [SI] outside it a second look is due; the bands are our own guess
    signed: bool = False
    is_toe: bool = False
    is_measured: bool = False  # by a tape, so that a single value is as wide as its writing resolves
    options: tuple[tuple[str, str], ...] = ()  # of a line that is one of these words, each with its meaning
    help: str = ""

    @property
    def stored_as(self) -> str:
        """The quantity of its rows, "" for a word."""
        return "" if self.options else self.quantity.value

    def meaning(self, word: str) -> str:
        """What one of its words says, "" for a figure."""
        return dict(self.options).get(word, "")


_LENGTH, _ANGLE = Quantity.LENGTH, Quantity.ANGLE
_SPRING_LENGTH_m, _SPRING_RATE = (0.1, 0.7), (5e3, 400e3)

# What every car of this kind has, besides one torque for each of its fasteners.
COMMON_LINES = (
    SpecLine("camber", "Camber", _ANGLE, (radians(-6), radians(6)), signed=True),
    SpecLine("caster", "Caster", _ANGLE, (radians(-8), radians(15)), signed=True),
    SpecLine(
        "toe.total", "Total toe", _LENGTH, (-0.03, 0.03), signed=True, is_toe=True, help="1/16 in toe-in."
    ),
    SpecLine("toe.diameter", "Diameter at which toe is measured", _LENGTH, (0.25, 0.9)),
    SpecLine("ride-height", "Ride height", _LENGTH, (0.05, 1.0)),
    SpecLine(
        "pack.most",
        "Thickest shim pack allowed",
        _LENGTH,
        (0.002, 0.03),
        help="The maker's limit, or what leaves full thread under the nut.",
    ),
    SpecLine(
        "pack.most-apart",
        "Most that front and rear pack may differ",
        _LENGTH,
        (0.001, 0.03),
        help="The maker's limit.",
    ),
    SpecLine(
        "steering.ratio",
        "Steering ratio",
        Quantity.NUMBER,
        (8, 40),
        help="Turn of the steering wheel over turn of the road wheels: 24.",
    ),
    SpecLine(
        "tie-rod.pitch",
        "Tie-rod thread pitch",
        _LENGTH,
        (0.0005, 0.004),
        help="18 tpi, or from one thread to the next: 1.411 mm.",
    ),
    SpecLine("tie-rod.thread", "Tie-rod thread diameter", _LENGTH, (0.006, 0.04)),
    SpecLine(
        "new-tie-rod.rise",
        "New outer joint's ball centre above the old one's",
        _LENGTH,
        (-0.03, 0.03),
        signed=True,
        help="Both measured from the steering arm's face; with a minus if it sits lower.",
    ),
    SpecLine("spring.rate", "Spring rate", Quantity.RATE, _SPRING_RATE),
    SpecLine("spring.free-length", "Spring free length", _LENGTH, _SPRING_LENGTH_m),
    SpecLine("spring.solid-length", "Spring solid length", _LENGTH, _SPRING_LENGTH_m),
    SpecLine("new-spring.rate", "Rate of the spring going in", Quantity.RATE, _SPRING_RATE),
    SpecLine("new-spring.free-length", "Free length of the spring going in", _LENGTH, _SPRING_LENGTH_m),
    SpecLine("new-spring.solid-length", "Solid length of the spring going in", _LENGTH, _SPRING_LENGTH_m),
    SpecLine("compressor.rating", "Spring compressor's rated load", Quantity.FORCE, (1e3, 100e3)),
)


@dataclass(frozen=True, slots=True)
class Written:
    """A line as somebody wrote it."""

    spec: Spec
    by: str


@dataclass(frozen=True, slots=True)
class Range:
    """What a line says: its ends, equal for a single value, and why they are hard to believe, if they are."""

    low: float  # SI
    high: float  # SI
    doubt: str | None = None


def lines_for(front_end: FrontEnd) -> tuple[SpecLine, ...]:
    """Every line the sheet of such a car can have: torques in the order of its fasteners, then the rest."""
    torques = {one.torque: _torque_line(one) for one in front_end.fasteners}
    return (*torques.values(), *COMMON_LINES)


def line_of(front_end: FrontEnd, key: str) -> SpecLine:
    """The line of that key; raises Missing."""
    return line_among(lines_for(front_end), key)


def line_among(lines: Iterable[SpecLine], key: str) -> SpecLine:
    """The line of that key; raises Missing."""
    for one in lines:
        if one.key == key:
            return one
    raise Missing("The sheet has no such line.")


def sheet(db: Session, vehicle_id: int) -> dict[str, Spec]:
    """The lines that stand, by key."""
    rows = db.exec(select(Spec).where(Spec.vehicle_id == vehicle_id).order_by(col(Spec.id)))
    return {one.key: one for one in rows}


def written(db: Session, vehicle_id: int) -> dict[str, list[Written]]:
    """All that was ever written on the sheet, by key, newest first."""
    query = select(Spec, Person.name).join(Person, col(Person.id) == Spec.person_id)
    by_key: dict[str, list[Written]] = {}
    for spec, by in db.exec(query.where(Spec.vehicle_id == vehicle_id).order_by(col(Spec.id).desc())):
        by_key.setdefault(spec.key, []).append(Written(spec, by))
    return by_key


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
    confirmed: bool = False,
    supersedes: Spec | None = None,
    reason: str = "",
) -> Spec:
    """Write one line: a value, a range ("60 to 75 lbf·ft") or a value with a tolerance ("0.5° ± 0.5°").

    A figure without a unit is meant in the shop's own.
    raises  Refusal where it cannot be read, has no source, or corrects without a reason; NeedsConfirming
            where it is hard to believe; Conflict where the line was corrected meanwhile; Forbidden where an
            apprentice takes "generic" off a line
    """
    said = read_range(text, line, system=_system(db, vehicle))
    if not source.strip():
        raise Refusal("Say where the value comes from: manual and page, or who decided it.", field="source")
    if supersedes and not reason.strip():
        raise Refusal("Say why it is corrected.", field="reason")
    standing = sheet(db, known(vehicle.id)).get(line.key)
    if (standing.id if standing else None) != (supersedes.id if supersedes else None):
        raise Conflict(f"Someone has written {line.name} meanwhile. Look at it, then correct it.")
    if standing is not None and standing.generic and not generic and not is_qualified(by):
        raise Forbidden("A technician or a foreman puts a maker's value in place of a generic one.")
    if said.doubt and not confirmed:
        raise NeedsConfirming(said.doubt, field="text")
    spec = Spec(
        client_id=client_id,
        vehicle_id=known(vehicle.id),
        key=line.key,
        text=text.strip(),
        quantity=line.stored_as,
        low=said.low,
        high=said.high,
        source=readable(source, field="source", longest=LONGEST_WORDS),
        generic=generic,
        person_id=known(by.id),
        at=now,
        supersedes_id=supersedes.id if supersedes else None,
        reason=readable(reason, field="reason", longest=LONGEST_WORDS) if supersedes else "",
    )
    db.add(spec)
    db.flush()
    return spec


def read_range(text: str, line: SpecLine, *, system: System) -> Range:
    """What was typed for a line; raises Refusal where it cannot be read, or runs downward."""
    typed = text.strip()
    if len(typed) > LONGEST_TEXT:
        raise Refusal(
            f"That is longer than {LONGEST_TEXT} characters; type one value or range.", field="text"
        )
    if not typed.isprintable():
        raise Refusal("There is an invisible character in it; type it again by hand.", field="text")
    if line.options:
        return _read_word(typed, line)
    try:
        said = _read_range(typed, line, system)
    except measure.Refused as refused:
        raise Refusal(str(refused), field="text") from refused
    if said.low > said.high:
        raise Refusal("A range runs from the smaller value to the larger.", field="text")
    if said.low < 0 and not line.signed:
        raise Refusal("The lower end cannot be below zero here.", field="text")
    if said.low <= 0 and line.quantity is Quantity.TORQUE:
        raise Refusal("A torque is more than nothing.", field="text")
    return said


def _read_word(typed: str, line: SpecLine) -> Range:
    if typed not in dict(line.options):
        raise Refusal(f"Choose one of: {', '.join(dict(line.options))}.", field="text")
    return Range(0.0, 0.0)


def _read_range(typed: str, line: SpecLine, system: System) -> Range:
    if match := _PLUS_MINUS.fullmatch(typed):
        middle = _read(_with_unit_of(match["middle"], match["half"]), line, system)
        half_text = _with_unit_of(match["half"], _WAY.sub("", match["middle"]))
        half = measure.read(half_text, line.quantity, default_unit=usual_unit(line.quantity, system))
        return Range(middle.value - half.value, middle.value + half.value, middle.implausible)
    if match := _RANGE.fullmatch(typed) or (None if line.signed else _HYPHEN.fullmatch(typed)):
        low = _read(
            _with_way_of(_with_unit_of(match["low"], match["high"]), match["high"], line), line, system
        )
        high = _read(_with_unit_of(match["high"], match["low"]), line, system)
        return Range(low.value, high.value, low.implausible or high.implausible)
    value = _read(typed, line, system)
    resolved = value.uncertainty if line.is_measured else 0.0
    return Range(value.value - resolved, value.value + resolved, value.implausible)


def _read(text: str, line: SpecLine, system: System) -> measure.Reading:
    unit = usual_unit(line.quantity, system)
    if line.key == "tie-rod.pitch" and (pitch_m := pitch_per_inch_m(text)):
        text = f"{pitch_m * 1000:.6f} mm"
    if line.is_toe:
        reading = measure.read_toe(text, unit)
        if reading.quantity is not line.quantity:
            raise measure.Refused("Write toe as a length, both wheels together: 1/16 in toe-in.")
        return reading
    low, high = (_round(end, unit, line.quantity) for end in line.plausible)
    return measure.read(text, line.quantity, default_unit=unit, lowest=low, highest=high, signed=line.signed)


def _round(end: float, unit: str, quantity: Quantity) -> float:
    """The end of a band as one would say it in that unit: two figures."""
    counted = unit_named(unit, quantity)
    return float(f"{counted.of(end):.2g}") * float(counted.si)


def in_unit(text: str, unit: str) -> str:
    """A bare figure with the unit it is meant in; anything else as it is."""
    return f"{text} {unit}" if _FIGURE.fullmatch(text) else text


def _with_unit_of(text: str, other: str) -> str:
    """A bare figure takes the unit of the other end."""
    unit = _FIGURE.sub("", other, count=1)
    return in_unit(text, unit) if unit else text


def _with_way_of(text: str, other: str, line: SpecLine) -> str:
    """`1/8 in` of `1/8 in to 1/4 in toe-in` is toe-in as well."""
    way = _WAY.search(other)
    says = _WAY.search(text) or text[0] in "+-−"
    return f"{text}{way.group()}" if line.is_toe and way and not says else text


def _torque_line(fastener: Fastener) -> SpecLine:
    plausible = thread_size(fastener.thread).plausible_Nm
    return SpecLine(fastener.torque, fastener.name, Quantity.TORQUE, plausible)


def _system(db: Session, vehicle: Vehicle) -> System:
    return system_of(db.get_one(Shop, vehicle.shop_id))
