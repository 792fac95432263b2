"""What somebody finds who opens the demo: the board, the people, the history, the hours."""

from datetime import UTC, datetime, timedelta

import pytest
from sqlmodel import col, select

import seed_demo
from seed_demo import mid_strip as story
from seed_demo.hours import Hours
from server.procedure.plan import plan
from server.shop.board import board
from server.shop.generic_torque import propose
from server.shop.pin import Pins
from server.shop.shop import the_shop
from server.shop.spec_sheet import torques_missing
from server.shop.step import steps_of
from server.shop.tightening import needs_second, records_of
from server.store import pin_key
from server.store.photo import PhotoFolder
from server.store.refused import StoreRefused
from server.store.tables import (
    Capture,
    Decision,
    Hazard,
    Hold,
    Job,
    Person,
    Spec,
    Step,
    Tag,
    TagMove,
    Target,
    TorqueRecord,
    Verification,
)
from tests.seed_demo.conftest import NOW, library, settings_in


@pytest.fixture
def rows(db):
    """The board's three bays, in their order."""
    return board(db, the_shop(db).id, library())


def test_three_bays_have_a_car_each(rows):
    assert [row.bay.name for row in rows] == ["Bay 1", "Bay 2", "Bay 3"]
    assert [row.car.vehicle.make for row in rows] == ["Hasterby", "Tessendorn", "Brackholm"]
    assert [row.car.phase for row in rows] == ["Strip", "Bench", "Refit"]


def test_a_spring_stands_compressed_with_its_energy(rows):
    first = rows[0].car.hazards[0]

    assert (first.kind.id, first.hazard.place) == ("spring-compressed", "LF")
    assert first.hazard.energy_J > 0
    assert timedelta(minutes=30) < first.age(NOW) < timedelta(minutes=45)
    assert [(one.step.operation, one.by) for one in rows[0].car.at_work] == [("spring", "Joss")]


def test_the_compressed_spring_is_the_only_acute_hazard(rows):
    acute = [(row.bay.name, one.kind.id) for row in rows for one in row.car.hazards if one.kind.acute]

    assert acute == [("Bay 1", "spring-compressed")]


def test_the_bench_is_begun_on_one_side_and_presets_wait(db, rows, on_bench):
    steps = {(step.operation, step.place): step.state for step in steps_of(db, on_bench.job.id)}
    decided = db.exec(select(Decision).where(Decision.job_id == on_bench.job.id)).all()

    assert [(one.step.operation, one.step.place) for one in rows[1].car.at_work] == [("inspect", "LF")]
    assert steps["inspect", "RF"] == steps["preset", "LF"] == steps["preset", "RF"] == "to do"
    assert {one.part for one in decided} == {"link", "tie-rod", "caliper", "shock", "knuckle"}
    assert ["knuckle" in one.sentence.lower() for one in rows[1].car.waiting] == [True]


def test_a_torque_waits_for_its_second_person_in_the_refit(db, rows, refit):
    (waiting,) = rows[2].car.waiting
    unseen = [
        one.record
        for one in records_of(db, refit.job)
        if one.verified_by is None and needs_second(one.record, library()[refit.job.front_end])
    ]

    assert "outer tie-rod nut, right front" in waiting.sentence.lower()
    assert NOW - waiting.since < timedelta(minutes=20)
    assert [record.fastener for record in unseen] == ["outer-tie-rod-nut"]
    assert [(one.step.operation, one.by) for one in rows[2].car.at_work] == [("tie-rod", "Teo")]


def test_one_car_has_been_released_with_every_step_done(db, released):
    steps = steps_of(db, released.job.id)

    assert [job.id for job in db.exec(select(Job).where(col(Job.released_at).is_not(None)))] == [
        released.job.id
    ]
    assert {step.state for step in steps} == {"done"}
    assert {tag.state for tag in db.exec(select(Tag).where(Tag.job_id == released.job.id))} == {
        "refitted",
        "discarded",
    }


