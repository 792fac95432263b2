"""Coil springs: rate, what one holds at a length, how far the next one is pressed."""

from dataclasses import replace

from server.compute import spring
from server.compute.answer import Known, formula
from server.compute.show import show_both
from server.compute.spring import STEEL, Ends
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.field import beside
from server.shop.bench.figure import Figure, a_force, a_length, a_number, a_rate
from server.shop.bench.word import Choice
from server.shop.refusal import Refusal

SUBJECT = "Springs"
GRASP_kg = 50.0  # the mass whose fall makes a spring's energy something one can picture
LOADED = Sign("danger", "A compressed spring can kill. Its ends never point at anyone.")
RATING_UNCHECKED = "The compressor's rating is not given: not checked."
ENDS = {
    "squared": ("Closed, not ground", Ends.SQUARED),
    "squared-ground": ("Closed and ground flat", Ends.SQUARED_GROUND),
    "plain": ("Cut off plain", Ends.PLAIN),
    "plain-ground": ("Plain, ground flat", Ends.PLAIN_GROUND),
}


@formula(
    Quantity.RATE,
    "k = G·d⁴ / (8·(OD − d)³·Na)",
    spring.rate_N_per_m.source,
    limits=lambda *, wire_m, outer_diameter_m, **_: spring.rate_N_per_m.limits(
        wire_m=wire_m, mean_diameter_m=outer_diameter_m - wire_m
    ),
)
def _rate_over_wire(
    *, wire_m: float, outer_diameter_m: float, active_coils: float, modulus_Pa: float
) -> float:
    """The rate from what a caliper reads; so the wire's uncertainty counts in the coil's diameter too."""
    mean_m = spring.mean_diameter_m(outer_diameter_m=outer_diameter_m, wire_m=wire_m)
    return spring.rate_N_per_m(
        wire_m=wire_m, mean_diameter_m=mean_m, active_coils=active_coils, modulus_Pa=modulus_Pa
    )


@formula(Quantity.LENGTH, "L0 = L1 + F1·(L1 − L2)/(F2 − F1)", "two load points; Hooke's law")
def _free_length_by_loads(
    *, first_force_N: float, first_length_m: float, second_force_N: float, second_length_m: float
) -> float:
    """The free length that two load points lead back to."""
    rate = spring.rate_from_loads_N_per_m(
        first_force_N=first_force_N,
        first_length_m=first_length_m,
        second_force_N=second_force_N,
        second_length_m=second_length_m,
    )
    return spring.free_length_m(length_m=first_length_m, force_N=first_force_N, rate_N_per_m=rate)


def _rate(*, wire: Known, outer: Known, coils: Known, modulus: Known | None, ends: str | None) -> Result:
    with beside("outer"):
        rate = _rate_over_wire.answer(
            wire_m=wire, outer_diameter_m=outer, active_coils=coils, modulus_Pa=modulus or STEEL
        )
    lines = [Line("rate_N_per_m", "Spring rate", rate)]
    if ends:
        kind = ENDS[ends][1]
        layers = Known(spring.solid_layers(spring.total_coils(coils.value, kind), kind), coils.uncertainty)
        solid = spring.solid_length_m.answer(wire_m=wire, layers=layers)
        lines.append(Line("solid_length_m", "Solid length, coils touching", solid))
    return Result(lines=tuple(lines))


def _rate_by_loads(
    *, first_force: Known, first_length: Known, second_force: Known, second_length: Known
) -> Result:
    points = {
        "first_force_N": first_force,
        "first_length_m": first_length,
        "second_force_N": second_force,
        "second_length_m": second_length,
    }
    with beside("second_force"):
        rate = spring.rate_from_loads_N_per_m.answer(**points)
        free = _free_length_by_loads.answer(**points)
    return Result(
        lines=(Line("rate_N_per_m", "Spring rate", rate), Line("free_length_m", "Free length", free))
    )


def _held(
    *,
    rate: Known,
    free: Known,
    length: Known,
    solid: Known | None,
    rating: Known | None,
    mass: Known | None,
) -> Result:
    pressed = _press(rate, free, length, solid, rating)
    return Result(lines=_lines(pressed, mass), big=2, cautions=_cautions(pressed, rating))


def _next(
    *,
    rate: Known,
    free: Known,
    length: Known,
    next_rate: Known,
    next_free: Known,
    solid: Known | None,
    rating: Known | None,
) -> Result:
    force = spring.force_N.answer(rate_N_per_m=rate, free_length_m=free, length_m=length)
    to = spring.length_at_force_m.answer(free_length_m=next_free, force_N=force.known, rate_N_per_m=next_rate)
    with beside("next_rate"):
        pressed = _press(next_rate, next_free, to.known, solid, rating)
    pressed_lines = _lines(pressed, None)
    return Result(
        lines=(Line("length_m", "Press the next one to", to), *pressed_lines),
        cautions=_cautions(pressed, rating),
    )


