"""What is said of lengths that nobody measured."""

import pytest

from server.compute.answer import Known
from server.compute.dimension import SHORT
from server.compute.layout import Steer, short
from server.web.guessed import guessed


@pytest.mark.parametrize(
    ("measured", "sentence"),
    [
        (0, "Guessed, not measured: all 24 lengths of the corner."),
        (20, "Guessed, not measured: 4 of the corner's 24 lengths."),
        (
            22,
            "Guessed, not measured: Spring's seat from the lower pivot line; Spring's length on its wheels.",
        ),
        (24, ""),
    ],
)
def test_few_are_named_and_many_are_counted(measured: int, sentence: str) -> None:
    layout = short({one.key: Known(one.usual_m, 0.001) for one in SHORT[:measured]}, Steer.BEHIND)

    assert guessed(layout) == sentence
