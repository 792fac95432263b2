"""The bench's pages: every calculator as a form whose result has an address."""

import re
from html import unescape
from urllib.parse import urlencode

import pytest

from server.settings import Settings
from server.shop.bench.calculator import Calculator
from server.shop.bench.table import CALCULATORS
from server.shop.shim import stock
from server.store.engine import Store
from server.store.tables import Person, Shop
from tests.web.phone import PARTIAL, Phone

NAMES = [one.name for one in CALCULATORS]
SETTING = {"torque": "40 lbf·ft", "handle": "12 in", "adapter": "4 in", "angle": ""}


def asked(name: str, **typed: str) -> str:
    return f"/bench/{name}?{urlencode(typed)}"


def test_the_bench_lists_every_calculator_under_its_subject(dee: Phone) -> None:
    html = dee.get("/bench").text

    assert re.findall(r'href="/bench/([\w-]+)"', html) == NAMES
    assert [unescape(h2) for h2 in re.findall(r"<h2>(.+?)</h2>", html)] == list(
        dict.fromkeys(one.subject for one in CALCULATORS)
    )


@pytest.mark.parametrize("path", ["/bench", "/bench/wrench-setting"])
def test_the_bench_is_for_those_who_are_signed_in(phone: Phone, people: object, path: str) -> None:
    answer = phone.get(path)

    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in?next=")


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_a_new_form_has_a_field_for_everything_and_refuses_nothing(dee: Phone, one: Calculator) -> None:
    answer = dee.get(f"/bench/{one.name}")

    assert answer.status_code == 200
    assert set(re.findall(r'<(?:input|select|textarea)[^>]* name="(\w+)"', answer.text)) >= {
        field.name for field in one.fields
    }
    assert "field__error" not in answer.text
    assert 'class="result"' not in answer.text


@pytest.mark.parametrize("one", CALCULATORS, ids=NAMES)
def test_the_page_offers_an_example_that_works(dee: Phone, one: Calculator) -> None:
    offered = re.search(rf'href="(/bench/{one.name}\?[^"]+)"', dee.get(f"/bench/{one.name}").text)
    assert offered

    answer = dee.get(unescape(offered[1]))

    assert answer.status_code == 200
    assert answer.text.count("result__figure ") + answer.text.count('result__figure"') >= 1
    assert "Source: " in answer.text


def test_a_result_shows_both_systems_and_how_sure_it_is(dee: Phone) -> None:
    html = dee.get(asked("wrench-setting", **SETTING)).text

    assert "30 lbf·ft" in html  # US Army TM 9-2350-261-20-1 p. 2-29, read
    assert "40.7 N·m ± 1.4 N·m" in html
    assert "S = T · L / (L + E · cos a)" in html
    assert "Source: US Army TM 1-1500-204-23-9" in html


def test_what_was_typed_stands_beside_how_it_was_read(dee: Phone) -> None:
    html = dee.get(asked("wrench-setting", **SETTING | {"handle": "12 5/8"})).text

    assert 'value="12 5/8"' in html
    assert "Read as 12 5/8 in = 320.675 mm" in html


def test_a_metric_shop_means_and_sees_millimetres_first(dee: Phone, store: Store) -> None:
    with store.writing() as db:
        db.get_one(Shop, 1).system = "metric"

    html = dee.get(asked("toe-by-tape", front="1480", rear="1483.2", diameter="660")).text

    assert re.search(r'result__value">3.2 mm', html)
    assert "Toe-in" in html


def test_every_wrong_field_is_said_beside_it_with_what_was_typed(dee: Phone) -> None:
    answer = dee.get(asked("wrench-setting", torque="5 mm", handle="12 in", adapter="", angle="60 minutes"))

    assert answer.status_code == 422
    assert 'id="field-torque-error">mm is the unit of a length' in answer.text
    assert 'id="field-adapter-error">Fill this in.' in answer.text
    assert 'value="5 mm"' in answer.text
    assert 'value="12 in"' in answer.text
    assert 'class="result"' not in answer.text


def test_figures_that_do_not_go_together_are_refused_beside_one_of_them(dee: Phone) -> None:
    answer = dee.get(asked("wrench-setting", **SETTING | {"adapter": "-12 in"}))

    assert answer.status_code == 422
    assert 'id="field-adapter-error">The adapter points back further' in answer.text


@pytest.mark.parametrize(
    "text",
    ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "</textarea>", "${7*7}", "{{7*7}}", "\0",
     "٣٣", "１２", "1e309", "9" * 5000, "= 1+1", "1/0", "NaN", "5\u200b mm", "\u202e5"],
)  # fmt: skip
def test_whatever_is_typed_is_refused_as_text(dee: Phone, text: str) -> None:
    answer = dee.get(asked("wrench-setting", **SETTING | {"torque": text}))

    assert answer.status_code == 422
    assert 'id="field-torque-error"' in answer.text
    assert not re.search(r"<script>alert|<img src=x", answer.text)


def test_a_field_twice_in_the_address_is_not_guessed_at(dee: Phone) -> None:
    answer = dee.get("/bench/wheel-rate?rate=300&rate=400&ratio=0.5")

    assert answer.status_code == 422
    assert "has a field twice" in answer.text


def test_a_field_that_the_form_has_not_is_left_alone(dee: Phone) -> None:
    assert 'class="result"' not in dee.get("/bench/wheel-rate?utm=7").text


def test_htmx_gets_just_the_calculator_and_a_browser_the_page(dee: Phone) -> None:
    part = dee.get(asked("wrench-setting", **SETTING), headers=PARTIAL).text
    whole = dee.get(asked("wrench-setting", **SETTING)).text

    assert part.strip().startswith('<div class="bench')
    assert part.strip() in whole


def test_generic_torque_says_so_large(dee: Phone) -> None:
    html = dee.get(asked("generic-torque", grade="SAE 5", thread="1/2-20", finish="zinc", use="again")).text

    assert '<p class="result__generic">Generic, not the maker' in html
    assert "A foreman takes it on" in html


def test_a_spring_under_load_is_signed_danger(dee: Phone) -> None:
    assert "sign--danger" in dee.get("/bench/spring-held").text


def test_the_order_of_five_is_shown(dee: Phone) -> None:
    html = dee.get(asked("tightening-plan", torque="95", count="5", layout="circle")).text

    assert re.findall(r"<li>(\d)</li>", html) == ["1", "3", "5", "2", "4"]


def test_the_drawer_of_the_shop_is_filled_in(dee: Phone, store: Store, people: dict[str, Person]) -> None:
    with store.writing() as db:
        stock(db, text="1/8", count="6", default_unit="in", by=people["Ann Adler"])
        stock(db, text="1/16", count="0", default_unit="in", by=people["Ann Adler"])

    assert "6 × 1/8</textarea>" in dee.get("/bench/shim-packs").text


def test_today_is_filled_in_as_the_day_of_use(dee: Phone) -> None:
    assert 'name="today" type="date" value="2026-11-25"' in dee.get("/bench/wrench-fitness").text


def test_an_unknown_calculator_is_no_page(dee: Phone) -> None:
    assert dee.get("/bench/flux-capacitor").status_code == 404


def test_working_something_out_records_nothing(dee: Phone, settings: Settings) -> None:
    database = settings.data / "cornerbook.sqlite3"
    dee.get("/bench")
    before = database.read_bytes()

    dee.get(asked("wrench-setting", **SETTING))
    dee.post("/api/compute/wheel-rate", json={"rate_N_per_m": 60000, "ratio": 0.5})

    assert database.read_bytes() == before
