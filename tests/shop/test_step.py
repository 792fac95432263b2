import pytest
from sqlmodel import select

from server.shop import job as jobs
from server.shop.capture import answers, miss_at
from server.shop.lack import asked
from server.shop.refusal import Conflict, Forbidden, Refusal
from server.shop.step import NotYet, deny_hold, ready, steps_of, waits_for
from server.shop.torque_record import pin
from server.store.tables import Hazard, Hold, TagMove
from tests.shop.conftest import library


def release(here):
    here.job.released_at = here.now


def park(here):
    safe = {one.id: "on two stands" for one in here.hazards()}
    ends, foreman = library(), here.crew.foreman
    jobs.park(here.db, here.job, why="parts", made_safe=safe, front_ends=ends, by=foreman, now=here.now)


def captured(here, step):
    """Everything that the step asks for, said to be impossible to take."""
    taken = here.standing(step)
    for wanted, place in asked(step, here.rung(step)):
        if any(answers(one.capture, wanted, place) for one in taken):
            continue
        miss_at(here.db, step, wanted, here.hand(), place=place, reason="no light")


def on_hold(here, operation, direction):
    """The step of that name, gone as far as its hold."""
    step = here.step(operation, direction)
    if step.state == "to do":
        here.start(step)
    if step.state == "in hand":
        captured(here, step)
        here.finish(step)
    assert step.state == "on hold"
    return step


# Starting


def test_a_step_is_started_in_somebodys_name(at):
    here = at("intake", "down")
    step = here.step("intake", "down")

    here.start(step, by=here.crew.apprentice)

    assert (step.state, step.started_by, step.started_at) == ("in hand", here.crew.apprentice.id, here.now)
    assert step.revision == 1


def test_a_step_whose_earlier_steps_are_not_done_names_each_with_a_link(at):
    here = at("support", "down")
    wheel, support = here.step("wheel", "down"), here.step("support", "down")

    with pytest.raises(NotYet) as refused:
        here.start(wheel)

    assert [(one.sentence, one.href) for one in refused.value.lacking] == [
        ("Raise and support comes first.", f"/steps/{support.id}")
    ]
    assert (wheel.state, wheel.revision) == ("to do", 0)


def test_a_step_begun_is_not_done_for_the_one_after_it(at):
    here = at("support", "down")
    here.start(here.step("support", "down"))

    with pytest.raises(NotYet):
        here.start(here.step("wheel", "down"))


def test_a_step_that_is_not_needed_holds_nobody_up(at):
    here = at("support", "down")
    here.step("support", "down").state = "not needed"

    here.start(here.step("wheel", "down"))

    assert here.step("wheel", "down").state == "in hand"


def test_what_can_be_started_is_what_waits_for_nothing_and_is_not_begun(at):
    here = at("support", "down")
    steps = steps_of(here.db, here.job.id)
    support, wheel = here.step("support", "down"), here.step("wheel", "down")

    assert ready(steps) == [support]
    assert waits_for(wheel, steps) == [support]

    here.start(support)

    assert ready(steps_of(here.db, here.job.id)) == []


@pytest.mark.parametrize("end_work", [release, park])
def test_nothing_is_started_on_a_job_that_is_released_or_parked(at, end_work):
    here = at("support", "down")
    step = here.step("support", "down")
    end_work(here)

    with pytest.raises(Refusal, match=r"released|parked"):
        here.start(step)

    assert (step.state, here.hazards()) == ("to do", [])


@pytest.mark.parametrize("end_work", [release, park])
def test_a_step_in_hand_is_not_gone_on_with_on_a_job_that_is_released_or_parked(at, end_work):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    here.start(step)
    here.pull(step, "caliper-bolt")
    end_work(here)

    for act in (here.start, here.finish):
        with pytest.raises(Refusal, match=r"released|parked"):
            act(step)

    assert step.state == "in hand"


def test_a_step_is_started_once(at):
    here = at("support", "down")
    step = here.step("support", "down")
    here.start(step)
    revision, started_at = step.revision, step.started_at

    here.start(step, by=here.crew.second)

    assert (step.revision, step.started_at, step.started_by) == (
        revision,
        started_at,
        here.crew.technician.id,
    )


