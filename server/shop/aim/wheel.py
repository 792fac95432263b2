"""The wheels: ride height, camber, caster, toe."""

from collections.abc import Iterator
from math import radians

from server.compute import alignment
from server.compute.show import System
from server.shop.aim.aim import Aim, as_found, from_sheet, from_sheet_if_there, shown
from server.shop.evidence import Evidence, of_capture

SWEEP_rad = radians(20)


def ride_height_aims(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    for key in ("ride-height", "ride-height.frame"):
        height, line = evidence.found(key, place), evidence.spec("ride-height")
        if key == "ride-height" and line is not None:
            yield from_sheet(key, place, line, system)
        elif height is not None:
            answer = as_found(of_capture(height), "height = as found", "the car as it came in")
            yield Aim(key, place, f"{shown(answer, system)} as found.", answer, (height,))


def angle_aims(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    for key in ("camber", "caster"):
        yield from from_sheet_if_there(evidence, key, place, system, is_asked=key in evidence.asked)
    out, turned_in = evidence.left("camber.turned-out", place), evidence.left("camber.turned-in", place)
    if out is not None and turned_in is not None:
        swept = alignment.caster_by_sweep_rad.answer(
            camber_out_rad=of_capture(out), camber_in_rad=of_capture(turned_in), steer_rad=SWEEP_rad
        )
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
