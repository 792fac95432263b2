import pytest

from server.shop import spec, torque_record
from server.shop.capture import Correction, miss_at
from server.shop.correction import corrections
from server.shop.decision import decide, to_decide
from server.shop.torque_record import Pull
from server.store.tables import Capture, Vehicle


def told(here):
    return [
        (one.name, one.place, one.was, one.now, one.why, one.by)
        for one in corrections(here.db, here.job, here.front_end, system="inch")
    ]


def taken(here, step, key):
    return next(one.capture for one in here.standing(step) if one.capture.key == key)


def test_where_nothing_was_corrected_nothing_is_told(at):
    assert told(at("preset", "bench")) == []


def test_a_corrected_figure_is_told_with_what_it_was_and_why(at):
    here = at("preset", "bench")
    down = here.step("tie-rod", "down")
    why = Correction(taken(here, down, "tie-rod.length"), "measured over the ends")

    here.measure(down, "tie-rod.length", "12 1/2 in", correction=why)

    assert told(here) == [
        ("Tie rod between stud centres", "LF", "12 5/8 in", "12 1/2 in", "measured over the ends", "Tom")
    ]


def test_a_figure_corrected_twice_is_told_twice(at):
    here = at("preset", "bench")
    down = here.step("tie-rod", "down")
    for text, why in (("12 1/2 in", "over the ends"), ("12 9/16 in", "wrong edge of the rule")):
        before = taken(here, down, "tie-rod.length")
        here.measure(down, "tie-rod.length", text, correction=Correction(before, why))

    assert [(was, now) for _, _, was, now, _, _ in told(here)] == [
        ("12 5/8 in", "12 1/2 in"),
        ("12 1/2 in", "12 9/16 in"),
    ]


def test_a_figure_taken_back_says_that_it_was_never_taken(at):
    here = at("preset", "bench")
    down = here.step("tie-rod", "down")
    wanted, before = here.wanted(down, "tie-rod.length"), taken(here, down, "tie-rod.length")

    miss_at(
        here.db,
        down,
        wanted,
        here.hand(),
        place="LF",
        reason="rod is gone",
        correction=Correction(before, "that was the other car's"),
    )

    assert told(here)[0][2:5] == ("12 5/8 in", "not taken: rod is gone", "that was the other car's")


def test_a_corrected_torque_is_told(at):
    here = at("shock", "up")
    up = here.step("shock", "up")
    here.start(up)
    before = here.pull(up, "shock-top-nut", "65 lbf·ft")

    torque_record.correct(
        here.db,
        up,
        here.tightening(up, "shock-top-nut"),
        before,
        here.hand(here.crew.second),
        Pull("70 lbf·ft"),
        reason="misread the scale",
    )

    [(name, place, was, now, why, by)] = told(here)
    assert (name, place, why, by) == ("Shock top nut", "LF", "misread the scale", "Nadia")
    assert was.startswith("65 lbf·ft")
    assert now.startswith("70 lbf·ft")


def test_a_change_of_mind_is_told(at):
    here = at("inspect", "bench")
    bench = here.step("inspect", "bench")
    here.start(bench)
    for verdict, reason in (("reuse", "looks good"), ("renew", "play when cold")):
        seen = next(one for one in to_decide(here.db, bench, here.front_end) if one.part.id == "tie-rod")
        decide(
            here.db,
            bench,
            seen.part,
            client_id=here.client_id(),
            verdict=verdict,
            reason=reason,
            evidence=here.photograph(bench),
            by=here.crew.technician,
            now=here.now,
            supersedes=seen.decision,
        )

    assert told(here) == [("Tie-rod assembly", "LF", "Reuse", "Renew", "play when cold", "Tom")]


@pytest.mark.parametrize(
    ("when", "is_told"), [("open", True), ("released before", False), ("opened after", False)]
)
def test_the_spec_sheet_is_part_of_a_job_only_while_that_is_open(at, when, is_told):
    here = at("preset", "bench")
    car = here.db.get_one(Vehicle, here.job.vehicle_id)
    line = next(one for one in spec.lines_for(here.front_end) if one.key == "torque.link-nut")
    spec.write_line(
        here.db,
        car,
        line,
        client_id=here.client_id(),
        text="20 to 25 lbf·ft",
        source="Maker's manual p. 3-12",
        generic=False,
        by=here.crew.foreman,
        now=here.now,
        supersedes=spec.sheet(here.db, car.id)[line.key],
        reason="wrong column",
    )
    if when == "released before":
        here.job.released_at = here.job.opened_at
    if when == "opened after":
        here.job.opened_at = here.now.replace(year=here.now.year + 1)

    expected = ("Spec sheet: Link nut", "car", "60 to 75 lbf·ft", "20 to 25 lbf·ft", "wrong column", "Ilse")
    assert told(here) == ([expected] if is_told else [])


def test_corrections_come_in_the_order_in_which_they_were_made(at):
    here = at("preset", "bench")
    down, intake = here.step("tie-rod", "down"), here.step("intake", "down")
    first = Correction(taken(here, down, "tie-rod.length"), "over the ends")
    here.measure(down, "tie-rod.length", "12 1/2 in", correction=first)
    height: Capture = taken(here, intake, "ride-height")
    here.now = here.now.replace(hour=here.now.hour + 1)
    later = Correction(height, "hooked on the trim")
    here.measure(intake, "ride-height", "14 1/8 in", place=height.place, correction=later)

    assert [why for _, _, _, _, why, _ in told(here)] == ["over the ends", "hooked on the trim"]
