"""Corners put out by known shims and lengths, read, and brought back: how near a plan lands.

    uv run python -m tests.compute.round_trip 1000

The car is `plausible` and is never shown to the plan: what the plan gets is a layout, readings and packs.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from math import radians, sqrt

import numpy as np

from server.compute.adjust import restood
from server.compute.answer import Known
from server.compute.corner import POINTS, Corner, Hand
from server.compute.layout import Layout, ShaftAt, long
from server.compute.linkage import Setting, at_arm
from server.compute.pose import Readings
from server.compute.realign import Band, Move, Standing, realign
from server.compute.scatter import Wheel
from tests.compute.plausible import corners, one_of

INCH_m = 0.0254
PITCH_m = INCH_m / 18
THINNEST_m = INCH_m / 64
STOCK = {INCH_m / 64: 6, INCH_m / 32: 10, INCH_m / 16: 10, INCH_m / 8: 12, INCH_m / 4: 8}
PACK_m = INCH_m / 2  # in at both studs before anything is put out
BAND = Band(radians(0.5), radians(0.5), radians(0.15))
GAUGE_rad = np.radians((0.05, 0.15, 0.03))  # camber, caster, toe
PLACES = tuple(name for name in POINTS if name != "spin")
AXES = ("ahead", "out", "up")


@dataclass(frozen=True, slots=True)
class Landing:
    """One corner brought back."""

    shims_off_m: tuple[float, float]  # front and rear pack against what was in before
    turns_off: float
    off_rad: np.ndarray  # camber, caster, toe against what was wanted
    missed_rad: np.ndarray  # against what the plan predicted
    move: Move


def landings(
    many: int, *, seed: int, point_m: float = 0.0, gauge: bool = False, draws: int = 300
) -> Iterator[Landing]:
    """So many corners put out by up to 1/8 in a stud and 3 mm of tie rod, and brought back in one move.

    point_m    standard deviation of every coordinate of every point that the plan is given
    gauge      whether readings have a gauge's noise
    """
    random = np.random.default_rng(seed)
    cars = corners(random, many, Hand.LEFT)
    for place in range(many):
        yield _landing(one_of(cars, place), random, point_m, gauge, draws)


def _landing(car: Corner, random: np.random.Generator, point_m: float, gauge: bool, draws: int) -> Landing:
    shaft = random.choice([ShaftAt.INBOARD, ShaftAt.OUTBOARD])
    front_m, rear_m = random.integers(-8, 9, 2) * THINNEST_m  # of thickness added
    rod_m = random.uniform(-3e-3, 3e-3)
    put_out = Setting(shaft.outboard * front_m, shaft.outboard * rear_m, rod_m)
    stands = restood(at_arm(car, 0.0, put_out))
    noise = random.standard_normal(3) * GAUGE_rad * gauge
    wheel = Wheel(car.hand, _read(stands, noise), Readings(*(GAUGE_rad * gauge)))
    wanted = at_arm(car).readings
    standing = Standing(wheel, PACK_m + front_m, PACK_m + rear_m, wanted)
    plan = realign(_layout(stands, random, point_m), shaft, [standing], BAND, STOCK, draws=draws)
    (move,) = plan.moves
    return _landed(stands, shaft, move, wanted, rod_m)


def _read(stands: Corner, noise: np.ndarray) -> Readings:
    return Readings(*(at_arm(stands).readings.stacked + noise))


def _landed(stands: Corner, shaft: ShaftAt, move: Move, wanted: Readings, rod_m: float) -> Landing:
    """What the real car does with the plan."""
    done = Setting(shaft.outboard * move.front_change_m, shaft.outboard * move.rear_change_m, move.tie_rod_m)
    reads = at_arm(stands, 0.0, done).readings.stacked
    return Landing(
        (move.front.thickness_m - PACK_m, move.rear.thickness_m - PACK_m),
        (move.tie_rod_m + rod_m) / (2 * PITCH_m),
        reads - wanted.stacked,
        reads - move.predicted.stacked,
        move,
    )


def _layout(stands: Corner, random: np.random.Generator, point_m: float) -> Layout:
    """The car's points as somebody measured them: each normally off, known as a flat band as wide."""
    measured = {}
    for name in PLACES:
        figures = getattr(stands, name) + np.clip(random.standard_normal(3), -3, 3) * point_m
        for axis, figure in zip(AXES, figures, strict=True):
            measured[f"{name.replace('_', '-')}.{axis}"] = Known(float(figure), point_m * sqrt(3))
    return long(measured)


def main(many: int) -> None:
    """Prints how near it lands: without noise, with a gauge's, with points 5 mm off."""
    exact = list(landings(many, seed=1))
    shims = max(abs(each) for one in exact for each in one.shims_off_m) / THINNEST_m
    print(f"no noise: packs back within {shims:.2f} of the thinnest shim, sleeve within "
          f"{max(abs(one.turns_off) for one in exact):.4f} turn")  # fmt: skip
    for name, settings in {
        "a gauge's noise": {"gauge": True},
        "points 2 mm off, a gauge's noise": {"gauge": True, "point_m": 2e-3},
        "points 5 mm off": {"point_m": 5e-3},
        "points 5 mm off, a gauge's noise": {"gauge": True, "point_m": 5e-3},
    }.items():
        found = list(landings(many, seed=2, **settings))
        off = np.degrees([one.off_rad for one in found])
        inside = np.abs([one.missed_rad for one in found]) <= [one.move.off_rad for one in found]
        print(f"{name}: lands camber, caster, toe off by (one sd)", off.std(axis=0).round(3),
              "; 9 of 10 within", np.quantile(np.abs(off), 0.9, axis=0).round(3),
              "; stated 90 % holds", (100 * inside.mean(axis=0)).round(1), "%")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]))
