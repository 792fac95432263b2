"""The wheels: ride height, camber, caster, toe."""

from collections.abc import Iterator
from math import hypot

from server.compute import alignment
from server.compute.answer import Known
from server.compute.show import System, show_both
from server.compute.unit import Quantity
from server.shop.aim.aim import Aim, as_found, from_sheet, from_sheet_if_there, shown
from server.shop.evidence import Evidence, of_capture
from server.shop.realign import NEW_COIL, OLD_COIL, Outlook, spring_lift
from server.shop.wheel_record import SWEPT, swept_caster
from server.store.tables import Capture

LIFT_SOURCE = "linkage's motion ratio and both springs' figures; roll bar and bushings left out"


def ride_height_aims(
    evidence: Evidence, place: str, outlook: Outlook | None, system: System
) -> Iterator[Aim]:
    """By the spec sheet, else as found, and higher or lower by what another spring makes of it."""
    for key in ("ride-height", "ride-height.frame"):
        height, line = evidence.found(key, place), evidence.spec("ride-height")
        if key == "ride-height" and line is not None:
            yield from_sheet(key, place, line, system)
        elif height is not None and evidence.is_renewed("spring", place):
            yield _on_another_spring(key, height, evidence, outlook, system)
        elif height is not None:
            yield _same(key, height, system)


def _same(key: str, height: Capture, system: System) -> Aim:
    answer = as_found(of_capture(height), "height = as found", "the car as it came in")
    return Aim(key, height.place, f"{shown(answer, system)} as found.", answer, (height,))


def _on_another_spring(
    key: str, height: Capture, evidence: Evidence, outlook: Outlook | None, system: System
) -> Aim:
    """As found and higher or lower by the spring; without the spring's figures nobody can tell."""
    planned = outlook.lift(height.place) if outlook else None
    lift = planned or spring_lift(evidence, height.place)
    found = of_capture(height)
    if lift is None:
        was = show_both(found.value, Quantity.LENGTH, system=system, uncertainty=found.uncertainty or None)
        says = f"{was} as found. Another spring goes in, and how high the car will stand on it is not known."
        missing = evidence.lacks_specs(*OLD_COIL, *NEW_COIL)
        return Aim(key, height.place, says, None, (height,), missing=missing)
    formula = "height = as found + what balances the same load on the new spring"
    off_m = hypot(found.uncertainty, lift.uncertainty)
    answer = as_found(Known(found.value + lift.value, off_m), formula, LIFT_SOURCE)
    by = show_both(abs(lift.value), Quantity.LENGTH, system=system, uncertainty=lift.uncertainty or None)
    way = "higher" if lift.value > 0 else "lower"
    says = f"{shown(answer, system)}: {by} {way} than found, by the new spring."
    return Aim(key, height.place, says, answer, (height,), outlook.specs if outlook else ())


def angle_aims(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    for key in ("camber", "caster"):
        yield from from_sheet_if_there(evidence, key, place, system, is_asked=key in evidence.asked)
    out, turned_in = (evidence.left(key, place) for key in SWEPT)
    if out is not None and turned_in is not None:
        swept = swept_caster(out, turned_in)
        says = f"Caster now {shown(swept, system)}, swept 20° each way."
        yield Aim("caster.swept", place, says, swept, (out, turned_in))


def toe_aims(evidence: Evidence, system: System) -> Iterator[Aim]:
    is_asked = "toe.tape-front" in evidence.asked
    yield from from_sheet_if_there(evidence, "toe.total", "car", system, is_asked=is_asked)
    for name, figure in (("found", evidence.found), ("left", evidence.left)):
        front, rear = figure("toe.tape-front", "car"), figure("toe.tape-rear", "car")
        diameter = figure("toe.tape-diameter", "car")
        if front is None or rear is None:
            continue
        toe = alignment.toe_difference_m.answer(rear_m=of_capture(rear), front_m=of_capture(front))
        way = "in" if toe.value > 0 else "out" if toe.value < 0 else "neither in nor out"
        says = f"Total toe {'as found' if name == 'found' else 'now'}: {shown(toe, system)}, {way}."
        yield Aim(f"toe.{name}", "car", says, toe, (front, rear))
        if diameter is not None:
            angle = alignment.total_toe_rad.answer(toe_m=toe.known, diameter_m=of_capture(diameter))
            says = f"As an angle {shown(angle, system)} for both wheels together."
            yield Aim(f"toe.{name}-angle", "car", says, angle, (front, rear, diameter))
