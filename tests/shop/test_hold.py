import pytest

from server.shop.hold import confirm, holds_at, may_confirm, open_hold, reopen_holds, waits
from server.shop.refusal import Conflict, Forbidden
from server.store.tables import Hold

ROLES = ("foreman", "technician", "apprentice")


@pytest.fixture
def here(at):
    return at("caliper", "up")


@pytest.fixture
def step(here):
    return here.step("caliper", "up")


def opened(here, step, *, key="start", needs_role="technician"):
    return open_hold(here.db, step, key=key, text="Look twice.", needs_role=needs_role, now=here.now)


@pytest.mark.parametrize(
    ("needs_role", "role", "may"),
    [
        ("technician", "foreman", True),
        ("technician", "technician", True),
        ("technician", "apprentice", False),
        ("foreman", "foreman", True),
        ("foreman", "technician", False),
        ("foreman", "apprentice", False),
    ],
)
def test_who_is_qualified_confirms_and_nobody_else(here, step, needs_role, role, may):
    hold, person = opened(here, step, needs_role=needs_role), getattr(here.crew, role)

    assert may_confirm(hold, person) is may
    if may:
        confirm(hold, by=person, now=here.now)
        assert (hold.confirmed_by, hold.confirmed_at) == (person.id, here.now)
    else:
        with pytest.raises(Forbidden):
            confirm(hold, by=person, now=here.now)
        assert hold.confirmed_at is None


def test_a_hold_is_confirmed_once_and_keeps_its_name(here, step):
    hold = opened(here, step)
    confirm(hold, by=here.crew.second, now=here.now)

    with pytest.raises(Conflict):
        confirm(hold, by=here.crew.foreman, now=here.now)

    assert hold.confirmed_by == here.crew.second.id


def test_a_hold_that_stands_is_not_opened_again(here, step):
    first = opened(here, step)

    assert opened(here, step) is first
    assert opened(here, step, key="end") is not first


def test_what_was_confirmed_wants_confirming_again_after_reopening(here, step):
    hold = opened(here, step)
    confirm(hold, by=here.crew.second, now=here.now)

    reopen_holds(here.db, step, now=here.now)

    here.db.flush()
    again = holds_at(here.db, step)["start"]
    assert (again.confirmed_at, again.confirmed_by) == (None, None)
    assert (again.text, again.needs_role) == ("Look twice.", "technician")
    assert here.db.get_one(Hold, hold.id).confirmed_by == here.crew.second.id


def test_an_open_hold_is_not_doubled_by_reopening(here, step):
    hold = opened(here, step)

    reopen_holds(here.db, step, now=here.now)

    assert holds_at(here.db, step) == {"start": hold}


@pytest.mark.parametrize(
    ("key", "state", "waiting"),
    [
        *(
            ("start", "on hold", True),
            ("start", "to do", False),
            ("end", "on hold", True),
            ("end", "in hand", False),
        ),
        *(("torque outside: caliper-bolt", "in hand", True), ("torque outside: caliper-bolt", "done", True)),
    ],
)
def test_a_steps_own_hold_waits_only_once_the_step_has_come_to_it(here, step, key, state, waiting):
    hold = opened(here, step, key=key)
    step.state = state

    assert waits(hold, step) is waiting
    assert (hold in here.sheet(step).holds) is waiting

    confirm(hold, by=here.crew.foreman, now=here.now)
    assert not waits(hold, step)
    assert here.sheet(step).holds == ()
