import pytest
from sqlmodel import select

from server.store.tables import Capture, Job, Receipt, Tag
from tests.web.next_door import phone_next_door

SCRIPT = "<script>alert(1)</script>"


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    """Everything is done but the release."""
    return shop_at_step(["tie-rods"], "release", "after")


@pytest.fixture
def left_over(store):
    """A tag that never went back on the car."""
    with store.writing() as db:
        tag = db.exec(select(Tag).where(Tag.part == "tie-rod", Tag.place == "LF")).one()
        tag.state = "out"
    return tag


def the_job(store):
    with store.reading() as db:
        return db.get_one(Job, 1)


def notes(store):
    with store.reading() as db:
        return [one.text for one in db.exec(select(Capture).where(Capture.key == "release.note"))]


def release(phone, note="", **sent):
    return phone.fill_in("/jobs/1/release", note=note, **sent)


def test_whoever_presses_sees_their_own_name_first(bo):
    text = bo.get("/jobs/1/release").text

    assert "No loose end in the record" in text
    assert '<strong class="release__name">Bo Berg</strong>' in text
    assert "Release this car" in text


def test_a_car_is_released_in_ones_own_name_and_the_page_leads_to_its_sheet(cy, store, people, clock):
    answer = release(cy, "Toe is as found.")

    assert answer.status_code == 303
    assert (the_job(store).released_by, the_job(store).released_at) == (people["Cy Castle"].id, clock())
    assert notes(store) == ["Toe is as found."]
    text = cy.get(answer.headers["location"]).text
    assert '<dd class="release__name">Cy Castle</dd>' in text
    assert 'href="/jobs/1/handover"' in text
    assert "Release this car" not in text


def test_every_loose_end_is_a_link_and_there_is_no_button(bo, left_over):
    text = bo.get("/jobs/1/release").text

    assert "One loose end" in text
    assert f'href="/jobs/1/tags#tag-{left_over.number}"' in text
    assert "Release this car" not in text


def test_a_car_with_a_loose_end_is_not_released_even_if_the_page_did_not_show_it(bo, store, left_over):
    answer = release(bo, "Toe is as found.")

    assert answer.status_code == 422
    assert "1 loose end: this car does not leave yet." in answer.text
    assert f'href="/jobs/1/tags#tag-{left_over.number}"' in answer.text
    assert the_job(store).released_at is None
    assert notes(store) == []


def test_an_apprentice_sees_the_list_but_releases_nothing(dee, store):
    assert "A technician or a foreman releases a car" in dee.get("/jobs/1/release").text

    answer = release(dee)

    assert answer.status_code == 403
    assert the_job(store).released_at is None


def test_a_double_tap_releases_once_and_both_are_answered_alike(cy, store):
    first = release(cy, "Toe is as found.", client_id="one-tap-or-two-taps")
    second = release(cy, "Toe is as found.", client_id="one-tap-or-two-taps")

    assert (first.status_code, second.status_code) == (303, 303)
    assert first.headers["location"] == second.headers["location"]
    assert notes(store) == ["Toe is as found."]


def test_who_comes_second_is_told_who_was_first(bo, cy, store, people):
    release(cy)

    answer = release(bo)

    assert answer.status_code == 409
    assert "This car has been released already." in answer.text
    assert "Cy Castle" in answer.text
    assert the_job(store).released_by == people["Cy Castle"].id


def test_a_note_too_long_keeps_what_was_typed_and_releases_nothing(bo, store):
    answer = release(bo, "x" * 2001)

    assert answer.status_code == 422
    assert 'id="field-note-error"' in answer.text
    assert "x" * 2001 in answer.text
    assert the_job(store).released_at is None
    with store.reading() as db:
        assert db.exec(select(Receipt).where(Receipt.kind == "release 1")).first() is None


@pytest.mark.parametrize("note", [SCRIPT, "</textarea><b>bold</b>", "=HYPERLINK(1)", "'; DROP TABLE job;--"])
def test_a_note_stays_text_on_the_sheet(bo, store, note):
    assert release(bo, note).status_code == 303

    text = bo.get("/jobs/1/handover").text
    assert "<script>alert" not in text
    assert "<b>bold" not in text
    assert notes(store) == [note]


def test_a_name_or_a_date_slipped_in_is_refused(bo, store):
    answer = release(bo, released_by="3", released_at="2020-01-01")

    assert answer.status_code == 422
    assert the_job(store).released_at is None


def test_another_shop_neither_sees_nor_releases_it(app, clock, people, store):
    phone = phone_next_door(app, clock)

    assert phone.get("/jobs/1/release").status_code == 404
    assert release(phone).status_code == 404
    assert the_job(store).released_at is None
