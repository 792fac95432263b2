from datetime import timedelta

import pytest
from sqlmodel import select

from server.shop import job as rule
from server.shop.hazard import live_hazards
from server.shop.job import Dangerous, find_job, move, open_job, park, released_jobs, take_up
from server.shop.refusal import Missing, Refusal
from server.shop.step import steps_of
from server.store.tables import Bay, Job, Step, Vehicle
from tests.shop.conftest import NOW, library, take_in

FRONT_END = library()["coil-on-lower-arm"]


def open_again(db, job, crew, **asked):
    asked = {"bay": None, "scopes": ["shocks"], "sides": "both"} | asked
    vehicle = db.get_one(Vehicle, job.vehicle_id)
    return open_job(db, vehicle, front_end=FRONT_END, by=crew.technician, now=NOW, **asked)


@pytest.fixture
def opened(store, crew):
    """A job on the shocks, in no bay, nothing begun."""
    return take_in(store, crew, scopes=["shocks"])


def test_opening_a_job_lays_out_its_ladder_with_nothing_begun(store, opened):
    with store.reading() as db:
        steps = steps_of(db, opened.id)

    assert [step.seq for step in steps] == list(range(1, len(steps) + 1))
    assert {step.state for step in steps} == {"to do"}
    assert steps[0].operation == "intake"
    assert steps[-1].operation == "release"


def test_a_car_that_is_here_is_not_taken_in_twice(store, crew, opened):
    with pytest.raises(Refusal) as refused, store.writing() as db:
        open_again(db, opened, crew)

    assert refused.value.field == "plate"
    with store.reading() as db:
        assert len(db.exec(select(Job)).all()) == 1


def test_a_bay_holds_one_car(store, crew, opened):
    with store.writing() as db:
        db.get_one(Job, opened.id).bay_id = crew.bay.id
    other = take_in(store, crew, scopes=["shocks"], plate="ZZ 9")

    with pytest.raises(Refusal) as refused, store.writing() as db:
        move(db, db.get_one(Job, other.id), crew.bay, front_ends=library())

    assert (refused.value.field, refused.value.sentence) == ("bay", "Bay 1 has a car in it.")


def test_a_bay_is_free_again_once_its_car_has_been_released(store, crew, opened):
    with store.writing() as db:
        job = db.get_one(Job, opened.id)
        job.bay_id, job.released_at = crew.bay.id, NOW
    other = take_in(store, crew, scopes=["shocks"], plate="ZZ 9")

    with store.writing() as db:
        move(db, db.get_one(Job, other.id), crew.bay, front_ends=library())

    with store.reading() as db:
        assert db.get_one(Job, other.id).bay_id == crew.bay.id


def test_a_job_of_another_shop_is_missing(store, crew, opened):
    with store.reading() as db, pytest.raises(Missing):
        find_job(db, opened.id, shop_id=crew.shop.id + 1)


def hold_still(here, why="waits for joints", made_safe=None):
    """Park the job, by default with something said of every hazard."""
    said = {one.id: "on four stands" for one in here.hazards()} if made_safe is None else made_safe
    park(
        here.db,
        here.job,
        why=why,
        made_safe=said,
        front_ends=library(),
        by=here.crew.technician,
        now=here.now,
    )


def test_nobody_parks_past_an_acute_hazard_whatever_they_say_of_it(at):
    here = at("compressor", "up")

    with pytest.raises(Dangerous) as refused:
        hold_still(here)

    assert "spring compressed" in refused.value.sentence
    assert {one.kind.id for one in refused.value.hazards} == {"spring-compressed"}
    assert here.job.parked_at is None


def test_a_hazard_that_may_stand_does_so_only_with_how_it_is_kept_safe(at):
    here = at("tie-rod", "down")
    raised = next(one for one in here.hazards() if one.kind == "car-raised")

    with pytest.raises(Refusal) as refused:
        hold_still(here, made_safe={})

    assert refused.value.field == f"made_safe-{raised.id}"
    assert here.job.parked_at is None


