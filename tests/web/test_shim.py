import pytest
from sqlmodel import select

from server.store.tables import Shim, Shop
from tests.web.phone import PARTIAL


def drawer(store):
    with store.reading() as db:
        return {shim.text: shim.count for shim in db.exec(select(Shim))}


def test_shims_are_put_in_and_shown_in_both_systems(bo, store):
    answer = bo.fill_in("/shims", thickness="1/32", count="12")

    assert answer.headers["location"] == "/shims"
    assert drawer(store) == {"1/32": 12}
    text = bo.get("/shims").text
    assert '<p class="layer__thickness">1/32 in <small>0.794 mm</small></p>' in text
    assert 'value="12"' in text


def test_a_metric_shop_reads_bare_figures_in_mm_and_shows_them_first(bo, store, people):
    with store.writing() as db:
        db.get_one(Shop, people["Bo Berg"].shop_id).system = "metric"

    bo.fill_in("/shims", thickness="0,8", count="4")

    assert '<p class="layer__thickness">0.8 mm <small>0.0315 in</small></p>' in bo.get("/shims").text


@pytest.mark.parametrize(
    ("thickness", "count", "field", "sentence"),
    [
        ("1/0", "8", "thickness", "A fraction cannot have 0 below the line."),
        ("32", "8", "thickness", "32 in = 812.8 mm is no shim"),
        ("", "8", "thickness", "There is no figure in it"),
        ("=1+1", "8", "thickness", "That does not start with a figure"),
        ("1/32", "1000", "count", "At most 999 of one thickness."),
        ("1/32", "-1", "count", "It cannot be below zero here"),
        ("1/32", "٣", "count", "Use the digits 0 to 9."),
    ],
)
def test_bad_input_is_said_beside_its_field_and_what_was_typed_stays(
    bo, store, thickness, count, field, sentence
):
    answer = bo.fill_in("/shims", thickness=thickness, count=count)

    assert answer.status_code == 422
    assert f'id="field-{field}-error">{sentence}' in answer.text
    assert f'name="thickness" type="text" value="{thickness}"' in answer.text
    assert f'name="count" type="text" value="{count}"' in answer.text
    assert drawer(store) == {}


def test_a_thickness_is_counted_again_at_its_own_line(bo, store):
    bo.fill_in("/shims", thickness="1/32", count="12")

    bo.fill_in("/shims/1/count", count="9")

    assert drawer(store) == {"1/32": 9}


def test_a_bad_count_is_said_at_its_own_line_and_the_drawer_stays(bo, store):
    bo.fill_in("/shims", thickness="1/32", count="12")

    answer = bo.fill_in("/shims/1/count", count="a few")

    assert answer.status_code == 422
    assert 'id="field-count-1-error">' in answer.text
    assert 'value="a few"' in answer.text
    assert drawer(store) == {"1/32": 12}


def test_htmx_gets_the_drawer_alone_refused_or_not(bo):
    good = bo.fill_in("/shims", thickness="1/32", count="12", headers=PARTIAL)
    bad = bo.fill_in("/shims", thickness="1/0", count="12", headers=PARTIAL)

    for answer, status in ((good, 200), (bad, 422)):
        assert answer.status_code == status
        assert answer.text.lstrip().startswith('<div id="drawer"')


def test_sent_twice_is_put_in_once(bo, store):  # C3
    for _ in range(2):
        bo.fill_in("/shims", thickness="1/32", count="12", client_id="s" * 22)

    assert drawer(store) == {"1/32": 12}


@pytest.mark.parametrize("path", ["/shims/7/count", "/shims/0/count", "/shims/x/count"])
def test_a_thickness_that_is_not_there_is_not_found(bo, path):
    assert bo.fill_in(path, count="1").status_code == 404


def test_another_shops_thickness_is_not_counted_by_us(bo, store, clock):
    bo.fill_in("/shims", thickness="1/32", count="12")
    with store.writing() as db:
        other = Shop(name="Across the Road", created_at=clock())
        db.add(other)
        db.flush()
        db.get_one(Shim, 1).shop_id = other.id

    assert bo.fill_in("/shims/1/count", count="1").status_code == 404
    assert drawer(store) == {"1/32": 12}
    assert "1/32" not in bo.get("/shims").text.split('class="drawer__new')[0].split("First thickness")[0]
