"""The corner's linkage outside of a job: by the lengths that a tape finds, with guesses for the rest."""

from math import hypot, isfinite

import numpy as np

from server.compute.adjust import calibrated
from server.compute.alignment import toe_per_wheel_rad
from server.compute.answer import Answer, Known
from server.compute.corner import Hand
from server.compute.dimension import SHORT
from server.compute.layout import Layout, ShaftAt, Steer, short
from server.compute.linkage import Setting, at_travel
from server.compute.motion import rates
from server.compute.pose import Fault, Pose, readings
from server.compute.realign import Band, Move, Standing, realign
from server.compute.refusal import Refused
from server.compute.scatter import NINETY, READ, Wheel, half_widths
from server.compute.shims import Pack
from server.compute.unit import Quantity
from server.compute.vector import Floats
from server.compute.what_if import carried_out
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import Field
from server.shop.bench.figure import a_length, an_angle
from server.shop.bench.listed import Drawer, Stock
from server.shop.bench.word import Choice
from server.shop.realign import BAND_rad, BAND_TOE_m
from server.shop.wheel_record import TYRE_m, reading

SUBJECT = "The corner's linkage"
SOURCE = "linkage in space, each joint where three spheres meet; definitions by ISO 8855"
HELD = "Lower arm held, as on a car that has settled; each end of the shaft moves straight across the car."
GUESSED = "Lengths left empty are guessed, and the ± is as wide as such guesses are."
BUMP_m = 0.010
BAND = Band(BAND_rad, BAND_rad, toe_per_wheel_rad(toe_m=BAND_TOE_m, diameter_m=TYRE_m))

LENGTHS: tuple[Field, ...] = tuple(
    a_length(
        name=one.key.replace("-", "_"),
        label=one.name,
        help=one.how,
        signed=one.signed,
        example=f"{one.usual_m * 1000:.1f} mm",
        needed=False,
    )
    for one in SHORT
)
STEER = Choice(
    name="steer",
    label="The tie rods lie",
    options=tuple((one.name.lower(), one.value) for one in Steer),
    example="behind",
)
SHAFT = Choice(
    name="shaft",
    label="The upper arm's shaft sits",
    options=tuple((one.name.lower(), one.value) for one in ShaftAt),
    example="inboard",
)


def _motion(*, steer: str, **lengths: Known | None) -> Result:
    layout = _layout(steer, lengths)
    figures, off = _motions(layout.figures_m, layout), half_widths(layout, lambda f: _motions(f, layout))
    lines = (
        Line(key, name, Answer(float(value), float(wide), quantity, formula, SOURCE, ()))
        for (key, name, quantity, formula), value, wide in zip(_MOTIONS, figures, off, strict=True)
    )
    return Result(
        lines=tuple(line for line in lines if isfinite(line.answer.value)), big=1, cautions=_guesses(layout)
    )


_RATE = "velocities of the rigid bodies"
_MOTIONS = (
    ("motion_ratio", "Spring travel over wheel travel", Quantity.NUMBER, "m = −d(spring)/dz"),
    ("camber_gain_rad", "Camber over 10 mm of bump", Quantity.ANGLE, _RATE),
    ("caster_gain_rad", "Caster over 10 mm of bump", Quantity.ANGLE, _RATE),
    ("bump_steer_rad", "Toe over 10 mm of bump, + is in", Quantity.ANGLE, _RATE),
    ("inclination_rad", "Steering-axis inclination", Quantity.ANGLE, "q = arctan(−k_y/k_z)"),
    ("scrub_m", "Scrub radius, + axis inboard of the tread", Quantity.LENGTH, "on the floor, thin disc"),
    ("roll_centre_m", "Roll centre above the floor", Quantity.LENGTH, _RATE),
    ("instant_out_m", "Instant centre, out from the car's centre line", Quantity.LENGTH, _RATE),
    ("instant_up_m", "Instant centre above the floor", Quantity.LENGTH, _RATE),
)


def _motions(figures_m: Floats, layout: Layout) -> Floats:
    """As listed above, shape (9, *shape); arms that stay parallel have their centre nowhere."""
    pose = at_travel(layout.corner(Hand.LEFT, figures_m))
    rate = rates(pose)
    gains = (rate.camber_rad_per_m, rate.caster_rad_per_m, rate.toe_rad_per_m)
    return np.stack(
        (
            rate.motion_ratio,
            *(gain * BUMP_m for gain in gains),
            pose.inclination_rad,
            pose.scrub_m,
            rate.roll_centre_m,
            *rate.instant_centre,
        )
    )


def _after(
    *,
    camber: Known,
    caster: Known,
    toe: Known,
    front: Known | None,
    rear: Known | None,
    rod: Known | None,
    lift: Known | None,
    shaft: str,
    steer: str,
    **lengths: Known | None,
) -> Result:
    layout = _layout(steer, lengths)
    outboard = ShaftAt[shaft.upper()].outboard
    setting = Setting(outboard * _value(front), outboard * _value(rear), _value(rod))
    found = readings(camber.value, caster.value, toe.value)

    def changed(figures_m: Floats) -> Pose:
        return carried_out(calibrated(layout.corner(Hand.LEFT, figures_m), found), _value(lift), setting)

    pose = changed(layout.figures_m)
    if pose.fault:
        raise Refused(Fault(int(pose.fault)).sentence)
    off = half_widths(layout, lambda figures_m: changed(figures_m).readings.stacked)
    lines = (
        _reading(name, float(value), hypot(float(wide), NINETY * before.spread))
        for name, value, wide, before in zip(
            READ, pose.readings.stacked, off, (camber, caster, toe), strict=True
        )
    )
    return Result(lines=tuple(lines), big=3, says=HELD, cautions=_guesses(layout))


