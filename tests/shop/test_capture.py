from math import radians

import pytest
from sqlmodel import select

from server.compute.measure import Quantity
from server.shop.capture import (
    LONGEST_NOTE,
    Correction,
    NeedsConfirming,
    answers,
    is_photo_of,
    mark_at,
    miss_at,
    note_at,
    standing,
)
from server.shop.refusal import Conflict, Forbidden, Refusal
from server.store.tables import Capture, Photo


@pytest.fixture
def here(at):
    return at("tie-rod", "down")


@pytest.fixture
def tie_rod(here):
    return here.step("tie-rod", "down")


@pytest.fixture
def intake(here):
    return here.step("intake", "down")


def texts(here, step):
    return [one.text for one in here.db.exec(select(Capture).where(Capture.step_id == step.id))]


# Measurements


def test_a_measurement_keeps_what_was_typed_and_how_it_was_read_by_whom_and_when(here, tie_rod):
    taken = here.measure(tie_rod, "tie-rod.length", "12 5/8")

    assert (taken.text, taken.read_as) == ("12 5/8", "12 5/8 in = 320.675 mm")
    assert taken.value == pytest.approx(12.625 * 0.0254)  # the inch by definition
    assert taken.uncertainty > 0
    assert (taken.quantity, taken.key, taken.place) == (Quantity.LENGTH, "tie-rod.length", "LF")
    assert (taken.person_id, taken.at, taken.confirmed) == (here.crew.technician.id, here.now, False)


@pytest.mark.parametrize(("text", "off_deg"), [("0.45°", 0.05), ("0.5°", 0.05), ("1°", 0.5)])
def test_an_angle_is_no_surer_than_the_gauge_it_was_read_on_and_no_surer_than_it_was_written(
    here, intake, text, off_deg
):
    taken = here.measure(intake, "camber", text, place="RF")

    assert taken.uncertainty == pytest.approx(radians(off_deg))


@pytest.mark.parametrize(("system", "value_m"), [("inch", 12.5 * 0.0254), ("metric", 0.0125)])
def test_a_figure_without_a_unit_is_meant_in_the_shops_own(here, tie_rod, system, value_m):
    taken = here.measure(tie_rod, "tie-rod.length", "12.5", system=system, confirmed=True)

    assert taken.value == pytest.approx(value_m)


def test_what_cannot_be_read_is_refused_beside_its_field(here, tie_rod):
    with pytest.raises(Refusal) as refused:
        here.measure(tie_rod, "tie-rod.length", "about a foot", confirmed=True)

    assert refused.value.field == "text"
    assert not isinstance(refused.value, NeedsConfirming)
    assert texts(here, tie_rod) == []


@pytest.mark.parametrize("typed", ["149 mm", "801 mm"])
def test_a_figure_outside_the_usual_wants_confirming_and_is_marked(here, tie_rod, typed):
    with pytest.raises(NeedsConfirming) as refused:
        here.measure(tie_rod, "tie-rod.length", typed)
    assert refused.value.field == "text"
    assert texts(here, tie_rod) == []

    assert here.measure(tie_rod, "tie-rod.length", typed, confirmed=True).confirmed


@pytest.mark.parametrize("typed", ["150 mm", "800 mm"])
def test_a_figure_at_the_edge_of_the_usual_is_not_marked_even_if_it_was_confirmed(here, tie_rod, typed):
    assert not here.measure(tie_rod, "tie-rod.length", typed, confirmed=True).confirmed


def test_a_figure_below_zero_is_taken_only_where_it_can_be(here, intake, tie_rod):
    assert here.measure(intake, "camber", "-0.5°", place="LF").value < 0
    with pytest.raises(Refusal, match="below zero"):
        here.measure(tie_rod, "tie-rod.length", "-320 mm", confirmed=True)


@pytest.mark.parametrize(
    ("typed", "doubtful"), [("61199 mi", True), ("61200 mi", False), ("61201 mi", False)]
)
def test_what_only_grows_wants_confirming_when_it_is_less_than_at_the_last_visit(
    here, intake, typed, doubtful
):
    last_visit = 61200 * 1609.344  # the international mile in metres

    if doubtful:
        with pytest.raises(NeedsConfirming, match="less than when the car was last here"):
            here.measure(intake, "odometer", typed, last_visit=last_visit)
    taken = here.measure(intake, "odometer", typed, last_visit=last_visit, confirmed=True)
    assert taken.confirmed is doubtful


# Notes and gaps


def test_a_note_belongs_to_its_steps_place(here, tie_rod):
    taken = note_at(here.db, tie_rod, here.hand(), text="  boot torn\nat the outer end ")

    assert (taken.kind, taken.key, taken.place) == ("note", "", "LF")
    assert taken.text == "boot torn\nat the outer end"


@pytest.mark.parametrize("words", ["", " \n\t", "\u200b\u2060", "?!", "x" * (LONGEST_NOTE + 1)])
def test_a_note_of_nothing_or_of_too_much_is_refused(here, tie_rod, words):
    with pytest.raises(Refusal) as refused:
        note_at(here.db, tie_rod, here.hand(), text=words)

    assert refused.value.field == "text"
    assert texts(here, tie_rod) == []


