"""What the linkage makes of a job's record: packs, tie rods, what the wheels will read.

Before the refit the readings as found decide packs and presets, for the height at which the car will stand;
on the floor again the readings as they are decide the next move. Without the corner's geometry, its readings
or anything to aim at there is no plan, and everything goes back as found.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import hypot, radians, sqrt

import numpy as np

from server.compute.adjust import calibrated, with_joint
from server.compute.alignment import toe_per_wheel_rad
from server.compute.answer import Known
from server.compute.corner import Hand
from server.compute.layout import Layout, ShaftAt
from server.compute.linkage import at_travel
from server.compute.pack_choice import Limits
from server.compute.pose import Readings, readings
from server.compute.realign import Band, Move, Plan, Standing, realign
from server.compute.refusal import Refused
from server.compute.scatter import Wheel
from server.compute.stand import Coil, lift_m, lift_off_m
from server.shop.evidence import Evidence, of_capture, of_spec
from server.shop.geometry import CORNER, POINT, layout_of, shaft_at_of
from server.shop.wheel_record import HANDS, Reading, WheelRecord, When, diameter_m, wheels
from server.store.tables import Spec

# Inside of it a car can be driven to the rack: common practice, no source.
BAND_rad, BAND_TOE_m = radians(0.5), 0.0254 / 16
WANTED = ("camber", "caster", "toe.total")
LIMITED = ("pack.most", "pack.most-apart")
LIFT_UNSURE = 0.2  # of another spring's lift: what settling, roll bar and bushings may take; our own guess
OLD_COIL, NEW_COIL = ("spring.rate", "spring.free-length"), ("new-spring.rate", "new-spring.free-length")


@dataclass(frozen=True, slots=True)
class Task:
    """One wheel's part of the question, in figures alone."""

    place: str
    camber: Reading  # as it was read
    caster: Reading
    toe: Reading
    is_toe_shared: bool  # half of a total by tape
    front_m: float  # packs
    rear_m: float
    keeps_packs: bool
    coils: tuple[Coil, Coil] | None  # old and new, where another spring goes in
    wanted: tuple[float, float, float]  # camber, caster, toe [rad]

    @property
    def read(self) -> tuple[Reading, Reading, Reading]:
        """Camber, caster, toe."""
        return self.camber, self.caster, self.toe


@dataclass(frozen=True, slots=True)
class Question:
    """All that a plan depends on."""

    layout: Layout
    shaft: ShaftAt
    tasks: tuple[Task, ...]
    band: Band
    stock: tuple[tuple[float, int], ...]
    limits: Limits


@dataclass(frozen=True, slots=True)
class Outlook:
    """The answer: a plan, or why there is none."""

    question: Question
    plan: Plan | None
    lifts: tuple[Known, ...]  # how much higher the car will stand at each wheel [m]
    refused: str
    records: tuple[WheelRecord, ...]
    specs: tuple[Spec, ...]  # what the plan rests on, besides its wheels' captures

    def record(self, place: str) -> WheelRecord | None:
        """That corner as it was read, if it was."""
        return next((one for one in self.records if one.place == place), None)

    def lift(self, place: str) -> Known | None:
        """How much higher another spring makes the car stand there than it was read, if one goes in [m]."""
        of_place = zip(self.question.tasks, self.lifts, strict=False)
        return next((lift for task, lift in of_place if task.place == place and task.coils), None)

    def move(self, place: str) -> Move | None:
        """What to do at that corner."""
        moves = self.plan.moves if self.plan else ()
        return next((one for one in moves if one.standing.wheel.hand is HANDS[place]), None)


def outlook(evidence: Evidence, when: When) -> Outlook | None:
    """The plan from the readings as found, for the refit, or as they are now, for the next move."""
    layout, shaft = layout_of(evidence.specs), shaft_at_of(evidence.specs)
    records = wheels(evidence, when)
    if layout is None or shaft is None or not records:
        return None
    layout = with_tie_rod(layout, evidence)
    tasks = tuple(_task(evidence, record, when) for record in records)
    if not any(task.coils for task in tasks) and not any(key in evidence.specs for key in WANTED):
        return None
    question = Question(
        layout=layout,
        shaft=shaft,
        tasks=tasks,
        band=Band(BAND_rad, BAND_rad, len(tasks) * _toe_rad(BAND_TOE_m, evidence, when)),
        stock=tuple((shim.thickness_m, shim.count) for shim in evidence.drawer if shim.count),
        limits=Limits(*(_middle(evidence, key) for key in LIMITED)),
    )
    plan, lifts, refused = _answer(question)
    return Outlook(question, plan, lifts, refused, tuple(records), _rests_on(evidence))


def spring_lift(evidence: Evidence, place: str) -> Known | None:
    """How much higher another spring lifts the car there, its angles unread; none where it cannot be told."""
    layout, coils = layout_of(evidence.specs), _coils(evidence, place)
    if layout is None or coils is None:
        return None
    try:
        own = at_travel(layout.corner(HANDS[place])).readings
        return lift_by(layout, HANDS[place], own, coils)
    except Refused:
        return None


def lift_by(layout: Layout, hand: Hand, found: Readings, coils: tuple[Coil, Coil]) -> Known:
    """How much higher the car stands on the new spring [m]: unsure for the lengths, and by LIFT_UNSURE.

    raises     Refused where no height carries the load, also for a length no further off than it may be
    """
    lift = float(lift_m(calibrated(layout.corner(hand), found), *coils))
    by_lengths_m = lift_off_m(layout, hand, found, *coils)
    return Known(lift, hypot(lift * LIFT_UNSURE, by_lengths_m))


