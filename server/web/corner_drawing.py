"""The corner that a step works at, drawn to scale from the car's own geometry where that is known."""

from collections.abc import Iterator
from math import sqrt

from sqlmodel import Session

from server.compute.layout import Layout, ShaftAt
from server.compute.linkage import posed
from server.compute.pose import Pose
from server.compute.show import System, show
from server.compute.unit import Quantity
from server.shop import spec
from server.shop.capture import standing
from server.shop.evidence import Evidence, gather
from server.shop.geometry import layout_of, shaft_at_of
from server.shop.pack import KEYS as PACKS
from server.shop.pose import ANGLES, ROD, figures, setting, stood
from server.shop.row import known
from server.shop.step_sheet import StepSheet
from server.shop.wheel_record import HANDS, angles_read
from server.store.tables import Capture
from server.web.drawing import Drawing, drawn
from server.web.guessed import guessed
from server.web.placed import Fit
from server.web.spring import Unrolled, ends_of, hooks_of, unrolled

NOT_TO_SCALE = "Joints are to scale; how thick parts are, bar, link, brake and shock absorber are not."

HOOKS = "spring.hooks"
_FINE_rad, _FINE_m = 0.02, 0.006  # what rests on many lengths is written no finer


def corner_drawing(db: Session, sheet: StepSheet, *, system: System) -> Drawing | None:
    """The drawing of a step's corner, the left one for a step at both; none without its geometry."""
    if not sheet.rung.operation.drawing:
        return None
    specs = spec.sheet(db, sheet.job.vehicle_id)
    layout, shaft_at = layout_of(specs), shaft_at_of(specs)
    if layout is None or shaft_at is None:
        return None
    place = sheet.step.place if sheet.step.place in HANDS else "LF"
    return draw(
        layout,
        shaft_at,
        gather(db, sheet.job, sheet.front_end),
        place,
        dots=tuple(dict.fromkeys(act.fastener for act in sheet.rung.move.fasteners)),
        system=system,
    )


def spring_drawing(db: Session, sheet: StepSheet) -> Unrolled | None:
    """Where the compressor's hooks sat, at a step with the spring in hand; none where no mark tells."""
    if "spring" not in sheet.rung.operation.drawing:
        return None
    marks = [
        one.capture.text
        for one in standing(db, job_id=known(sheet.job.id))
        if (one.capture.key, one.capture.place, one.capture.kind) == (HOOKS, sheet.step.place, "mark")
    ]
    hooks = hooks_of(marks)
    return unrolled(hooks, ends_of(marks)) if hooks else None


def draw(
    layout: Layout,
    shaft_at: ShaftAt,
    evidence: Evidence,
    place: str,
    *,
    dots: tuple[str, ...] = (),
    system: System,
) -> Drawing:
    """A corner as it is now: calibrated by what was found, changed by what was measured since."""
    read = {name: one.value for name, one in angles_read(evidence, place, "found").items()}
    found = figures(evidence.found, place) | read
    now = found | figures(evidence.left, place)
    corner = stood(layout.corner(HANDS[place]), found)
    pose = posed(corner, setting(found, now, shaft_at))
    if pose.fault:
        pose = posed(corner, setting(found, found, shaft_at))
    fit = Fit(shaft_at, *(now.get(one, 0.0) for one in PACKS))
    said = dict(_taken(evidence, place, system)) | {
        key: words for key, words in _posed(layout, pose, system) if key != "tie-rod" or ROD not in now
    }
    return drawn(pose, fit, said=said, dots=dots, guessed=_caption(layout), system=system)


def _taken(evidence: Evidence, place: str, system: System) -> Iterator[tuple[str, str]]:
    """Figures that somebody measured, as they are now."""
    names = {ROD: "tie-rod"} | {key: key for key in (*PACKS, *ANGLES)}
    for key, name in names.items():
        taken = evidence.left(key, place) or evidence.found(key, place)
        if taken is not None:
            yield name, _written(taken, system)


def _written(taken: Capture, system: System) -> str:
    quantity = Quantity(taken.quantity)
    if taken.value == 0 and quantity is Quantity.LENGTH:
        return "no shims"
    return _bare(taken.value or 0.0, quantity, system, taken.uncertainty or 0.0)


def _posed(layout: Layout, pose: Pose, system: System) -> Iterator[tuple[str, str]]:
    """Figures that the geometry gives, each as sure as the lengths that it rests on."""
    spreads_m = dict(zip((one.key for one in layout.dimensions), map(float, layout.spreads_m), strict=True))
    lengths = (("tie-rod", "tie-rod", pose.corner.tie_rod_m), ("spring", "spring-length", pose.spring_m))
    for name, key, length_m in lengths:
        about = "≈ " if key in layout.guessed else ""
        half_m = sqrt(3) * spreads_m.get(key, 0.0)
        yield name, about + _bare(float(length_m), Quantity.LENGTH, system, half_m)
    about = "≈ " if layout.guessed else ""
    yield "inclination", about + _bare(float(pose.inclination_rad), Quantity.ANGLE, system, _FINE_rad)
    yield "scrub", about + _bare(float(pose.scrub_m), Quantity.LENGTH, system, _FINE_m)


def _bare(value: float, quantity: Quantity, system: System, uncertainty: float) -> str:
    """Written as fine as it is known, without its ±."""
    text, _, _ = show(value, quantity, system=system, uncertainty=uncertainty).partition(" ± ")
    return text


def _caption(layout: Layout) -> str:
    return f"{guessed(layout)} {NOT_TO_SCALE}".strip()