def test_the_longest_note_is_kept_whole(here, tie_rod):
    assert note_at(here.db, tie_rod, here.hand(), text="x" * LONGEST_NOTE).text == "x" * LONGEST_NOTE


def test_an_answer_is_one_of_those_offered(at):
    here = at("preset", "bench")
    step = here.step("preset", "bench")
    wanted = next(one for one in here.rung(step).move.captures if one.options)

    with pytest.raises(Refusal, match=wanted.options[0]) as refused:
        note_at(here.db, step, here.hand(), text="sideways", wanted=wanted)
    assert refused.value.field == "text"

    taken = note_at(here.db, step, here.hand(), text=f" {wanted.options[1]} ", wanted=wanted)
    assert (taken.key, taken.text) == (wanted.id, wanted.options[1])


def test_a_gap_says_why_and_has_no_figure(here, tie_rod):
    wanted = here.wanted(tie_rod, "tie-rod.length")

    taken = miss_at(here.db, tie_rod, wanted, here.hand(), place="LF", reason=" sleeve rusted through ")

    assert (taken.kind, taken.text, taken.value) == ("missing", "sleeve rusted through", None)
    assert answers(taken, wanted, "LF")


@pytest.mark.parametrize("reason", [" \n", "\u200b", "x" * (LONGEST_NOTE + 1)])
def test_a_gap_without_a_reason_is_refused_and_none_is_cut_short(here, tie_rod, reason):
    wanted = here.wanted(tie_rod, "tie-rod.length")

    with pytest.raises(Refusal) as refused:
        miss_at(here.db, tie_rod, wanted, here.hand(), place="LF", reason=reason)

    assert refused.value.field == "text"
    assert texts(here, tie_rod) == []


def test_no_apprentice_says_that_what_is_needed_cannot_be_taken(here, tie_rod, intake):
    pip = here.hand(here.crew.apprentice)

    with pytest.raises(Forbidden, match="technician or a foreman") as refused:
        miss_at(here.db, tie_rod, here.wanted(tie_rod, "tie-rod.length"), pip, place="LF", reason="no rule")

    assert refused.value.field == "text"
    assert miss_at(here.db, intake, here.wanted(intake, "camber"), pip, place="LF", reason="no gauge")


# Photos and marks


def test_the_same_picture_taken_twice_is_stored_once_and_captured_twice(here, tie_rod):
    first = here.photograph(tie_rod, key="tie-rod.photo", place="LF")
    second = here.photograph(tie_rod)

    assert first.photo_digest == second.photo_digest == "d1"
    assert first.id != second.id
    assert (second.key, second.place) == ("", "LF")
    assert len(here.db.exec(select(Photo).where(Photo.digest == "d1")).all()) == 1


def test_a_photo_belongs_to_the_shop_that_took_it(here, tie_rod):
    here.photograph(tie_rod, digest="d7")
    home = here.job.shop_id

    assert is_photo_of(here.db, "d7", shop_id=home)
    assert not is_photo_of(here.db, "d7", shop_id=home + 1)
    assert not is_photo_of(here.db, "d8", shop_id=home)


@pytest.mark.parametrize(("x", "y"), [(0.0, 0.0), (1.0, 1.0), (0.25, 0.75)])
def test_a_mark_lies_on_its_photo_and_belongs_to_its_place(here, tie_rod, x, y):
    photo = here.photograph(tie_rod, key="tie-rod.clamps", place="LF")

    mark = mark_at(
        here.db, tie_rod, here.hand(), photo, text=" centre punch ", x=x, y=y, key="tie-rod.clamps"
    )

    assert (mark.on_capture_id, mark.x, mark.y) == (photo.id, x, y)
    assert (mark.kind, mark.text, mark.place) == ("mark", "centre punch", "LF")


@pytest.mark.parametrize(
    ("x", "y"), [(-0.01, 0.5), (1.01, 0.5), (0.5, -0.01), (0.5, 1.01), (float("nan"), 0.5)]
)
def test_a_mark_beside_the_photo_is_refused(here, tie_rod, x, y):
    photo = here.photograph(tie_rod)

    with pytest.raises(Refusal) as refused:
        mark_at(here.db, tie_rod, here.hand(), photo, text="punch", x=x, y=y)

    assert refused.value.field == "x"


@pytest.mark.parametrize("text", [" ", "\u200b", "x" * (LONGEST_NOTE + 1)])
def test_a_mark_without_words_is_refused_and_none_are_cut_short(here, tie_rod, text):
    photo = here.photograph(tie_rod)

    with pytest.raises(Refusal) as refused:
        mark_at(here.db, tie_rod, here.hand(), photo, text=text, x=0.5, y=0.5)

    assert refused.value.field == "text"


def test_a_mark_goes_on_a_photo_of_the_same_step(here, tie_rod, intake):
    note = note_at(here.db, tie_rod, here.hand(), text="boot torn")

    for wrong in (None, note, here.photograph(intake)):
        with pytest.raises(Refusal, match="photo of this step"):
            mark_at(here.db, tie_rod, here.hand(), wrong, text="punch", x=0.5, y=0.5)


