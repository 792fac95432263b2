"""One wheel as the record has it: what it reads, and the packs that are in."""

from dataclasses import dataclass
from math import hypot, radians
from typing import Literal, NamedTuple

from server.compute.alignment import caster_by_sweep_rad, toe_difference_m, toe_per_wheel_rad
from server.compute.answer import Answer, Known
from server.compute.corner import Hand
from server.procedure.fact import CORNERS
from server.shop.evidence import Evidence, of_capture, of_spec
from server.shop.pack import KEYS as PACKS
from server.store.tables import Capture

When = Literal["found", "left"]

HANDS = {"LF": Hand.LEFT, "RF": Hand.RIGHT}
# The least that a reading is taken to be off, one standard deviation: our own guess of a good gauge.
GAUGE_rad = {"camber": radians(0.05), "caster": radians(0.15), "toe": radians(0.03)}
SWEPT = ("camber.turned-out", "camber.turned-in")
SWEEP_rad = radians(20)  # each way, as the step asks
TYRE_m = 0.65  # across the tread, where toe is taken to be measured when nobody said: our own guess


class Reading(NamedTuple):
    """A figure at a wheel, and its standard deviation [rad]."""

    value: float
    spread: float


@dataclass(frozen=True, slots=True)
class WheelRecord:
    """What the linkage needs to know of one wheel."""

    place: str
    camber: Reading
    caster: Reading
    toe: Reading | None  # none where nobody measured it
    front: Known  # the packs
    rear: Known
    captures: tuple[Capture, ...]

    @property
    def is_toe_shared(self) -> bool:
        """Whether its toe is half of the total that a tape shows."""
        return any(one.key == "toe.tape-front" for one in self.captures)


def wheels(evidence: Evidence, when: When) -> list[WheelRecord]:
    """The wheels whose camber, caster and packs are known as found, or as they are now."""
    return [wheel for place in CORNERS if (wheel := _wheel(evidence, place, when)) is not None]


def angles_read(evidence: Evidence, place: str, when: When) -> dict[str, Reading]:
    """What of camber, caster and toe has been read of a wheel, whatever else is known of it."""
    camber, caster = _figure(evidence, "camber", place, when), _caster(evidence, place, when)
    found = {
        "camber": reading("camber", of_capture(camber)) if camber else None,
        "caster": caster[0] if caster else None,
        "toe": _toe(evidence, place, when)[0],
    }
    return {name: one for name, one in found.items() if one is not None}


def pack_in(evidence: Evidence, key: str, place: str) -> Known | None:
    """The pack that is in now, or was before the strip; none where nobody measured it."""
    taken = _pack(evidence, key, place, "left")
    return of_capture(taken) if taken else None


def diameter_m(evidence: Evidence, when: When) -> float:
    """At which toe is measured."""
    taken, line = _figure(evidence, "toe.tape-diameter", "car", when), evidence.spec("toe.diameter")
    if taken is not None:
        return of_capture(taken).value
    return of_spec(line).value if line else TYRE_m


def reading(name: str, known: Known) -> Reading:
    """A camber, caster or toe as sure as it was written; no gauge is taken as perfect."""
    return Reading(known.value, hypot(known.spread, GAUGE_rad[name]))


def swept_caster(out: Capture, turned_in: Capture) -> Answer:
    """Caster from the two readings of a sweep."""
    return caster_by_sweep_rad.answer(
        camber_out_rad=of_capture(out), camber_in_rad=of_capture(turned_in), steer_rad=SWEEP_rad
    )


def _wheel(evidence: Evidence, place: str, when: When) -> WheelRecord | None:
    camber, caster = _figure(evidence, "camber", place, when), _caster(evidence, place, when)
    front, rear = (_pack(evidence, key, place, when) for key in PACKS)
    if camber is None or caster is None or front is None or rear is None:
        return None
    toe, toe_from = _toe(evidence, place, when)
    return WheelRecord(
        place,
        reading("camber", of_capture(camber)),
        caster[0],
        toe,
        of_capture(front),
        of_capture(rear),
        (camber, *caster[1], front, rear, *toe_from),
    )


def _pack(evidence: Evidence, key: str, place: str, when: When) -> Capture | None:
    """The pack that is in now: as made up, else as it came off and went back."""
    made_up = evidence.left(key, place) if when == "left" else None
    return made_up or evidence.found(key, place)


def _caster(evidence: Evidence, place: str, when: When) -> tuple[Reading, tuple[Capture, ...]] | None:
    """As a gauge shows it, or from the sweep."""
    direct = _figure(evidence, "caster", place, when)
    if direct is not None:
        return reading("caster", of_capture(direct)), (direct,)
    out, turned_in = (_figure(evidence, key, place, when) for key in SWEPT)
    if out is None or turned_in is None:
        return None
    return reading("caster", swept_caster(out, turned_in).known), (out, turned_in)


def _toe(evidence: Evidence, place: str, when: When) -> tuple[Reading | None, tuple[Capture, ...]]:
    """By a gauge at this wheel alone; else its half of the total, with the steering wheel put straight."""
    alone = _figure(evidence, "toe.wheel", place, when)
    if alone is not None:
        return reading("toe", of_capture(alone)), (alone,)
    front, rear = (_figure(evidence, key, "car", when) for key in ("toe.tape-front", "toe.tape-rear"))
    if front is None or rear is None:
        return None, ()
    total_m = toe_difference_m.answer(rear_m=of_capture(rear), front_m=of_capture(front)).known
    half = toe_per_wheel_rad.answer(toe_m=total_m, diameter_m=diameter_m(evidence, when)).known
    steered, turned = _steered(evidence, place, when)
    toe = Known(half.value + steered.value, hypot(half.uncertainty, steered.uncertainty))
    across = _figure(evidence, "toe.tape-diameter", "car", when)
    return reading("toe", toe), (front, rear, *((across,) if across else ()), *turned)


def _steered(evidence: Evidence, place: str, when: When) -> tuple[Known, tuple[Capture, ...]]:
    """What this wheel's toe gains once the steering wheel is straight: it is turned back by its off-centre.

    source     geometry; a steering wheel that stands turned left by a straight road is turned right by it
    """
    taken, line = _figure(evidence, "steering-wheel.off", "car", when), evidence.spec("steering.ratio")
    if taken is None or line is None:
        return Known(0.0), ()
    off, ratio = of_capture(taken), of_spec(line)
    unsure = hypot(off.uncertainty, off.value * ratio.uncertainty / ratio.value) / ratio.value
    return Known(HANDS[place] * off.value / ratio.value, unsure), (taken,)


def _figure(evidence: Evidence, key: str, place: str, when: When) -> Capture | None:
    return evidence.found(key, place) if when == "found" else evidence.left(key, place)
