import pytest

from server.shop.capture import mark_at, note_at
from server.shop.step import steps_of
from server.shop.step_sheet import next_ready
from server.store.tables import Step


def item(sheet, key, place="LF"):
    return next(one for one in sheet.asked if (one.wanted.id, one.place) == (key, place))


# Where one is


def test_a_sheet_counts_the_rungs_of_its_place_and_direction(at):
    here = at("tie-rod", "down")
    same_way = [one for one in steps_of(here.db, here.job.id) if (one.place, one.direction) == ("LF", "down")]

    sheet = here.sheet(here.step("tie-rod", "down"))

    assert (sheet.number, sheet.of) == (same_way.index(sheet.step) + 1, len(same_way))
    assert sheet.number > 1
    assert (sheet.job, sheet.vehicle.plate) == (here.job, "AB 12")


@pytest.mark.parametrize(("drive", "on_shaft_side"), [("LHD", True), ("RHD", False)])
def test_the_steering_shafts_side_is_the_drivers(at, drive, on_shaft_side):
    here = at("tie-rod", "down")
    here.job.drive = drive

    assert here.sheet(here.step("tie-rod", "down")).on_shaft_side is on_shaft_side
    assert not here.sheet(here.step("support", "up")).on_shaft_side


def test_a_sheet_tells_who_has_begun_it_and_who_has_done_it(at):
    here = at("settle", "up")
    step = here.step("settle", "up")
    assert (here.sheet(step).started_by, here.sheet(step).done_by) == ("", "")

    here.start(step)
    assert (here.sheet(step).started_by, here.sheet(step).done_by) == ("Tom", "")

    here.finish(step, by=here.crew.second)
    assert (here.sheet(step).started_by, here.sheet(step).done_by) == ("Tom", "Nadia")


def test_every_live_hazard_of_the_car_stands_on_every_sheet(at):
    here = at("caliper", "up")

    for step in (here.step("settle", "up"), here.step("intake", "down")):
        live = here.sheet(step).hazards
        assert {one.kind.id for one in live} == {"car-raised", "caliper-hanging"}


def test_a_sheet_names_what_it_waits_for(at):
    here = at("support", "down")
    support = here.step("support", "down")

    [(first, name)] = here.sheet(here.step("wheel", "down")).waits_for
    assert (first.id, name) == (support.id, "Raise and support")
    assert here.sheet(support).waits_for == ()


# Where to go on


def a_step(seq, place, state="to do", after=()):
    return Step(
        id=seq,
        job_id=1,
        seq=seq,
        operation="x",
        place=place,
        direction="down",
        after=list(after),
        state=state,
    )


def test_the_work_goes_on_at_the_same_place_where_it_can():
    here, other, same = a_step(1, "LF", "done"), a_step(2, "RF"), a_step(3, "LF")

    assert next_ready([here, other, same], here) is same
    assert next_ready([here, other], here) is other
    assert next_ready([here], here) is None


def test_from_a_step_that_is_still_open_the_work_goes_on_elsewhere():
    here, other = a_step(1, "LF", "in hand"), a_step(2, "RF")

    assert next_ready([here, other], here) is other


def test_the_work_does_not_go_on_where_it_has_to_wait_or_is_done():
    here = a_step(1, "LF", "done")
    blocked, done, not_needed = (
        a_step(2, "LF", after=[5]),
        a_step(3, "LF", "done"),
        a_step(4, "LF", "not needed"),
    )
    begun = a_step(5, "RF", "on hold")

    assert next_ready([here, blocked, done, not_needed, begun], here) is begun


# Captures


def test_going_down_nothing_found_or_aimed_at_stands_beside_what_is_asked(at):
    here = at("tie-rod", "down")

    length = item(here.sheet(here.step("tie-rod", "down")), "tie-rod.length")

    assert (length.taken, length.last, length.as_found, length.target) == ((), None, None, None)


def test_going_up_the_figure_as_found_and_its_target_stand_beside_what_is_asked(at):
    here = at("preset", "bench")

    length = item(here.sheet(here.step("preset", "bench")), "tie-rod.length")

    assert length.as_found.capture.text == "12 5/8 in"
    assert (length.target.key, length.target.place) == ("tie-rod.length", "LF")
    assert length.last is None


def test_what_was_found_is_not_held_against_the_target_that_rests_on_it(at):
    here = at("preset", "bench")

    assert item(here.sheet(here.step("tie-rod", "down")), "tie-rod.length").target is None


def test_what_is_asked_on_both_sides_has_its_own_figure_on_each(at):
    here = at("settle", "up")
    after = here.step("ride-height", "after")
    left = here.measure(after, "ride-height", "14 in", place="LF")

    sheet = here.sheet(after)

    assert item(sheet, "ride-height", "LF").last.capture == left
    assert item(sheet, "ride-height", "RF").last is None
    assert item(sheet, "ride-height", "RF").as_found.capture.place == "RF"


