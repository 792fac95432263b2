from server.shop.job_sheet import job_sheet, scope_words
from server.store.tables import Job
from tests.shop.conftest import library, take_in

FRONT_END = library()["coil-on-lower-arm"]


def test_a_scope_reads_as_one_says_it():
    job = Job(scopes=["tie-rods", "springs"], sides="left")

    assert scope_words(job, FRONT_END) == "Tie rods, springs · left side"


def test_a_sheet_tells_the_bay_the_tags_that_are_out_and_who_is_who(at):
    here = at("joint-nuts", "up")

    sheet = job_sheet(here.db, here.job, library())

    assert sheet.bay is None
    assert [bay.name for bay in sheet.bays] == ["Bay 1"]
    assert sheet.tags_out == len(here.tags("out")) > 0
    assert sheet.names[here.crew.second.id] == "Nadia"


def test_a_sheet_counts_the_torques_that_nobody_has_written(store, crew):
    job = take_in(store, crew, scopes=["shocks"])

    with store.reading() as db:
        assert job_sheet(db, job, library()).torques_missing == 0
