"""What if the car were lifted, its spring, packs or tie rods changed: what comes of it, and the way back."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import radians

from server.compute import measure
from server.compute.alignment import toe_per_wheel_rad
from server.compute.answer import Known
from server.compute.layout import Layout, ShaftAt
from server.compute.linkage import at_travel
from server.compute.pose import Fault, Readings, readings
from server.compute.refusal import Refused
from server.compute.scatter import READ, Wheel
from server.compute.show import System, usual_unit
from server.compute.stand import Coil
from server.compute.unit import Quantity
from server.compute.what_if import Change, WhatIf, what_if
from server.shop.evidence import Evidence, of_spec
from server.shop.geometry import layout_of, shaft_at_of
from server.shop.realign import OLD_COIL, lift_by, with_tie_rod
from server.shop.refusal import Refusal
from server.shop.way_back import too_thin, way_back
from server.shop.wheel_record import HANDS, Reading, When, angles_read, diameter_m

# How far off a wheel may be that nobody has read, one standard deviation: our own guess.
UNREAD_rad = {"camber": radians(0.5), "caster": radians(1.0), "toe": radians(0.25)}
MOST_m = {"lift": 0.12, "front": 0.02, "rear": 0.02, "rod": 0.02}  # beyond it, asked about: our own choice
MOST_TURNS = 8.0
LENGTHS, SPRING = ("lift", "front", "rear", "rod"), ("rate", "free")
QUANTITIES = {**dict.fromkeys(LENGTHS, Quantity.LENGTH), "rate": Quantity.RATE, "free": Quantity.LENGTH}
FIELDS = (*LENGTHS, *SPRING, "turns")
ROWS = (
    ("Camber", Quantity.ANGLE),
    ("Caster", Quantity.ANGLE),
    ("Toe of this wheel", Quantity.ANGLE),
    ("Scrub radius", Quantity.LENGTH),
    ("Trail", Quantity.LENGTH),
    ("Motion ratio, spring over wheel", Quantity.NUMBER),
    ("Roll centre above the floor", Quantity.LENGTH),
    ("Bump steer: toe per inch (25.4 mm) up", Quantity.ANGLE),
)


class NotTried(Refusal):
    """Some fields cannot be taken as they are; why, by field."""

    def __init__(self, by_field: dict[str, Refusal]) -> None:
        super().__init__("Something in it is not right yet.")
        self.by_field = by_field


@dataclass(frozen=True, slots=True)
class Asked:
    """What is tried, in SI; none where a field was left empty."""

    figures: Mapping[str, float]
    doubts: tuple[str, ...]

    def get(self, name: str) -> float:
        """0 where nothing was said."""
        return self.figures.get(name, 0.0)


@dataclass(frozen=True, slots=True)
class Row:
    """One figure before and after, each with its ±."""

    name: str
    quantity: Quantity
    before: Known
    after: Known


@dataclass(frozen=True, slots=True)
class SideAnswer:
    """One wheel: its figures before and after, or the link that does not reach; and the way back."""

    place: str
    lift: Known
    rows: tuple[Row, ...]
    fault: str
    unread: tuple[str, ...]
    back: tuple[str, ...]
    cautions: tuple[str, ...]


def asked_of(typed: Mapping[str, str], evidence: Evidence, *, system: System) -> Asked:
    """Read the form. Raises NotTried with all that is wrong."""
    figures, wrong, doubts = {}, dict[str, Refusal](), []
    for name, text in typed.items():
        if not text.strip():
            continue
        try:
            read = _read(name, text, system)
        except Refused as refused:
            wrong[name] = Refusal(str(refused), field=name)
            continue
        figures[name] = read.value
        doubts += [read.implausible.partition(" Confirm ")[0]] if read.implausible else []
    wrong = dict(_against(figures, evidence)) | wrong
    if wrong:
        raise NotTried(wrong)
    if not figures:
        raise NotTried({"lift": Refusal("Fill in at least one change.", field="lift")})
    return Asked(figures, tuple(doubts))


def answers(evidence: Evidence, asked: Asked, places: tuple[str, ...], *, system: System) -> list[SideAnswer]:
    """What comes of it at these wheels; nothing while the corner is not known. Raises NotTried."""
    layout, shaft = layout_of(evidence.specs), shaft_at_of(evidence.specs)
    if layout is None or shaft is None:
        return []
    whole = with_tie_rod(layout, evidence)
    return [_answer(evidence, asked, whole, shaft, place, system) for place in places]


def stands_at(evidence: Evidence, place: str) -> When:
    """The readings to start from: as they are now, else as found."""
    return "left" if evidence.left("camber", place) is not None else "found"


def _read(name: str, text: str, system: System) -> measure.Reading:
    if name == "turns":
        return measure.read(
            text, Quantity.NUMBER, default_unit="", signed=True, lowest=-MOST_TURNS, highest=MOST_TURNS
        )
    quantity, most = QUANTITIES[name], MOST_m.get(name)
    return measure.read(
        text,
        quantity,
        default_unit=usual_unit(quantity, system),
        signed=name in LENGTHS,
        zero=name in LENGTHS,
        lowest=-most if most else None,
        highest=most,
    )


def _against(figures: Mapping[str, float], evidence: Evidence) -> Iterator[tuple[str, Refusal]]:
    """What does not go together, or lacks a line of the spec sheet."""
    spring = [name for name in SPRING if name in figures]
    if spring and "lift" in figures:
        yield "lift", Refusal("Give the lift, or another spring that makes it, not both.", field="lift")
    elif len(spring) == 1:
        other = next(name for name in SPRING if name not in figures)
        yield other, Refusal("Another spring needs its rate and its free length.", field=other)
    elif spring and evidence.lacks_specs(*OLD_COIL):
        sentence = "Write the rate and free length of the spring that is in on the spec sheet first."
        yield "rate", Refusal(sentence, field="rate")
    if "turns" in figures and "rod" in figures:
        yield "turns", Refusal("Give the tie rod's change, or turns of its sleeve, not both.", field="turns")
    elif "turns" in figures and evidence.spec("tie-rod.pitch") is None:
        yield "turns", Refusal("Write the tie rod's thread pitch on the spec sheet first.", field="turns")


def _answer(
    evidence: Evidence, asked: Asked, layout: Layout, shaft: ShaftAt, place: str, system: System
) -> SideAnswer:
    when = stands_at(evidence, place)
    read = angles_read(evidence, place, when)
    wheel = _wheel(layout, place, read)
    change = _change(evidence, asked, layout, shaft, wheel)
    wanted = _wanted(evidence, wheel.found, when)
    try:
        found = _tried(layout, place, _plain(wheel.found), _plain(wheel.spread), change, wanted)
    except Refused as refused:  # as wide as lengths are guessed, some corner among the drawn cannot be
        raise NotTried({"": Refusal(str(refused))}) from refused
    known, tried = found.fault is Fault.NONE, asked.figures
    return SideAnswer(
        place=place,
        lift=Known(change.lift_m, change.lift_off_m),
        rows=tuple(_rows(found)) if known else (),
        fault="" if known else found.fault.sentence,
        unread=tuple(name for name in READ if name not in read),
        back=tuple(way_back(evidence, found.back, asked.figures, shaft, place, system=system))
        if known
        else (),
        cautions=tuple(too_thin(evidence, tried, place, system=system)),
    )


@lru_cache(maxsize=64)
def _tried(
    layout: Layout,
    place: str,
    found: tuple[float, float, float],
    spread: tuple[float, float, float],
    change: Change,
    wanted: tuple[float, float, float],
) -> WhatIf:
    """The same question again is the same answer; many draws take long enough for that to be felt."""
    wheel = Wheel(HANDS[place], readings(*found), readings(*spread))
    return what_if(layout, wheel, change, readings(*wanted))


def _plain(one: Readings) -> tuple[float, float, float]:
    camber, caster, toe = (float(angle) for angle in one.stacked)
    return camber, caster, toe


def _wheel(layout: Layout, place: str, read: Mapping[str, Reading]) -> Wheel:
    """As read; an angle that nobody read is as the lengths have it, and not sure at all."""
    own = at_travel(layout.corner(HANDS[place])).readings.stacked
    angles = [
        read.get(name, Reading(float(angle), UNREAD_rad[name])) for name, angle in zip(READ, own, strict=True)
    ]
    return Wheel(
        HANDS[place],
        readings(*(one.value for one in angles)),
        readings(*(one.spread for one in angles)),
    )


def _change(evidence: Evidence, asked: Asked, layout: Layout, shaft: ShaftAt, wheel: Wheel) -> Change:
    change = Change(
        lift_m=asked.get("lift"),
        front_m=shaft.outboard * asked.get("front"),
        rear_m=shaft.outboard * asked.get("rear"),
        tie_rod_m=asked.get("rod") + _by_sleeve_m(evidence, asked.get("turns")),
    )
    if "rate" not in asked.figures:
        return change
    old = Coil(*(of_spec(evidence.specs[key]).value for key in OLD_COIL))
    new = Coil(asked.get("rate"), asked.get("free"))
    try:
        lift = lift_by(layout, wheel.hand, wheel.found, (old, new))
    except Refused as refused:
        raise NotTried({"rate": Refusal(str(refused), field="rate")}) from refused
    return replace(change, lift_m=lift.value, lift_off_m=lift.uncertainty)


def _by_sleeve_m(evidence: Evidence, turns: float) -> float:
    """Both ends move one pitch a turn."""
    pitch = evidence.spec("tie-rod.pitch")
    return 2 * of_spec(pitch).value * turns if pitch else 0.0


def _wanted(evidence: Evidence, found: Readings, when: When) -> tuple[float, float, float]:
    """By the spec sheet; what is not on it as it reads before."""
    camber, caster, toe = _plain(found)
    lines = {key: evidence.spec(key) for key in ("camber", "caster", "toe.total")}
    middle = {key: of_spec(line).value for key, line in lines.items() if line}
    if "toe.total" in middle:
        toe = toe_per_wheel_rad(toe_m=middle["toe.total"], diameter_m=diameter_m(evidence, when))
    return middle.get("camber", camber), middle.get("caster", caster), toe


def _rows(found: WhatIf) -> Iterator[Row]:
    columns = (found.before, found.before_off, found.after, found.after_off)
    for (name, quantity), figures in zip(ROWS, zip(*columns, strict=True), strict=True):
        before, before_off, after, after_off = map(float, figures)
        yield Row(name, quantity, Known(before, before_off), Known(after, after_off))
