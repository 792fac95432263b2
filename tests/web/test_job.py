from pathlib import Path

import pytest
from sqlmodel import select

from server.shop.bay import add_bay
from server.store.tables import Hazard, Job, Shop
from tests.web.work import ShopAtStep


@pytest.fixture(scope="module")
def prepared(shop_at_step: ShopAtStep) -> Path:
    """The car on stands, the tie rods next."""
    return shop_at_step(["springs"], "tie-rod")


@pytest.fixture
def raised(store):
    with store.reading() as db:
        return db.exec(select(Hazard).where(Hazard.kind == "car-raised")).one()


def the_job(store):
    with store.reading() as db:
        return db.get_one(Job, 1)


def park(phone, raised, why="ball joints on order", how="on four stands", **form):
    form = {"why": why, "hazard": [str(raised.id)], "made_safe": [how]} | form
    return phone.fill_in("/jobs/1/parking", **form)


def test_the_page_names_car_scope_phase_and_links_to_all_that_belongs_to_it(bo, work):
    text = bo.get("/jobs/1").text

    assert "<title>Corvane Tarnlight · AB 12</title>" in text
    assert "Springs · both sides" in text
    for page in ("tags", "targets", "release", "handover"):
        assert f'href="/jobs/1/{page}"' in text
    assert 'href="/vehicles/1/spec?job=1"' in text


def test_each_rung_shows_both_halves_each_a_link_with_its_state_and_person(bo, work):
    text = bo.get("/jobs/1").text

    down, up = (step for step in work.steps() if (step.operation, step.place) == ("wheel", "LF"))
    halves = text.split('id="ladder-LF"')[1].split('id="ladder-RF"')[0]
    assert f'ladder__half--done" href="/steps/{down.id}"' in halves
    assert f'ladder__half--to-do" href="/steps/{up.id}"' in halves
    assert '<span class="unseen">by </span>Bo Berg' in halves


def test_what_is_ready_is_offered_and_who_is_on_what_is_said(bo, cy, work):
    step = next(step for step in work.ready() if step.operation == "tie-rod")
    cy.fill_in(f"/steps/{step.id}/start")

    text = bo.get("/jobs/1").text

    now, following = text.split('id="now"')[1].split('id="next"')
    assert f'href="/steps/{step.id}"' in now
    assert "Cy Castle, 0 min" in now
    assert [f'href="/steps/{one.id}"' in following for one in work.ready()] == [True] * len(work.ready())


def test_a_standing_hazard_is_over_the_page_and_asked_about_when_parking(bo, raised):
    text = bo.get("/jobs/1").text

    assert "Car raised</a>" in text.split('id="main"')[0]
    assert f'id="field-made_safe-{raised.id}"' in text


def test_a_car_is_parked_with_how_each_hazard_is_kept_safe_and_taken_up_again(bo, ann, store, raised):
    answer = park(bo, raised)

    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/1")
    text = ann.get("/jobs/1").text
    assert "<strong>ball joints on order</strong>" in text
    assert "kept safe by <strong>on four stands</strong>" in text
    assert "Car raised</a>" in text
    assert 'id="next"' not in text

    ann.fill_in("/jobs/1/taking-up")
    assert the_job(store).parked_at is None
    assert 'id="next"' in ann.get("/jobs/1").text


def test_parking_without_saying_how_it_is_kept_safe_is_refused_beside_that_hazard(bo, store, raised):
    answer = park(bo, raised, how=" ")

    assert answer.status_code == 422
    assert (
        f'id="field-made_safe-{raised.id}-error">Say how it is kept safe while the car stands.' in answer.text
    )
    assert 'value="ball joints on order"' in answer.text
    assert the_job(store).parked_at is None


def test_parking_without_a_reason_keeps_what_was_said_of_the_hazard(bo, store, raised):
    answer = park(bo, raised, why="")

    assert answer.status_code == 422
    assert 'id="field-why-error">Say what it waits for.' in answer.text
    assert 'value="on four stands"' in answer.text
    assert the_job(store).parked_at is None