def test_a_figure_taken_at_this_step_is_not_what_was_found(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    here.measure(step, "tie-rod.length", "12 5/8")

    assert item(here.sheet(step), "tie-rod.length").as_found is None


def test_a_photo_carries_its_marks_in_the_order_made_and_the_mark_answers(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    photo = here.photograph(step, key="tie-rod.clamps", place="LF")
    asked = item(here.sheet(step), "tie-rod.clamps")
    assert (asked.last, [one.taken.capture for one in asked.photos]) == (None, [photo])

    marks = [
        mark_at(here.db, step, here.hand(), photo, text=text, x=0.5, y=0.5, key="tie-rod.clamps")
        for text in ("inner clamp", "outer clamp")
    ]

    asked = item(here.sheet(step), "tie-rod.clamps")
    assert [one.capture for one in asked.photos[0].marks] == marks
    assert asked.last.capture == marks[-1]
    assert asked.photos[0].photo.width == 64


def test_each_photo_carries_its_own_marks(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    for digest, text in (("d1", "inner clamp"), ("d2", "outer clamp")):
        photo = here.photograph(step, digest=digest)
        mark_at(here.db, step, here.hand(), photo, text=text, x=0.5, y=0.5)

    photos = here.sheet(step).photos

    assert [[one.capture.text for one in seen.marks] for seen in photos] == [["inner clamp"], ["outer clamp"]]


def test_a_note_that_was_asked_for_stands_with_what_asked(at):
    here = at("intake", "down")
    step = here.step("intake", "down")
    wanted = here.wanted(step, "tyre.size")
    note = note_at(here.db, step, here.hand(), text="7.75-14", wanted=wanted)

    sheet = here.sheet(step)

    assert sheet.notes == ()
    assert item(sheet, "tyre.size", "car").last.capture == note


def test_what_nobody_asked_for_stands_apart(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    note, photo = note_at(here.db, step, here.hand(), text="boot torn"), here.photograph(step, digest="d2")
    here.photograph(step, key="tie-rod.photo", place="LF")

    sheet = here.sheet(step)

    assert [one.capture for one in sheet.notes] == [note]
    assert [one.taken.capture for one in sheet.photos] == [photo]
    assert len(item(sheet, "tie-rod.photo").photos) == 1


# As found, going up


def test_going_up_all_that_was_found_on_the_same_rung_is_shown(at):
    here = at("tie-rod", "up")
    note_at(here.db, here.step("tie-rod", "down"), here.hand(), text="boot torn")
    note_at(here.db, here.step("steering-cotters", "down"), here.hand(), text="cotter broke")
    note_at(here.db, here.step("shock", "down"), here.hand(), text="stem bent")

    sheet = here.sheet(here.step("tie-rod", "up"))

    names = [name for name, _ in sheet.found_figures]
    assert names[0] == "Length between stud centres"
    assert len(names) == 3
    assert len(sheet.found_photos) == 2
    assert sorted(one.capture.text for one in sheet.found_notes) == ["boot torn", "cotter broke"]


def test_what_was_found_at_the_other_corner_is_not_shown(at):
    here = at("tie-rod", "up")
    here.step("tie-rod", "down").place = "RF"

    sheet = here.sheet(here.step("tie-rod", "up"))

    assert (sheet.found_figures, sheet.found_photos) == ((), ())


def test_going_down_there_is_nothing_found_yet(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    here.measure(step, "tie-rod.length", "12 5/8")

    sheet = here.sheet(step)

    assert (sheet.found_photos, sheet.found_figures, sheet.found_notes) == ((), (), ())


# Parts, tags, decisions, targets


def test_tags_are_shown_where_they_are_hung_and_where_they_go_back(at):
    here = at("tie-rod", "up")

    down, up = here.sheet(here.step("tie-rod", "down")), here.sheet(here.step("tie-rod", "up"))

    assert [one.tag.part for one in down.tags_here] == ["tie-rod", "fasteners"]
    assert down.tags_back == ()
    assert [one.tag for one in up.tags_back] == [one.tag for one in down.tags_here]
    assert up.tags_here == ()


def test_the_parts_that_are_off_are_those_that_came_off_and_are_not_back(at):
    here = at("shock", "up")

    off = here.sheet(here.step("shock", "up")).off

    assert {"wheel", "shock", "caliper", "tie-rod", "link"} <= off
    assert not {"spring", "knuckle"} & off  # back on
    assert not {"lower-arm", "bar"} & off  # never came off


def test_nothing_is_off_before_its_step_is_done(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    here.start(step)

    assert "tie-rod" not in here.sheet(step).off


def test_decisions_are_asked_for_at_the_bench_and_only_of_what_is_off_and_wants_one(at):
    here = at("inspect", "bench")

    parts = {one.part.id for one in here.sheet(here.step("inspect", "bench")).decisions}

    assert {"tie-rod", "spring", "knuckle", "shock", "caliper", "link"} == parts
    assert here.sheet(here.step("preset", "bench")).decisions == ()


def test_targets_stand_on_the_sheets_that_use_them(at):
    here = at("preset", "bench")

    def keys(operation, direction):
        return {one.key.split(".")[0] for one in here.sheet(here.step(operation, direction)).targets}

    assert keys("preset", "bench") == {"tie-rod"}
    assert "tie-rod" not in keys("ride-height", "after")
    assert keys("tie-rod", "down") == set()


def test_a_sheet_of_the_whole_car_shows_the_targets_of_both_sides(at):
    here = at("settle", "up")

    sheet = here.sheet(here.step("ride-height", "after"))

    assert {"LF", "RF"} <= {one.place for one in sheet.targets}
