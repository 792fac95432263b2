from datetime import UTC

import pytest

from server.shop.refusal import Forbidden, Refusal
from server.shop.release import NotReleasable, loose_ends, release
from server.shop.torque_record import Pull, correct
from server.store.tables import Job
from tests.shop.conftest import library, take_in, walk


def whole_job(store, photos, crew, **asked):
    opened = take_in(store, crew, **asked)
    walked = walk(store, photos, opened)
    walked.until(lambda step: step.operation == "release", by=crew.technician, second=crew.second)
    return walked


@pytest.mark.parametrize("scopes", [["everything"], ["tie-rods"], ["shocks", "bar"]])
def test_a_job_walked_to_its_end_leaves_no_loose_end_and_is_released(store, photos, crew, scopes):
    walked = whole_job(store, photos, crew, scopes=scopes)

    with store.writing() as db:
        job = db.get_one(Job, walked.job_id)
        assert loose_ends(db, job, library()) == []
        release(db, job, library(), by=crew.second, now=walked.now)

    with store.reading() as db:
        job = db.get_one(Job, walked.job_id)
        assert job.released_by == crew.second.id
        assert job.released_at.tzinfo is UTC


def test_an_apprentice_releases_nothing(store, photos, crew):
    walked = whole_job(store, photos, crew, scopes=["shocks"])

    with pytest.raises(Forbidden), store.writing() as db:
        release(db, db.get_one(Job, walked.job_id), library(), by=crew.apprentice, now=walked.now)


def test_a_car_half_way_up_is_not_released_and_every_loose_end_is_a_link(store, photos, crew):
    opened = take_in(store, crew, scopes=["everything"])
    walked = walk(store, photos, opened)
    walked.until(lambda step: step.direction == "up", by=crew.technician, second=crew.second)

    with pytest.raises(NotReleasable) as refused, store.writing() as db:
        release(db, db.get_one(Job, opened.id), library(), by=crew.foreman, now=walked.now)

    kinds = {end.kind for end in refused.value.ends}
    assert {"hazard", "step", "tag"} <= kinds
    assert all(end.href.startswith(("/steps/", "/jobs/")) for end in refused.value.ends)


def test_a_torque_nobody_verified_is_a_loose_end(store, photos, crew):
    opened = take_in(store, crew, scopes=["tie-rods"], sides="left")
    walked = walk(store, photos, opened)
    walked.until(
        lambda step: step.operation == "release", by=crew.technician, second=crew.second, unverified=True
    )

    with store.reading() as db:
        ends = loose_ends(db, db.get_one(Job, opened.id), library())

    assert {end.kind for end in ends} == {"torque"}
    assert any("tie-rod" in end.sentence for end in ends)


def test_a_released_job_is_not_released_again(store, photos, crew):
    walked = whole_job(store, photos, crew, scopes=["shocks"])
    with store.writing() as db:
        release(db, db.get_one(Job, walked.job_id), library(), by=crew.foreman, now=walked.now)

    with pytest.raises(Refusal), store.writing() as db:
        release(db, db.get_one(Job, walked.job_id), library(), by=crew.foreman, now=walked.now)


def test_what_waits_for_a_foreman_is_a_loose_end_also_of_a_step_that_is_done(at):
    here = at("settle", "up")
    nuts = here.step("wheel-nuts", "up")
    pending = here.tightening(nuts, "wheel-nut")
    before = pending.recorded[-1].record
    said = Pull("90 lbf·ft", confirmed=True)
    correct(here.db, nuts, pending, before, here.hand(), said, reason="read the wrong scale")

    holds = [one for one in loose_ends(here.db, here.job, library()) if one.kind == "hold"]

    assert [one.href for one in holds] == [f"/steps/{nuts.id}#holds"]
    assert "pulled outside its window" in holds[0].sentence
