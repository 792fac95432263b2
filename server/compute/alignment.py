"""Toe by tape and caster by sweep. The other outputs of a corner belong to the linkage.

Signs: toe + for toe-in, per wheel; camber + when the top leans outboard; caster + when the steering axis
leans rearward going up (ISO 8855).
"""

from math import asin, atan, cos, degrees, radians, sin, sqrt, tan

from server.compute.answer import formula
from server.compute.refusal import Refused
from server.compute.unit import Quantity

_TAPE = "T = 2·D·sin t; geometry, equal toe on both wheels"


@formula(Quantity.LENGTH, "T = rear − front", "definition")
def toe_difference_m(*, rear_m: float, front_m: float) -> float:
    """Toe as the tape shows it, between the same marks behind and ahead of the axle; + for toe-in."""
    return rear_m - front_m


@formula(Quantity.ANGLE, "t = arcsin(T/2D)", _TAPE)
def toe_per_wheel_rad(*, toe_m: float, diameter_m: float) -> float:
    """Each wheel's toe from the tape.

    toe_m        rear less front
    diameter_m   at which both were measured: tyre, rim, or the length of the bar
    """
    _check_tape(toe_m, diameter_m)
    return asin(toe_m / (2 * diameter_m))


@formula(Quantity.ANGLE, "total = 2·arcsin(T/2D)", _TAPE)
def total_toe_rad(*, toe_m: float, diameter_m: float) -> float:
    """Both wheels' toe together from the tape."""
    return 2 * toe_per_wheel_rad(toe_m=toe_m, diameter_m=diameter_m)


@formula(Quantity.LENGTH, "T = 2·D·sin t", _TAPE)
def toe_m(*, per_wheel_rad: float, diameter_m: float) -> float:
    """What the tape should show for a toe per wheel."""
    _check_tape(0.0, diameter_m)
    return 2 * diameter_m * sin(per_wheel_rad)


def _check_tape(toe_m: float, diameter_m: float) -> None:
    if diameter_m <= 0:
        raise Refused("Say at which diameter toe was measured: tyre, rim or bar, above 0.")
    if abs(toe_m) > 2 * diameter_m:
        raise Refused("Toe cannot be more than twice the diameter it is measured at.")


def _sweep_limits(*, steer_rad: float, **_: float) -> tuple[str, ...]:
    if radians(10) <= abs(steer_rad) <= radians(30):
        return ()
    return (f"A sweep of {degrees(steer_rad):.0f}° each way is unusual; 15° or 20° is meant.",)


@formula(
    Quantity.ANGLE,
    "caster ≈ (camber out − camber in) / (2·sin δ)",
    "standard gauge relation, SAE 850219",
    limits=_sweep_limits,
)
def caster_by_sweep_rad(*, camber_out_rad: float, camber_in_rad: float, steer_rad: float) -> float:
    """Caster from two camber readings, as gauges work it out.

    camber_out_rad   with the front of the wheel turned away from the car
    camber_in_rad    with it turned toward the car by the same angle
    steer_rad        that angle, each way
    """
    _check_sweep(steer_rad)
    return (camber_out_rad - camber_in_rad) / (2 * sin(steer_rad))


@formula(
    Quantity.ANGLE,
    "tan c = A·√((1 + tan² q)/(1 − A²)), A = (sin g out − sin g in)/(2·sin θ·cos g0)",
    "rotation about a fixed steering axis by ±θ, zero toe; derived",
    limits=_sweep_limits,
)
def caster_exact_rad(
    *,
    camber_out_rad: float,
    camber_in_rad: float,
    steer_rad: float,
    camber_rad: float,
    inclination_rad: float,
) -> float:
    """Caster from two camber readings without the small-angle steps.

    steer_rad         turned about the steering axis each way
    camber_rad        straight ahead
    inclination_rad   of the steering axis in front view
    """
    _check_sweep(steer_rad)
    swing = (sin(camber_out_rad) - sin(camber_in_rad)) / (2 * sin(steer_rad) * cos(camber_rad))
    if abs(swing) >= 1:
        raise Refused("Those two camber readings are too far apart for that sweep; read them again.")
    return atan(swing * sqrt((1 + tan(inclination_rad) ** 2) / (1 - swing**2)))


def _check_sweep(steer_rad: float) -> None:
    if not 0 < steer_rad < radians(60):
        raise Refused("Give the angle that the wheel was turned each way, such as 20°.")