def _press(
    rate: Known, free: Known, length: Known, solid: Known | None, rating: Known | None
) -> spring.Compressed:
    body = spring.Spring(rate, free, solid)
    try:
        return spring.compress(body, length, rating_N=rating.value if rating else None)
    except spring.OverRated as refused:
        raise Refusal(str(refused), field="rating") from refused
    except spring.CoilBound as refused:
        raise Refusal(str(refused), field="solid") from refused


def _lines(pressed: spring.Compressed, mass: Known | None) -> tuple[Line, ...]:
    """Force, energy and what that is like; the margin where it is known."""
    weight = mass or Known(GRASP_kg)
    drop = spring.drop_height_m.answer(energy_J=pressed.energy.known, mass_kg=weight)
    falling = show_both(weight.value, Quantity.MASS, system="inch")
    lines = (
        Line("force_N", "It pushes with", pressed.force),
        Line("energy_J", "It holds", pressed.energy),
        Line("drop_height_m", f"As much as {falling} falling from", drop),
    )
    if pressed.margin is None:
        return lines
    return (*lines, Line("margin_m", "Left before the coils touch", pressed.margin))


def _cautions(pressed: spring.Compressed, rating: Known | None) -> tuple[str, ...]:
    return (*pressed.cautions, *(() if rating else (RATING_UNCHECKED,)))


_RATE = a_rate(name="rate", label="Rate", example="350 lbf/in")
_FREE = a_length(name="free", label="Free length", example="15.00 in", help="Off the car, nothing on it.")
_LENGTH = a_length(name="length", label="Length it is held at", example="10.50 in")
_SOLID = a_length(
    name="solid", label="Solid length", example="7.25 in", help="All coils touching.", needed=False
)
_RATING = a_force(
    name="rating",
    label="Compressor's rated load",
    example="2200 lbf",
    help="As marked on it.",
    needed=False,
)

CALCULATORS = (
    Calculator(
        name="spring-rate",
        title="Spring rate from the wire",
        subject=SUBJECT,
        lead="A bare spring with a caliper and a rule: how stiff it is.",
        fields=(
            a_length(name="wire", label="Wire thickness", example="0.625 in"),
            a_length(
                name="outer", label="Outer diameter of the coil", example="5.50 in", help="Over the wire."
            ),
            a_number(
                name="coils",
                label="Active coils",
                example="6 1/2",
                help="Those free to move; what rests on a seat is not counted.",
            ),
            Choice(
                name="ends",
                label="Ends",
                options=tuple((value, words) for value, (words, _) in ENDS.items()),
                example="squared",
                help="Choose to get the solid length too.",
                needed=False,
            ),
            Figure(
                name="modulus",
                label="Shear modulus",
                quantity=Quantity.STRESS,
                example="79500 MPa",
                help="Empty is spring steel.",
                needed=False,
            ),
        ),
        work=_rate,
    ),
    Calculator(
        name="spring-rate-by-loads",
        title="Spring rate from two loads",
        subject=SUBJECT,
        lead="Two readings on a spring tester, pressing one way: how stiff it is, and how long when free.",
        fields=(
            a_force(name="first_force", label="First load", example="800 lbf"),
            a_length(name="first_length", label="Length under it", example="12.75 in"),
            a_force(name="second_force", label="Second load", example="1500 lbf"),
            a_length(name="second_length", label="Length under that", example="10.75 in"),
        ),
        work=_rate_by_loads,
    ),
    Calculator(
        name="spring-held",
        title="A spring held at a length",
        subject=SUBJECT,
        lead="What a compressor holds: force, energy, how near the coils are to touching.",
        sign=LOADED,
        fields=(
            _RATE,
            _FREE,
            _LENGTH,
            _SOLID,
            _RATING,
            Figure(
                name="mass",
                label="Mass to compare with",
                quantity=Quantity.MASS,
                example="50 kg",
                help="Empty is 50 kg.",
                needed=False,
            ),
        ),
        work=_held,
    ),
    Calculator(
        name="next-spring",
        title="How far to press the next spring",
        subject=SUBJECT,
        lead="Another spring goes in where the old one came out: the length at which it pushes as hard.",
        sign=LOADED,
        fields=(
            replace(_RATE, label="Rate of the old one"),
            replace(_FREE, label="Free length of the old one"),
            replace(_LENGTH, label="Length the old one was held at"),
            a_rate(name="next_rate", label="Rate of the next one", example="400 lbf/in"),
            a_length(name="next_free", label="Free length of the next one", example="14.75 in"),
            replace(_SOLID, label="Solid length of the next one"),
            _RATING,
        ),
        work=_next,
    ),
)