# Hazards


def test_a_hazard_begins_when_its_step_is_started_and_ends_only_when_one_is_done(at):
    here = at("joint-nuts", "down")
    nuts, compressor = here.step("joint-nuts", "down"), here.step("compressor", "down")

    here.start(nuts)
    assert "spring-held-by-nuts" in here.hazard_kinds()
    here.finish(nuts)
    assert "spring-held-by-nuts" in here.hazard_kinds()

    here.start(compressor)
    assert {"spring-held-by-nuts", "spring-compressed"} <= here.hazard_kinds()
    captured(here, compressor)
    here.finish(compressor)
    assert "spring-held-by-nuts" not in here.hazard_kinds()
    assert "spring-compressed" in here.hazard_kinds()


def test_a_hazard_keeps_who_began_it_and_who_ended_it_and_where(at):
    here = at("caliper", "up")
    caliper = here.step("caliper", "up")
    here.start(caliper)
    here.pull(caliper, "caliper-bolt")
    here.finish(caliper, by=here.crew.second)

    hanging = here.db.exec(select(Hazard).where(Hazard.kind == "caliper-hanging")).one()
    assert (hanging.place, hanging.began_step_id) == ("LF", here.step("caliper", "down").id)
    assert (hanging.ended_by, hanging.ended_step_id) == (here.crew.second.id, caliper.id)
    assert hanging.ended_at == here.now


def test_a_hazard_does_not_end_while_the_step_that_ends_it_waits_for_a_confirmation(at):
    here = at("compressor", "up")
    step = here.step("compressor", "up")

    here.start(step)
    assert "spring-compressed" in here.hazard_kinds()

    here.confirm(step, "start")
    assert "spring-compressed" in here.hazard_kinds()


# Holds


def test_a_hold_before_the_first_touch_stops_the_step_until_it_is_confirmed(at):
    here = at("compressor", "up")
    step = here.step("compressor", "up")

    here.start(step)

    assert (step.state, step.started_at) == ("on hold", None)
    assert (
        here.hold(step, "start").text
        == "Both ball-joint nuts are torqued, cottered and seen by a second person."
    )
    with pytest.raises(Refusal, match="on hold"):
        here.finish(step)

    here.confirm(step, "start", by=here.crew.second)

    assert (step.state, step.started_by, step.started_at) == ("in hand", here.crew.technician.id, here.now)
    assert here.hold(step, "start").confirmed_by == here.crew.second.id


@pytest.mark.parametrize("stop", [("support", "down"), ("compressor", "up")])
def test_whatever_changes_a_step_makes_every_page_of_before_stale(at, stop):
    here = at(*stop)
    step = here.step(*stop)
    seen = [step.revision]

    here.start(step)
    seen.append(step.revision)
    if step.state == "on hold":
        here.confirm(step, "start")
        seen.append(step.revision)
    captured(here, step)
    here.finish(step)
    seen.append(step.revision)
    if step.state == "on hold":
        here.confirm(step, "end")
        seen.append(step.revision)
    here.reopen(step)
    seen.append(step.revision)

    assert seen == sorted(set(seen))


def test_a_hold_at_the_end_lets_work_begin_and_stops_it_from_being_done(at):
    here = at("support", "down")
    step = here.step("support", "down")
    here.start(step)
    assert step.state == "in hand"
    captured(here, step)

    here.finish(step)

    assert (step.state, step.done_at) == ("on hold", None)
    with pytest.raises(NotYet):
        here.start(here.step("wheel", "down"))

    here.confirm(step, "end", by=here.crew.second)

    assert (step.state, step.done_by) == ("done", here.crew.technician.id)
    assert here.hold(step, "end").confirmed_by == here.crew.second.id


def test_an_apprentice_confirms_no_hold(at):
    here = at("support", "down")
    step = here.step("support", "down")
    here.start(step)
    captured(here, step)
    here.finish(step)

    with pytest.raises(Forbidden):
        here.confirm(step, "end", by=here.crew.apprentice)

    assert step.state == "on hold"