def test_an_acute_hazard_leaves_no_way_to_park_and_links_to_its_step(bo, store, people, work, raised):
    work.until(lambda step: step.operation == "knuckle", by=people["Bo Berg"], second=people["Cy Castle"])
    with store.reading() as db:
        spring = db.exec(select(Hazard).where(Hazard.kind == "spring-compressed")).one()

    text = bo.get("/jobs/1").text
    answer = park(bo, raised)

    assert 'action="/jobs/1/parking"' not in text
    assert f'href="/steps/{spring.began_step_id}"' in text.split("Nobody walks away")[1]
    assert answer.status_code == 422
    assert "Nobody walks away from this: spring compressed. End it first." in answer.text
    assert the_job(store).parked_at is None


def test_parking_sent_twice_is_recorded_once(bo, store, clock, raised):  # C3
    park(bo, raised, client_id="p" * 22)
    parked_at = the_job(store).parked_at
    clock.pass_by(minutes=5)

    answer = park(bo, raised, client_id="p" * 22)

    assert answer.status_code == 303
    assert the_job(store).parked_at == parked_at


def test_ids_of_hazards_that_are_no_numbers_are_passed_over(bo, store, raised):
    answer = park(bo, raised, hazard=["x", "٣", "9" * 30], made_safe=["a", "b", "c"])

    assert answer.status_code == 422
    assert the_job(store).parked_at is None


def test_a_car_on_its_stands_is_not_moved(bo, store, raised):
    with store.writing() as db:
        bay = add_bay(db, shop_id=1, name="Pit")

    answer = bo.fill_in("/jobs/1/bay", bay=str(bay.id))

    assert answer.status_code == 422
    assert "This car is not moved as it stands" in answer.text
    assert the_job(store).bay_id is None


def test_a_free_car_is_moved_into_a_bay(bo, store, work):
    with store.writing() as db:
        bay = add_bay(db, shop_id=1, name="Pit")
        for hazard in db.exec(select(Hazard)):
            hazard.ended_at = hazard.began_at

    answer = bo.fill_in("/jobs/1/bay", bay=str(bay.id))

    assert answer.status_code == 303
    assert "<dd>Pit</dd>" in bo.get("/jobs/1").text


def test_a_released_job_is_still_read_but_offers_nothing_to_do(bo, store, people, clock):
    with store.writing() as db:
        job = db.get_one(Job, 1)
        job.released_at, job.released_by = clock(), people["Cy Castle"].id

    text = bo.get("/jobs/1").text

    assert "<dt>Released</dt>" in text
    assert 'id="ladder-LF"' in text
    assert "/jobs/1/parking" not in text
    assert "/jobs/1/bay" not in text


@pytest.mark.parametrize(
    "path", ["/jobs/2", "/jobs/0", "/jobs/x", "/jobs/99999999999", "/jobs/1%20", "/jobs/0_1", "/jobs/+1"]
)
def test_a_job_that_is_not_there_is_not_found(bo, path):
    assert bo.get(path).status_code == 404


def test_another_shops_job_looks_like_one_that_is_not_there(bo, store, clock):
    with store.writing() as db:
        other = Shop(name="Across the Road", created_at=clock())
        db.add(other)
        db.flush()
        db.get_one(Job, 1).shop_id = other.id

    for answer in (bo.get("/jobs/1"), bo.fill_in("/jobs/1/taking-up"), bo.fill_in("/jobs/1/bay", bay="")):
        assert answer.status_code == 404
        assert "There is no such job here." in answer.text


def test_what_it_waits_for_is_text_whatever_it_looks_like(bo, raised):  # D1
    park(bo, raised, why="<a hx-post=/x hx-trigger=load>", how="</p><script>alert(1)</script>")

    text = bo.get("/jobs/1").text

    assert "&lt;a hx-post=/x hx-trigger=load&gt;" in text
    assert "<script>alert" not in text
