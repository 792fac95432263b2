import shutil

import pytest

from seed_demo.story import Story, Verdict
from server.shop.capture import Hand, miss_at
from server.shop.handover import handover
from server.shop.release import release, write_note
from server.store.engine import Store
from server.store.photo import PhotoFolder
from server.store.tables import Job, TorqueRecord
from tests.shop.conftest import FIGURES, hire, library, take_in, walk

VERDICTS = {("tie-rod", ""): Verdict("renew", "play in the inner joint")}


@pytest.fixture(scope="module")
def released(empty_database, tmp_path_factory):
    """A car that came for its left tie rod and has left again, with a note for the alignment shop."""
    folder = tmp_path_factory.mktemp("released")
    shutil.copy(empty_database, folder)
    with Store(folder) as store:
        crew = hire(store)
        opened = take_in(store, crew, scopes=["tie-rods"], sides="left")
        story = Story(FIGURES, {"road-test.note": "wheel straight"}, VERDICTS)
        walked = walk(store, PhotoFolder(folder / "photos"), opened, story)
        walked.until(lambda step: step.operation == "release", by=crew.technician, second=crew.second)
        walked.discard_renewed(by=crew.technician)
        with store.writing() as db:
            job = db.get_one(Job, opened.id)
            release(db, job, library(), by=crew.second, now=walked.now)
            hand = Hand(crew.second, walked.now, "note-at-the-release")
            write_note(db, job, library(), "Toe is as found.", hand)
        yield store, crew, job


@pytest.fixture
def sheet(released):
    store, _, job = released
    with store.reading() as db:
        return handover(db, job, library(), system="inch")


def test_it_says_which_car_what_for_and_who_let_it_go(sheet):
    assert (sheet.vehicle.plate, sheet.scopes) == ("AB 12", ("Tie rods",))
    assert (sheet.opened_by, sheet.released_by) == ("Ilse", "Nadia")
    assert (sheet.miles_in.text, sheet.miles_out.text) == ("61200 mi", "61212 mi")
    assert sheet.loose_ends == ()
    assert sheet.hazards == ()


def test_alignment_and_ride_height_stand_as_found_as_aimed_at_and_as_left(sheet):
    height = next(one for one in sheet.figures if (one.key, one.place) == ("ride-height", "RF"))
    assert (height.found.text, height.left.text, height.fits) == ("14 1/4 in", "14 1/4 in", True)

    keys = {(one.key, one.place) for one in sheet.figures}
    assert {("camber", "LF"), ("toe.total", "car"), ("tie-rod.length", "LF")} <= keys
    assert not {one.key for one in sheet.figures} & {"tie-rod.turns", "spring.energy"}


def test_each_part_says_what_became_of_it_why_and_on_what_evidence(sheet):
    [rod] = [one for one in sheet.parts if one.decision.part == "tie-rod"]

    assert (rod.name, rod.decision.verdict, rod.decision.reason, rod.evidence, rod.by) == (
        "Tie-rod assembly",
        "renew",
        "play in the inner joint",
        "photo",
        "Tom",
    )


def test_each_safety_critical_torque_has_window_source_and_both_names(sheet):
    nut = next(one for one in sheet.torques if one.pulled.record.fastener == "outer-tie-rod-nut")

    assert (nut.name, nut.step.place, nut.source) == ("Outer tie-rod nut", "LF", "Maker's manual p. 3-12")
    assert nut.pulled.record.low == pytest.approx(81.349, abs=0.001)
    assert nut.pulled.record.high == pytest.approx(101.686, abs=0.001)
    assert (nut.pulled.by, nut.pulled.verified_by) == ("Tom", "Nadia")
    assert (nut.wants_pin, nut.pinned.by) == (True, "Tom")


def test_of_a_staged_torque_only_the_last_pull_counts_and_the_one_after_the_road_test_is_its_own(sheet):
    wheel = [one for one in sheet.torques if one.pulled.record.fastener == "wheel-nut"]

    assert {one.step.operation for one in wheel} == {"wheel-nuts", "retorque"}
    assert {one.pulled.record.stage for one in wheel} == {2}


def test_every_hold_point_names_who_confirmed_it(sheet):
    assert [(one.step.operation, one.by) for one in sheet.holds] == [("support", "Nadia")]


def test_notes_are_told_and_the_one_at_the_release_apart(sheet):
    assert [one.taken.capture.text for one in sheet.parting] == ["Toe is as found."]
    assert "wheel straight" in [one.taken.capture.text for one in sheet.notes]
    assert "Toe is as found." not in [one.taken.capture.text for one in sheet.notes]


def test_a_job_that_opened_the_steering_wants_an_alignment(sheet):
    assert sheet.is_disturbed


def test_a_job_that_only_changed_shocks_wants_none(store, crew):
    opened = take_in(store, crew, scopes=["shocks"])

    with store.reading() as db:
        assert not handover(db, opened, library(), system="inch").is_disturbed


def test_before_the_release_it_carries_the_loose_ends_and_the_hazards(at):
    here = at("joint-nuts", "up")

    sheet = handover(here.db, here.job, library(), system="inch")

    assert "spring-compressed" in [one.hazard.kind for one in sheet.hazards]
    assert {"hazard", "step", "tag"} <= {one.kind for one in sheet.loose_ends}
    assert sheet.released_by == ""


def test_what_could_not_be_taken_is_told_with_the_reason(at):
    here = at("preset", "bench")
    bench = here.step("preset", "bench")
    wanted = here.wanted(bench, "tie-rod.lies-at")
    miss_at(here.db, bench, wanted, here.hand(), place="LF", reason="tape is broken")

    [gap] = handover(here.db, here.job, library(), system="inch").gaps

    assert gap.name == "Length of the new assembly as it lies, before setting"
    assert gap.taken.capture.text == "tape is broken"


def test_a_torque_nobody_verified_shows_as_such(at):
    here = at("tie-rod", "up")
    up = here.step("tie-rod", "up")
    here.start(up)
    here.pull(up, "outer-tie-rod-nut")

    sheet = handover(here.db, here.job, library(), system="inch")
    nut = next(one for one in sheet.torques if one.step.id == up.id)

    assert nut.pulled.verified_by is None
    assert nut.pinned is None
    assert nut.wants_pin


def test_a_source_written_after_the_pull_is_not_said_to_be_the_pulls_source(at):
    here = at("tie-rod", "up")
    up = here.step("tie-rod", "up")
    here.start(up)
    record: TorqueRecord = here.pull(up, "outer-tie-rod-nut")
    line = here.tightening(up, "outer-tie-rod-nut").spec
    later = line.model_dump(exclude={"id", "client_id", "source", "at", "supersedes_id"})
    after = {"at": record.at.replace(year=record.at.year + 1), "client_id": here.client_id()}
    here.db.add(type(line)(**later, **after, source="Another book", supersedes_id=line.id))
    here.db.flush()

    sheet = handover(here.db, here.job, library(), system="inch")

    assert [one.source for one in sheet.torques if one.step.id == up.id] == ["Maker's manual p. 3-12"]
