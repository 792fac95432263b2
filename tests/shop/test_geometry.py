"""Half of a tape's smallest step is what its writing leaves open; the inch is 25.4 mm by definition."""

from dataclasses import dataclass

import pytest

from server.compute.corner import Hand
from server.compute.dimension import LONG, SHORT
from server.compute.layout import ShaftAt, Steer
from server.shop import vehicle
from server.shop.capture import NeedsConfirming
from server.shop.geometry import (
    LONG_LINES,
    SHORT_LINES,
    WORD_LINES,
    lacking,
    layout_of,
    shaft_at_of,
)
from server.shop.refusal import Conflict, Refusal
from server.shop.spec import sheet, write_line
from server.store.engine import Store
from server.store.tables import Person, Spec, Vehicle
from tests.shop.conftest import NOW, library

INCH_m = 0.0254
LINES = {one.key: one for one in (*WORD_LINES, *SHORT_LINES, *LONG_LINES)}
WORDS = {"corner.steer": "behind", "corner.shaft-at": "inboard"}
ARM = "corner.upper-arm"
POINTS_mm = {  # an invented corner: ahead, out, up
    "upper-front": (110, 440, 470),
    "upper-rear": (-100, 440, 460),
    "stud-front": (75, 440, 466),
    "stud-rear": (-75, 440, 464),
    "upper-ball": (-5, 640, 450),
    "lower-front": (150, 300, 225),
    "lower-rear": (-150, 300, 225),
    "lower-ball": (0, 680, 200),
    "tie-inner": (-145, 320, 220),
    "tie-outer": (-145, 650, 195),
    "spring-lower": (0, 500, 212),
    "spring-upper": (0, 500, 462),
    "wheel-centre": (0, 755, 300),
}
POINTS = {
    f"point.{place}.{axis}": f"{figure} mm"
    for place, figures in POINTS_mm.items()
    for axis, figure in zip(("ahead", "out", "up"), figures, strict=True)
}


@dataclass
class Car:
    """A car whose corner is measured."""

    store: Store
    vehicle: Vehicle
    by: Person
    written: int = 0

    def write(self, key: str, text: str, source: str = "Tape", **how):
        with self.store.writing() as db:
            return self._write(db, key, text, source=source, **how)

    def measured(self, **lines: str):
        """The specs after writing these."""
        with self.store.writing() as db:
            for key, text in lines.items():
                self._write(db, key, text, source="Tape")
            return sheet(db, self.vehicle.id)

    def specs(self):
        with self.store.reading() as db:
            return sheet(db, self.vehicle.id)

    def _write(self, db, key, text, **how):
        self.written += 1
        return write_line(
            db,
            self.vehicle,
            LINES[key],
            client_id=f"corner-{self.written:015d}",
            text=text,
            generic=False,
            by=self.by,
            now=NOW,
            **how,
        )


@pytest.fixture
def car(store, crew):
    with store.writing() as db:
        taken = vehicle.take_in(
            db,
            make="Corvane",
            model="Tarnlight",
            year="1968",
            plate="AB 12",
            drive="LHD",
            front_end="coil-on-lower-arm",
            front_ends=library(),
            by=crew.foreman,
            now=NOW,
        )
    return Car(store, taken, crew.technician)


def figure(layout, key):
    """The figure and its spread, by the dimension's key."""
    at = [one.key for one in layout.dimensions].index(key)
    return layout.figures_m[at], layout.spreads_m[at]


def test_every_dimension_has_a_line_and_no_key_is_taken_twice():
    assert len(LINES) == 2 + len(SHORT) + len(LONG)


def test_nothing_is_computed_before_somebody_has_looked_at_both_words(car):
    assert layout_of(car.specs()) is None
    assert shaft_at_of(car.specs()) is None
    assert len(lacking(car.specs())) == 2
    assert layout_of(car.measured(**{"corner.steer": "ahead"})) is None
    assert lacking(car.specs()) == ("Say on which side of its bracket the upper arm's shaft sits.",)


def test_a_word_that_is_none_of_its_own_counts_as_not_looked_at():
    assert shaft_at_of({"corner.shaft-at": Spec(key="corner.shaft-at", text="on top")}) is None


