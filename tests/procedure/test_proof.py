"""Every plan, executed on iron that knows nothing of the plan's own facts."""

from functools import cache
from itertools import product
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.procedure.load import front_ends
from server.procedure.model import FrontEnd
from server.procedure.plan import Drive, Plan, PlannedStep, Sides, plan, waits_for
from tests.procedure.iron import Corner, Impossible, Unsafe
from tests.procedure.machine import Car, execute

SCOPES = (
    "bar",
    "tie-rods",
    "shocks",
    "springs",
    "lower-joints",
    "upper-joints",
    "lower-arms",
    "upper-arms",
    "bump-stops",
    "everything",
)
SIDES: tuple[Sides, ...] = ("left", "right", "both")
DRIVES: tuple[Drive, ...] = ("LHD", "RHD")
CASES = list(product(SCOPES, SIDES, DRIVES))
CHOSEN = {"left": ("LF",), "right": ("RF",), "both": ("LF", "RF")}
PARTS_OF: dict[str, tuple[str, ...]] = {
    "bar": ("link",),
    "tie-rods": ("rod",),
    "shocks": ("shock",),
    "springs": ("spring",),
    "lower-joints": ("lower_joint",),
    "upper-joints": ("upper_joint",),
    "lower-arms": ("lower_arm",),
    "upper-arms": ("upper_arm",),
    "bump-stops": ("stop",),
}
PARTS_OF["everything"] = tuple(part for parts in PARTS_OF.values() for part in parts)


@cache
def front_end() -> FrontEnd:
    return front_ends()["coil-on-lower-arm"]


@cache
def planned(scopes: tuple[str, ...], sides: Sides, drive: Drive) -> Plan:
    return plan(front_end(), scopes, sides=sides, drive=drive)


def reached(car: Car, scopes: tuple[str, ...], sides: Sides) -> bool:
    def is_off(corner: Corner) -> bool:
        return not any(corner.on[part] for scope in scopes for part in PARTS_OF[scope])

    bar_off = not car.bar or not {"bar", "everything"} & set(scopes)
    return bar_off and all(is_off(car.corners[place]) for place in CHOSEN[sides])


def strip_of(found: Plan) -> list[PlannedStep]:
    return [step for step in found.steps if step.direction == "down"]


def test_the_cases_are_all_the_library_offers() -> None:
    assert {scope.id for scope in front_end().scopes} == set(SCOPES)


@pytest.mark.parametrize(("scope", "sides", "drive"), CASES)
def test_the_strip_reaches_its_scope_and_the_refit_leaves_a_whole_car(
    scope: str, sides: Sides, drive: Drive
) -> None:
    found = planned((scope,), sides, drive)
    strip = strip_of(found)

    car = execute(Car(drive), strip, front_end())
    assert reached(car, (scope,), sides)
    execute(car, found.steps[len(strip) :], front_end()).finished()


@pytest.mark.parametrize(("scope", "sides", "drive"), CASES)
def test_no_step_of_the_strip_can_be_left_out(scope: str, sides: Sides, drive: Drive) -> None:
    strip = strip_of(planned((scope,), sides, drive))

    for left_out in strip:
        rest = [step for step in strip if step is not left_out]
        try:
            spared = reached(execute(Car(drive), rest, front_end()), (scope,), sides)
        except (Unsafe, Impossible):
            spared = False
        assert not spared, f"{left_out.operation} at {left_out.place} was not needed"


@pytest.mark.parametrize(("scope", "sides", "drive"), CASES)
def test_no_step_of_the_refit_can_be_left_out(scope: str, sides: Sides, drive: Drive) -> None:
    found = planned((scope,), sides, drive)

    for left_out in found.steps[len(strip_of(found)) :]:
        rest = [step for step in found.steps if step is not left_out]
        with pytest.raises((Unsafe, Impossible)):
            execute(Car(drive), rest, front_end()).finished()


@pytest.mark.parametrize(("scope", "sides", "drive"), CASES)
def test_the_hazards_of_the_steps_are_those_of_the_iron(scope: str, sides: Sides, drive: Drive) -> None:
    car, standing = Car(drive), set[tuple[str, str]]()

    for step in planned((scope,), sides, drive).steps:
        execute(car, [step], front_end())
        operation = front_end().operation(step.operation)
        move = operation.down if step.direction == "down" else operation.up
        assert move is not None
        standing |= {(hazard, step.place) for hazard in move.hazards_begin}
        standing -= {(hazard, step.place) for hazard in move.hazards_end}
        assert standing == car.hazards, step


mixed = st.lists(st.sampled_from(SCOPES), min_size=1, max_size=4, unique=True).map(tuple)


