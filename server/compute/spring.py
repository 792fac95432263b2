"""Coil springs: rate, force, energy, stress, and how far one may be pressed.

Round wire, constant diameter and pitch, elastic, coils not touching. Barrel, conical and variable-pitch
springs get stiffer as coils close; for them use two load points near the working length.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import pi

from server.compute.answer import Answer, Known, formula
from server.compute.constants import GRAVITY_m_per_s2, SPRING_STEEL_HIGHEST_Pa, SPRING_STEEL_LOWEST_Pa
from server.compute.refusal import Refused
from server.compute.show import show_both
from server.compute.unit import Quantity

STEEL = Known(
    (SPRING_STEEL_LOWEST_Pa + SPRING_STEEL_HIGHEST_Pa) / 2,
    (SPRING_STEEL_HIGHEST_Pa - SPRING_STEEL_LOWEST_Pa) / 2,
)  # shear modulus of an unknown spring wire
CLASH_SHARE = 0.15  # of the deflection left before solid; rule of thumb: Jindal ch. 8, Sadhu Singh Ex 8.1
_HANDBOOK = "Machinery's Handbook 31, Spring Design, pp. 318-319"


class CoilBound(Refused):
    """The coils would touch, or come too near to it."""


class OverRated(Refused):
    """The force would be more than the compressor is rated for."""


class OverStressed(Refused):
    """The wire would be stressed beyond its limit."""


class WireUnknown(Refused):
    """A limit to the stress is given, and no wire to reckon it by."""


class Ends(StrEnum):
    """How the wire ends: what rests and what works."""

    PLAIN = "plain"
    PLAIN_GROUND = "plain, ground"
    SQUARED = "squared"
    SQUARED_GROUND = "squared and ground"


_RESTING = {Ends.PLAIN: 0, Ends.PLAIN_GROUND: 1, Ends.SQUARED: 2, Ends.SQUARED_GROUND: 2}
_UNGROUND = (Ends.PLAIN, Ends.SQUARED)


def total_coils(active_coils: float, ends: Ends) -> float:
    """Active coils and those that rest.

    source     Machinery's Handbook 31, Table 3 p. 318
    validity   of a pigtail end count what is free, or use two load points
    """
    return active_coils + _RESTING[ends]


def solid_layers(total_coils: float, ends: Ends) -> float:
    """How many wire diameters high the spring is when solid. Source: as for the coils."""
    return total_coils + (1 if ends in _UNGROUND else 0)


def _index_limits(*, wire_m: float, mean_diameter_m: float, **_: float) -> tuple[str, ...]:
    index = mean_diameter_m / wire_m
    if 3 <= index <= 20:
        return ()
    return (f"Mean diameter over wire is {index:.1f}; the formula is used from 3 to 20.",)


@formula(Quantity.RATE, "k = G·d⁴ / (8·D³·Na)", f"{_HANDBOOK}, Table 4", limits=_index_limits)
def rate_N_per_m(*, wire_m: float, mean_diameter_m: float, active_coils: float, modulus_Pa: float) -> float:
    """The rate from what can be measured on the bare wire; 1 % in wire diameter is 4 % in rate."""
    _check_coil(wire_m, mean_diameter_m, active_coils)
    return modulus_Pa * wire_m**4 / (8 * mean_diameter_m**3 * active_coils)


def _check_coil(wire_m: float, mean_diameter_m: float, active_coils: float) -> None:
    if not 0 < wire_m < mean_diameter_m or active_coils <= 0:
        raise Refused(
            "Wire, coil diameter and active coils are above 0, and the coil is wider than its wire."
        )


@formula(Quantity.LENGTH, "D = OD − d", "definition")
def mean_diameter_m(*, outer_diameter_m: float, wire_m: float) -> float:
    """The diameter through the middle of the wire."""
    return outer_diameter_m - wire_m


@formula(Quantity.RATE, "k = (F2 − F1) / (L1 − L2)", "two load points; Hooke's law")
def rate_from_loads_N_per_m(
    *, first_force_N: float, first_length_m: float, second_force_N: float, second_length_m: float
) -> float:
    """The rate from two forces and lengths read while pressing in one direction."""
    if (second_force_N - first_force_N) * (first_length_m - second_length_m) <= 0:
        raise Refused("Of two readings the shorter one carries the higher force; check which is which.")
    return (second_force_N - first_force_N) / (first_length_m - second_length_m)


@formula(Quantity.LENGTH, "L0 = L + F/k", "Hooke's law")
def free_length_m(*, length_m: float, force_N: float, rate_N_per_m: float) -> float:
    """The free length from one load point and the rate."""
    return length_m + force_N / rate_N_per_m


@formula(Quantity.FORCE, "F = k·(L0 − L)", "Hooke's law")
def force_N(*, rate_N_per_m: float, free_length_m: float, length_m: float) -> float:
    """The force at a length; none when the spring is longer than free."""
    return rate_N_per_m * max(free_length_m - length_m, 0.0)


@formula(Quantity.ENERGY, "U = k·(L0 − L)²/2", "Hooke's law; Wentzell Ex 8.6")
def energy_J(*, rate_N_per_m: float, free_length_m: float, length_m: float) -> float:
    """The energy that comes out if it gets away at this length."""
    return rate_N_per_m * max(free_length_m - length_m, 0.0) ** 2 / 2


@formula(Quantity.LENGTH, "h = U/(m·g)", "definition of potential energy")
def drop_height_m(*, energy_J: float, mass_kg: float) -> float:
    """The height from which a mass would have to fall to hit as hard."""
    return energy_J / (mass_kg * float(GRAVITY_m_per_s2))


@formula(Quantity.LENGTH, "L = L0 − F/k", "Hooke's law")
def length_at_force_m(*, free_length_m: float, force_N: float, rate_N_per_m: float) -> float:
    """The length at which a spring pushes with a force: how another spring sits under the same load."""
    return free_length_m - force_N / rate_N_per_m


@formula(Quantity.LENGTH, "Ls = d · layers", f"{_HANDBOOK}, Table 3")
def solid_length_m(*, wire_m: float, layers: float) -> float:
    """The length with all coils touching; for layers see `solid_layers`."""
    return wire_m * layers


@formula(
    Quantity.LENGTH, "shortest = L0 − (L0 − Ls)/1.15", "15 % of the deflection left: Jindal, Sadhu Singh"
)
def shortest_m(*, free_length_m: float, solid_length_m: float) -> float:
    """The shortest length that still leaves the clash allowance."""
    return free_length_m - (free_length_m - solid_length_m) / (1 + CLASH_SHARE)


@formula(Quantity.LENGTH, "margin = L − Ls", "IS 7906-4:1987, definitions")
def margin_m(*, length_m: float, solid_length_m: float) -> float:
    """What is left before the coils touch."""
    return length_m - solid_length_m


def direct_shear(index: float) -> float:
    """Stress factor without curvature, for a spring at rest, 1 + 0.5/C. Source: Bhandari, Jindal ch. 8."""
    return 1 + 0.5 / index


def wahl(index: float) -> float:
    """Stress factor with curvature, (4C − 1)/(4C − 4) + 0.615/C. Source: Bhandari ch. 10; C from 3 to 12."""
    return (4 * index - 1) / (4 * index - 4) + 0.615 / index


def bergstrasser(index: float) -> float:
    """Stress factor with curvature, (4C + 2)/(4C − 3). Source: Shigley 9th ed. Eq. 10-5, from memory."""
    return (4 * index + 2) / (4 * index - 3)


@formula(
    Quantity.STRESS,
    "τ = KW · 8·F·D/(π·d³), KW after Wahl",
    "Bhandari ch. 10; Sadhu Singh Ex 8.3",
    limits=_index_limits,
)
def stress_Pa(*, force_N: float, mean_diameter_m: float, wire_m: float) -> float:
    """The highest shear stress in the wire, at the inside of the coil, on an undamaged surface."""
    return wahl(mean_diameter_m / wire_m) * plain_stress_Pa(
        force_N=force_N, mean_diameter_m=mean_diameter_m, wire_m=wire_m
    )


@formula(
    Quantity.STRESS,
    "τ = KB · 8·F·D/(π·d³), KB after Bergsträsser",
    "Shigley 9th ed. Eq. 10-5, from memory; about 1 % below Wahl",
    limits=_index_limits,
)
def stress_by_bergstrasser_Pa(*, force_N: float, mean_diameter_m: float, wire_m: float) -> float:
    """The highest shear stress in the wire, by the factor that European tables use."""
    return bergstrasser(mean_diameter_m / wire_m) * plain_stress_Pa(
        force_N=force_N, mean_diameter_m=mean_diameter_m, wire_m=wire_m
    )


@formula(
    Quantity.STRESS, "τ = (1 + 0.5/C) · 8·F·D/(π·d³)", "Bhandari ch. 10; Jindal ch. 8", limits=_index_limits
)
def stress_at_rest_Pa(*, force_N: float, mean_diameter_m: float, wire_m: float) -> float:
    """The shear stress without the coil's curvature: what counts for a set spring that does not work."""
    return direct_shear(mean_diameter_m / wire_m) * plain_stress_Pa(
        force_N=force_N, mean_diameter_m=mean_diameter_m, wire_m=wire_m
    )


