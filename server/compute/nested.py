"""Two coil springs, one inside the other, on the same seats: each pushes once it is shorter than free."""

from server.compute import spring
from server.compute.answer import formula
from server.compute.refusal import Refused
from server.compute.unit import Quantity

_SOURCE = "springs side by side, Hooke's law: Bhandari Ex 10.18, Sarkar Prob. 8.8"


@formula(Quantity.FORCE, "F = k1·(L1 − L) + k2·(L2 − L), each where it is pressed", _SOURCE)
def force_N(
    *,
    outer_rate_N_per_m: float,
    outer_free_m: float,
    inner_rate_N_per_m: float,
    inner_free_m: float,
    length_m: float,
) -> float:
    """What both together push with at a length."""
    outer_N = spring.force_N(rate_N_per_m=outer_rate_N_per_m, free_length_m=outer_free_m, length_m=length_m)
    inner_N = spring.force_N(rate_N_per_m=inner_rate_N_per_m, free_length_m=inner_free_m, length_m=length_m)
    return outer_N + inner_N


@formula(Quantity.ENERGY, "U = k1·(L1 − L)²/2 + k2·(L2 − L)²/2, each where it is pressed", _SOURCE)
def energy_J(
    *,
    outer_rate_N_per_m: float,
    outer_free_m: float,
    inner_rate_N_per_m: float,
    inner_free_m: float,
    length_m: float,
) -> float:
    """What comes out if both get away at a length."""
    outer_J = spring.energy_J(rate_N_per_m=outer_rate_N_per_m, free_length_m=outer_free_m, length_m=length_m)
    inner_J = spring.energy_J(rate_N_per_m=inner_rate_N_per_m, free_length_m=inner_free_m, length_m=length_m)
    return outer_J + inner_J


@formula(Quantity.LENGTH, "F = k1·(L1 − L) + k2·(L2 − L) solved for L", _SOURCE)
def length_at_force_m(
    *,
    outer_rate_N_per_m: float,
    outer_free_m: float,
    inner_rate_N_per_m: float,
    inner_free_m: float,
    force_N: float,
) -> float:
    """The length at which both together push with a force; the longer one may carry it alone."""
    if min(outer_rate_N_per_m, inner_rate_N_per_m) <= 0:
        raise Refused("The rate of each spring is above 0.")
    longer, shorter = sorted(
        ((outer_free_m, outer_rate_N_per_m), (inner_free_m, inner_rate_N_per_m)), reverse=True
    )
    (longer_m, longer_rate), (shorter_m, shorter_rate) = longer, shorter
    alone_N = longer_rate * (longer_m - shorter_m)
    if force_N <= alone_N:
        return longer_m - force_N / longer_rate
    return shorter_m - (force_N - alone_N) / (longer_rate + shorter_rate)
