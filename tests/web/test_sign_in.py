import html
from collections.abc import Callable
from datetime import datetime

import pytest
from fastapi import FastAPI
from sqlmodel import select

from server.store.engine import Store
from server.store.tables import Person, SignIn
from tests.web.phone import Clock, Phone

NAME, PIN = "Bo Berg", "592604"
WRONG = "That name and PIN do not belong together."


@pytest.fixture(autouse=True)
def everybody(people: dict[str, Person]) -> None:
    pass


def test_signing_in_leads_on_to_where_one_wanted_to_go(phone: Phone) -> None:
    asked = phone.get("/me?part=pin")
    assert asked.headers["location"] == "/sign-in?next=%2Fme%3Fpart%3Dpin"

    page = phone.open_form(asked.headers["location"])
    assert 'name="next" value="/me?part=pin"' in page.text

    assert (
        phone.fill_in("/sign-in", name=NAME, pin=PIN, next="/me?part=pin").headers["location"]
        == "/me?part=pin"
    )
    assert phone.get("/me").status_code == 200


@pytest.mark.parametrize(
    "path", ["//evil.example", "javascript:alert(1)", "/\\evil", "https://evil.example", "", "\r\nX: y"]
)
def test_signing_in_never_leads_to_another_site(phone: Phone, path: str) -> None:
    assert phone.sign_in(NAME, PIN, next=path).headers["location"] == "/"


def test_an_address_with_another_site_in_it_is_not_shown(phone: Phone) -> None:
    assert "evil" not in phone.get("/sign-in", params={"next": "//evil.example"}).text


def test_a_wrong_pin_is_said_beside_its_field_and_the_name_is_kept(phone: Phone) -> None:
    answer = phone.sign_in(NAME, "000000")

    assert answer.status_code == 422
    assert f'id="field-pin-error">{WRONG}' in answer.text
    assert f'value="{NAME}"' in answer.text
    assert "000000" not in answer.text


def test_an_unknown_name_gets_the_very_same_page(app: FastAPI) -> None:
    pages = []
    for n, name in enumerate((NAME, "Xx Xxxx")):
        phone = Phone(app, address=f"10.0.0.{n}")
        answer = phone.sign_in(name, "000000")
        pages.append((answer.status_code, len(answer.text.replace(name, ""))))

    assert pages[0] == pages[1]


def test_too_many_wrong_pins_have_to_wait_and_are_told_how_long(phone: Phone, clock: Clock) -> None:
    for _ in range(3):
        phone.sign_in(NAME, "000000")

    waiting = phone.sign_in(NAME, PIN)
    assert waiting.status_code == 429
    assert "Try again in 6 s" in waiting.text
    clock.pass_by(seconds=6)
    assert phone.sign_in(NAME, PIN).status_code == 303


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "' OR 1=1 --", "%"]
)
def test_a_name_typed_with_code_in_it_is_shown_as_text(phone: Phone, name: str) -> None:
    answer = phone.sign_in(name, "000000")

    assert answer.status_code == 422
    assert html.escape(name, quote=False).split("'")[0] in answer.text.replace("&#34;", '"')
    assert "<img" not in answer.text
    assert "<script>alert" not in answer.text


def test_the_cookies_are_out_of_reach_of_scripts_and_of_other_sites(phone: Phone) -> None:
    phone.open_form("/sign-in")
    cookies = phone.fill_in("/sign-in", name=NAME, pin=PIN).headers.get_list("set-cookie")

    assert len(cookies) == 2
    for one in cookies:
        assert {"HttpOnly", "SameSite=lax", "Path=/"} <= set(one.split("; "))
        assert "Secure" not in one
        assert "Domain" not in one
    session = next(one for one in cookies if one.startswith("cornerbook="))
    assert "Max-Age" not in session


def test_over_https_the_cookies_are_secure_and_bound_to_the_host(app: FastAPI) -> None:
    phone = Phone(app)
    phone.base_url = "https://localhost"
    phone.open_form("/sign-in")

    cookies = phone.fill_in("/sign-in", name=NAME, pin=PIN).headers.get_list("set-cookie")

    assert len(cookies) == 2
    for one in cookies:
        assert one.startswith("__Host-cornerbook")
        assert "Secure" in one.split("; ")


