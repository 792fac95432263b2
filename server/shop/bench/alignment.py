"""Toe by tape, caster by sweep."""

from server.compute.alignment import (
    caster_by_sweep_rad,
    caster_exact_rad,
    toe_difference_m,
    toe_per_wheel_rad,
    total_toe_rad,
)
from server.compute.answer import Known
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import a_length, an_angle
from server.shop.bench.tie_rod import SUBJECT


def _toe(*, front: Known, rear: Known, diameter: Known | None) -> Result:
    toe = toe_difference_m.answer(rear_m=rear, front_m=front)
    lines = [Line("toe_m", "Total toe", toe)]
    if diameter is not None:
        with beside("diameter"):
            total = total_toe_rad.answer(toe_m=toe.known, diameter_m=diameter)
            wheel = toe_per_wheel_rad.answer(toe_m=toe.known, diameter_m=diameter)
        lines += [
            Line("total_toe_rad", "As an angle, both wheels", total),
            Line("toe_per_wheel_rad", "Each wheel", wheel),
        ]
    return Result(lines=tuple(lines), verdict=_way(toe.value, toe.uncertainty))


def _way(toe_m: float, uncertainty_m: float) -> str:
    """In or out, unless the tape cannot tell."""
    if abs(toe_m) <= uncertainty_m:
        return "neither in nor out, as far as the tape can tell"
    return "toe-in" if toe_m > 0 else "toe-out"


def _caster(
    *, out: Known, turned_in: Known, steer: Known, camber: Known | None, inclination: Known | None
) -> Result:
    sweep = {"camber_out_rad": out, "camber_in_rad": turned_in, "steer_rad": steer}
    with beside("steer"):
        caster = caster_by_sweep_rad.answer(**sweep)
    lines = [Line("caster_rad", "Caster", caster)]
    if inclination is not None and camber is not None:
        with beside("out"):
            exact = caster_exact_rad.answer(**sweep, camber_rad=camber, inclination_rad=inclination)
        lines.append(Line("caster_exact_rad", "The same without small-angle steps", exact))
    return Result(lines=tuple(lines))


CALCULATORS = (
    Calculator(
        name="toe-by-tape",
        title="Toe by tape",
        subject=SUBJECT,
        lead="Between the same marks ahead of the axle and behind it: toe as a length and as an angle.",
        fields=(
            a_length(name="front", label="Ahead of the axle", example="58 9/32 in"),
            a_length(name="rear", label="Behind the axle", example="58 13/32 in"),
            a_length(
                name="diameter",
                label="Diameter at the marks",
                example="26.0 in",
                help="Of tyre or rim, or the length of the bars. Needed for the angles.",
                needed=False,
            ),
        ),
        work=_toe,
    ),
    Calculator(
        name="caster-by-sweep",
        title="Caster by sweep",
        subject=SUBJECT,
        lead="Two camber readings with the wheel turned out and in by the same angle.",
        fields=(
            an_angle(
                name="out",
                label="Camber, turned out",
                signed=True,
                example="2.00°",
                help="The front of the wheel away from the car.",
            ),
            an_angle(
                name="turned_in",
                label="Camber, turned in",
                signed=True,
                example="0.00°",
                help="The front of the wheel toward the car.",
            ),
            an_angle(
                name="steer", label="Turned each way by", example="20°", help="As the turn plates read."
            ),
            an_angle(
                name="camber", label="Camber, straight ahead", signed=True, needed=False, example="0.50°"
            ),
            an_angle(
                name="inclination",
                label="Lean of the steering axis",
                needed=False,
                example="8.0°",
                help="Inboard going up, in front view. With camber, it makes the caster exact.",
            ),
        ),
        work=_caster,
    ),
)