def joint_change(evidence: Evidence, place: str, rise: Known) -> Known | None:
    """How much longer the tie rod has to be for a joint whose ball sits higher; none without the geometry."""
    layout = layout_of(evidence.specs)
    if layout is None:
        return None
    corner = with_tie_rod(layout, evidence).corner(HANDS[place])
    rises = rise.value + np.array((0.0, rise.uncertainty))
    middle, edge = with_joint(corner, rises).tie_rod_m - corner.tie_rod_m
    return Known(float(middle), abs(float(edge - middle)))


@lru_cache(maxsize=64)
def _answer(question: Question) -> tuple[Plan | None, tuple[Known, ...], str]:
    """The same question again is the same answer; a plan takes long enough for that to be felt."""
    layout, lifts = question.layout, tuple[Known, ...]()
    try:
        lifts = tuple(_lift(layout, task) for task in question.tasks)
        standing = [_standing(layout, *each) for each in zip(question.tasks, lifts, strict=True)]
        plan = realign(layout, question.shaft, standing, question.band, dict(question.stock), question.limits)
    except Refused as refused:
        return None, lifts, str(refused)
    return plan, lifts, ""


def _lift(layout: Layout, task: Task) -> Known:
    return lift_by(layout, HANDS[task.place], _found(task), task.coils) if task.coils else Known(0.0)


def _found(task: Task) -> Readings:
    return readings(*(one.value for one in task.read))


def _standing(layout: Layout, task: Task, lift: Known) -> Standing:
    """The wheel as it will stand before anything is set: as read, brought to the height to come.

    The ends of the lift are taken as those of a flat band (GUM 4.3.7).
    """
    corner = calibrated(layout.corner(HANDS[task.place]), _found(task))
    lifted = at_travel(corner, -lift.value + np.array((0.0, lift.uncertainty))).readings.stacked
    by_lift = np.abs(lifted[:, 0] - lifted[:, 1]) / sqrt(3)
    spread = np.hypot([one.spread for one in task.read], by_lift)
    wheel = Wheel(corner.hand, Readings(*lifted[:, 0]), Readings(*spread), task.is_toe_shared)
    return Standing(wheel, task.front_m, task.rear_m, readings(*task.wanted), task.keeps_packs)


def _task(evidence: Evidence, record: WheelRecord, when: When) -> Task:
    """What is not on the sheet is kept as read; a toe that nobody measured is kept, whatever it was."""
    toe = record.toe or Reading(0.0, 0.0)
    total_m = _middle(evidence, "toe.total") if record.toe else None
    toe_rad = toe.value if total_m is None else _toe_rad(total_m, evidence, when)
    return Task(
        place=record.place,
        camber=record.camber,
        caster=record.caster,
        toe=toe,
        is_toe_shared=record.is_toe_shared,
        front_m=record.front.value,
        rear_m=record.rear.value,
        keeps_packs=when == "left" and _are_tolerated(evidence, record),
        coils=_coils(evidence, record.place) if when == "found" else None,
        wanted=(*_tilts_wanted(evidence, record), toe_rad),
    )


def _are_tolerated(evidence: Evidence, record: WheelRecord) -> bool:
    """Whether camber and caster keep to the sheet: no car is lifted again for less than it tolerates."""
    read = ((evidence.spec("camber"), record.camber), (evidence.spec("caster"), record.caster))
    return all(line is None or line.low <= angle.value <= line.high for line, angle in read)


def is_toe_tolerated(evidence: Evidence, when: When) -> bool:
    """Whether the toe of both wheels together keeps to the sheet, as far as it was read."""
    line, read = evidence.spec("toe.total"), [wheel.toe for wheel in wheels(evidence, when) if wheel.toe]
    if line is None or len(read) < 2:
        return False
    low, high = (_toe_rad(total_m, evidence, when) for total_m in (line.low, line.high))
    return 2 * low <= sum(toe.value for toe in read) <= 2 * high


def _tilts_wanted(evidence: Evidence, record: WheelRecord) -> tuple[float, float]:
    """Camber and caster by the sheet; one that is not on it as it was read."""
    camber, caster = record.camber.value, record.caster.value
    return _or(_middle(evidence, "camber"), camber), _or(_middle(evidence, "caster"), caster)


def _coils(evidence: Evidence, place: str) -> tuple[Coil, Coil] | None:
    """Where the bench decided on another spring and both springs' figures are on the sheet."""
    if not evidence.is_renewed("spring", place) or evidence.lacks_specs(*OLD_COIL, *NEW_COIL):
        return None
    old, new = (Coil(*(of_spec(evidence.specs[key]).value for key in keys)) for keys in (OLD_COIL, NEW_COIL))
    return old, new


def with_tie_rod(layout: Layout, evidence: Evidence) -> Layout:
    """The layout with the tie rod's length that was captured on the way down."""
    captured = next((one for place in HANDS if (one := evidence.found("tie-rod.length", place))), None)
    return layout.with_measured("tie-rod", of_capture(captured)) if captured else layout


def _rests_on(evidence: Evidence) -> tuple[Spec, ...]:
    geometry = (key for key in evidence.specs if key.startswith((CORNER, POINT)))
    springs = (*OLD_COIL, *NEW_COIL)
    keys = (*WANTED, "toe.diameter", "steering.ratio", *LIMITED, *springs, *geometry)
    return tuple(evidence.specs[key] for key in keys if key in evidence.specs)


def _toe_rad(total_m: float, evidence: Evidence, when: When) -> float:
    """Each wheel's half of a total toe by tape."""
    return toe_per_wheel_rad(toe_m=total_m, diameter_m=diameter_m(evidence, when))


def _middle(evidence: Evidence, key: str) -> float | None:
    line = evidence.spec(key)
    return of_spec(line).value if line else None


def _or(value: float | None, other: float) -> float:
    return other if value is None else value
