"""Choices, days and threads."""

from datetime import date

import pytest

from server.shop.bench.field import Field
from server.shop.bench.word import Choice, Day, Thread, Typed
from server.shop.refusal import Refusal

SIDE = Choice(name="side", label="Side", options=(("left", "Left"), ("right", "Right")), example="left")
DAY = Day(name="day", label="Day", example="2026-11-25")
THREAD = Thread(name="thread", label="Thread", example="1/2-20")
TEXT = Typed(name="text", label="Text", example="12 5/8")


def test_a_choice_is_echoed_in_its_words() -> None:
    read = SIDE.read("left", "inch")

    assert (read.value, read.echo) == ("left", "Left")


def test_a_day_is_a_day() -> None:
    assert DAY.read("2026-11-25", "inch").value == DAY.take({"day": "2026-11-25"}) == date(2026, 11, 25)


def test_a_thread_gives_diameter_and_pitch() -> None:
    assert (
        THREAD.read("M12x1.5", "inch").value.pitch_m == THREAD.take({"thread": "M12x1.5"}).pitch_m == 0.0015
    )


@pytest.mark.parametrize(
    ("field", "text"),
    [
        (SIDE, "Left"),
        (SIDE, "middle"),
        (DAY, "25.11.2026"),
        (DAY, "2026-02-30"),
        (DAY, "20261125"),
        (DAY, "٢٠٢٦-11-25"),
        (THREAD, "half inch"),
        (THREAD, "M12x0"),
    ],
)
def test_any_other_word_is_refused_typed_or_sent(field: Field, text: str) -> None:
    with pytest.raises(Refusal) as typed:
        field.read(text, "inch")
    with pytest.raises(Refusal) as sent:
        field.take({field.key: text})

    assert typed.value.field == sent.value.field == field.name


@pytest.mark.parametrize("field", [SIDE, DAY, THREAD, TEXT])
@pytest.mark.parametrize("sent", [1, True, None, ["left"], {"left": 1}])
def test_what_is_no_text_is_refused(field: Field, sent: object) -> None:
    with pytest.raises(Refusal, match="is text"):
        field.take({field.key: sent})
