import pytest
from sqlmodel import select

from server.shop.refusal import Missing, Refusal
from server.shop.vehicle import find_vehicle, last_job, open_job_of, take_in
from server.store.tables import Vehicle
from tests.shop import conftest
from tests.shop.conftest import NOW, library

CAR = {
    "make": "Corvane",
    "model": "Tarnlight",
    "year": "1968",
    "plate": "ab  12",
    "drive": "LHD",
    "front_end": "coil-on-lower-arm",
}


def bring(store, crew, **said):
    with store.writing() as db:
        return take_in(db, **(CAR | said), front_ends=library(), by=crew.technician, now=NOW)


def test_a_plate_is_kept_in_capitals_with_single_blanks(store, crew):
    assert bring(store, crew).plate == "AB 12"


def test_a_car_whose_plate_is_known_is_the_same_car(store, crew):
    first = bring(store, crew)
    second = bring(store, crew, plate="AB 12 ", model="Tarnlight Estate", drive="RHD")

    assert second.id == first.id
    with store.reading() as db:
        kept = db.get_one(Vehicle, first.id)
        assert (kept.model, kept.drive) == ("Tarnlight Estate", "RHD")


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("make", ""),
        ("make", "x" * 41),
        ("model", "   "),
        ("model", "\u200b\u2060"),  # D4: only what cannot be seen
        ("plate", "A\u202eB 1"),
        ("plate", "\u2800"),
        ("year", "68"),
        ("year", "1968.5"),
        ("year", "19O8"),
        ("year", "١٩٦٨"),
        ("year", "2027"),
        ("year", "9" * 400),
        ("drive", "left"),
        ("front_end", "strut"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_and_nothing_is_kept(store, crew, field, text):
    with pytest.raises(Refusal) as refused:
        bring(store, crew, **{field: text})

    assert refused.value.field == field
    with store.reading() as db:
        assert db.exec(select(Vehicle)).all() == []


def test_the_year_may_be_left_empty(store, crew):
    assert bring(store, crew, year=" ").year is None


def test_what_looks_like_markup_or_a_query_is_a_name_like_any_other(store, crew):
    kept = bring(store, crew, make="<script>alert(1)</script>", model="'; DROP TABLE vehicle;--")

    assert (kept.make, kept.model) == ("<script>alert(1)</script>", "'; DROP TABLE vehicle;--")  # D1, D2


def test_a_car_of_another_shop_is_missing(store, crew):
    car = bring(store, crew)

    with store.reading() as db, pytest.raises(Missing):
        find_vehicle(db, car.id, shop_id=crew.shop.id + 1)


def test_a_car_knows_the_job_it_is_here_for_and_the_one_before(store, crew):
    first = conftest.take_in(store, crew, scopes=["shocks"])
    with store.writing() as db:
        db.get_one(type(first), first.id).released_at = NOW
    second = conftest.take_in(store, crew, scopes=["shocks"], plate="ZZ 9")

    with store.reading() as db:
        assert open_job_of(db, first.vehicle_id) is None
        assert open_job_of(db, second.vehicle_id).id == second.id
        assert last_job(db, first.vehicle_id, before=second.id).id == first.id
