import pytest

from server.shop.capture import miss_at, note_at
from server.shop.decision import decide, to_decide
from server.shop.lack import Lack, asked
from server.shop.torque_record import pin


def sentences(lacks):
    return [one.sentence for one in lacks]


def test_every_wanted_capture_is_lacking_until_it_is_taken(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    here.measure(step, "tie-rod.length", "12 5/8")
    here.photograph(step, key="tie-rod.clamps", place="LF")

    assert here.lacks(step) == [
        Lack(f"{name} is not captured yet.", f"/steps/{step.id}#captures")
        for name in (
            "Threads showing at the inner end of the sleeve",
            "Threads showing at the outer end of the sleeve",
            "Position of the sleeve's clamp bolts",
            "The assembly along a rule",
        )
    ]


def test_what_could_not_be_taken_is_not_lacking_once_somebody_said_why(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")

    for wanted, place in asked(step, here.rung(step)):
        miss_at(here.db, step, wanted, here.hand(), place=place, reason="rusted solid")

    assert here.lacks(step) == []


def test_what_is_asked_for_on_both_sides_is_lacking_for_each(at):
    here = at("intake", "down")
    step = here.step("intake", "down")
    here.measure(step, "ride-height", "14 1/4 in", place="LF")

    lacking = sentences(here.lacks(step))

    assert "Ride height: wheel centre to the edge of the fender LF is not captured yet." not in lacking
    assert "Ride height: wheel centre to the edge of the fender RF is not captured yet." in lacking
    assert "Odometer is not captured yet." in lacking


def test_what_may_be_left_out_is_not_lacking(at):
    here = at("intake", "down")
    step = here.step("intake", "down")

    assert not [one for one in sentences(here.lacks(step)) if one.startswith(("Camber", "Caster"))]


def test_a_capture_at_another_step_does_not_help(at):
    here = at("preset", "bench")
    step = here.step("preset", "bench")

    assert "Length between stud centres is not captured yet." in sentences(here.lacks(step))


def test_every_part_that_is_off_wants_a_decision(at):
    here = at("inspect", "bench")
    step = here.step("inspect", "bench")
    parts = [one.part for one in to_decide(here.db, step, here.front_end)]
    photo = here.photograph(step)
    assert here.lacks(step) == [
        Lack(f"Nobody has decided on the {part.name.lower()} yet.", f"/steps/{step.id}#decisions")
        for part in parts
    ]

    decide(
        here.db,
        step,
        parts[0],
        client_id=here.client_id(),
        verdict="reuse",
        reason="no play",
        evidence=photo,
        by=here.crew.technician,
        now=here.now,
    )

    assert len(here.lacks(step)) == len(parts) - 1


def test_decisions_are_asked_for_only_where_they_are_made(at):
    here = at("joint-nuts", "down")

    assert here.lacks(here.step("joint-nuts", "down")) == []


def test_every_stage_of_every_torque_and_every_cotter_is_lacking_until_recorded(at):
    here = at("wheel-nuts", "up")
    step = here.step("wheel-nuts", "up")
    to_torque = f"/steps/{step.id}#torque"

    assert here.lacks(step) == [Lack("Wheel nut: no torque is recorded, stage 1 of 2.", to_torque)]
    here.pull(step, "wheel-nut", "34 lbf·ft")
    assert here.lacks(step) == [Lack("Wheel nut: no torque is recorded, stage 2 of 2.", to_torque)]
    here.pull(step, "wheel-nut", "68 lbf·ft")
    assert here.lacks(step) == []


def test_a_cotter_is_lacking_beside_its_torque(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    ticked = frozenset(tag.number for tag in here.tags("out"))
    here.pull(step, "outer-tie-rod-nut")
    here.pull(step, "inner-tie-rod-nut")

    assert sentences(here.lacks(step, ticked)) == [
        "Outer tie-rod nut: no new cotter pin is recorded.",
        "Inner tie-rod nut: no new cotter pin is recorded.",
    ]

    for fastener in ("outer-tie-rod-nut", "inner-tie-rod-nut"):
        pin(here.db, step, here.tightening(step, fastener, "cotter"), here.hand())
    assert here.lacks(step, ticked) == []


def test_a_torque_nobody_has_verified_does_not_keep_a_step_open(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")

    here.pull(step, "caliper-bolt")

    assert here.lacks(step, frozenset(tag.number for tag in here.tags("out"))) == []


def test_what_waits_for_a_foreman_is_lacking_until_they_have_confirmed(at):
    here = at("wheel-nuts", "up")
    step = here.step("wheel-nuts", "up")
    here.start(step)
    here.pull(step, "wheel-nut", "34 lbf·ft")
    here.pull(step, "wheel-nut", "90 lbf·ft", confirmed=True)

    [lack] = here.lacks(step)
    assert lack.href == f"/steps/{step.id}#holds"
    assert lack.sentence == here.hold(step, "torque outside: wheel-nut").text

    here.confirm(step, "torque outside: wheel-nut", by=here.crew.foreman)
    assert here.lacks(step) == []


def test_a_steps_own_hold_is_no_lack_of_it(at):
    here = at("compressor", "up")
    step = here.step("compressor", "up")
    here.start(step)

    assert here.lacks(step) == []


def test_every_tag_that_goes_back_on_with_a_step_wants_ticking(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    tags = [
        tag
        for tag in here.tags("out")
        if tag.step_id in (here.step("tie-rod", "down").id, here.step("steering-cotters", "down").id)
    ]
    assert len(tags) == 2

    lacking = [one for one in here.lacks(step) if one.href == f"/steps/{step.id}#tags"]
    assert sentences(lacking) == [
        f"Tag {tags[0].number}, tie-rod assembly, is not ticked as back on the car.",
        f"Tag {tags[1].number}, fasteners: tie-rod assembly, is not ticked as back on the car.",
    ]

    ticked = here.lacks(step, frozenset([tags[0].number]))
    assert [one.sentence for one in ticked if one.href.endswith("#tags")] == [lacking[1].sentence]


def test_the_tag_of_a_part_that_is_renewed_is_not_asked_for(at):
    here = at("tie-rod", "up")
    step, bench = here.step("tie-rod", "up"), here.step("inspect", "bench")
    seen = next(one for one in to_decide(here.db, bench, here.front_end) if one.part.id == "tie-rod")
    decide(
        here.db,
        bench,
        seen.part,
        client_id=here.client_id(),
        verdict="renew",
        reason="play in the outer joint",
        evidence=here.photograph(bench),
        by=here.crew.technician,
        now=here.now,
        supersedes=seen.decision,
    )

    lacking = [one.sentence for one in here.lacks(step) if one.href.endswith("#tags")]

    assert len(lacking) == 1
    assert "fasteners: tie-rod assembly" in lacking[0]


def test_no_tag_is_asked_back_on_the_way_down(at):
    here = at("joint-nuts", "down")
    step = here.step("compressor", "down")

    assert not [one for one in here.lacks(step) if one.href.endswith("#tags")]
    assert here.tags("out")


def test_a_note_does_not_stand_for_a_figure(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    note_at(
        here.db,
        step,
        here.hand(),
        text="about a foot",
        wanted=here.wanted(step, "tie-rod.length"),
        place="LF",
    )

    assert "Length between stud centres is not captured yet." in sentences(here.lacks(step))


@pytest.mark.parametrize(("operation", "direction"), [("settle", "up"), ("compressor", "up")])
def test_a_step_that_asks_for_nothing_lacks_nothing(at, operation, direction):
    here = at(operation, direction)

    assert here.lacks(here.step(operation, direction)) == []