def plain_stress_Pa(*, force_N: float, mean_diameter_m: float, wire_m: float) -> float:
    """The shear stress by torsion alone, 8·F·D/(π·d³), to be multiplied by a factor of one's choice."""
    return 8 * force_N * mean_diameter_m / (pi * wire_m**3)


@dataclass(frozen=True, slots=True)
class Spring:
    """A spring as far as it is known."""

    rate: Known  # N/m
    free_length: Known  # m
    solid_length: Known | None = None  # m
    wire: Known | None = None  # m
    mean_diameter: Known | None = None  # m


@dataclass(frozen=True, slots=True)
class Compressed:
    """A spring held at a length."""

    force: Answer
    energy: Answer
    margin: Answer | None  # None where the solid length is not known
    stress: Answer | None  # None where the wire is not known
    cautions: tuple[str, ...]


def compress(
    spring: Spring,
    length: Known,
    *,
    rating_N: float | None = None,
    stress_limit_Pa: float | None = None,
) -> Compressed:
    """What holding the spring at a length means.

    rating_N   of the compressor, as marked on it
    raises     CoilBound, OverRated or OverStressed; the uncertain end that is worse decides
    """
    if spring.rate.value <= 0 or length.value <= 0:
        raise Refused("The rate and the length of a spring are above 0.")
    margin = _margin(spring, length)
    force = force_N.answer(rate_N_per_m=spring.rate, free_length_m=spring.free_length, length_m=length)
    energy = energy_J.answer(rate_N_per_m=spring.rate, free_length_m=spring.free_length, length_m=length)
    stress = _stress(spring, force)
    _check_rating(force, rating_N)
    _check_stress(stress, stress_limit_Pa)
    return Compressed(force, energy, margin, stress, _cautions(spring, length))


