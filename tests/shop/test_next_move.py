"""The next move gathered from the targets, and what has to be read before there is one."""

import pytest

from server.shop.next_move import next_move
from server.store.tables import Target
from tests.shop.bench_top import aimed, evidence

GEOMETRY = {"corner.steer": "behind", "corner.shaft-at": "inboard"}
SHEET = GEOMETRY | {
    "camber": "0.5°",
    "caster": "1°",
    "toe.total": "1/16 in toe-in",
    "tie-rod.pitch": "1.411 mm",
}
PACKS = {(f"pack.{end}", place): "1/4 in" for end in ("front", "rear") for place in ("LF", "RF")}
TAPE = {
    ("toe.tape-front", "car"): "58 1/16 in",
    ("toe.tape-rear", "car"): "58 1/8 in",
    ("toe.tape-diameter", "car"): "26 in",
}
STRAIGHT = {
    (key, place): text for place in ("LF", "RF") for key, text in (("camber", "0.5°"), ("caster", "1°"))
}


def moved(later, *, down=PACKS, sheet=SHEET):
    """The next move of a car that reads so on the floor."""
    given = evidence(down=down, later=later, sheet=sheet, drawer={"1/32 in": 9, "1/16 in": 9})
    targets = {
        at: Target(job_id=1, key=at[0], place=at[1], says=aim.says) for at, aim in aimed(given).items()
    }
    return next_move(given, targets)


def left(move):
    return next(side for side in move.sides if side.place == "LF")


def test_nothing_read_asks_for_everything_in_the_order_it_is_read():
    move = moved({}, down={})

    assert (move.is_there, move.stage) == (False, "read")
    assert left(move).missing == (
        "Read its camber.",
        "Read its caster, by gauge or by sweep.",
        "Measure the front pack that is in; 0 if there is none.",
        "Measure the rear pack that is in; 0 if there is none.",
        "Read toe, by tape or by gauge: without it the sleeve has no move.",
    )


@pytest.mark.parametrize(
    ("read", "missing"),
    [
        (("camber.turned-out", "camber.turned-in"), False),
        (("camber.turned-out",), True),
        (("caster",), False),
    ],
)
def test_half_a_sweep_is_no_caster(read, missing):
    said = left(moved({(key, "LF"): "1°" for key in read})).missing

    assert ("Read its caster, by gauge or by sweep." in said) == missing


def test_toe_by_gauge_is_enough_for_that_wheel_alone():
    move = moved({("toe.wheel", "LF"): "0.1°"})

    assert not any("toe" in one for one in left(move).missing)
    assert any("toe" in one for one in move.sides[1].missing)


def test_packs_come_before_sleeves():
    move = moved(STRAIGHT | TAPE | {("camber", "LF"): "-0.75°"})

    assert move.stage == "packs"
    assert left(move).changes_packs
    assert left(move).missing == ()


def test_with_the_packs_right_toe_is_next():
    move = moved(STRAIGHT | TAPE | {("toe.tape-rear", "car"): "58 1/2 in"})

    assert move.stage == "toe"
    assert left(move).turns_sleeve
    assert not left(move).knows_thread


def test_when_all_is_right_nothing_is_left_to_do():
    move = moved(STRAIGHT | TAPE)

    assert move.stage == "done"
    assert move.likely.main.startswith("Angles near enough for the drive to the rack")


def test_what_falls_short_is_told_apart_from_the_figure():
    camber = dict(left(moved(STRAIGHT | TAPE | {("camber", "LF"): "-4°"})).expected)["camber"]

    assert camber.main.startswith("Camber then: ")
    assert camber.more.startswith("That is ")


def test_a_target_that_was_taken_back_is_no_move():
    given = evidence(down=PACKS, later=STRAIGHT)
    gone = Target(
        job_id=1,
        key="pre-alignment.front",
        place="LF",
        says="What this rested on was corrected; it does not come out any more.",
    )

    assert not next_move(given, {("pre-alignment.front", "LF"): gone}).is_there


def test_the_sheets_missing_lines_are_named():
    said = moved({("steering-wheel.off", "car"): "6°"}, sheet=GEOMETRY).missing

    assert [one.partition(":")[0] for one in said] == [
        "The spec sheet has neither camber nor caster nor toe to aim at.",
        "The spec sheet has no thread pitch of the tie rods",
        "The spec sheet has no steering ratio",
    ]


def test_the_model_names_where_shaft_and_rods_lie():
    assert "The shaft sits inboard of its bracket, the tie rods behind the axle" in moved({}).model
    assert "shaft sits" not in moved({}, sheet={}).model
