from server.shop.ladder import ladders
from server.shop.step import steps_of
from server.store.tables import Step
from tests.shop.conftest import library, take_in

FRONT_END = library()["coil-on-lower-arm"]


def steps(*rows):
    """(operation, place, direction, state), in their planned order."""
    return [
        Step(
            id=seq,
            job_id=1,
            seq=seq,
            operation=operation,
            place=place,
            direction=direction,
            after=[],
            state=state,
        )
        for seq, (operation, place, direction, state) in enumerate(rows, start=1)
    ]


def test_a_rung_shows_its_way_down_and_its_way_up_side_by_side():
    down, up = found = steps(("tie-rod", "LF", "down", "done"), ("tie-rod", "LF", "up", "to do"))

    [ladder] = ladders(found, FRONT_END)

    assert (ladder.place, ladder.name) == ("LF", "Left front")
    [rung] = ladder.rungs
    assert (rung.down, rung.up) == (down, up)


def test_what_has_no_way_down_stands_above_and_last_to_be_climbed_on_top():
    found = steps(
        ("tie-rod", "LF", "down", "done"),
        ("preset", "LF", "bench", "to do"),
        ("tie-rod", "LF", "up", "to do"),
        ("sleeve-clamps", "LF", "after", "to do"),
    )

    [ladder] = ladders(found, FRONT_END)

    assert [(rung.down is not None, rung.up.seq) for rung in ladder.rungs] == [
        (False, 4),
        (False, 2),
        (True, 3),
    ]


def test_rungs_the_scope_does_not_touch_are_not_there(store, crew):
    job = take_in(store, crew, scopes=["tie-rods"], sides="left")
    with store.reading() as db:
        found = ladders(steps_of(db, job.id), FRONT_END)

    names = {ladder.place: {rung.name for rung in ladder.rungs} for ladder in found}
    assert "centre" not in names
    assert FRONT_END.operation("tie-rod").name in names["LF"]
    assert FRONT_END.operation("tie-rod").name not in names["RF"]
    assert FRONT_END.operation("lower-arm").name not in names["LF"]


def test_every_step_of_a_job_stands_on_exactly_one_rung(store, crew):
    job = take_in(store, crew, scopes=["everything"])
    with store.reading() as db:
        planned = steps_of(db, job.id)

    stood = [step.seq for ladder in ladders(planned, FRONT_END) for step in ladder.steps]

    assert sorted(stood) == [step.seq for step in planned]


def test_how_far_each_way_counts_what_is_done_or_not_needed():
    found = steps(
        ("wheel", "LF", "down", "done"),
        ("tie-rod", "LF", "down", "not needed"),
        ("caliper", "LF", "down", "in hand"),
        ("caliper", "LF", "up", "to do"),
        ("tie-rod", "LF", "up", "done"),
    )

    [ladder] = ladders(found, FRONT_END)

    assert ladder.done("down") == (2, 3)
    assert ladder.done("up") == (1, 2)