@settings(deadline=None, max_examples=80)
@given(mixed, st.sampled_from(SIDES), st.sampled_from(DRIVES))
def test_mixed_scopes_are_reached_by_a_strip_without_a_spare_step(
    scopes: tuple[str, ...], sides: Sides, drive: Drive
) -> None:
    found = planned(scopes, sides, drive)
    strip = strip_of(found)

    car = execute(Car(drive), strip, front_end())
    assert reached(car, scopes, sides)
    execute(car, found.steps[len(strip) :], front_end()).finished()
    for left_out in strip:
        rest = [step for step in strip if step is not left_out]
        try:
            spared = reached(execute(Car(drive), rest, front_end()), scopes, sides)
        except (Unsafe, Impossible):
            spared = False
        assert not spared, left_out


@settings(deadline=None, max_examples=80)
@given(mixed, st.sampled_from(SIDES), st.sampled_from(DRIVES), st.randoms(use_true_random=False))
def test_every_order_that_ready_allows_is_safe_too(
    scopes: tuple[str, ...], sides: Sides, drive: Drive, random: Random
) -> None:
    found = planned(scopes, sides, drive)
    earlier = waits_for(found)
    car, done = Car(drive), set[int]()

    while len(done) < len(found.steps):
        seq = random.choice(
            sorted(seq for seq, before in earlier.items() if seq not in done and before <= done)
        )
        execute(car, [found.steps[seq - 1]], front_end())
        done.add(seq)
    car.finished()


class TestBrokenPlans:
    """Controls: the iron does catch what it is there to catch."""

    def steps(self, scope: str = "everything") -> list[PlannedStep]:
        return list(planned((scope,), "both", "LHD").steps)

    def find(self, steps: list[PlannedStep], operation: str, direction: str, place: str = "LF") -> int:
        wanted = (operation, direction, place)
        return next(i for i, s in enumerate(steps) if (s.operation, s.direction, s.place) == wanted)

    def moved(self, operation: str, direction: str, before: str, before_direction: str) -> list[PlannedStep]:
        steps = self.steps()
        step = steps.pop(self.find(steps, operation, direction))
        steps.insert(self.find(steps, before, before_direction), step)
        return steps

    @pytest.mark.parametrize(
        ("operation", "direction", "before", "before_direction", "complaint"),
        [
            ("shock", "up", "compressor", "up", "beside a loaded spring"),
            ("knuckle", "down", "compressor", "down", "linkage open"),
            ("compressor", "up", "joint-nuts", "up", "open ball joints"),
            ("upper-joint", "down", "spring", "down", "beside a loaded spring"),
            ("lower-pivots-final", "up", "wheel", "up", "away from ride height"),
            ("knuckle", "down", "caliper", "down", "tapers"),
            ("studs", "up", "upper-arm", "up", "steering shaft"),
            ("shims", "up", "studs", "up", "no stud"),
            ("wheel-nuts", "up", "wheel", "up", "raised car"),
            ("wheel-nuts", "down", "wheel", "down", "raised car"),
            ("bump-stop", "down", "knuckle", "down", "beside a loaded spring"),
        ],
    )
    def test_a_step_done_too_early_is_refused(
        self, operation: str, direction: str, before: str, before_direction: str, complaint: str
    ) -> None:
        broken = self.moved(operation, direction, before, before_direction)

        with pytest.raises((Unsafe, Impossible), match=complaint):
            execute(Car("LHD"), broken, front_end())

    @pytest.mark.parametrize(
        ("operation", "direction", "complaint"),
        [
            ("compressor", "down", "live spring"),
            ("caliper", "down", "on its hose"),
            ("shock", "down", "shock and compressor in one spring"),
            ("joint-nuts", "down", "still wedged"),
            ("preset", "bench", "not set"),
            ("joint-nuts", "up", "open ball joints"),
            ("bar-link", "up", "lowered without"),
        ],
    )
    def test_a_step_left_out_is_refused(self, operation: str, direction: str, complaint: str) -> None:
        steps = self.steps()
        del steps[self.find(steps, operation, direction)]

        with pytest.raises((Unsafe, Impossible), match=complaint):
            execute(Car("LHD"), steps, front_end())

    def test_hands_under_an_unconfirmed_car_are_unsafe(self) -> None:
        car = Car("LHD")
        car.do("intake", "down", "car", confirmed=False)
        car.do("support", "down", "car", confirmed=False)

        with pytest.raises(Unsafe, match="nobody confirmed"):
            car.do("shock", "down", "LF", confirmed=False)

    def test_a_car_touched_before_intake_is_refused(self) -> None:
        with pytest.raises(Unsafe, match="as found"):
            Car("LHD").do("wheel-nuts", "down", "LF", confirmed=False)

    def test_a_compressor_slackened_without_its_hold_is_unsafe(self) -> None:
        steps = self.steps()
        at = self.find(steps, "compressor", "up")
        car = execute(Car("LHD"), steps[:at], front_end())

        with pytest.raises(Unsafe, match="before anyone confirmed"):
            car.do("compressor", "up", "LF", confirmed=False)

    def test_the_plan_for_the_other_drive_side_is_refused(self) -> None:
        with pytest.raises(Impossible, match=r"studs stay|steering shaft"):
            execute(Car("RHD"), self.steps("upper-arms"), front_end())
