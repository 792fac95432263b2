"""Torque from grade and size where there is no maker's value: a generic range, for a foreman to take on."""

from dataclasses import dataclass
from enum import StrEnum
from math import cos, pi, radians, sqrt

from server.compute.answer import Answer, Known, formula
from server.compute.grade import Finish, strength
from server.compute.refusal import Refused
from server.compute.unit import Quantity

REUSED, PERMANENT = 0.75, 0.90  # of the proof load: Shigley 9th ed. p. 442
YIELD_SHARE = 0.9  # tension and twist together, of yield: VDI 2230 guide values
GENERIC = "Generic, from tables: not the maker's figure. The maker's manual comes first."
RUBBER = "Not where the bolt clamps rubber: the rubber is ruined before the torque is reached."
_THREAD_FLANK = cos(radians(30))


class Thread(StrEnum):
    """Which standard a thread is cut to; their stress areas differ a little."""

    INCH = "inch"
    METRIC = "metric"


_MINOR = {Thread.INCH: 0.9743, Thread.METRIC: 0.9382}  # of the pitch: ASME B1.1; ISO 898-1


def stress_area_m2(*, diameter_m: float, pitch_m: float, thread: Thread) -> float:
    """The area that carries the load, π/4 · (d − c·P)².

    source     inch, c = 0.9743: ASME B1.1. Metric, c = 0.9382: ISO 898-1
    """
    core_m = diameter_m - _MINOR[thread] * pitch_m
    if pitch_m <= 0 or core_m <= 0:
        raise Refused("The pitch must be above 0 and much smaller than the diameter.")
    return pi / 4 * core_m**2


@formula(Quantity.FORCE, "F = fraction · stress · area", "ISO 898-1 load tables; EN 1993-1-8 cl. 3.6.1")
def load_N(*, stress_Pa: float, area_m2: float, fraction: float = 1.0) -> float:
    """The load at a fraction of a stress: proof, tensile, or the preload that is aimed at."""
    return fraction * stress_Pa * area_m2


@formula(Quantity.TORQUE, "T = K · F · d", "Shigley 9th ed. Eq. 8-27, Table 8-15 for K")
def torque_Nm(*, nut_factor: float, preload_N: float, diameter_m: float) -> float:
    """The torque for a preload, by nut factor."""
    return nut_factor * preload_N * diameter_m


@formula(Quantity.FORCE, "F = T / (K · d)", "Shigley 9th ed. Eq. 8-27")
def preload_N(*, nut_factor: float, torque_Nm: float, diameter_m: float) -> float:
    """The preload that a torque gives on average."""
    return torque_Nm / (nut_factor * diameter_m)


@formula(Quantity.STRESS, "σ = F / area", "Shigley 9th ed. Ex. 8-3 a")
def tension_Pa(*, preload_N: float, area_m2: float) -> float:
    """The tension in the thread; the area is the stress area."""
    return preload_N / area_m2


@dataclass(frozen=True, slots=True)
class GenericTorque:
    """A torque worked out from tables. Not the maker's; someone with authority must take it on."""

    torque: Answer  # its uncertainty is the nut factor's scatter: the range is value ± uncertainty
    preload: Answer  # what is aimed at
    proof_load_N: float
    stress_area_m2: float
    cautions: tuple[str, ...]
    generic: bool = True


def generic_torque(
    *,
    grade: str,
    diameter_m: float,
    pitch_m: float,
    thread: Thread,
    finish: Finish,
    fraction: float = REUSED,
) -> GenericTorque:
    """A torque range from grade, size, pitch and finish.

    fraction   of the proof load to aim at; 0.75 for a joint that will come apart again
    raises     UnknownGrade; Refused for a thread that cannot be
    source     Shigley 9th ed. Eq. 8-27 and Tables 8-9, 8-11, 8-15
    """
    steel = strength(grade, diameter_m)
    area_m2 = stress_area_m2(diameter_m=diameter_m, pitch_m=pitch_m, thread=thread)
    aim = load_N.answer(stress_Pa=steel.proof_Pa, area_m2=area_m2, fraction=fraction)
    factor = Known(finish.nut_factor, finish.nut_factor * finish.scatter)
    torque = torque_Nm.answer(nut_factor=factor, preload_N=aim.known, diameter_m=diameter_m)
    cautions = _cautions(fraction, finish)
    return GenericTorque(torque, aim, steel.proof_Pa * area_m2, area_m2, cautions)


def _cautions(fraction: float, finish: Finish) -> tuple[str, ...]:
    if fraction * (1 + finish.scatter) <= 1:
        return GENERIC, RUBBER
    return (
        GENERIC,
        RUBBER,
        "At the slippery end of the scatter the bolt passes its proof load: stay low in the range.",
    )


@formula(
    Quantity.NUMBER,
    "K = dm/2d · (tan λ + f·sec α)/(1 − f·tan λ·sec α) + 0.625·fc",
    "Shigley 9th ed. Eq. 8-26, from memory; dm mean of major and minor diameter, α 30°, collar 1.25 d",
)
def nut_factor(*, diameter_m: float, pitch_m: float, thread_friction: float, head_friction: float) -> float:
    """The nut factor from the two friction coefficients."""
    mean_m = (diameter_m + (diameter_m - 1.299038 * pitch_m)) / 2
    lead = pitch_m / (pi * mean_m)
    wedge = thread_friction / _THREAD_FLANK
    return mean_m / (2 * diameter_m) * (lead + wedge) / (1 - wedge * lead) + 0.625 * head_friction


@formula(
    Quantity.FORCE,
    "FM = ν·Rp·A0 / √(1 + 3·(1.5·d2/d0·(P/(π·d2) + 1.155·µ))²)",
    "VDI 2230, from memory; reproduces its guide values within 0.4 %",
)
def yield_preload_N(
    *, diameter_m: float, pitch_m: float, thread_friction: float, yield_Pa: float, share: float = YIELD_SHARE
) -> float:
    """The preload at which tension and twist together reach a share of yield; metric threads."""
    pitch_diameter_m, core_m = _metric_diameters_m(diameter_m, pitch_m)
    twist = 1.5 * pitch_diameter_m / core_m * (pitch_m / (pi * pitch_diameter_m) + 1.155 * thread_friction)
    return share * yield_Pa * pi / 4 * core_m**2 / sqrt(1 + 3 * twist**2)


@formula(
    Quantity.TORQUE,
    "MA = FM·(0.16·P + 0.58·d2·µ + µh·(dw + dh)/4)",
    "VDI 2230, from memory; reproduces its guide values within 1.2 %",
)
def friction_torque_Nm(
    *,
    preload_N: float,
    diameter_m: float,
    pitch_m: float,
    thread_friction: float,
    head_friction: float,
    bearing_m: float,
    hole_m: float,
) -> float:
    """The torque for a preload from the friction in the thread and under the head; metric threads.

    bearing_m, hole_m   outer diameter of the head's bearing face; clearance hole
    """
    pitch_diameter_m, _ = _metric_diameters_m(diameter_m, pitch_m)
    thread_arm_m = 0.16 * pitch_m + 0.58 * pitch_diameter_m * thread_friction
    return preload_N * (thread_arm_m + head_friction * (bearing_m + hole_m) / 4)


def _metric_diameters_m(diameter_m: float, pitch_m: float) -> tuple[float, float]:
    """Pitch diameter d2 and the stress diameter d0, the mean of d2 and d3 (ISO 898-1)."""
    pitch_diameter_m = diameter_m - 0.649519 * pitch_m
    root_m = diameter_m - 1.226869 * pitch_m
    return pitch_diameter_m, (pitch_diameter_m + root_m) / 2
