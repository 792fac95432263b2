"""How long one full plan takes, against its ten thousand draws solved one by one with scipy.

    uv run python -m tests.bench.realign

A plan is both corners of a car from guessed lengths, a real drawer, ten thousand draws and both budgets. The
baseline is one draw's two wheels by `least_squares`, times ten thousand. CPU time, in turn.
"""

import time
from math import radians
from statistics import median

from server.compute.corner import Hand
from server.compute.layout import ShaftAt, Steer, short
from server.compute.linkage import Setting
from server.compute.pose import readings
from server.compute.realign import Band, Standing, realign
from server.compute.scatter import DRAWS, Wheel
from tests.bench.poses import differences, in_turn

INCH_m = 0.0254
DRAWER = {INCH_m / 64: 8, INCH_m / 32: 12, INCH_m / 16: 12, INCH_m / 8: 12, INCH_m / 4: 6}
ROUNDS = 15
AIM_s = 0.050


def main() -> None:
    plan = lambda: realign(short({}, Steer.BEHIND), ShaftAt.INBOARD, both(), BAND, DRAWER)  # noqa: E731
    plan()
    taken = []
    for _ in range(ROUNDS):
        before = time.process_time()
        plan()
        taken.append(time.process_time() - before)
    single = in_turn({"one": (differences(0.01, Setting(0.001, -0.001, 0.0005)), 1)})["one"]
    ours, theirs = median(taken), 2 * DRAWS * single
    print(f"one plan, both corners, {DRAWS} draws: {ours * 1e3:.1f} ms of CPU (aim: under {AIM_s * 1e3:.0f})")
    print(f"{2 * DRAWS} single solves: {theirs:.1f} s; {theirs / ours:,.0f} times as long")


def both() -> list[Standing]:
    """A car out of line on both sides, read by a good gauge."""
    spread = readings(radians(0.05), radians(0.15), radians(0.03))
    wanted = readings(radians(0.25), radians(1.25), radians(0.1))
    found = {Hand.LEFT: (1.25, 0.25, -0.2), Hand.RIGHT: (0.9, 0.5, 0.1)}
    return [
        Standing(Wheel(hand, readings(*map(radians, read)), spread), 0.0063, 0.0079, wanted)
        for hand, read in found.items()
    ]


BAND = Band(radians(0.5), radians(0.5), radians(0.28))

if __name__ == "__main__":
    main()