def test_a_parked_car_keeps_its_hazards_who_parked_it_and_why(at):
    here = at("tie-rod", "down")

    hold_still(here, why="  waits for   tie rods ")

    assert (here.job.parked_why, here.job.parked_by) == ("waits for tie rods", here.crew.technician.id)
    live = live_hazards(here.db, [here.job.id], front_ends=library())
    assert [one.hazard.made_safe for one in live] == ["on four stands"] * len(live)
    assert "car-raised" in {one.kind.id for one in live}


@pytest.mark.parametrize("why", ["", "   ", "\u200b", "x" * 201])
def test_parking_says_what_it_waits_for(at, why):
    here = at("tie-rod", "down")

    with pytest.raises(Refusal) as refused:
        hold_still(here, why=why)

    assert refused.value.field == "why"


def test_no_step_is_started_on_a_parked_car_until_it_is_taken_up(at):
    here = at("tie-rod", "down")
    hold_still(here)
    step = here.step("tie-rod", "down")

    with pytest.raises(Refusal):
        here.start(step)
    take_up(here.job)
    here.start(step)

    assert step.state == "in hand"


def test_only_a_car_being_worked_on_is_parked_and_only_a_parked_one_taken_up(at):
    here = at("intake", "down")
    with pytest.raises(Refusal):
        take_up(here.job)
    hold_still(here)

    with pytest.raises(Refusal):
        hold_still(here)


def test_a_car_is_not_moved_while_anything_stands(at):
    here = at("tie-rod", "down")

    with pytest.raises(Dangerous) as refused:
        move(here.db, here.job, here.crew.bay, front_ends=library())

    assert "car raised" in refused.value.sentence
    assert here.job.bay_id is None


def test_a_car_is_moved_into_a_free_bay_and_out_of_any(at):
    here = at("intake", "down")
    bay = here.db.get_one(Bay, here.crew.bay.id)

    move(here.db, here.job, bay, front_ends=library())
    assert here.job.bay_id == bay.id
    move(here.db, here.job, None, front_ends=library())

    assert here.job.bay_id is None


def test_a_released_car_is_neither_parked_nor_moved(at):
    here = at("intake", "down")
    here.job.released_at = here.now

    with pytest.raises(Refusal):
        hold_still(here)
    with pytest.raises(Refusal):
        move(here.db, here.job, here.crew.bay, front_ends=library())


def test_released_jobs_come_newest_first_and_page_by_page_without_gap_or_repeat(store, crew):
    with store.writing() as db:
        car = Vehicle(
            shop_id=crew.shop.id,
            make="Corvane",
            model="Tarnlight",
            plate="AB 12",
            drive="LHD",
            front_end=FRONT_END.id,
            created_at=NOW,
            created_by=crew.foreman.id,
        )
        db.add(car)
        db.flush()
        for left in (3, 1, 2, 2, 2, 5, 4):  # some left at the same moment
            db.add(
                Job(
                    shop_id=crew.shop.id,
                    vehicle_id=car.id,
                    front_end=FRONT_END.id,
                    scopes=["shocks"],
                    sides="both",
                    drive="LHD",
                    opened_at=NOW,
                    opened_by=crew.foreman.id,
                    released_at=NOW + timedelta(hours=left),
                    released_by=crew.foreman.id,
                )
            )

    pages, last = [], None
    with store.reading() as db:
        while page := released_jobs(db, crew.shop.id, at_most=2, before=last):
            pages.append([job.id for job, _ in page])
            last = page[-1][0]

    assert pages == [[6, 7], [1, 5], [4, 3], [2]]


def test_places_and_directions_have_names_for_every_step_of_every_plan(store, crew, opened):
    with store.reading() as db:
        steps = db.exec(select(Step)).all()

    assert {step.place for step in steps} <= set(rule.PLACES)
    assert {step.direction for step in steps} <= set(rule.DIRECTIONS)