def test_both_words_are_enough_and_the_rest_is_guessed(car):
    specs = car.measured(**WORDS)

    layout = layout_of(specs)
    assert layout.steer is Steer.BEHIND
    assert layout.guessed == {one.key for one in SHORT}
    assert shaft_at_of(specs) is ShaftAt.INBOARD
    assert lacking(specs) == ()


def test_a_measured_length_takes_the_place_of_its_guess_as_wide_as_the_tape_reads(car):
    layout = layout_of(car.measured(**WORDS, **{ARM: "8 1/16 in"}))

    value, spread = figure(layout, "upper-arm")
    assert value == pytest.approx(8.0625 * INCH_m)
    assert spread == pytest.approx(INCH_m / 32 / 3**0.5)  # JCGM 100:2008 (GUM) 4.3.7
    assert "upper-arm" not in layout.guessed


@pytest.mark.parametrize(
    ("text", "middle_m", "half_m"),
    [
        ("8 in ± 1/4", 8 * INCH_m, INCH_m / 4),
        ("220 mm", 0.220, 0.0005),
        ("220 ± 3 mm", 0.220, 0.003),
        ("8 to 9 in", 8.5 * INCH_m, INCH_m / 2),
    ],
)
def test_a_row_keeps_what_was_typed_and_how_wide_it_is(car, text, middle_m, half_m):
    row = car.write(ARM, text, source="Tom, tape")

    assert (row.text, row.source, row.quantity) == (text, "Tom, tape", "length")
    assert ((row.low + row.high) / 2, (row.high - row.low) / 2) == (
        pytest.approx(middle_m),
        pytest.approx(half_m),
    )


def test_the_long_form_is_used_once_it_is_whole(car):
    *points, last = POINTS.items()
    assert layout_of(car.measured(**WORDS, **dict(points))).dimensions is SHORT

    layout = layout_of(car.measured(**dict([last])))
    assert layout.dimensions is LONG
    assert figure(layout, "upper-ball.up") == (pytest.approx(0.450), pytest.approx(0.0005 / 3**0.5))


def test_a_whole_long_form_shows_the_steer_by_itself_but_not_the_shaft(car):
    specs = car.measured(**POINTS)

    assert layout_of(specs).corner(Hand.LEFT).is_rear_steer
    assert lacking(specs) == ("Say on which side of its bracket the upper arm's shaft sits.",)


def test_lengths_that_make_no_corner_are_said_and_nothing_is_computed(car):
    heights = {"corner.upper-pivot-height": "555 mm", "corner.upper-ball-height": "358 mm"}

    specs = car.measured(**WORDS, **heights, **{ARM: "150 mm"})

    assert layout_of(specs) is None
    assert lacking(specs) == (
        "The upper arm is shorter than its own ends are apart; look at its length and heights again.",
    )


@pytest.mark.parametrize(
    ("key", "text"),
    [
        (ARM, "0"),
        (ARM, "-8 in"),
        (ARM, "8 Nm"),
        (ARM, "8 1/7 in"),
        (ARM, "8 in ± "),
        (ARM, "1 ± 2 in"),
        ("corner.steer", "in front"),
        ("corner.shaft-at", ""),
        ("point.lower-ball.up", "-2 in"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(car, key, text):
    with pytest.raises(Refusal) as refused:
        car.write(key, text)

    assert refused.value.field == "text"
    assert key not in car.specs()


def test_a_length_far_from_the_usual_is_asked_about_again(car):
    with pytest.raises(NeedsConfirming):
        car.write(ARM, "22 in")

    assert car.write(ARM, "22 in", confirmed=True).text == "22 in"


def test_a_word_is_corrected_with_a_reason_and_keeps_what_it_was(car):
    before = car.write("corner.steer", "ahead")
    with pytest.raises(Refusal) as refused:
        car.write("corner.steer", "behind", supersedes=before)
    assert refused.value.field == "reason"
    with pytest.raises(Conflict):
        car.write("corner.steer", "behind")

    after = car.write("corner.steer", "behind", supersedes=before, reason="Looked again")
    assert (after.supersedes_id, after.reason, after.quantity) == (before.id, "Looked again", "")
    assert car.specs()["corner.steer"].text == "behind"