def _margin(spring: Spring, length: Known) -> Answer | None:
    if spring.solid_length is None:
        return None
    free, solid = spring.free_length.value, spring.solid_length.value
    margin = margin_m.answer(length_m=length, solid_length_m=spring.solid_length)
    shown, solid_text = _length(length.value), _length(solid)
    if margin.value - margin.uncertainty <= 0:
        raise CoilBound(f"At {shown} the coils touch: solid at {solid_text}. Do not press it that far.")
    shortest = shortest_m(free_length_m=free, solid_length_m=solid)
    if length.value < shortest:
        raise CoilBound(f"At {shown} too little is left before solid; stay above {_length(shortest)}.")
    return margin


def _stress(spring: Spring, force: Answer) -> Answer | None:
    if spring.wire is None or spring.mean_diameter is None:
        return None
    return stress_Pa.answer(force_N=force.known, mean_diameter_m=spring.mean_diameter, wire_m=spring.wire)


def _check_rating(force: Answer, rating_N: float | None) -> None:
    if rating_N is not None and force.value + force.uncertainty > rating_N:
        most = show_both(force.value + force.uncertainty, Quantity.FORCE, system="metric")
        rating = show_both(rating_N, Quantity.FORCE, system="metric")
        raise OverRated(f"The spring may push with {most} there; this compressor is rated for {rating}.")


def _check_stress(stress: Answer | None, limit_Pa: float | None) -> None:
    if limit_Pa is None:
        return
    if stress is None:
        raise WireUnknown("To check the stress, the wire and the coil diameter must be known.")
    if stress.value + stress.uncertainty > limit_Pa:
        most = show_both(stress.value + stress.uncertainty, Quantity.STRESS, system="metric")
        limit = show_both(limit_Pa, Quantity.STRESS, system="metric")
        raise OverStressed(f"The wire may be stressed to {most} there; its limit is {limit}.")


def _cautions(spring: Spring, length: Known) -> tuple[str, ...]:
    loose = length.value >= spring.free_length.value
    return (
        *(("At that length the spring is loose.",) if loose else ()),
        *(
            ("The solid length is not known: coil bind is not checked.",)
            if spring.solid_length is None
            else ()
        ),
    )


def _length(length_m: float) -> str:
    return show_both(length_m, Quantity.LENGTH, system="metric")
