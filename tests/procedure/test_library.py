"""What the front end with the coil spring on its lower arm says, against common practice of the trade."""

import re
from collections.abc import Iterator

import pytest

from server.procedure.load import LIBRARY, front_ends
from server.procedure.model import FrontEnd, Move, Operation, Wanted
from server.procedure.plan import plan
from tests.procedure.fastener_book import FastenerBook


@pytest.fixture(scope="module")
def front_end() -> FrontEnd:
    return front_ends()["coil-on-lower-arm"]


def moves(front_end: FrontEnd) -> Iterator[tuple[Operation, str, Move]]:
    for operation in front_end.operations:
        for direction, move in (("down", operation.down), ("up", operation.up)):
            if move is not None:
                yield operation, direction, move


def down(front_end: FrontEnd, operation: str) -> Move:
    move = front_end.operation(operation).down
    assert move is not None
    return move


def up(front_end: FrontEnd, operation: str) -> Move:
    move = front_end.operation(operation).up
    assert move is not None
    return move


def wanted(move: Move) -> dict[str, Wanted]:
    return {capture.id: capture for capture in move.captures}


@pytest.mark.parametrize("drive", ["LHD", "RHD"])
@pytest.mark.parametrize("sides", ["left", "right", "both"])
def test_every_fastener_that_is_touched_ends_tight_in_its_own_condition(
    front_end: FrontEnd, sides: str, drive: str
) -> None:
    for scope in front_end.scopes:
        book = FastenerBook(front_end)
        for step in plan(front_end, [scope.id], sides=sides, drive=drive).steps:  # type: ignore[arg-type]
            operation = front_end.operation(step.operation)
            move = operation.down if step.direction == "down" else operation.up
            assert move is not None
            book.write(step, move)
        assert book.open_ends() == []


def test_everything_that_is_named_is_used(front_end: FrontEnd) -> None:
    used = {act.fastener for _, _, move in moves(front_end) for act in move.fasteners}
    taken = {part for operation in front_end.operations for part in operation.parts}
    begun = {hazard for _, _, move in moves(front_end) for hazard in move.hazards_begin}
    ended = {hazard for _, _, move in moves(front_end) for hazard in move.hazards_end}

    assert used == {fastener.id for fastener in front_end.fasteners}
    assert taken == {part.id for part in front_end.parts}
    assert begun == ended == {hazard.id for hazard in front_end.hazards}


def test_parts_that_need_a_decision_wait_for_it(front_end: FrontEnd) -> None:
    for operation in front_end.operations:
        if any(front_end.part(part).decide for part in operation.parts):
            assert down(front_end, operation.id).makes["parts"] == "waiting", operation.id
            assert up(front_end, operation.id).needs["parts"] == "decided", operation.id


def test_four_cotters_a_side_are_pulled_early(front_end: FrontEnd) -> None:
    pulled = [
        (operation.id, act.fastener)
        for operation, _, move in moves(front_end)
        for act in move.fasteners
        if act.act == "uncotter"
    ]

    assert len(pulled) == 4
    assert {operation for operation, _ in pulled} == {"steering-cotters", "joint-cotters"}


def test_a_car_has_four_shim_packs_each_measured_tagged_and_photographed(front_end: FrontEnd) -> None:
    shims = front_end.operation("shims")

    assert shims.place == "corner"
    assert shims.parts == ("pack.front", "pack.rear")
    assert all(front_end.part(part).tag for part in shims.parts)
    assert {"pack.front", "pack.rear", "pack.front.photo", "pack.rear.photo"} <= set(
        wanted(down(front_end, "shims"))
    )


@pytest.mark.parametrize(
    ("operation", "words"),
    [
        ("joint-nuts", "one turn"),
        ("lower-pivots", "a few turns"),
        ("knuckle", "quarter inch"),
        ("compressor", "until the spring is just loose"),
        ("shims", "each shim pack in one piece"),
        ("studs", "its nut, drive it in through the frame"),
    ],
)
def test_the_figures_of_the_trade_stand_in_the_sentence(
    front_end: FrontEnd, operation: str, words: str
) -> None:
    assert words in down(front_end, operation).sentence


