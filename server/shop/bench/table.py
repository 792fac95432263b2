"""All calculators of the bench. A new one is a new entry of its subject's file, and appears everywhere."""

from itertools import groupby

from server.shop.bench import (
    alignment,
    bolt,
    castle_nut,
    compressor,
    cotter,
    generic_torque,
    linkage,
    lock_nut,
    measurement,
    nested,
    ride_height,
    shim,
    spring,
    spring_rate,
    tie_rod,
    torque,
    turn,
    wrench,
)
from server.shop.bench.calculator import Calculator
from server.shop.refusal import Missing

CALCULATORS: tuple[Calculator, ...] = (
    *measurement.CALCULATORS,
    *torque.CALCULATORS,
    *turn.CALCULATORS,
    *castle_nut.CALCULATORS,
    *cotter.CALCULATORS,
    *lock_nut.CALCULATORS,
    *wrench.CALCULATORS,
    *generic_torque.CALCULATORS,
    *bolt.CALCULATORS,
    *spring_rate.CALCULATORS,
    *spring.CALCULATORS,
    *nested.CALCULATORS,
    *compressor.CALCULATORS,
    *tie_rod.CALCULATORS,
    *alignment.CALCULATORS,
    *shim.CALCULATORS,
    *ride_height.CALCULATORS,
    *linkage.CALCULATORS,
)


def calculator(name: str) -> Calculator:
    """The calculator of that name; raises Missing."""
    for one in CALCULATORS:
        if one.name == name:
            return one
    raise Missing("There is no such calculator.")


def by_subject() -> list[tuple[str, list[Calculator]]]:
    """The calculators under their subjects, in the table's order."""
    return [(subject, list(some)) for subject, some in groupby(CALCULATORS, key=lambda one: one.subject)]
