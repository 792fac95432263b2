"""What the shared pieces of the pages must hold to."""

import re
from types import SimpleNamespace as Thing

import pytest

from tests.templates.conftest import Render

STATES = ("to do", "in hand", "done", "on hold", "not needed")


def test_an_error_is_tied_to_its_field(render: Render) -> None:
    field = render("form", "field", "length", "Length", error="That is no length.", help="12 5/8")

    assert 'aria-describedby="field-length-help field-length-error" aria-invalid="true"' in field
    assert '<p class="field__error" id="field-length-error">That is no length.</p>' in field


def test_a_field_that_is_right_says_nothing_of_errors(render: Render) -> None:
    field = render("form", "field", "length", "Length", value="12 5/8")

    assert "aria-" not in field
    assert 'value="12 5/8"' in field


@pytest.mark.parametrize("kind", ["text", "textarea"])
def test_what_was_typed_is_text_and_never_markup(render: Render, kind: str) -> None:
    field = render("form", "field", "note", "Note", value='"><b>&', kind=kind)

    assert "<b>" not in field
    assert "&lt;b&gt;&amp;" in field


def test_a_pin_is_never_sent_back(render: Render) -> None:
    assert "482910" not in render("form", "field", "pin", "PIN", value="482910", kind="password")


def test_every_form_carries_its_keys(render: Render) -> None:
    hidden = render("form", "hidden_ids", "the form key")

    assert re.search(r'name="form_key" value="the form key"', hidden)
    assert re.search(r'name="client_id" value="[\w-]{16,64}" data-client-id', hidden)


def test_the_chosen_one_is_checked_and_no_other(render: Render) -> None:
    choice = render("form", "choice", "bay", "Bay", [(1, "One"), (2, "Two")], value=2)

    assert re.findall(r'value="(\d)" checked', choice) == ["2"]


def test_each_state_has_a_shape_and_a_word_of_its_own(render: Render) -> None:
    shown = {state: render("state", "state", state) for state in STATES}

    shapes = {re.sub(r"\s+", " ", text[text.index("<svg") : text.index("</svg>")]) for text in shown.values()}
    assert len(shapes) == len(STATES)
    assert all(state.capitalize() in text for state, text in shown.items())


@pytest.mark.parametrize("word", ["danger", "warning", "caution", "notice"])
def test_a_sign_says_its_signal_word(render: Render, word: str) -> None:
    sign = render("sign", "sign", word, "Keep out.")

    assert word.upper() in sign
    assert ("sign__mark" in sign) == (word != "notice")  # no alert triangle where nobody gets hurt


def test_no_hazard_no_strip(render: Render) -> None:
    assert render("sign", "hazard_strip", []).strip() == ""


def test_a_hazard_shows_its_age_and_who_made_it(render: Render) -> None:
    hazard = Thing(
        word="danger", text="Spring compressed", age="1 h 20 min", since="10:42, Ilse", href="/steps/7"
    )

    strip = render("sign", "hazard_strip", [hazard])

    assert all(
        words in strip for words in ("DANGER", "Spring compressed", "1 h 20 min", "10:42, Ilse", "/steps/7")
    )


def rung(down: str | None, up: str | None) -> Thing:
    step = {
        way: Thing(href=f"/{way}", state=state, who="Ilse") if state else None
        for way, state in (("down", down), ("up", up))
    }
    return Thing(name="Brake caliper", **step)


def test_a_rung_leads_down_and_up(render: Render) -> None:
    ladder = render("ladder", "ladder", "Left front", [rung("done", "to do")])

    assert re.findall(r'href="(/\w+)"', ladder) == ["/down", "/up"]
    assert "Brake caliper, going down: </span>Done" in ladder
    assert "Brake caliper, going up: </span>To do" in ladder


def test_a_rung_with_no_way_down_has_no_link_there(render: Render) -> None:
    ladder = render("ladder", "ladder", "Left front", [rung(None, "to do")])

    assert re.findall(r'href="(/\w+)"', ladder) == ["/up"]


def test_only_the_rung_one_stands_on_is_marked(render: Render) -> None:
    ladder = render("ladder", "ladder", "Left front", [rung("done", None), rung(None, "in hand")], here="/up")

    assert ladder.count("ladder__rung--here") == 1
    assert ladder.count('aria-current="step"') == 1


def test_the_small_ladder_counts_in_words(render: Render) -> None:
    small = render(
        "ladder", "ladder_small", "LF", [rung("done", "to do"), rung("done", "done"), rung(None, "to do")]
    )

    assert 'aria-label="LF: 2 of 2 down, 1 of 3 up"' in small


def test_a_figure_lives_in_three_columns(render: Render) -> None:
    found = Thing(text="12 5/8", spread="± 1/32", other="320.7 mm", href="")
    target = Thing(text="12 21/32", spread="", other="", href="/targets/3")

    figure = render("figure", "figure", "Length", found=found, target=target, unit="in")

    assert re.findall(r"<dt>([^<]+)</dt>", figure) == ["As found", "Target", "As left"]
    assert "± 1/32" in figure
    assert "320.7 mm" in figure
    assert 'href="/targets/3"' in figure
    assert "open" in figure


def place_of(svg: str, mark: str) -> float:
    found = re.search(rf'plot__{mark}"[^>]*?(?:translate\(|x="|d="M)([\d.]+)', svg)
    assert found
    return float(found[1])


def test_a_plot_keeps_the_order_and_the_distances(render: Render) -> None:
    plot = Thing(low=0.0, high=0.5, found=-1.0, target=0.25, left=0.375)

    svg = render("figure", "bar_plot", "Camber", plot, "°")

    low, found, target, left = (place_of(svg, mark) for mark in ("band", "found", "target", "left"))
    assert found < low < target < left
    assert (target - low) / (low - found) == pytest.approx(0.25, abs=0.01)


def test_a_plot_of_a_single_value_is_still_drawn(render: Render) -> None:
    plot = Thing(low=2, high=2, found=2, target=None, left=None)

    assert place_of(render("figure", "bar_plot", "Packs", plot), "found") == 30


def test_a_pin_sits_at_its_fraction_of_the_picture(render: Render) -> None:
    photo = render(
        "photo", "photo", "/p", "Bolt", 1200, 900, [Thing(number=1, x=0.25, y=0.5, text="Scribed")]
    )

    assert "translate(300.0 450.0)" in photo
    assert "Scribed" in photo


def test_a_photo_is_tapped_at_280_wide_whatever_its_size(render: Render) -> None:
    photo = render("photo", "pin_photo", "/p", "Bolt", 1512, 2016)

    assert 'type="image" name="tap"' in photo
    assert 'width="280" height="373"' in photo
