"""The scripts in a real browser, each against what the page does without it."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.static.site import Site

pytestmark = pytest.mark.browser

Open = Callable[..., Page]


@pytest.fixture
def pictures(tmp_path: Path) -> list[Path]:
    """Two files that are sent as photos; nobody here looks into them."""
    paths = [tmp_path / "one.jpg", tmp_path / "two.jpg"]
    for number, path in enumerate(paths):
        path.write_bytes(b"x" * (1000 + number))
    return paths


def tap(page: Page, *, across: float, down: float) -> None:
    box = page.locator(".photo__tap").bounding_box()
    assert box
    page.mouse.click(box["x"] + across * box["width"], box["y"] + down * box["height"])


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_a_tap_arrives_in_pixels_of_a_picture_280_wide(open_page: Open, site: Site, script: bool) -> None:
    page = open_page("/marks", script=script)
    page.fill("[name=text]", "Scribed")

    with page.expect_navigation():
        tap(page, across=0.5, down=0.25)
        if script:
            page.get_by_role("button", name="Keep the mark").click()

    assert site.got[0]["text"] == "Scribed"
    assert float(site.got[0]["tap.x"]) == pytest.approx(140, abs=1)
    assert float(site.got[0]["tap.y"]) == pytest.approx(52.5, abs=1)


def test_a_second_tap_moves_the_pin(open_page: Open, site: Site) -> None:
    page = open_page("/marks")

    tap(page, across=0.1, down=0.1)
    tap(page, across=0.75, down=0.5)

    assert page.locator(".pin--new").count() == 1
    assert float(page.input_value("[name='tap.x']")) == pytest.approx(210, abs=1)


def test_the_pin_can_be_put_and_nudged_by_keys(open_page: Open) -> None:
    page = open_page("/marks")

    page.locator(".photo__tap").press("Enter")
    page.locator(".photo__tap").press("ArrowLeft")

    assert float(page.input_value("[name='tap.x']")) == pytest.approx(140 - 280 / 50, abs=0.1)


def test_enter_in_the_text_sends_the_mark_without_moving_the_pin(open_page: Open, site: Site) -> None:
    page = open_page("/marks")
    tap(page, across=0.1, down=0.1)

    with page.expect_navigation():
        page.press("[name=text]", "Enter")

    assert float(site.got[0]["tap.x"]) == pytest.approx(28, abs=1)


def test_photos_go_at_once_and_one_by_one(open_page: Open, site: Site, pictures: list[Path]) -> None:
    page = open_page("/photos")

    page.set_input_files("[name=photo]", pictures)

    expect(page.locator("#answer")).to_have_text("Kept")
    assert [form["photo"] for form in site.got] == ["1000", "1001"]
    assert site.got[0]["client_id"] != site.got[1]["client_id"]


def test_without_script_a_button_sends_the_photos(open_page: Open, site: Site, pictures: list[Path]) -> None:
    page = open_page("/photos", script=False)
    page.set_input_files("[name=photo]", pictures[:1])

    with page.expect_navigation():
        page.get_by_role("button", name="Send the photos").click()

    assert site.got[0]["photo"] == "1000"


def test_a_photo_sent_again_after_no_answer_carries_the_same_id(
    open_page: Open, site: Site, pictures: list[Path]
) -> None:
    page = open_page("/photos")
    site.broken = True
    page.set_input_files("[name=photo]", pictures[:1])
    expect(page.get_by_role("status")).to_contain_text("No answer")

    site.broken = False
    page.get_by_role("button", name="Send the photos").click()

    expect(page.locator("#answer")).to_have_text("Kept")
    expect(page.get_by_role("status")).to_be_empty()
    assert site.got[0]["client_id"] == site.got[1]["client_id"]


def test_a_form_that_was_answered_gets_a_new_id(open_page: Open, site: Site, pictures: list[Path]) -> None:
    page = open_page("/photos")

    for _ in range(2):
        page.set_input_files("[name=photo]", pictures[:1])
        expect(page.locator("#answer")).to_have_text("Kept")
        page.evaluate("document.querySelector('#answer').textContent = ''")

    assert site.got[0]["client_id"] != site.got[1]["client_id"]


def test_what_was_typed_survives_leaving_and_coming_back(open_page: Open) -> None:
    page = open_page("/notes")
    page.fill("[name=text]", "half a th")
    page.get_by_label("Right").check()

    page.get_by_role("link", name="Away").click()
    page.go_back()

    expect(page.get_by_label("Note")).to_have_value("half a th")
    expect(page.get_by_label("Right")).to_be_checked()


def test_what_was_sent_is_not_offered_again(open_page: Open) -> None:
    page = open_page("/notes")
    page.fill("[name=text]", "done")

    with page.expect_navigation():
        page.get_by_role("button", name="Keep").click()

    expect(page.get_by_label("Note")).to_have_value("")


def test_what_found_no_answer_comes_back_with_its_id(open_page: Open, site: Site) -> None:
    page = open_page("/notes")
    page.fill("[name=text]", "lost?")
    site.broken = True
    with page.expect_navigation():
        page.get_by_role("button", name="Keep").click()
    site.broken = False

    page.go_back()
    expect(page.get_by_label("Note")).to_have_value("lost?")
    with page.expect_navigation():
        page.get_by_role("button", name="Keep").click()

    assert site.got[0] == site.got[1]