def test_a_hold_is_confirmed_once(at):
    here = at("compressor", "up")
    step = here.step("compressor", "up")
    here.start(step)
    here.confirm(step, "start")

    with pytest.raises(Conflict):
        here.confirm(step, "start", by=here.crew.foreman)

    assert here.hold(step, "start").confirmed_by == here.crew.second.id


@pytest.mark.parametrize("end_work", [release])
def test_no_hold_is_confirmed_on_a_released_job(at, end_work):
    here = at("compressor", "up")
    step = here.step("compressor", "up")
    here.start(step)
    end_work(here)

    with pytest.raises(Refusal, match="released"):
        here.confirm(step, "start")

    assert here.hold(step, "start").confirmed_at is None


def test_confirming_a_foremans_hold_leaves_the_step_where_it_is(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    here.start(step)
    here.pull(step, "caliper-bolt", "90 lbf·ft", confirmed=True)

    here.confirm(step, "torque outside: caliper-bolt", by=here.crew.foreman)

    assert step.state == "in hand"
    assert "caliper-hanging" in here.hazard_kinds()


@pytest.mark.parametrize(
    ("stop", "key", "state"),
    [(("compressor", "up"), "start", "to do"), (("support", "down"), "end", "in hand")],
)
def test_what_is_not_so_sends_the_step_back_and_asks_again(at, stop, key, state):
    here = at(*stop)
    step = on_hold(here, *stop)
    hazards, revision = here.hazard_kinds(), step.revision

    deny_hold(here.job, step, here.hold(step, key), by=here.crew.second)

    assert (step.state, step.done_by, step.revision) == (state, None, revision + 1)
    assert here.hold(step, key).confirmed_at is None
    assert here.hazard_kinds() == hazards
    again = on_hold(here, *stop)
    assert again.state == "on hold"
    here.confirm(again, key)
    assert again.state == {"start": "in hand", "end": "done"}[key]


def test_only_who_could_confirm_a_hold_says_that_it_is_not_so(at):
    here = at("support", "down")
    step = on_hold(here, "support", "down")

    with pytest.raises(Forbidden):
        deny_hold(here.job, step, here.hold(step, "end"), by=here.crew.apprentice)

    assert step.state == "on hold"


def test_what_is_not_to_be_confirmed_now_is_not_denied_either(at):
    here = at("support", "down")
    step = on_hold(here, "support", "down")
    hold = here.hold(step, "end")
    here.confirm(step, "end")

    with pytest.raises(Conflict):
        deny_hold(here.job, step, hold, by=here.crew.foreman)

    assert step.state == "done"


def test_no_hold_is_denied_on_a_released_job(at):
    here = at("support", "down")
    step = on_hold(here, "support", "down")
    release(here)

    with pytest.raises(Refusal, match="released"):
        deny_hold(here.job, step, here.hold(step, "end"), by=here.crew.second)


# Finishing


def test_a_step_is_done_in_somebodys_name_and_the_next_may_start(at):
    here = at("intake", "down")
    step = here.step("intake", "down")
    here.start(step)
    captured(here, step)

    here.finish(step, by=here.crew.second)

    assert (step.state, step.done_by, step.done_at) == ("done", here.crew.second.id, here.now)
    here.start(here.step("wheel-nuts", "down"))


def test_a_step_nobody_has_started_is_not_done(at):
    here = at("settle", "up")
    step = here.step("settle", "up")

    with pytest.raises(Refusal, match="Start the step first"):
        here.finish(step)

    assert step.state == "to do"


def test_a_step_that_lacks_something_is_not_done_and_stays_in_hand(at):
    here = at("intake", "down")
    step = here.step("intake", "down")
    here.start(step)

    with pytest.raises(NotYet) as refused:
        here.finish(step)

    assert refused.value.lacking == here.lacks(step) != []
    assert step.state == "in hand"


def test_a_page_of_before_does_not_finish_what_somebody_has_taken_in_hand(at):
    here = at("settle", "up")
    step = here.step("settle", "up")
    here.start(step, by=here.crew.second)

    with pytest.raises(Conflict, match="Nadia has taken this step in hand meanwhile"):
        here.finish(step, revision=step.revision - 1)

    assert step.state == "in hand"


def test_a_step_that_someone_has_finished_says_who(at):
    here = at("settle", "up")
    step = here.step("settle", "up")
    here.start(step)
    seen = step.revision
    here.finish(step, by=here.crew.second)

    with pytest.raises(Conflict, match="Nadia has finished this step meanwhile"):
        here.finish(step, revision=seen)

    assert step.done_by == here.crew.second.id


def test_the_release_is_not_done_like_a_step(at):
    here = at("settle", "up")
    step = here.step("release", "after")
    step.state = "in hand"

    with pytest.raises(Refusal, match="loose ends"):
        here.finish(step)


# Tags


def test_tags_are_hung_when_a_part_comes_off_and_only_once(at):
    here = at("tie-rod", "down")
    step = here.step("tie-rod", "down")
    before = len(here.tags("out"))

    here.start(step)
    hung = [tag for tag in here.tags("out") if tag.step_id == step.id]
    assert [tag.part for tag in hung] == ["tie-rod", "fasteners"]
    assert len({tag.number for tag in here.tags("out")}) == before + 2

    captured(here, step)
    here.finish(step)
    here.reopen(step)
    here.start(step)
    assert len(here.tags("out")) == before + 2


def test_no_tag_is_hung_on_the_way_up(at):
    here = at("tie-rod", "up")
    hung = len(here.tags("out")) + len(here.tags("refitted"))

    here.start(here.step("tie-rod", "up"))

    assert len(here.tags("out")) + len(here.tags("refitted")) == hung


def test_what_goes_back_on_with_a_step_is_back_once_it_is_done(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    out = [tag for tag in here.tags("out") if tag.step_id == here.step("caliper", "down").id]
    here.start(step)
    here.pull(step, "caliper-bolt")
    assert {tag.state for tag in out} == {"out"}

    here.finish(step, by=here.crew.second)

    assert {tag.state for tag in out} == {"refitted"}
    moved = here.db.exec(select(TagMove).where(TagMove.tag_id == out[0].id).order_by(TagMove.id)).all()[-1]
    assert (moved.state, moved.person_id) == ("refitted", here.crew.second.id)


def test_what_hangs_on_a_rung_without_a_way_up_of_its_own_goes_back_with_the_rung_that_undoes_it(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    bag = next(tag for tag in here.tags("out") if tag.part == "fasteners" and tag.place == "LF")
    bag.step_id = here.step("steering-cotters", "down").id
    here.start(step)
    for fastener in ("outer-tie-rod-nut", "inner-tie-rod-nut"):
        here.pull(step, fastener)
        pin(here.db, step, here.tightening(step, fastener, "cotter"), here.hand())

    with pytest.raises(NotYet, match="not done yet") as refused:
        here.finish(step, put_back={tag.number for tag in here.tags("out")} - {bag.number})
    assert [one.sentence.split(",")[0] for one in refused.value.lacking] == [f"Tag {bag.number}"]

    here.finish(step)
    assert bag.state == "refitted"


# Reopening


def test_a_step_is_reopened_as_long_as_nothing_rests_on_it(at):
    here = at("shock", "up")
    step = here.step("lower-pivots", "up")
    revision = step.revision

    here.reopen(step)

    assert (step.state, step.done_at, step.done_by) == ("to do", None, None)
    assert (step.started_at, step.started_by) == (None, None)
    assert step.revision == revision + 1


@pytest.mark.parametrize("finished", [False, True])
def test_a_step_that_later_work_rests_on_stays_done(at, finished):
    here = at("wheel-nuts", "up")
    support, nuts = here.step("support", "up"), here.step("wheel-nuts", "up")
    here.start(nuts)
    if finished:
        here.pull(nuts, "wheel-nut", "34 lbf·ft")
        here.pull(nuts, "wheel-nut", "68 lbf·ft")
        here.finish(nuts)

    with pytest.raises(Refusal, match="Wheel nuts, left front, rests on this step"):
        here.reopen(support)

    assert support.state == "done"
    assert here.hazard_kinds() == set()


def test_a_step_is_reopened_once_what_rested_on_it_is_reopened(at):
    here = at("wheel-nuts", "up")
    support, wheel = here.step("support", "up"), here.step("wheel", "up")
    with pytest.raises(Refusal):
        here.reopen(wheel)

    here.reopen(support)
    here.reopen(wheel)

    assert (support.state, wheel.state) == ("to do", "to do")


def test_the_hazards_that_a_step_ended_live_again_as_old_as_they_were_and_in_the_same_name(at):
    here = at("wheel-nuts", "up")
    step = here.step("support", "up")
    assert here.hazard_kinds() == set()
    before = here.db.exec(select(Hazard).where(Hazard.kind == "car-raised")).one()
    began = (before.began_by, before.began_at)

    here.reopen(step, by=here.crew.second)

    [raised] = here.hazards()
    assert (raised.kind, raised.began_by, raised.began_at) == ("car-raised", *began)
    assert (raised.ended_at, raised.ended_by, raised.ended_step_id) == (None, None, None)


def test_what_a_reopened_step_put_back_is_out_again(at):
    here = at("tie-rod", "up")
    step = here.step("caliper", "up")
    back = [tag for tag in here.tags("refitted") if tag.step_id == here.step("caliper", "down").id]
    assert back

    here.reopen(step)

    assert {tag.state for tag in back} == {"out"}


def test_the_holds_of_a_reopened_step_want_confirming_anew_and_the_old_ones_stay_readable(at):
    here = at("shock", "up")
    here.reopen(here.step("lower-pivots", "up"))
    step = here.step("compressor", "up")
    [before] = here.db.exec(select(Hold).where(Hold.step_id == step.id)).all()

    here.reopen(step)
    assert "spring-compressed" in here.hazard_kinds()
    here.start(step)

    assert step.state == "on hold"
    assert here.hold(step, "start").confirmed_at is None
    assert before.confirmed_by is not None
    here.confirm(step, "start")
    assert step.state == "in hand"


def test_a_page_of_before_reopens_nothing(at):
    here = at("shock", "up")
    step = here.step("lower-pivots", "up")

    with pytest.raises(Conflict):
        here.reopen(step, revision=step.revision - 1)

    assert step.state == "done"


@pytest.mark.parametrize("state", ["to do", "in hand", "on hold"])
def test_what_is_not_done_is_not_reopened(at, state):
    here = at("settle", "up")
    step = here.step("settle", "up")
    step.state = state

    with pytest.raises(Conflict):
        here.reopen(step)

    assert step.state == state


def test_nothing_is_reopened_on_a_released_job(at):
    here = at("settle", "up")
    step = here.step("wheel-nuts", "up")
    release(here)

    with pytest.raises(Refusal, match="released"):
        here.reopen(step)

    assert step.state == "done"


@pytest.mark.parametrize(
    ("stop", "operation", "direction", "key"),
    [(("wheel-nuts", "up"), "compressor", "up", "start"), (("support", "down"), "support", "down", "end")],
)
def test_a_hold_of_a_reopened_step_is_confirmed_only_once_the_step_has_come_to_it_again(
    at, stop, operation, direction, key
):
    here = at(*stop)
    step = here.step(operation, direction)
    if step.state == "to do":
        here.start(step)
        captured(here, step)
        here.finish(step)
        here.confirm(step, key)
        here.reopen(step)
    else:
        later = [one for one in steps_of(here.db, here.job.id) if one.seq > step.seq and one.state == "done"]
        for one in [*reversed(later), step]:
            here.reopen(one)
    hazards = here.hazard_kinds()

    with pytest.raises(Refusal):
        here.confirm(step, key)

    assert (step.state, here.hazard_kinds()) == ("to do", hazards)
    assert here.hold(step, key).confirmed_at is None