def _move(
    *,
    camber: Known,
    caster: Known,
    toe: Known,
    wanted_camber: Known,
    wanted_caster: Known,
    wanted_toe: Known,
    front: Known,
    rear: Known,
    drawer: Drawer,
    shaft: str,
    steer: str,
    **lengths: Known | None,
) -> Result:
    layout = _layout(steer, lengths)
    found = [reading(name, one) for name, one in zip(READ, (camber, caster, toe), strict=True)]
    spread = readings(*(one.spread for one in found))
    standing = Standing(
        Wheel(Hand.LEFT, readings(*(one.value for one in found)), spread),
        front.value,
        rear.value,
        readings(wanted_camber.value, wanted_caster.value, wanted_toe.value),
    )
    plan = realign(layout, ShaftAt[shaft.upper()], (standing,), BAND, drawer)
    (move,) = plan.moves
    likely = f"Angles near enough for the drive to the rack in about {round(10 * plan.likely)} of 10 cases."
    return Result(lines=tuple(_move_lines(move)), big=3, says=f"{likely} {HELD}", cautions=_guesses(layout))


def _move_lines(move: Move) -> list[Line]:
    exact = move.exact
    rule = "whole shims, least error of camber and caster; toe by the tie rod"
    rod = Answer(move.tie_rod_m, move.tie_rod_off_m, Quantity.LENGTH, rule, SOURCE, ())
    return [
        _pack("front", move.front, exact.front_off_m),
        _pack("rear", move.rear, exact.rear_off_m),
        Line("tie_rod_m", "Tie rod longer by", rod),
        *(
            _reading(name, float(value), float(wide))
            for name, value, wide in zip(READ, move.predicted.stacked, move.off_rad, strict=True)
        ),
    ]


def _pack(end: str, pack: Pack, off_m: float) -> Line:
    rule = "whole shims, least error of camber and caster, then the fewest pieces"
    answer = Answer(pack.thickness_m, off_m, Quantity.LENGTH, rule, SOURCE, ())
    return Line(f"{end}_pack_m", f"{end.capitalize()} pack", answer, pack.pieces_m)


def _reading(name: str, value: float, off: float) -> Line:
    rule = "posed with the change made, calibrated by what was read before"
    label = "Toe of this wheel, + is in" if name == "toe" else name.capitalize()
    return Line(f"{name}_rad", f"{label}, then", Answer(value, off, Quantity.ANGLE, rule, SOURCE, ()))


def _layout(steer: str, lengths: dict[str, Known | None]) -> Layout:
    measured = {key.replace("_", "-"): known for key, known in lengths.items() if known is not None}
    return short(measured, Steer[steer.upper()])


def _guesses(layout: Layout) -> tuple[str, ...]:
    return (GUESSED,) if layout.guessed else ()


def _value(known: Known | None) -> float:
    return known.value if known else 0.0


def _readings(prefix: str, words: str, examples: tuple[str, str, str]) -> tuple[Field, ...]:
    labels = ("Camber", "Caster", "Toe of this wheel, + is in")
    return tuple(
        an_angle(name=f"{prefix}{name}", label=f"{label}, {words}", signed=True, example=example)
        for name, label, example in zip(READ, labels, examples, strict=True)
    )


def _a_change(name: str, label: str, help: str) -> Field:
    return a_length(name=name, label=label, help=help, signed=True, example="2.0 mm", needed=False)


CALCULATORS = (
    Calculator(
        name="corner-motion",
        title="How a corner moves",
        subject=SUBJECT,
        lead="Motion ratio, camber gain, bump steer, scrub and roll centre from lengths taken by tape.",
        fields=(STEER, *LENGTHS),
        work=_motion,
    ),
    Calculator(
        name="wheel-angles",
        title="Wheel angles after a change",
        subject=SUBJECT,
        lead="What camber, caster and toe become when shims, tie rod or ride height are changed.",
        fields=(
            *_readings("", "as read", ("0.50°", "1.50°", "0.10°")),
            _a_change("front", "Shims added at the front stud", "With a minus for shims taken out."),
            _a_change("rear", "Shims added at the rear stud", "With a minus for shims taken out."),
            _a_change("rod", "Tie rod made longer by", "With a minus to shorten."),
            _a_change("lift", "Body lifted over this wheel by", "With a minus if it sits lower."),
            SHAFT,
            STEER,
            *LENGTHS,
        ),
        work=_after,
    ),
    Calculator(
        name="next-move",
        title="Shims and tie rod for wanted angles",
        subject=SUBJECT,
        lead="Which whole shims and what change of the tie rod bring one wheel to the angles wanted.",
        fields=(
            *_readings("", "as read", ("1.25°", "0.50°", "0.10°")),
            *_readings("wanted_", "wanted", ("0.25°", "1.50°", "0.05°")),
            a_length(name="front", label="Front pack now", zero=True, example="3/16 in"),
            a_length(name="rear", label="Rear pack now", zero=True, example="1/4 in"),
            Stock(
                name="drawer",
                label="In the drawer",
                offered="drawer",
                example="6 × 1/8 in\n6 × 1/16 in\n6 × 1/32 in",
                help="A line for each thickness: 6 × 1/8 in.",
            ),
            SHAFT,
            STEER,
            *LENGTHS,
        ),
        work=_move,
    ),
)
