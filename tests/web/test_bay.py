import pytest

from tests.web.phone import Phone


def test_bays_are_shown_in_the_order_they_were_named(ann: Phone) -> None:
    assert ann.fill_in("/bays", name=["Pit", "", "Lift"]).headers["location"] == "/bays"

    shown = ann.get("/bays").text
    assert shown.index(">Pit<") < shown.index(">Lift<")


@pytest.mark.parametrize("wrong", ["pit", "x" * 41, "a\u202eb", "\u200b"])
def test_one_refused_is_none_added_and_all_is_kept_as_typed(ann: Phone, wrong: str) -> None:
    answer = ann.fill_in("/bays", name=["Pit", wrong, "Lift"])

    assert answer.status_code == 422
    assert 'id="field-name-1-error"' in answer.text
    assert 'value="Pit"' in answer.text
    assert 'value="Lift"' in answer.text
    assert "No bay yet" in ann.get("/bays").text


def test_more_names_than_the_page_has_lines_are_all_shown_again(ann: Phone) -> None:
    answer = ann.fill_in("/bays", name=[f"Bay {n}" for n in range(5)] + ["bay 1"])

    assert answer.status_code == 422
    assert answer.text.count('name="name"') == 6
