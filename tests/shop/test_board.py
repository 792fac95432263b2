from datetime import timedelta

import pytest

from server.shop.bay import add_bay
from server.shop.board import board, phase
from server.shop.job import open_jobs
from server.store.tables import Job, Step
from tests.shop.conftest import NOW, library, take_in


def rows(here):
    return board(here.db, here.job.shop_id, library())


def the_car(here):
    return next(row.car for row in rows(here) if row.car)


def test_every_bay_has_a_row_in_order_and_cars_in_no_bay_come_after(store, crew):
    with store.writing() as db:
        add_bay(db, shop_id=crew.shop.id, name="Pit")
    outside = take_in(store, crew, scopes=["shocks"])
    inside = take_in(store, crew, scopes=["shocks"], plate="ZZ 9")
    with store.writing() as db:
        db.get_one(Job, inside.id).bay_id = crew.bay.id

    with store.reading() as db:
        seen = board(db, crew.shop.id, library())

    assert [(row.bay.name if row.bay else None, row.car.job.id if row.car else None) for row in seen] == [
        ("Bay 1", inside.id),
        ("Pit", None),
        (None, outside.id),
    ]


def test_a_released_car_leaves_the_board(store, crew):
    job = take_in(store, crew, scopes=["shocks"])
    with store.writing() as db:
        db.get_one(Job, job.id).released_at = NOW

    with store.reading() as db:
        assert open_jobs(db, crew.shop.id) == []
        assert [row.car for row in board(db, crew.shop.id, library())] == [None]


def test_who_is_on_which_step_now(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    here.start(step, by=here.crew.second)

    [one] = the_car(here).at_work

    assert (one.step.id, one.name, one.by) == (step.id, here.front_end.operation("tie-rod").name, "Nadia")


def test_what_can_be_started_now_is_named_in_planned_order(at):
    ready = the_car(at("tie-rod", "down")).ready

    seqs = [one.step.seq for one in ready]
    assert seqs == sorted(seqs)
    assert "tie-rod" in {one.step.operation for one in ready}
    assert {one.step.state for one in ready} == {"to do"}


def test_live_hazards_come_with_their_car_what_can_kill_first(at):
    here = at("compressor", "up")

    kinds = [one.kind.id for one in the_car(here).hazards]

    assert kinds[0] == "spring-compressed"
    assert "car-raised" in kinds


@pytest.mark.parametrize(
    ("states", "word"),
    [
        (("to do", "to do", "to do", "to do"), "Strip"),
        (("done", "in hand", "to do", "to do"), "Bench"),
        (("done", "not needed", "on hold", "to do"), "Refit"),
        (("done", "done", "done", "to do"), "Checks"),
        (("done", "done", "done", "done"), "Done"),
    ],
)
def test_a_phase_is_the_direction_of_the_first_step_not_done(states, word):
    steps = [
        Step(job_id=1, seq=seq, operation="x", place="LF", direction=direction, after=[], state=state)
        for seq, (direction, state) in enumerate(zip(("down", "bench", "up", "after"), states, strict=True))
    ]

    assert phase(Job(released_at=None), steps) == word
    assert phase(Job(released_at=NOW + timedelta(1)), steps) == "Released"
