from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine, event
from sqlmodel import select

from server.shop.bay import add_bay
from server.store.tables import Hazard, Job, Vehicle
from tests.web.phone import PARTIAL
from tests.web.work import ShopAtStep, open_work

QUERIES = 11  # one for the session, ten for the board


@pytest.fixture(scope="module")
def prepared(shop_at_step: ShopAtStep) -> Path:
    return shop_at_step(["springs"], "knuckle")


@contextmanager
def counted():
    """The queries that are sent to a database meanwhile."""
    sent = []

    def note(connection, cursor, statement, *rest):
        if statement.startswith("SELECT"):
            sent.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    yield sent
    event.remove(Engine, "before_cursor_execute", note)


def release_more(store, clock, how_many):
    """So many jobs that left the shop, one an hour, the last one first in the list."""
    with store.writing() as db:
        shop_id, person_id = 1, 1
        for hour in range(how_many):
            left = {
                "opened_by": person_id,
                "released_by": person_id,
                "opened_at": clock() - timedelta(days=9),
            }
            car = {"make": "Brantham", "model": "Vale", "drive": "RHD", "front_end": "coil-on-lower-arm"}
            vehicle = Vehicle(
                shop_id=shop_id, plate=f"OLD {hour}", created_at=clock(), created_by=person_id, **car
            )
            db.add(vehicle)
            db.flush()
            db.add(
                Job(
                    shop_id=shop_id,
                    vehicle_id=vehicle.id,
                    front_end="coil-on-lower-arm",
                    scopes=["shocks"],
                    sides="both",
                    drive="RHD",
                    released_at=clock() - timedelta(hours=hour + 1),
                    **left,
                )
            )


def test_a_row_tells_car_phase_progress_and_what_is_next_and_one_tap_goes_there(ann, work):
    text = ann.get("/").text

    assert '<a href="/jobs/1">Corvane Tarnlight</a> <span class="bay__plate">AB 12</span>' in text
    assert '<p class="bay__phase">Strip</p>' in text
    assert "of 12 down" in text or "down, 0 of" in text
    ready = [step for step in work.ready() if step.operation == "knuckle"]
    assert f'<a href="/steps/{ready[0].id}">' in text


def test_live_hazards_come_before_the_car_with_their_age_and_lead_to_their_step(signed_in, store, clock):
    with store.reading() as db:
        spring = db.exec(select(Hazard).where(Hazard.kind == "spring-compressed")).one()
    clock.now = spring.began_at + timedelta(hours=2, minutes=10)

    text = signed_in("Ann Adler", "192.168.7.21").get("/").text

    assert f'<a href="/steps/{spring.began_step_id}">Spring compressed, left front' in text
    assert text.index("Spring compressed, left front") < text.index("Corvane Tarnlight")
    assert text.index("Spring compressed, left front") < text.index("Car raised")
    assert '<span class="unseen">for </span>2 h 10 min' in text


def test_who_is_on_which_step_and_for_how_long(ann, bo, clock, work):
    step = next(step for step in work.ready() if step.operation == "knuckle")
    bo.fill_in(f"/steps/{step.id}/start")
    clock.pass_by(minutes=34)

    assert (
        f'<a href="/steps/{step.id}">Knuckle with hub and disc LF</a> <small>Bo Berg, 34 min</small>'
        in ann.get("/").text
    )


def test_a_parked_car_says_what_it_waits_for_and_since_when(ann, store, clock):
    with store.writing() as db:
        job = db.get_one(Job, 1)
        job.parked_at, job.parked_by, job.parked_why = clock() - timedelta(hours=3), 1, "ball joints on order"

    text = ann.get("/").text

    assert '<a href="/jobs/1">Parked, waits for: ball joints on order</a>' in text
    assert "3 h</small>" in text


def test_an_empty_bay_offers_to_take_a_car_in_there(ann, store):
    with store.writing() as db:
        bay = add_bay(db, shop_id=1, name="Pit")

    text = ann.get("/").text

    assert f'href="/jobs/new?bay={bay.id}"' in text
    assert text.index(">Pit<") < text.index("In no bay")


@pytest.mark.parametrize("released", [0, 1, 40])
def test_the_number_of_queries_does_not_grow_with_history(ann, store, clock, released):
    ann.get("/")
    release_more(store, clock, released)

    with counted() as sent:
        assert ann.get("/").status_code == 200

    assert len(sent) == QUERIES


def test_nor_with_the_jobs_in_the_shop(ann, app, people, store, clock):
    ann.get("/")
    for plate in ("B 1", "C 2", "D 3"):
        open_work(app, people, clock, scopes=["everything"], plate=plate)

    with counted() as sent:
        assert ann.get("/").status_code == 200

    assert len(sent) == QUERIES


def test_at_most_ten_released_jobs_are_listed_and_more_leads_to_the_rest(ann, store, clock):
    release_more(store, clock, 12)

    board = ann.get("/").text
    assert board.count("OLD ") == 10
    last = board.split("OLD 9<")[0].rsplit('href="/jobs/', 1)[1].split('"')[0]
    assert f'href="/jobs?before={last}"' in board

    further = ann.get(f"/jobs?before={last}").text
    assert [f"OLD {hour}<" in further for hour in range(9, 12)] == [False, True, True]


def test_without_more_than_ten_there_is_no_more(ann, store, clock):
    release_more(store, clock, 10)

    assert "before=" not in ann.get("/").text


@pytest.mark.parametrize("before", ["999", "0", "x", "-1"])
def test_a_page_after_no_job_of_ours_is_refused(ann, before):
    assert ann.get(f"/jobs?before={before}").status_code in (404, 422)


def test_htmx_gets_the_board_alone(ann):
    answer = ann.get("/", headers=PARTIAL)

    assert answer.text.lstrip().startswith('<div id="board"')
    assert "<html" not in answer.text
    assert "Corvane Tarnlight" in answer.text


def test_the_board_says_when_it_was_drawn(ann, clock):
    assert f'<time datetime="{clock().isoformat(timespec="seconds")}">' in ann.get("/").text


def test_names_are_text_whatever_they_look_like(ann, store):  # D1
    with store.writing() as db:
        db.get_one(Vehicle, 1).make = '<img src=x onerror="alert(1)">'

    text = ann.get("/").text

    assert "&lt;img src=x onerror=&#34;alert(1)&#34;&gt; Tarnlight" in text
    assert "<img src=x" not in text


def test_nobody_sees_the_board_unless_signed_in(phone, store):
    assert phone.get("/").headers["location"] == "/sign-in"
