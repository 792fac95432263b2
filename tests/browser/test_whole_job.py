"""The whole job, through the pages only, at phone size."""

import pytest

from tests.browser.hands import FOREMAN, SECOND, TECHNICIAN, Hands, picture_file

pytestmark = pytest.mark.browser


@pytest.fixture
def hands(live, open_phone, tmp_path):
    return Hands(open_phone(), live.address, picture_file(tmp_path))


def whole_job(hands, live, scope):
    hands.set_up(live.app.state.set_up_code)
    hands.take_in(scope)
    hands.fill_spec_sheet()
    hands.page.context.clear_cookies()
    hands.sign_in(*TECHNICIAN)
    hands.go("/jobs/1")
    hands.page.get_by_role("link", name="Take the car in").first.click()
    done = hands.work_through()
    hands.discard_renewed()
    hands.go("/jobs/1/release")
    return done


def test_a_car_is_taken_in_stripped_refitted_and_released_on_a_phone(hands, live):
    done = whole_job(hands, live, "everything")

    assert len(done) > 95
    assert "No loose end" in hands.page.locator("h1").inner_text()
    hands.press("Release this car")
    assert hands.page.locator(".release__name").first.inner_text() == TECHNICIAN[0]
    hands.page.get_by_role("link", name="Handover sheet").first.click()
    sheet = hands.page.locator("main").inner_text()
    assert "KX 61 LAM" in sheet
    assert SECOND[0] in sheet
    assert "not released" not in sheet.lower()


def test_tie_rods_on_both_sides_are_the_least_work(hands, live):
    done = whole_job(hands, live, "tie-rods")

    assert "Coil spring" not in done
    assert done.count("Tie-rod assembly") == 4
    hands.press("Release this car")
    assert hands.page.locator(".release__name").first.inner_text() == TECHNICIAN[0]
    hands.go("/")
    assert FOREMAN[0] not in hands.page.locator("main").inner_text()