# What answers what was asked


@pytest.mark.parametrize(
    ("kind", "answered_by"),
    [
        ("tie-rod.length", {"measurement", "missing"}),
        ("tie-rod.clamps", {"mark", "missing"}),
        ("tie-rod.photo", {"photo", "missing"}),
    ],
)
def test_what_was_asked_is_answered_by_its_own_kind_or_by_why_not(here, tie_rod, kind, answered_by):
    wanted = here.wanted(tie_rod, kind)
    kinds = ("photo", "mark", "measurement", "note", "missing")

    assert {
        each for each in kinds if answers(Capture(key=kind, place="LF", kind=each), wanted, "LF")
    } == answered_by
    assert not answers(Capture(key=kind, place="RF", kind="missing"), wanted, "LF")
    assert not answers(Capture(key="camber", place="LF", kind="missing"), wanted, "LF")


# Corrections


def correct(
    here, step, before, text="12 3/4", *, key="tie-rod.length", reason="read off the wrong edge", **said
):
    return here.measure(step, key, text, correction=Correction(before, reason), **said)


def test_a_correction_stands_and_keeps_what_it_superseded_newest_first(here, tie_rod):
    first = here.measure(tie_rod, "tie-rod.length", "12 5/8")
    second = correct(here, tie_rod, first)
    third = correct(here, tie_rod, second, "12 7/8", reason=" again ")

    [stands] = here.standing(tie_rod)
    assert (stands.capture, stands.by) == (third, "Tom")
    assert [one.capture for one in stands.history] == [second, first]
    assert (third.supersedes_id, third.reason) == (second.id, "again")


def test_a_figure_may_be_taken_back_for_a_gap_and_a_gap_filled_in_later(here, tie_rod):
    wanted = here.wanted(tie_rod, "tie-rod.length")
    figure = here.measure(tie_rod, "tie-rod.length", "12 5/8")
    back = Correction(figure, "it was the other side's")
    gap = miss_at(here.db, tie_rod, wanted, here.hand(), place="LF", reason="no rule", correction=back)

    filled = correct(here, tie_rod, gap, reason="rule found")

    assert [one.capture for one in here.standing(tie_rod)] == [filled]


@pytest.mark.parametrize("reason", ["", " ", "\u200b", "x" * (LONGEST_NOTE + 1)])
def test_a_correction_without_a_reason_is_refused(here, tie_rod, reason):
    first = here.measure(tie_rod, "tie-rod.length", "12 5/8")

    with pytest.raises(Refusal) as refused:
        correct(here, tie_rod, first, reason=reason)

    assert refused.value.field == "reason"
    assert texts(here, tie_rod) == ["12 5/8"]


def test_what_has_been_corrected_is_not_corrected_again(here, tie_rod):
    first = here.measure(tie_rod, "tie-rod.length", "12 5/8")
    correct(here, tie_rod, first)

    with pytest.raises(Conflict, match="corrected already"):
        correct(here, tie_rod, first, "13")

    assert texts(here, tie_rod) == ["12 5/8", "12 3/4"]


def test_a_correction_belongs_to_the_same_thing_at_the_same_place_and_step(here, tie_rod, intake):
    threads = here.measure(tie_rod, "tie-rod.threads-inner", "8")
    left = next(one.capture for one in here.standing(intake) if one.capture.key == "ride-height")
    right = {"place": "RF" if left.place == "LF" else "LF", "key": "ride-height"}

    for step, before, text, said in (
        (tie_rod, threads, "12 3/4", {}),
        (intake, left, "14 in", right),
        (tie_rod, left, "12 3/4", {}),
    ):
        with pytest.raises(Refusal, match="same thing at the same step"):
            correct(here, step, before, text, **said)

    assert texts(here, tie_rod) == ["8"]


# What stands


def test_what_stands_is_told_in_the_order_taken_of_one_step_or_of_the_whole_job(here, tie_rod):
    first = here.measure(tie_rod, "tie-rod.threads-inner", "8")
    second = here.measure(tie_rod, "tie-rod.threads-outer", "9")

    assert [one.capture for one in here.standing(tie_rod)] == [first, second]
    everything = standing(here.db, job_id=here.job.id)
    assert [one.capture for one in everything][-2:] == [first, second]
    assert len(everything) > 2
    assert standing(here.db, job_id=here.job.id, step_ids=[]) == []


def test_what_stands_of_a_figure_is_found_at_whichever_step_it_was_taken(here, tie_rod):
    threads = here.measure(tie_rod, "tie-rod.threads-inner", "8")
    everything = [one.capture for one in standing(here.db, job_id=here.job.id)]
    heights = [one for one in everything if one.key == "ride-height"]

    found = standing(here.db, job_id=here.job.id, step_ids=[tie_rod.id], keys=["ride-height"])

    assert heights
    assert [one.capture for one in found] == [*heights, threads]
