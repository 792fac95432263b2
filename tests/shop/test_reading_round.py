"""Readings put into rounds, in the order taken."""

from datetime import timedelta

from server.shop.capture import Taken
from server.shop.reading_round import as_found, rounds, wanted
from server.shop.target import TAKEN_BACK
from server.store.tables import Target
from tests.shop.bench_top import captured, evidence
from tests.shop.conftest import NOW


def taken(key, text, *, place="LF", after_min=0, id=1, by="Tom", reason="", history=()):
    one = captured(key, text, place=place, id=id)
    one.at, one.reason = NOW + timedelta(minutes=after_min), reason
    return Taken(one, by, history)


def cells(standing, aimed=None, system="inch"):
    return [one.cells for one in rounds(standing, aimed or {}, system=system)]


def test_a_figure_that_is_taken_once_more_begins_another_round():
    first = taken("camber", "-0.5°")
    again = taken("camber", "0.25°", id=3, after_min=30, reason="Packs changed", history=(first,))
    other = taken("camber", "0.75°", place="RF", id=2)

    found = rounds([other, again], {}, system="inch")

    assert [one.number for one in found] == [1, 2]
    assert [one.cells[:2] for one in found] == [("-0.5°", "0.75°"), ("0.25°", "")]
    assert (found[0].why, found[1].why) == ((), ("Packs changed",))


def test_a_sweep_stands_as_the_caster_it_gives():
    # 1.3° / (2 sin 20°) = 1.90°: the small-angle rule of a sweep, common practice
    [row] = cells([taken("camber.turned-out", "0.5°"), taken("camber.turned-in", "-0.8°", id=2)])

    assert row[2] == "1.9°"


def test_toe_is_what_the_tape_says_in_the_unit_of_the_columns_head():
    tape = [
        taken("toe.tape-front", "58 1/16 in", place="car"),
        taken("toe.tape-rear", "58 3/16 in", place="car", id=2),
    ]

    assert cells(tape)[0][4] == "1/8"
    assert cells(tape, system="metric")[0][4].startswith("3")


def test_both_wheels_gauges_are_the_total_and_one_alone_is_none():
    left, right = (taken("toe.wheel", "0.2°", place=place, id=n) for n, place in enumerate(("LF", "RF")))

    assert cells([left, right])[0][4] == "0.4°"
    assert cells([left])[0][4] == ""


def test_no_reading_is_no_round():
    assert rounds([], {}, system="inch") == []


def test_each_round_has_the_move_that_stood_when_the_next_began():
    first = taken("camber", "-0.5°")
    again = taken("camber", "0.25°", id=2, after_min=30, history=(first,))

    def target(says, after_min):
        return Target(
            job_id=1, key="pre-alignment.front", place="LF", says=says, at=NOW + timedelta(minutes=after_min)
        )

    newest = target("Leave the front pack as it is.", 30)
    before = target(
        "Add 1/16 in (1.59 mm) to the front pack: 1/4 in (6.35 mm) then. Nearest: 4 × 1/16 in.", 0
    )
    aimed = {("pre-alignment.front", "LF"): [newest, before]}

    said = [one.advice[0].says for one in rounds([again], aimed, system="inch")]

    assert said == [("Add 1/16 in (1.59 mm) to the front pack.",), ("Leave the front pack as it is.",)]


def test_what_was_taken_back_is_no_advice():
    gone = Target(job_id=1, key="pre-alignment.front", place="LF", says=TAKEN_BACK, at=NOW)

    [one] = rounds([taken("camber", "0.5°")], {("pre-alignment.front", "LF"): [gone]}, system="inch")

    assert one.advice == ()


def test_packs_that_were_changed_are_told_with_their_round():
    [one] = rounds([taken("pack.front", "1/4 in", place="RF")], {}, system="inch")

    assert one.packs == (("RF", "pack.front", "1/4 in"),)


def test_found_and_wanted_stand_in_the_same_columns():
    given = evidence(
        down={
            ("camber", "LF"): "1°",
            ("toe.tape-front", "car"): "58 1/4 in",
            ("toe.tape-rear", "car"): "58 1/8 in",
        },
        sheet={"camber": "0.5°", "toe.total": "1/8 in toe-in"},
    )

    assert as_found(given, system="inch") == ("1°", "", "", "", "-1/8")
    assert wanted(given, system="inch") == ("0.5°", "0.5°", "", "", "1/8")
