from dataclasses import replace

import pytest
from sqlmodel import select

from server.shop.capture import Correction, miss_at, note_at
from server.shop.decision import decide, to_decide
from server.shop.evidence import gather, of_capture, of_spec
from server.store.tables import Capture, Spec, Step


@pytest.fixture
def here(at):
    return at("preset", "bench")


def gathered(here):
    return gather(here.db, here.job, here.front_end)


def test_what_was_found_on_the_way_down_and_what_is_left_are_told_apart(here):
    bench = here.step("preset", "bench")
    assert gathered(here).left("tie-rod.length", "LF") is None

    left = here.measure(bench, "tie-rod.length", "12 1/2 in")

    evidence = gathered(here)
    assert evidence.found("tie-rod.length", "LF").text == "12 5/8 in"
    assert evidence.left("tie-rod.length", "LF") == left
    assert evidence.found("tie-rod.length", "RF") is None


def test_the_latest_stage_of_the_work_says_what_is_left(at):
    here = at("settle", "up")
    assert gathered(here).left("ride-height", "LF") is None

    left = here.measure(here.step("ride-height", "after"), "ride-height", "14 in", place="LF")

    assert gathered(here).left("ride-height", "LF") == left
    assert gathered(here).found("ride-height", "LF").text == "14 1/4 in"


def test_the_last_time_it_was_measured_on_the_way_up_goes_before_the_bench(here):
    def of(*directions):
        taken = {("camber", "LF", each): Capture(text=each, value=1.0) for each in directions}
        return replace(gathered(here), captures=taken).left("camber", "LF").text

    assert of("down", "bench", "up", "after") == "after"
    assert of("down", "bench", "up") == "up"
    assert of("down", "bench") == "bench"


def test_what_was_measured_only_at_the_bench_is_not_as_found(here):
    at_bench = {("camber", "LF", "bench"): Capture(value=1.0)}

    assert replace(gathered(here), captures=at_bench).found("camber", "LF") is None


def test_what_is_only_loosened_and_run_snug_is_not_tightened(here):
    assert "sleeve-clamp-bolt" in gathered(here).tightened

    for step in here.db.exec(select(Step).where(Step.operation == "sleeve-clamps")):
        here.db.delete(step)

    assert "sleeve-clamp-bolt" not in gathered(here).tightened


def test_a_correction_takes_the_place_of_what_it_corrects(here):
    down = here.step("tie-rod", "down")
    first = gathered(here).found("tie-rod.length", "LF")

    again = here.measure(down, "tie-rod.length", "12 3/4 in", correction=Correction(first, "wrong edge"))

    assert gathered(here).found("tie-rod.length", "LF") == again


def test_a_gap_is_no_figure(here):
    bench = here.step("preset", "bench")
    wanted = here.wanted(bench, "tie-rod.length")

    miss_at(here.db, bench, wanted, here.hand(), place="LF", reason="sleeve seized")

    assert gathered(here).left("tie-rod.length", "LF") is None


def test_an_answer_is_what_was_chosen_and_not_why_it_could_not_be(here):
    bench = here.step("preset", "bench")
    wanted = here.wanted(bench, "tie-rod.right-hand")
    assert gathered(here).answer(wanted.id, "LF") is None

    gap = miss_at(here.db, bench, wanted, here.hand(), place="LF", reason="cannot see")
    assert gathered(here).answer(wanted.id, "LF") is None

    seen = Correction(gap, "lamp fetched")
    chosen = note_at(
        here.db, bench, here.hand(), text=wanted.options[0], wanted=wanted, place="LF", correction=seen
    )
    assert gathered(here).answer(wanted.id, "LF") == chosen


def test_the_spec_sheet_is_told_and_what_it_lacks(here):
    evidence = gathered(here)

    assert evidence.spec("torque.wheel-nut").text == "60 to 75 lbf·ft"
    assert evidence.spec("camber") is None
    assert evidence.lacks_specs("torque.wheel-nut", "camber", "caster") == ("camber", "caster")


@pytest.mark.parametrize(("verdict", "renewed"), [("renew", True), ("repair", False), ("send out", False)])
def test_only_what_the_bench_renews_is_renewed(here, verdict, renewed):
    bench = here.step("inspect", "bench")
    seen = next(one for one in to_decide(here.db, bench, here.front_end) if one.part.id == "spring")
    assert not gathered(here).is_renewed("spring", "LF")

    decide(
        here.db,
        bench,
        seen.part,
        client_id=here.client_id(),
        verdict=verdict,
        reason="short by 6 mm",
        evidence=here.photograph(bench),
        by=here.crew.technician,
        now=here.now,
        supersedes=seen.decision,
    )

    assert gathered(here).is_renewed("spring", "LF") is renewed
    assert not gathered(here).is_renewed("spring", "RF")


def test_what_the_refit_asks_for_and_tightens_is_known_and_nothing_of_the_strip(here):
    evidence = gathered(here)

    assert {"tie-rod.length", "ride-height", "spring.compressed-length"} <= evidence.asked
    assert "odometer" in evidence.asked  # after the road test
    assert "tyre.size" not in evidence.asked
    assert "wheel-nut" in evidence.tightened
    assert "bar-bracket-bolt" not in evidence.tightened  # the bar stays on in this job


def test_a_captured_figure_is_as_sure_as_its_writing():
    known = of_capture(Capture(value=0.32, uncertainty=0.0016))

    assert (known.value, known.uncertainty) == (0.32, 0.0016)
    assert of_capture(Capture(value=8.0)).uncertainty == 0.0
    with pytest.raises(ValueError, match="no figure"):
        of_capture(Capture(kind="missing"))


def test_a_spec_line_is_its_middle_and_half_its_range():
    known = of_spec(Spec(low=80.0, high=100.0))

    assert (known.value, known.uncertainty) == (90.0, 10.0)
