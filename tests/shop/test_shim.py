import pytest

from server.shop.refusal import Missing, Refusal
from server.shop.shim import count_again, drawer, find_shim, stock
from server.store.tables import Shop
from tests.shop.conftest import NOW


@pytest.fixture
def db(store, crew):
    with store.writing() as db:
        yield db


def put(db, crew, text="1/32 in", count="8", default_unit="in"):
    return stock(db, text=text, count=count, default_unit=default_unit, by=crew.technician)


# 1 in = 25.4 mm, exact by definition
@pytest.mark.parametrize(
    ("text", "unit", "thickness_mm"),
    [
        ("1/32", "in", 0.79375),
        ("0,8 mm", "in", 0.8),
        ("0.03", "in", 0.762),
        ("1", "mm", 1.0),
        ("⅛ in", "mm", 3.175),
    ],
)
def test_a_thickness_is_read_in_either_system_and_kept_as_typed(db, crew, text, unit, thickness_mm):
    shim = put(db, crew, text, default_unit=unit)

    assert shim.thickness_m * 1000 == pytest.approx(thickness_mm)
    assert (shim.text, shim.count) == (text, 8)


@pytest.mark.parametrize(
    ("text", "count", "field"),
    [
        ("1/0", "8", "thickness"),  # A4
        ("0", "8", "thickness"),  # A16
        ("-1/32", "8", "thickness"),
        ("1,234", "8", "thickness"),  # A9: never taken for a thousand, nor for a shim of 31 mm
        ("32 mm", "8", "thickness"),
        ("1/33", "8", "thickness"),
        ("3 Nm", "8", "thickness"),  # A13
        ("٣", "8", "thickness"),  # A11
        ("1" * 400, "8", "thickness"),  # A21
        ("", "8", "thickness"),
        ("1/32", "", "count"),
        ("1/32", "-1", "count"),
        ("1/32", "2.5", "count"),
        ("1/32", "1 000", "count"),
        ("1/32", "1000", "count"),
        ("1/32", "many", "count"),
        ("1/32", "=1+1", "count"),  # A23
    ],
)
def test_what_is_no_shim_or_no_number_is_refused_beside_its_field(db, crew, text, count, field):
    with pytest.raises(Refusal) as refused:
        put(db, crew, text, count)

    assert refused.value.field == field
    assert drawer(db, crew.shop.id) == []


def test_the_drawer_lies_thinnest_first(db, crew):
    for text in ("1/8 in", "1/64 in", "0.8 mm"):
        put(db, crew, text)

    assert [shim.text for shim in drawer(db, crew.shop.id)] == ["1/64 in", "0.8 mm", "1/8 in"]


def test_a_thickness_that_is_there_is_counted_anew_and_not_put_in_twice(db, crew):
    put(db, crew, "1/32 in", "8")
    put(db, crew, "0.79375 mm", "5")

    [shim] = drawer(db, crew.shop.id)
    assert shim.count == 5


def test_what_has_run_out_keeps_its_place(db, crew):
    shim = put(db, crew)

    count_again(shim, "0")

    assert [one.count for one in drawer(db, crew.shop.id)] == [0]


def test_a_drawer_belongs_to_its_shop(db, crew):
    shim = put(db, crew)
    other = Shop(name="Across the Road", created_at=NOW)
    db.add(other)
    db.flush()

    assert drawer(db, other.id) == []
    with pytest.raises(Missing):
        find_shim(db, shim.id, shop_id=other.id)
