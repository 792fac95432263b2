from datetime import timedelta

import pytest

from server.shop.job import lay_out
from server.shop.plan import parts
from server.shop.refusal import Refusal
from server.shop.step import steps_of
from tests.shop.conftest import library, take_in

FRONT_END = library()["coil-on-lower-arm"]


def test_the_plan_shown_before_is_the_job_that_is_opened(store, crew):
    job = take_in(store, crew, scopes=["springs"], sides="left", drive="RHD")
    with store.reading() as db:
        opened = [(step.seq, FRONT_END.operation(step.operation).name) for step in steps_of(db, job.id)]

    shown = parts(lay_out(FRONT_END, scopes=["springs"], sides="left", drive="RHD"), FRONT_END)

    assert [(rung.seq, rung.name) for part in shown for rung in part.rungs] == opened


def test_a_part_takes_as_long_as_its_steps():
    shown = parts(lay_out(FRONT_END, scopes=["shocks"], sides="both", drive="LHD"), FRONT_END)

    assert [part.name for part in shown] == ["Strip", "Bench", "Refit", "After"]
    for part in shown:
        assert part.time == sum((rung.time for rung in part.rungs), timedelta())
        assert all(rung.time > timedelta() for rung in part.rungs)


def test_the_strip_is_timed_by_the_way_down_and_the_refit_by_the_way_up():
    shown = parts(lay_out(FRONT_END, scopes=["shocks"], sides="left", drive="LHD"), FRONT_END)
    times = {(part.name, rung.name): rung.time for part in shown for rung in part.rungs}

    shock = FRONT_END.operation("shock")

    assert times["Strip", shock.name] == timedelta(minutes=shock.minutes_down)
    assert times["Refit", shock.name] == timedelta(minutes=shock.minutes_up)


@pytest.mark.parametrize(
    ("field", "chosen"),
    [
        ("scopes", {"scopes": []}),
        ("scopes", {"scopes": ["wings"]}),
        ("sides", {"sides": ""}),
        ("sides", {"sides": "top"}),
        ("drive", {"drive": ""}),
    ],
)
def test_what_is_not_chosen_is_asked_for_beside_its_field(field, chosen):
    with pytest.raises(Refusal) as refused:
        lay_out(FRONT_END, **({"scopes": ["shocks"], "sides": "both", "drive": "LHD"} | chosen))

    assert refused.value.field == field