def test_a_misread_length_stays_readable_beside_its_correction(db, released):
    length = Capture.key == "tie-rod.length"
    corrected = db.exec(select(Capture).where(col(Capture.supersedes_id).is_not(None), length)).one()
    before = db.get_one(Capture, corrected.supersedes_id)

    assert (before.text, corrected.text) == ("12 5/16 in", "12 15/16 in")
    assert corrected.reason
    assert corrected.job_id == released.job.id


def test_a_torque_typed_wrong_was_pulled_again_and_seen_again(db, released):
    corrected = db.exec(select(TorqueRecord).where(col(TorqueRecord.supersedes_id).is_not(None))).one()
    seen = {one.record_id for one in db.exec(select(Verification))}

    assert corrected.reason
    assert {corrected.id, corrected.supersedes_id} <= seen
    assert corrected.job_id == released.job.id


def test_five_people_can_sign_in_with_the_pins_that_are_printed(demo, db):
    pins = Pins(pin_key.read_or_make(demo.settings.data), passes=1, memory_KiB=8)
    hashes = {person.name: person for person in db.exec(select(Person))}

    assert [role for _, role, _ in demo.people] == ["foreman", *["technician"] * 3, "apprentice"]
    assert [person.name for person in hashes.values() if person.guided] == ["Pim"]
    for name, _, pin in demo.people:
        assert pins.match(pin, hashes[name].pin_hash)


def test_one_car_is_metric_and_one_is_driven_on_the_right(db, visit):
    expected = ("metric", "RHD") if visit.vehicle.make == "Tessendorn" else ("inch", "LHD")
    lengths = db.exec(
        select(Capture.text).where(Capture.job_id == visit.job.id, Capture.quantity == "length")
    ).all()

    system = "metric" if all("mm" in text for text in lengths) else "inch"
    assert (system, visit.vehicle.drive) == expected
    assert system == "metric" or all(" in" in text for text in lengths)


def test_the_studs_came_out_where_the_steering_shaft_is(db, on_bench, released):
    places = {
        job.id: {one.place for one in steps_of(db, job.id) if one.operation == "studs"}
        for job in (on_bench.job, released.job)
    }

    assert places == {on_bench.job.id: {"RF"}, released.job.id: {"LF"}}


def test_every_torque_a_job_needs_is_on_its_sheet_with_its_source(db, visit):
    front_end = library()[visit.job.front_end]

    assert torques_missing(db, visit.vehicle, front_end, steps_of(db, visit.job.id)) == 0
    assert all(
        len(line.source) > 10 for line in db.exec(select(Spec).where(Spec.vehicle_id == visit.vehicle.id))
    )


def test_one_torque_is_generic_and_a_foreman_agreed_to_it(db, refit):
    line = db.exec(select(Spec).where(col(Spec.generic))).one()
    holds = db.exec(select(Hold).where(col(Hold.key).startswith("generic torque"))).all()
    from_compute = propose(seed_demo.refit.CAR.generic[line.key], system="inch").worked_out.torque

    assert line.vehicle_id == refit.vehicle.id
    assert from_compute.value - from_compute.uncertainty == pytest.approx(line.low, rel=0.05)
    assert line.high == pytest.approx(from_compute.value, rel=0.05)
    assert [db.get_one(Person, hold.confirmed_by).role for hold in holds] == ["foreman", "foreman"]


def test_no_figure_was_hard_to_believe_and_no_pull_outside_its_window(db):
    doubtful = [one.text for one in db.exec(select(Capture).where(col(Capture.confirmed)))]
    outside = [one.text for one in db.exec(select(TorqueRecord).where(col(TorqueRecord.confirmed)))]

    assert (doubtful, outside) == ([], [])


