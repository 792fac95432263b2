from datetime import timedelta

import pytest

from server.shop.hazard import LiveHazard, begin, end, live_hazards, make_safe, say_energy
from server.shop.refusal import Refusal
from server.shop.step import steps_of
from server.store.tables import Hazard
from tests.shop.conftest import NOW, library


def live(here):
    return live_hazards(here.db, [here.job.id], front_ends=library())


def test_a_hazard_begins_when_its_step_is_started_not_when_it_is_done(at):
    here = at("joint-nuts", "down")

    here.start(here.step("joint-nuts", "down"))

    assert "spring-held-by-nuts" in here.hazard_kinds()


def test_a_hazard_ends_only_when_the_step_that_ends_it_is_done(at):
    here = at("caliper", "up")
    caliper = here.step("caliper", "up")
    before = here.hazard_kinds()

    here.start(caliper)

    assert "caliper-hanging" in before
    assert "caliper-hanging" in here.hazard_kinds()


def test_what_can_kill_now_comes_before_what_stands_longer(at):
    here = at("compressor", "up")
    here.start(here.step("compressor", "up"))

    found = live(here)

    assert [one.kind.acute for one in found] == sorted((one.kind.acute for one in found), reverse=True)
    assert found[0].kind.id == "spring-compressed"
    assert {one.kind.id for one in found} >= {"car-raised"}


def test_a_hazard_begun_twice_stands_once(at):
    here = at("compressor", "up")
    step = here.step("compressor", "up")

    begin(here.db, step, ["spring-compressed"], by=here.crew.technician, now=here.now)
    begin(here.db, step, ["spring-compressed"], by=here.crew.technician, now=here.now)

    assert [one.kind for one in here.hazards()].count("spring-compressed") == 1


def test_ending_what_does_not_stand_changes_nothing(at):
    here = at("tie-rod", "down")
    before = here.hazard_kinds()

    end(here.db, here.step("tie-rod", "down"), ["spring-compressed"], by=here.crew.technician, now=here.now)

    assert here.hazard_kinds() == before


@pytest.mark.parametrize(
    ("later", "age"), [(timedelta(hours=2), timedelta(hours=2)), (-timedelta(1), timedelta())]
)
def test_an_age_is_never_negative_even_when_the_clock_was_set_back(later, age):
    hazard = Hazard(job_id=1, kind="car-raised", place="car", began_at=NOW, began_by=1, began_step_id=1)
    kind = library()["coil-on-lower-arm"].hazard("car-raised")

    assert LiveHazard(hazard, kind, "Tom").age(NOW + later) == age


def test_energy_is_said_of_the_hazard_that_stands_there(at):
    here = at("compressor", "up")

    say_energy(here.db, job_id=here.job.id, place="LF", kind="spring-compressed", energy_J=540.0)

    energies = {one.kind.id: one.hazard.energy_J for one in live(here)}
    assert energies["spring-compressed"] == 540.0
    assert energies["car-raised"] is None


def test_saying_how_it_is_kept_safe_does_not_end_a_hazard(at):
    here = at("tie-rod", "down")
    raised = next(one for one in here.hazards() if one.kind == "car-raised")

    make_safe(raised, how="  on four stands,  key taken out ", by=here.crew.technician)

    assert (raised.made_safe, raised.made_safe_by) == (
        "on four stands, key taken out",
        here.crew.technician.id,
    )
    assert raised in here.hazards()


@pytest.mark.parametrize("how", ["", "  ", "\u200b", "x" * 201])
def test_how_it_is_kept_safe_is_said_in_words_one_can_read(at, how):
    here = at("tie-rod", "down")
    raised = next(one for one in here.hazards() if one.kind == "car-raised")

    with pytest.raises(Refusal) as refused:
        make_safe(raised, how=how, by=here.crew.technician)

    assert refused.value.field == f"made_safe-{raised.id}"


def test_a_hazard_that_stands_twice_after_a_reopening_is_ended_as_one(at):
    here = at("joint-nuts", "up")
    down, compress = here.step("spring", "down"), here.step("compress", "up")
    for one in reversed([one for one in steps_of(here.db, here.job.id) if one.seq > down.seq]):
        if one.state == "done":
            here.reopen(one)
    assert compress.state == "to do"
    here.reopen(down)
    assert [one.kind for one in here.hazards()].count("spring-compressed") == 2

    end(here.db, down, ["spring-compressed"], by=here.crew.technician, now=here.now)

    assert "spring-compressed" not in here.hazard_kinds()
