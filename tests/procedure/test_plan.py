"""Scope in, order out."""

import pytest

from server.procedure.load import front_ends, parse
from server.procedure.model import FrontEnd
from server.procedure.plan import Plan, PlanError, plan, ready, waits_for
from tests.procedure.small import SMALL


@pytest.fixture(scope="module")
def front_end() -> FrontEnd:
    return front_ends()["coil-on-lower-arm"]


@pytest.fixture(scope="module")
def everything(front_end: FrontEnd) -> Plan:
    return plan(front_end, ["everything"], sides="both", drive="LHD")


def strip(found: Plan) -> list[tuple[str, str]]:
    return [(step.operation, step.place) for step in found.steps if step.direction == "down"]


def order(found: Plan, *steps: tuple[str, str], place: str = "LF") -> list[int]:
    at: dict[tuple[str, str, str], int] = {
        (step.operation, step.direction, step.place): step.seq for step in found.steps
    }
    return [at.get((*step, place)) or at[*step, "car"] for step in steps]


def test_shocks_come_out_with_the_wheels_on(front_end: FrontEnd) -> None:
    found = plan(front_end, ["shocks"], sides="left", drive="LHD")

    assert strip(found) == [("intake", "car"), ("support", "car"), ("shock", "LF")]


def test_the_bar_comes_off_with_the_wheels_on_and_both_links_off(front_end: FrontEnd) -> None:
    found = plan(front_end, ["bar"], sides="left", drive="LHD")

    assert strip(found)[2:] == [("bar-link", "LF"), ("bar-link", "RF"), ("bar", "centre")]


def test_one_spring_takes_only_the_link_of_its_side(front_end: FrontEnd) -> None:
    found = strip(plan(front_end, ["springs"], sides="right", drive="LHD"))

    assert ("bar-link", "RF") in found
    assert all(place != "LF" and operation != "bar" for operation, place in found)


def test_a_bump_stop_takes_the_wheel(front_end: FrontEnd) -> None:
    found = strip(plan(front_end, ["bump-stops"], sides="left", drive="LHD"))

    assert found == [
        ("intake", "car"),
        ("wheel-nuts", "LF"),
        ("support", "car"),
        ("wheel", "LF"),
        ("bump-stop", "LF"),
    ]


@pytest.mark.parametrize(("drive", "shaft"), [("LHD", "LF"), ("RHD", "RF")])
def test_studs_come_out_only_where_the_steering_shaft_is(front_end: FrontEnd, drive: str, shaft: str) -> None:
    found = plan(front_end, ["upper-arms"], sides="both", drive=drive)  # type: ignore[arg-type]

    assert {step.place for step in found.steps if step.operation == "studs"} == {shaft}


@pytest.mark.parametrize(
    "steps",
    [
        [("joint-nuts", "up"), ("compressor", "up"), ("shock", "up")],
        [("upper-arm", "up"), ("studs", "up"), ("shims", "up")],
        [("lower-arm", "up"), ("compress", "up"), ("spring", "up"), ("knuckle", "up")],
        [("preset", "bench"), ("tie-rod", "up")],
        [
            ("wheel", "up"),
            ("support", "up"),
            ("wheel-nuts", "up"),
            ("settle", "up"),
            ("lower-pivots-final", "up"),
        ],
        [
            ("settle", "up"),
            ("upper-bushings-final", "up"),
            ("ride-height", "after"),
            ("pre-alignment", "after"),
        ],
        [
            ("pre-alignment", "after"),
            ("sleeve-clamps", "after"),
            ("road-test", "after"),
            ("retorque", "after"),
        ],
        [("wheel-nuts", "down"), ("support", "down"), ("wheel", "down")],
        [("joint-cotters", "down"), ("caliper", "down"), ("joint-nuts", "down")],
    ],
    ids=lambda steps: ", ".join(name for name, _ in steps),
)
def test_the_order_keeps_the_trade_s_exceptions(everything: Plan, steps: list[tuple[str, str]]) -> None:
    found = order(everything, *steps)

    assert found == sorted(found)


def test_a_pressed_spring_is_free_again_four_steps_later(everything: Plan) -> None:
    pressed, free = order(everything, ("compress", "up"), ("compressor", "up"))

    assert free - pressed == 4


def test_only_one_corner_is_under_a_loaded_spring_at_a_time(everything: Plan) -> None:
    runs = "".join(step.place[0] if step.acute else " " for step in everything.steps).split()

    assert runs == ["LLLL", "RRRR", "LLLLL", "RRRRR"]


def test_a_strip_that_disturbs_no_alignment_asks_for_none(front_end: FrontEnd) -> None:
    found = plan(front_end, ["bar", "shocks", "bump-stops"], sides="both", drive="LHD")

    assert "pre-alignment" not in {step.operation for step in found.steps}


def test_scopes_together_take_no_step_twice(front_end: FrontEnd) -> None:
    found = plan(front_end, ["springs", "shocks", "springs"], sides="both", drive="LHD")

    assert found.scopes == ("springs", "shocks")
    assert len(set(strip(found))) == len(strip(found))
    assert strip(found) == strip(plan(front_end, ["springs"], sides="both", drive="LHD"))


def test_steps_are_numbered_from_one(everything: Plan) -> None:
    assert [step.seq for step in everything.steps] == list(range(1, len(everything.steps) + 1))


def test_an_unknown_scope_is_refused(front_end: FrontEnd) -> None:
    with pytest.raises(KeyError, match="engine"):
        plan(front_end, ["engine"], sides="both", drive="LHD")


def test_no_scope_is_refused(front_end: FrontEnd) -> None:
    with pytest.raises(PlanError, match="no scope is chosen"):
        plan(front_end, [], sides="both", drive="LHD")


def test_a_stuck_plan_names_the_operation_and_the_missing_fact() -> None:
    small = parse(SMALL, file="small.yaml")
    support, wheel = small.operations
    assert support.up is not None
    never = support.up.model_copy(update={"needs": {"each.wheel": "off"}})
    stuck = small.model_copy(update={"operations": (support.model_copy(update={"up": never}), wheel)})

    with pytest.raises(
        PlanError, match=r"support at car: stuck, lacking LF.wheel = off, RF.wheel = off"
    ) as refused:
        plan(stuck, ["wheels"], sides="both", drive="LHD")
    assert refused.value.operation == "support"


def test_at_first_only_the_intake_is_ready(everything: Plan) -> None:
    assert ready(everything, set()) == {1}


def test_two_people_can_work_two_corners(front_end: FrontEnd) -> None:
    found = plan(front_end, ["springs"], sides="both", drive="LHD")
    left, right = order(found, ("caliper", "down"))[0], order(found, ("caliper", "down"), place="RF")[0]

    assert {left, right} <= ready(found, set(range(1, left)))


def test_a_corner_is_not_worked_on_beside_its_loaded_spring(everything: Plan) -> None:
    nuts, stop = order(everything, ("joint-nuts", "down"), ("bump-stop", "down"))

    assert stop not in ready(everything, set(range(1, nuts + 1)))


def test_the_car_is_lowered_after_everything_that_needs_it_raised(everything: Plan) -> None:
    (lowered,) = order(everything, ("support", "up"))

    assert waits_for(everything)[lowered] >= {
        step.seq
        for step in everything.steps
        if step.seq < lowered
        and step.place in ("LF", "RF")
        and step.direction == "up"
        and step.operation != "compress"
    }
