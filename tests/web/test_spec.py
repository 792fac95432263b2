from pathlib import Path

import pytest
from sqlmodel import select

from server.store.tables import Job, Shop, Spec, Vehicle
from tests.web.work import ShopAtStep, open_work

SHEET = "/vehicles/1/spec"


@pytest.fixture
def empty(app, people, clock, store):
    """A car that is here for its tie rods, with nothing on its sheet."""
    open_work(app, people, clock, scopes=["tie-rods"])
    with store.writing() as db:
        car = db.get_one(Vehicle, 1)
        blank = Vehicle(**car.model_dump(exclude={"id", "plate"}), plate="ZZ 9")
        db.add(blank)
        db.flush()
        db.get_one(Job, 1).vehicle_id = blank.id
    return f"/vehicles/{blank.id}/spec"


def written(store, sheet):
    vehicle_id = int(sheet.split("/")[2])
    with store.reading() as db:
        return {one.key: one for one in db.exec(select(Spec).where(Spec.vehicle_id == vehicle_id))}


def fill(phone, sheet, source="Manual p. 3", headers=None, client_id="", confirmed=(), **lines):
    keys = [key.replace("__", ".").replace("_", "-") for key in lines]
    return phone.fill_in(
        sheet,
        source=source,
        key=keys,
        text=list(lines.values()),
        confirmed=list(confirmed),
        headers=headers,
        client_id=client_id,
    )


def test_the_torques_that_the_job_asks_for_come_first_then_the_others_then_the_rest(bo, empty):
    text = bo.get(empty).text

    asked, others, rest = (
        text.index(f"<h2>{name}</h2>")
        for name in ("Torques this job asks for", "Other torques", "Alignment, springs and tools")
    )
    assert asked < text.index("Outer tie-rod nut</label>") < others
    assert others < text.index("Upper-arm stud nut</label>") < rest < text.index("Camber</label>")


def test_several_lines_are_written_from_one_source(bo, store, empty):
    answer = fill(bo, empty, torque__wheel_nut="60-75", torque__caliper_bolt="", camber="0.5° ± 0.5°")

    assert (answer.status_code, answer.headers["location"]) == (303, empty)
    kept = written(store, empty)
    assert {(key, one.text, one.source) for key, one in kept.items()} == {
        ("torque.wheel-nut", "60-75", "Manual p. 3"),
        ("camber", "0.5° ± 0.5°", "Manual p. 3"),
    }


def test_a_line_that_stands_shows_both_systems_its_source_who_and_when(bo, empty):
    fill(bo, empty, torque__wheel_nut="60-75", ride_height="360 mm")

    text = bo.get(empty).text.split('id="line-torque.wheel-nut"')[1].split('id="line-')[0]
    assert '<p class="spec__value">60 to 75 lbf·ft</p>' in text
    assert '<p class="spec__both">81 to 102 N·m</p>' in text
    assert "Manual p. 3" in text
    assert "Bo Berg, Wed 25 Nov" in text


def test_everything_wrong_is_said_beside_its_line_and_nothing_is_written(bo, store, empty):
    answer = fill(bo, empty, torque__wheel_nut="75 mm", torque__caliper_bolt="35", torque__link_nut="1/0")

    assert answer.status_code == 422
    assert "2 lines are not right yet. Nothing was written." in answer.text
    assert 'id="field-torque.wheel-nut-error">mm is the unit of a length' in answer.text
    assert 'id="field-torque.link-nut-error">A fraction cannot have 0 below the line.' in answer.text
    for typed in ("75 mm", "35", "1/0", "Manual p. 3"):
        assert f'value="{typed}"' in answer.text
    assert written(store, empty) == {}


def test_a_figure_hard_to_believe_is_asked_about_again_at_its_line(bo, store, empty):
    answer = fill(bo, empty, torque__wheel_nut="75 in-lb")  # A15

    assert answer.status_code == 422
    assert "75 lbf·ft would fit" in answer.text
    assert 'name="confirmed" value="torque.wheel-nut"' in answer.text

    fill(bo, empty, torque__wheel_nut="75 in-lb", confirmed=["torque.wheel-nut"])
    assert written(store, empty)["torque.wheel-nut"].text == "75 in-lb"


def test_no_source_is_said_beside_its_field_and_the_values_stay(bo, store, empty):
    answer = fill(bo, empty, source=" ", torque__wheel_nut="75")

    assert answer.status_code == 422
    assert 'id="field-source-error">Say where the value comes from' in answer.text
    assert 'value="75"' in answer.text
    assert written(store, empty) == {}


def test_what_somebody_wrote_meanwhile_is_not_written_over(ann, bo, store, empty):
    fill(ann, empty, torque__wheel_nut="90", source="Manual p. 9")

    answer = fill(bo, empty, torque__wheel_nut="75", torque__link_nut="10")

    assert answer.status_code == 409
    assert "Someone has written Wheel nut meanwhile." in answer.text
    assert {one.text for one in written(store, empty).values()} == {"90"}


def test_sent_twice_is_written_once(bo, store, empty):  # C3
    for _ in range(2):
        assert fill(bo, empty, torque__wheel_nut="75", client_id="w" * 22).status_code == 303

    assert len(written(store, empty)) == 1


def test_a_key_the_sheet_does_not_have_writes_nothing(bo, store, empty):
    answer = bo.fill_in(empty, source="x", key=["torque.wheel-nut", "role"], text=["75", "foreman"])

    assert answer.status_code == 404
    assert written(store, empty) == {}


def test_a_source_is_text_whatever_it_looks_like(bo, empty):  # D1, D3
    fill(bo, empty, source="=HYPERLINK(1)<script>alert(1)</script>", torque__wheel_nut="75")

    text = bo.get(empty).text
    assert "=HYPERLINK(1)&lt;script&gt;alert(1)&lt;/script&gt;" in text
    assert "<script>alert" not in text


def test_the_way_back_to_the_job_is_kept(bo, empty):
    answer = fill(bo, f"{empty}?job=1", torque__wheel_nut="75")

    assert answer.headers["location"] == f"{empty}?job=1"
    assert 'href="/jobs/1"' in bo.get(f"{empty}?job=1").text


def test_another_cars_job_does_not_belong_to_this_sheet(bo, empty):
    assert bo.get(f"{SHEET}?job=1").status_code == 404


def test_another_shops_car_looks_like_one_that_is_not_there(bo, store, clock, empty):
    with store.writing() as db:
        other = Shop(name="Across the Road", created_at=clock())
        db.add(other)
        db.flush()
        db.get_one(Vehicle, 1).shop_id = other.id

    answers = [bo.get(SHEET), bo.get("/vehicles/99/spec"), fill(bo, SHEET, torque__wheel_nut="75")]
    assert [answer.status_code for answer in answers] == [404] * 3


class TestACarOnItsStands:
    @pytest.fixture
    def prepared(self, shop_at_step: ShopAtStep) -> Path:
        return shop_at_step(["springs"], "tie-rod")

    def test_its_hazards_stand_over_its_sheet(self, bo):
        assert "Car raised</a>" in bo.get(SHEET).text.split('id="main"')[0]
