"""How stiff a coil spring is: from its wire, or from two loads."""

from server.compute import spring
from server.compute.answer import Known, formula
from server.compute.spring import STEEL, Ends
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import Figure, a_force, a_length, a_number
from server.shop.bench.spring import SUBJECT
from server.shop.bench.word import Choice

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
)