def test_a_session_fixed_beforehand_is_not_the_one_that_is_given(phone: Phone) -> None:
    phone.cookies.set("cornerbook", "fixed-by-somebody-else", domain="localhost.local")
    phone.sign_in(NAME, PIN)

    assert phone.cookies["cornerbook"] != "fixed-by-somebody-else"


@pytest.mark.parametrize("token", ["x", "a" * 5000, "é".encode().decode("latin-1"), "1", "' OR 1=1 --", '""'])
def test_a_cookie_that_is_none_of_ours_is_nobody(phone: Phone, token: str) -> None:
    for name in ("cornerbook", "cornerbook-phone"):
        answer = phone.get("/me", headers={"Cookie": f"{name}={token}".encode("latin-1")})  # type: ignore[dict-item]

        assert answer.headers["location"] == "/sign-in?next=%2Fme"


def test_signing_out_ends_the_session_for_whoever_kept_the_cookie(bo: Phone) -> None:
    kept = bo.cookies["cornerbook"]

    answer = bo.fill_in("/sign-out")

    assert answer.headers["location"] == "/sign-in"
    assert "cornerbook" not in bo.cookies
    assert bo.get("/me", headers={"Cookie": f"cornerbook={kept}"}).status_code == 303


def test_signing_out_cannot_be_done_for_somebody_by_a_link(bo: Phone) -> None:
    assert bo.get("/sign-out").status_code == 405
    assert bo.fill_in("/sign-out", form_key="").status_code == 403
    assert bo.get("/me").status_code == 200


def test_somebody_signed_in_has_no_need_of_the_sign_in_page(bo: Phone) -> None:
    assert bo.get("/sign-in?next=/me").headers["location"] == "/me"


def test_a_phone_left_alone_has_to_sign_in_again(bo: Phone, clock: Clock) -> None:
    clock.pass_by(hours=4, seconds=1)

    assert bo.get("/me").status_code == 303


def test_a_phone_in_use_stays_signed_in(bo: Phone, clock: Clock, store: Store) -> None:
    for _ in range(3):
        clock.pass_by(hours=3)
        assert bo.get("/me").status_code == 200

    assert seen_at(store) == clock.now


def test_looking_at_pages_within_a_minute_writes_nothing(bo: Phone, clock: Clock, store: Store) -> None:
    began = seen_at(store)
    clock.pass_by(seconds=59)
    bo.get("/me")

    assert seen_at(store) == began


def test_htmx_is_told_to_load_the_sign_in_page_whole(phone: Phone) -> None:
    headers = {"HX-Request": "true", "HX-Request-Type": "partial", "Referer": "http://localhost/jobs/3?x=1"}

    answer = phone.get("/me", headers=headers)

    assert answer.status_code == 204
    assert answer.headers["hx-redirect"] == "/sign-in?next=%2Fjobs%2F3%3Fx%3D1"


@pytest.mark.parametrize(
    ("referer", "location"),
    [
        ("http://localhost/steps/3", "/sign-in?next=%2Fsteps%2F3"),
        ("http://evil.example/steps/3", "/sign-in"),
        ("", "/sign-in"),
        ("http://[", "/sign-in"),
    ],
)
def test_after_a_write_the_way_back_is_to_its_page(phone: Phone, referer: str, location: str) -> None:
    phone.open_form("/sign-in")

    answer = phone.fill_in("/people", name="x", role="", headers={"Referer": referer})

    assert answer.headers["location"] == location


def test_the_api_says_it_in_its_own_way(app: FastAPI, phone: Phone) -> None:
    from server.web.visitor import Signed

    @app.get("/api/probe")
    def probe(visitor: Signed) -> str:
        return visitor.person.name

    answer = phone.get("/api/probe")

    assert (answer.status_code, answer.json()) == (401, {"sentence": "Sign in first.", "field": ""})


def test_two_phones_of_one_person_are_two_sessions(new_phone: Callable[..., Phone]) -> None:
    one, other = new_phone(address="10.0.0.1"), new_phone(address="10.0.0.2")
    one.sign_in(NAME, PIN)
    other.sign_in(NAME, PIN)

    one.fill_in("/sign-out")

    assert other.get("/me").status_code == 200


def seen_at(store: Store) -> datetime:
    with store.reading() as db:
        return db.exec(select(SignIn)).one().seen_at
