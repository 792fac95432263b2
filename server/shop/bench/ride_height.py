"""What springs mean at the wheel: height, sag, rate."""

from server.compute.answer import Known
from server.compute.ride_height import (
    corner_drop_m,
    frequency_Hz,
    height_change_m,
    sag_force_N,
    wheel_rate_N_per_m,
)
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import Figure, a_force, a_length, a_number, a_rate

SUBJECT = "Ride height"
RATIO = a_number(
    name="ratio",
    label="Motion ratio",
    example="0.55",
    help="Spring travel over wheel travel: below 1 for a spring on the lower arm.",
)


def _height(
    *, force: Known, old_free: Known, old_rate: Known, new_free: Known, new_rate: Known, ratio: Known
) -> Result:
    with beside("ratio"):
        change = height_change_m.answer(
            force_N=force,
            old_free_length_m=old_free,
            old_rate_N_per_m=old_rate,
            new_free_length_m=new_free,
            new_rate_N_per_m=new_rate,
            motion_ratio=ratio,
        )
    verdict = "as high as before" if change.value == 0 else "higher" if change.value > 0 else "lower"
    return Result(lines=(Line("height_change_m", "The corner moves by", change),), verdict=verdict)


def _sag(*, rate: Known, longer: Known, shorter: Known, ratio: Known) -> Result:
    with beside("ratio"):
        drop = corner_drop_m.answer(longer_m=longer, shorter_m=shorter, motion_ratio=ratio)
    force = sag_force_N.answer(rate_N_per_m=rate, longer_m=longer, shorter_m=shorter)
    return Result(
        lines=(
            Line("corner_drop_m", "That corner stands lower by", drop),
            Line("sag_force_N", "At the same length it pushes less by", force),
        )
    )


def _wheel_rate(*, rate: Known, ratio: Known, mass: Known | None) -> Result:
    felt = wheel_rate_N_per_m.answer(rate_N_per_m=rate, motion_ratio=ratio)
    lines = [Line("wheel_rate_N_per_m", "Rate at the wheel", felt)]
    if mass is not None:
        bounce = frequency_Hz.answer(wheel_rate_N_per_m=felt.known, mass_kg=mass)
        lines.append(Line("frequency_Hz", "Bounces in a second, undamped", bounce))
    return Result(lines=tuple(lines))


CALCULATORS = (
    Calculator(
        name="ride-height",
        title="Ride height with another spring",
        subject=SUBJECT,
        lead="How far another spring lifts the corner, or lets it down.",
        fields=(
            a_force(
                name="force",
                label="Force of the old spring at ride height",
                example="1700 lbf",
                help="From its rate and how far it is pressed there.",
            ),
            a_length(name="old_free", label="Free length of the old one", example="15.00 in"),
            a_rate(name="old_rate", label="Rate of the old one", example="350 lbf/in"),
            a_length(name="new_free", label="Free length of the new one", example="14.75 in"),
            a_rate(name="new_rate", label="Rate of the new one", example="400 lbf/in"),
            RATIO,
        ),
        work=_height,
    ),
    Calculator(
        name="spring-sag",
        title="Sag, side to side",
        subject=SUBJECT,
        lead="Two springs that should be alike, off the car: what the difference does to the corner.",
        fields=(
            a_rate(name="rate", label="Rate of both", example="350 lbf/in"),
            a_length(name="longer", label="Free length of the longer", example="15.00 in"),
            a_length(name="shorter", label="Free length of the shorter", example="14.63 in"),
            RATIO,
        ),
        work=_sag,
    ),
    Calculator(
        name="wheel-rate",
        title="Rate at the wheel",
        subject=SUBJECT,
        lead="How stiff the spring is where the wheel is.",
        fields=(
            a_rate(name="rate", label="Spring rate", example="350 lbf/in"),
            RATIO,
            Figure(
                name="mass",
                label="Mass on that wheel",
                quantity=Quantity.MASS,
                example="780 lb",
                help="Without the wheel itself. Needed for how often it bounces.",
                needed=False,
            ),
        ),
        work=_wheel_rate,
    ),
)