def moments(db):
    """Whatever anybody did, when, and on which job."""
    jobs = {step.id: step.job_id for step in db.exec(select(Step))}
    jobs_of_tags = {tag.id: tag.job_id for tag in db.exec(select(Tag))}
    jobs_of_records = {record.id: record.job_id for record in db.exec(select(TorqueRecord))}
    for one in db.exec(select(Job)):
        yield from ((one.id, moment) for moment in (one.opened_at, one.released_at) if moment)
    for one in db.exec(select(Step)):
        yield from ((one.job_id, moment) for moment in (one.started_at, one.done_at) if moment)
    for table in (Capture, TorqueRecord, Decision):
        yield from ((jobs[one.step_id], one.at) for one in db.exec(select(table)))
    yield from ((jobs_of_tags[one.tag_id], one.at) for one in db.exec(select(TagMove)))
    yield from ((jobs_of_records[one.record_id], one.at) for one in db.exec(select(Verification)))
    for one in db.exec(select(Hazard)):
        yield from ((one.job_id, moment) for moment in (one.began_at, one.ended_at) if moment)


def test_nothing_lies_in_the_future_and_nothing_long_ago(db):
    happened = [moment for _, moment in moments(db)]

    assert max(happened) <= NOW
    assert min(happened) > NOW - timedelta(days=16)


def test_everybody_worked_in_working_hours(db):
    overtime = [moment for _, moment in moments(db) if not Hours().are_on(moment)]

    assert overtime == []


def test_nobody_is_at_two_cars_at_once(db):
    stints = [
        (step.started_by, step.job_id, step.started_at, step.done_at or NOW)
        for step in db.exec(select(Step).where(col(Step.started_at).is_not(None)))
    ]

    assert not [
        (one, other)
        for one in stints
        for other in stints
        if one[0] == other[0] and one[1] < other[1] and one[2] < other[3] and other[2] < one[3]
    ]


def test_in_the_middle_of_the_night_somebody_is_at_the_spring_and_all_else_was_by_day(tmp_path, store):
    night = datetime(2026, 3, 8, 3, 10).astimezone().astimezone(UTC)  # from Saturday to Sunday
    photos = PhotoFolder(tmp_path / "photos")
    crew = seed_demo.people.found(store, settings_in(tmp_path / "data"), now=night - timedelta(days=60))
    stage = seed_demo.Stage(store, photos, library(), crew, Hours(), night)

    story.tell(stage)

    hands_on = night - timedelta(minutes=story.AGO_min)
    with store.reading() as db:
        happened = sorted(moment for _, moment in moments(db))
    assert hands_on < happened[-1] <= night
    assert all(Hours().are_on(moment) for moment in happened if moment < hands_on)


def test_the_demo_goes_only_into_an_empty_store(demo):
    with pytest.raises(StoreRefused, match="empty"):
        seed_demo.seed(demo.store, demo.photos, demo.settings, NOW)


def test_every_job_follows_its_plan(db, visit):
    laid_out = plan(
        library()[visit.job.front_end], visit.job.scopes, sides=visit.job.sides, drive=visit.job.drive
    )

    assert [(step.operation, step.place) for step in steps_of(db, visit.job.id)] == [
        (step.operation, step.place) for step in laid_out.steps
    ]


def test_toe_was_set_in_two_goes_and_the_sleeves_move_was_said_in_between(db, released):
    again = db.exec(select(Capture).where(Capture.reason == "Sleeves turned")).all()
    sleeve = Target.job_id == released.job.id, Target.key == "pre-alignment.sleeve", Target.place == "LF"
    said = [one.says for one in db.exec(select(Target).where(*sleeve).order_by(col(Target.id)))]

    assert {(one.key, one.text) for one in again} == {
        ("toe.tape-front", "59 9/32 in"),
        ("toe.tape-rear", "59 13/32 in"),
    }
    assert said[0].startswith("Turn the sleeve")
    assert "top of the sleeve toward the" in said[0]
    assert said[-1].startswith("Leave the sleeve as it is")
