from datetime import timedelta

from server.shop.decision import decide, to_decide
from server.shop.hold import open_hold
from server.shop.job import park
from server.shop.torque_record import verify
from server.shop.waiting import waits
from tests.shop.conftest import library


def waiting(here):
    return waits(here.db, [here.job], library())[here.job.id]


def test_a_car_nobody_has_to_wait_for_waits_for_nothing(at):
    assert waiting(at("tie-rod", "down")) == []


def test_a_hold_point_is_waited_for_until_it_is_confirmed(at):
    here = at("support", "down")
    step = here.step("support", "down")
    hold = open_hold(
        here.db, step, key="end", text="Confirm the stands.", needs_role="technician", now=here.now
    )

    [one] = waiting(here)
    assert (one.sentence, one.since, one.href) == ("Confirm the stands.", here.now, f"/steps/{step.id}#holds")

    hold.confirmed_at, hold.confirmed_by = here.now, here.crew.second.id
    here.db.flush()
    assert waiting(here) == []


def test_a_torque_is_waited_for_until_a_second_person_has_seen_it(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    here.start(step)
    record = here.pull(step, "caliper-bolt")

    [one] = waiting(here)
    assert one.sentence == "Second person: caliper bolt, left front"
    assert one.href == f"/steps/{step.id}#torque"

    verify(here.db, record, here.hand(here.crew.second))
    assert waiting(here) == []


def test_a_part_that_was_sent_out_is_waited_for_until_something_else_is_decided(at):
    here = at("inspect", "bench")
    step = here.step("inspect", "bench")
    here.start(step)
    part = next(one.part for one in to_decide(here.db, step, here.front_end))
    evidence = here.photograph(step)

    def say(verdict, before=None):
        return decide(
            here.db,
            step,
            part,
            client_id=here.client_id(),
            verdict=verdict,
            reason="pitted",
            evidence=evidence,
            by=here.crew.technician,
            now=here.now,
            supersedes=before,
        )

    sent = say("send out")
    assert waiting(here)[-1].sentence == f"Sent out: {part.name.lower()}, left front"

    say("renew", sent)
    assert all("Sent out" not in one.sentence for one in waiting(here))


def test_the_longest_wait_comes_first_and_parking_is_one(at):
    here = at("support", "down")
    park(
        here.db,
        here.job,
        why="tie rods on order",
        made_safe={one.id: "on its wheels" for one in here.hazards()},
        front_ends=library(),
        by=here.crew.technician,
        now=here.now,
    )
    later = here.now + timedelta(hours=1)
    open_hold(
        here.db, here.step("support", "down"), key="end", text="Confirm.", needs_role="technician", now=later
    )

    assert [one.sentence for one in waiting(here)] == ["Parked, waits for: tie rods on order", "Confirm."]