def test_the_old_tie_rod_is_kept_until_the_new_one_is_set_from_it(front_end: FrontEnd) -> None:
    assert front_end.part("tie-rod").keep_until == "preset"
    assert up(front_end, "tie-rod").needs["preset"] == "recorded"


@pytest.mark.parametrize("capture", ["tie-rod.length", "pack.front", "pack.rear", "spring.compressed-length"])
def test_what_is_measured_going_down_is_measured_again_for_the_way_back(
    front_end: FrontEnd, capture: str
) -> None:
    asked = [
        (operation.id, direction)
        for operation, direction, move in moves(front_end)
        if capture in wanted(move)
    ]

    assert [direction for operation, direction in asked if operation != "pre-alignment"] == ["down", "up"]


@pytest.mark.parametrize(
    "capture", ["ride-height", "ride-height.frame", "camber", "caster", "toe.tape-front"]
)
def test_the_stance_of_the_car_is_read_before_and_after(front_end: FrontEnd, capture: str) -> None:
    asked = [operation.id for operation, _, move in moves(front_end) if capture in wanted(move)]

    assert asked[0] == "intake"
    assert asked[-1] in ("ride-height", "pre-alignment")


@pytest.mark.parametrize("direction", ["down", "up"])
def test_the_supports_and_the_compressor_warn_both_ways(front_end: FrontEnd, direction: str) -> None:
    for operation in ("support", "joint-nuts", "compressor", "knuckle", "spring"):
        move = getattr(front_end.operation(operation), direction)
        assert any(caution.signal == "danger" for caution in move.cautions), operation


def test_pressing_a_spring_and_loosening_its_arm_are_a_danger(front_end: FrontEnd) -> None:
    for move in (up(front_end, "compress"), down(front_end, "lower-pivots"), up(front_end, "shock")):
        assert any(caution.signal == "danger" for caution in move.cautions)


def test_nobody_goes_under_before_the_supports_are_confirmed(front_end: FrontEnd) -> None:
    assert down(front_end, "support").hold is not None
    assert down(front_end, "support").hold_at == "end"


def test_the_compressor_is_slackened_only_after_its_hold(front_end: FrontEnd) -> None:
    assert up(front_end, "compressor").hold is not None
    assert up(front_end, "compressor").hold_at == "start"


def test_steering_brake_wheel_and_spring_fasteners_need_a_second_person(front_end: FrontEnd) -> None:
    relaxed = {fastener.id for fastener in front_end.fasteners if not fastener.safety}

    assert relaxed == {"link-nut", "bar-bracket-bolt", "shock-top-nut", "shock-bottom-bolt", "bump-stop-nut"}


def test_rubber_is_tightened_at_ride_height(front_end: FrontEnd) -> None:
    late = {fastener.id for fastener in front_end.fasteners if fastener.final_at == "ride_height"}

    assert late == {"link-nut", "bar-bracket-bolt", "lower-pivot-bolt", "shaft-end-nut"}


def test_no_cotter_is_ever_reused(front_end: FrontEnd) -> None:
    for fastener in front_end.fasteners:
        if fastener.cotter:
            assert "Never reuse the cotter" in fastener.reuse


def test_the_maker_s_manual_goes_first(front_end: FrontEnd) -> None:
    assert any("maker's manual" in caution.text for caution in front_end.cautions)


def test_torque_values_are_left_to_the_vehicle(front_end: FrontEnd) -> None:
    text = (LIBRARY / f"{front_end.id}.yaml").read_text(encoding="utf-8")

    assert not re.search(r"\d\s*(N·m|Nm|lbf|lb-ft|ft-lb)", text)
