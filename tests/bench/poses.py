"""How many poses of a corner a second, as ratios to solving them one by one with scipy.

    uv run python -m tests.bench.poses [poses]

Ours are worked out in one call. The two others start where a careful programmer would let them start: at the
pose as it stood, raised by the travel. `least_squares` takes its slopes by differences, on the knuckle's six
freedoms; `root` gets the exact slopes of the same six equations, written for speed. All three solve the same
random travels, packs, rods and steering, to a micrometre or better, and have to agree. CPU time, in turn.
"""

import os
import sys
import time
from collections.abc import Callable
from statistics import median

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy.optimize import least_squares, root

from server.compute.corner import Corner
from server.compute.linkage import Setting, at_arm, at_travel
from server.compute.vector import Floats
from tests.compute.by_least_squares import ON_THE_KNUCKLE, placed, problem, shimmed
from tests.compute.plausible import one_setting, settings
from tests.reference.corner_1 import CORNER_1

ONE_BY_ONE = 400
ROUNDS = 7
ON = np.array((0, 0, 1, 1, 2))  # the knuckle's joints that the five links hang on
CLOSE_m = 1e-6
Solve = Callable[[], Floats]


def main(many: int) -> None:
    random = np.random.default_rng(50)
    travel, setting = random.uniform(-0.06, 0.06, many), settings(random, many)
    arm = at_travel(CORNER_1, travel, setting).arm_rad
    few = [(travel[i], one_setting(setting, i)) for i in range(ONE_BY_ONE)]
    by_differences = [differences(*one) for one in few]
    by_exact_slopes = [exact_slopes(*one) for one in few]
    ours = at_travel(CORNER_1, travel[:ONE_BY_ONE], first(setting)).wheel_centre.T
    for solves in (by_differences, by_exact_slopes):
        agree(solves, ours)
    times = in_turn(
        {
            "at_travel": (lambda: at_travel(CORNER_1, travel, setting), many),
            "at_arm": (lambda: at_arm(CORNER_1, arm, setting), many),
            "least_squares": (lambda: [solve() for solve in by_differences], ONE_BY_ONE),
            "root": (lambda: [solve() for solve in by_exact_slopes], ONE_BY_ONE),
        }
    )
    report(times, many)


def in_turn(tasks: dict[str, tuple[Callable[[], object], int]]) -> dict[str, float]:
    """Median CPU seconds a pose, each task once a round; the first round is warm-up and left out."""
    taken: dict[str, list[float]] = {name: [] for name in tasks}
    for _ in range(ROUNDS + 1):
        for name, (task, poses) in tasks.items():
            before = time.process_time()
            task()
            taken[name].append((time.process_time() - before) / poses)
    return {name: median(all_of_them[1:]) for name, all_of_them in taken.items()}


def report(times: dict[str, float], many: int) -> None:
    print(f"{many} poses in one call, {ONE_BY_ONE} one by one; CPU time, median of {ROUNDS}")
    for name, seconds in times.items():
        print(f"{name:14} {seconds * 1e6:10.2f} us a pose  {1 / seconds:12,.0f} poses a second")
    for ours in ("at_travel", "at_arm"):
        for other, aim in (("least_squares", 1000), ("root", 50)):
            ratio = times[other] / times[ours]
            print(
                f"{other} / {ours:9} {ratio:9,.0f} times"
                + (f"  (aim: {aim} or more)" if ours == "at_travel" else "")
            )


def first(setting: Setting) -> Setting:
    return Setting(*(np.asarray(one)[:ONE_BY_ONE] for one in setting.figures))


def agree(solves: list[Solve], ours: Floats) -> None:
    """Every wheel centre within a micrometre, or there is nothing to compare."""
    worst = np.max(np.abs(np.stack([placed(KNUCKLE, solve())[3] for solve in solves]) - ours))
    if not worst < CLOSE_m:
        raise SystemExit(f"They are {worst} m apart.")


def differences(travel: float, setting: Setting) -> Solve:
    """The six unknowns by least squares with numerical slopes."""
    height = CORNER_1.wheel_centre[2] + travel
    residuals = problem(CORNER_1, setting, lambda joints: joints[3, 2] - height)
    start = np.array((0, 0, 0, 0, 0, travel))
    return lambda: least_squares(residuals, start).x


def exact_slopes(travel: float, setting: Setting) -> Solve:
    """The same unknowns by a root of the squared lengths with their own slopes."""
    ends, squares = links(CORNER_1, setting)
    height = CORNER_1.wheel_centre[2] + travel
    start = np.array((0, 0, 0, 0, 0, travel))

    def equations(unknown: Floats) -> tuple[Floats, Floats]:
        turned, spread = turn_and_spread(unknown[:3])
        arms = ARMS @ turned.T
        joints = arms + PIVOT + unknown[3:]
        hanging = arms[ON]
        apart = joints[ON] - ends
        values, slopes = np.empty(6), np.zeros((6, 6))
        values[:5] = (apart * apart).sum(axis=1) - squares
        values[5] = joints[3, 2] - height
        moment = hanging[:, NEXT] * apart[:, LAST] - hanging[:, LAST] * apart[:, NEXT]
        slopes[:5, :3] = 2 * moment @ spread
        slopes[:5, 3:] = 2 * apart
        slopes[5, :3] = arms[3, 1] * spread[0] - arms[3, 0] * spread[1]
        slopes[5, 5] = 1
        return values, slopes

    return lambda: root(equations, start, jac=True).x


def links(corner: Corner, setting: Setting) -> tuple[Floats, Floats]:
    """Where the five links start on the body, (5, 3), and their squared lengths."""
    front, rear = shimmed(corner, setting)
    inner = corner.tie_inner + np.array((0, setting.link_m, 0))
    rod = np.linalg.norm(corner.tie_outer - corner.tie_inner) + setting.tie_rod_m
    ends = np.stack((front, rear, corner.lower_front, corner.lower_rear, inner))
    return ends, np.append(ARM_SQUARES, rod**2)


def turn_and_spread(vector: Floats) -> tuple[Floats, Floats]:
    """A rotation vector's matrix, and what takes its own small changes to small turns."""
    x, y, z = vector
    angle = max(np.sqrt(x * x + y * y + z * z), 1e-8)
    skew = np.array(((0, -z, y), (z, 0, -x), (-y, x, 0)))
    square = skew @ skew
    bend = 2 * (np.sin(angle / 2) / angle) ** 2
    turned = EYE + np.sin(angle) / angle * skew + bend * square
    return turned, EYE + bend * skew + max(angle - np.sin(angle), 0.0) / angle**3 * square


KNUCKLE = np.stack([getattr(CORNER_1, name) for name in ON_THE_KNUCKLE])
PIVOT, ARMS, EYE = KNUCKLE[1], KNUCKLE - KNUCKLE[1], np.eye(3)
NEXT, LAST = np.array((1, 2, 0)), np.array((2, 0, 1))
MEASURED = np.stack(
    [getattr(CORNER_1, f"{arm}_{end}") for arm in ("upper", "lower") for end in ("front", "rear")]
)
ARM_SQUARES = ((KNUCKLE[ON[:4]] - MEASURED) ** 2).sum(axis=1)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
