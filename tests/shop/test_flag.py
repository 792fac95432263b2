"""A target that reads otherwise after a step that rested on it was done."""

import pytest
from sqlmodel import select

from server.shop import spec
from server.shop.capture import Correction
from server.shop.hold import confirm, holds_at
from server.shop.release import loose_ends
from server.shop.step import steps_of
from server.shop.target import refresh
from server.store.tables import Capture, Vehicle
from tests.shop.conftest import library


@pytest.fixture
def here(at):
    return at("settle", "up")


def correct(here, key, text, *, operation):
    """Somebody finds that the figure as found was misread."""
    first = here.db.exec(
        select(Capture).where(Capture.job_id == here.job.id, Capture.key == key, Capture.place == "LF")
    ).first()
    here.measure(here.step(operation, "down"), key, text, correction=Correction(first, "misread"))
    refresh(here.db, here.job, here.front_end, now=here.now)


def flags(here, step):
    return [hold for key, hold in holds_at(here.db, step).items() if key.startswith("changed: ")]


def test_correcting_what_a_done_step_rested_on_holds_that_step_and_leaves_it_done(here):
    preset = here.step("preset", "bench")
    assert (preset.state, flags(here, preset)) == ("done", [])

    correct(here, "tie-rod.length", "12 1/2 in", operation="tie-rod")

    (flag,) = flags(here, preset)
    assert preset.state == "done"
    assert "from 12 5/8 in" in flag.text
    assert "to 12 1/2 in" in flag.text
    assert flag.text.startswith("Preset the tie rod, left front: ")
    assert flag.needs_role == "technician"
    assert flag.confirmed_at is None


def test_every_rung_that_handled_the_spring_is_flagged_when_its_length_was_misread(here):
    correct(here, "spring.compressed-length", "9 1/4 in", operation="spring")

    flagged = {
        (step.operation, step.direction) for step in steps_of(here.db, here.job.id) if flags(here, step)
    }
    assert ("spring", "up") in flagged
    assert all(direction != "down" for _, direction in flagged)


def test_the_strip_itself_is_left_alone(here):
    correct(here, "tie-rod.length", "12 1/2 in", operation="tie-rod")

    assert flags(here, here.step("tie-rod", "down")) == []
    assert flags(here, here.step("tie-rod", "up")) != []


def test_a_flag_is_a_loose_end_until_somebody_has_looked(here):
    correct(here, "tie-rod.length", "12 1/2 in", operation="tie-rod")
    preset = here.step("preset", "bench")
    (flag,) = flags(here, preset)

    def is_open():
        ends = loose_ends(here.db, here.job, library())
        return any(end.href == f"/steps/{preset.id}#holds" for end in ends)

    assert is_open()
    confirm(flag, by=here.crew.technician, now=here.now)
    here.db.flush()
    assert not is_open()


def test_a_further_change_asks_again_and_says_what_it_is_now(here):
    preset = here.step("preset", "bench")
    correct(here, "tie-rod.length", "12 1/2 in", operation="tie-rod")
    confirm(flags(here, preset)[0], by=here.crew.technician, now=here.now)

    correct_again(here, "12 3/8 in")

    (flag,) = flags(here, preset)
    assert flag.confirmed_at is None
    assert "to 12 3/8 in" in flag.text


def test_while_it_is_open_the_same_flag_follows_the_figure(here):
    preset = here.step("preset", "bench")
    correct(here, "tie-rod.length", "12 1/2 in", operation="tie-rod")

    correct_again(here, "12 3/8 in")

    assert len(flags(here, preset)) == 1
    assert "to 12 3/8 in" in flags(here, preset)[0].text


def correct_again(here, text):
    newest = here.db.exec(
        select(Capture)
        .where(Capture.job_id == here.job.id, Capture.key == "tie-rod.length", Capture.place == "LF")
        .where(Capture.text == "12 1/2 in")
    ).one()
    why = Correction(newest, "misread again")
    here.measure(here.step("tie-rod", "down"), "tie-rod.length", text, correction=why)
    refresh(here.db, here.job, here.front_end, now=here.now)


def test_a_torque_on_the_sheet_changed_after_the_wrench_flags_the_step_that_pulled_it(here):
    pulled = [
        step for step in steps_of(here.db, here.job.id) if step.state == "done" and torques_of(here, step)
    ]
    key = torques_of(here, pulled[0])[0]
    standing = spec.sheet(here.db, here.job.vehicle_id)[key]
    spec.write_line(
        here.db,
        here.db.get_one(Vehicle, here.job.vehicle_id),
        spec.line_of(here.front_end, key),
        client_id=here.client_id(),
        text="80 to 95 lbf·ft",
        source="Maker's bulletin 12",
        generic=False,
        by=here.crew.foreman,
        now=here.now,
        supersedes=standing,
        reason="the bulletin goes before the manual",
    )

    refresh(here.db, here.job, here.front_end, now=here.now)

    flagged = [step for step in steps_of(here.db, here.job.id) if flags(here, step)]
    assert flagged == [step for step in pulled if key in torques_of(here, step)]


def torques_of(here, step):
    """Keys of the spec sheet's lines that a step's wrench went by."""
    up = here.front_end.operation(step.operation).up
    if step.direction == "down" or up is None:
        return []
    pulled = [act.fastener for act in up.fasteners if act.act == "torque"]
    return [here.front_end.fastener(one).torque for one in pulled]


def test_what_no_page_would_show_differently_flags_nothing(here):
    """12.626 in reads 12 5/8 in within its own ±."""
    preset = here.step("preset", "bench")

    correct(here, "tie-rod.length", "12 10/16 in", operation="tie-rod")

    assert flags(here, preset) == []
