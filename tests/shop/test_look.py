from datetime import timedelta

import pytest
from sqlmodel import select

from server.shop.capture import Correction
from server.shop.look import changed_since_seen, look
from server.shop.target import histories, refresh
from server.store.tables import Capture, Look, Target


@pytest.fixture
def here(at):
    return at("preset", "bench")


def change(here, text, later=timedelta(hours=1)):
    rows = select(Capture).where(Capture.key == "tie-rod.length", Capture.place == "LF")
    newest = here.db.exec(rows).all()[-1]
    why = Correction(newest, "misread")
    here.measure(here.step("tie-rod", "down"), "tie-rod.length", text, correction=why)
    refresh(here.db, here.job, here.front_end, now=here.now + later)


def marked(here, person):
    history = histories(here.db, here.job)
    return {
        (target.key, target.place): target.value / 0.0254
        for target in changed_since_seen(here.db, here.job, person, history, system="inch").values()
    }


def test_who_never_looked_sees_what_each_changed_target_was_at_first(here):
    assert marked(here, here.crew.technician) == {}

    change(here, "12 1/2 in")
    change(here, "12 3/8 in")

    assert marked(here, here.crew.technician)["tie-rod.length", "LF"] == pytest.approx(12.625)


def test_once_seen_nothing_is_marked_until_it_changes_again(here):
    tom = here.crew.technician
    change(here, "12 1/2 in")
    look(here.db, here.job, by=tom, now=here.now + timedelta(hours=2))
    assert marked(here, tom) == {}

    change(here, "12 3/8 in", timedelta(hours=3))

    assert marked(here, tom)["tie-rod.length", "LF"] == pytest.approx(12.5)


def test_what_one_has_seen_another_has_not(here):
    change(here, "12 1/2 in")
    look(here.db, here.job, by=here.crew.technician, now=here.now + timedelta(hours=2))

    assert ("tie-rod.length", "LF") in marked(here, here.crew.foreman)


def test_looking_twice_keeps_one_row(here):
    for hours in (1, 2):
        look(here.db, here.job, by=here.crew.foreman, now=here.now + timedelta(hours=hours))
        here.db.flush()

    (row,) = here.db.exec(select(Look).where(Look.person_id == here.crew.foreman.id)).all()
    assert row.at == here.now + timedelta(hours=2)


def test_words_that_change_around_the_same_figure_are_no_change(here):
    history = histories(here.db, here.job)
    rod = history["tie-rod.length", "LF"][0]
    again = rod.model_dump(exclude={"id", "at", "says", "supersedes_id"})
    here.db.add(
        Target(**again, says="In other words.", at=here.now + timedelta(hours=1), supersedes_id=rod.id)
    )
    here.db.flush()

    assert ("tie-rod.length", "LF") not in marked(here, here.crew.technician)
