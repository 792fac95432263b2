"""The next move in words, done by hand to a car that is only a linkage: it has to read what was wanted.

The words are read here without any of the code that wrote them. What they do to the car is taken from the
definitions of a shim, a right-hand thread and the vehicle's axes (ISO 8855: x forward, y left, z up).
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import product
from math import degrees, radians

import numpy as np
import pytest

from server.compute.adjust import calibrated
from server.compute.corner import Hand
from server.compute.linkage import Setting, posed
from server.compute.pose import readings
from server.shop.geometry import layout_of
from server.store.tables import Capture
from tests.shop.bench_top import aimed, evidence
from tests.shop.test_realign import DRAWER, WANTED, WORDS, found

INCH_m, PITCH_m = 0.0254, 1.411e-3
SIDES = {"LF": Hand.LEFT, "RF": Hand.RIGHT}
OUTBOARD_y = {"LF": +1, "RF": -1}
WANTED_deg = {"camber": 0.25, "caster": 2.0, "toe": 0.1}
WITHIN_deg = {"camber": 0.12, "caster": 0.25, "toe": 0.08}  # half a 1/32 in shim; a sixteenth of a turn
OFF_deg = (  # what each wheel reads more than wanted: both signs of everything, not the same on both sides
    {"LF": {"camber": 0.9, "caster": -1.0, "toe": 0.35}, "RF": {"camber": -0.6, "caster": 0.9, "toe": -0.4}},
    {"LF": {"camber": -0.7, "caster": 1.1, "toe": -0.3}, "RF": {"camber": 0.8, "caster": -0.8, "toe": 0.45}},
)
PACK = "1/4 in"


@dataclass(frozen=True)
class Case:
    """One car: where its parts lie, and how far off its wheels are."""

    steer: str
    shaft: str
    right_hand: str
    which: int  # of OFF_deg

    def off_deg(self, place, name):
        return OFF_deg[self.which][place][name]

    def reads_deg(self, place, name):
        return WANTED_deg[name] + self.off_deg(place, name)


@cache
def told(case):
    """The case's record, and the targets that it carries by key and place."""
    down = {(key, place): PACK for key in ("pack.front", "pack.rear") for place in SIDES}
    read = {
        (key, place): f"{case.reads_deg(place, name)}°"
        for place in SIDES
        for key, name in (("camber", "camber"), ("caster", "caster"), ("toe.wheel", "toe"))
    }
    given = evidence(
        down=down,
        later=read,
        sheet={
            "corner.steer": case.steer,
            "corner.shaft-at": case.shaft,
            "camber": f"{WANTED_deg['camber']}°",
            "caster": f"{WANTED_deg['caster']}°",
            "toe.total": f"{2 * 0.65 * np.sin(radians(WANTED_deg['toe'])) * 1000:.4f} mm toe-in",
            "tie-rod.pitch": f"{PITCH_m * 1000} mm",
        },
        drawer={"1/32 in": 12, "1/16 in": 12, "1/8 in": 12},
    )
    for n, place in enumerate(SIDES, 900):
        chosen = Capture(
            id=n, step_id=7, key="tie-rod.right-hand", place=place, kind="note", text=case.right_hand
        )
        given.captures["tie-rod.right-hand", place, "bench"] = chosen
    return given, aimed(given)


def inches_m(words):
    """`1 1/16 in`, `0.257 in`."""
    return sum(float(Fraction(one)) for one in words.removesuffix(" in").split()) * INCH_m


def pack_change_m(says, end):
    """How much thicker the pack gets by the words."""
    if says == f"Leave the {end} pack as it is.":
        return 0.0
    verb, amount, word = re.match(rf"(Add|Take) (.+?) \(.*?\) (to|out of) the {end} pack: ", says).groups()
    assert (verb, word) in (("Add", "to"), ("Take", "out of"))
    return inches_m(amount) * (1 if verb == "Add" else -1)


def moves_outboard_m(thicker_m, shaft):
    """A shim lies between bracket and shaft: it pushes the shaft away from the bracket."""
    return thicker_m if shaft == "outboard" else -thicker_m


def lengthens_m(says, place, right_hand):
    """What turning the sleeve as told does to the rod, whatever the words call it.

    Its top going forward is a turn about +y by the right-hand rule. A nut with a right-hand thread that turns
    about a direction moves in that direction along its screw; one with a left-hand thread the other way.
    """
    if says.startswith("Leave the sleeve"):
        return 0.0
    turns, verb, toward = re.match(
        r"Turn the sleeve ([\d /]+?) turns? \(.*?\), "
        r"(lengthen|shorten): top of the sleeve toward the (front|rear)\.$",
        says,
    ).groups()
    about_y = sum(Fraction(one) for one in turns.split()) * (1 if toward == "front" else -1)
    right_end_y = OUTBOARD_y[place] * (1 if right_hand == "Outer end" else -1)
    along_right_end = PITCH_m * float(about_y) * right_end_y  # the sleeve, on its right-hand end
    along_left_end = -along_right_end  # on its left-hand end, in the same direction
    longer_m = along_left_end - along_right_end
    assert (longer_m > 0) == (verb == "lengthen")
    return longer_m


def after(given, aims, case, place):
    """The wheel's camber, caster and toe [deg] once the words are done."""
    found = readings(*(radians(case.reads_deg(place, name)) for name in WANTED_deg))
    corner = calibrated(layout_of(given.specs).corner(SIDES[place]), found)
    front, rear = (
        moves_outboard_m(pack_change_m(aims[f"pre-alignment.{end}", place].says, end), case.shaft)
        for end in ("front", "rear")
    )
    rod = lengthens_m(aims["pre-alignment.sleeve", place].says, place, case.right_hand)
    return dict(
        zip(WANTED_deg, np.degrees(posed(corner, Setting(front, rear, rod)).readings.stacked), strict=True)
    )


CASES = [
    Case(*one)
    for one in product(("ahead", "behind"), ("inboard", "outboard"), ("Outer end", "Inner end"), (0, 1))
]


@pytest.mark.parametrize("place", SIDES)
@pytest.mark.parametrize(
    "case", CASES, ids=lambda one: f"{one.steer}, {one.shaft}, {one.right_hand}, {one.which}"
)
def test_a_car_that_is_moved_as_told_reads_what_was_wanted(case, place):
    given, aims = told(case)

    read = after(given, aims, case, place)

    for name, wanted in WANTED_deg.items():
        off = abs(read[name] - wanted)
        assert off < WITHIN_deg[name]
        assert off < abs(case.off_deg(place, name)) / 2
        expected = aims[f"pre-alignment.{name}", place].answer
        assert degrees(expected.value) == pytest.approx(read[name], abs=WITHIN_deg[name])


def test_the_cases_tell_every_turn_of_the_words():
    said = set()
    for case in CASES:
        _, aims = told(case)
        for place in SIDES:
            front = aims["pre-alignment.front", place].says.split()[0]
            sleeve = re.search(
                r"(lengthen|shorten): top of the sleeve toward the (front|rear)",
                aims["pre-alignment.sleeve", place].says,
            ).groups()
            said.add((place, case.steer, case.shaft, case.right_hand, front, *sleeve))

    for place, steer, shaft, right_hand in product(
        SIDES, ("ahead", "behind"), ("inboard", "outboard"), ("Outer end", "Inner end")
    ):
        ways = {one[4:] for one in said if one[:4] == (place, steer, shaft, right_hand)}
        assert {verb for verb, *_ in ways} == {"Add", "Take"}
        assert {way for _, way, _ in ways} == {"lengthen", "shorten"}
        assert {toward for *_, toward in ways} == {"front", "rear"}


def on_the_floor(*, camber, caster, sheet):
    """The targets of a left wheel that reads so now."""
    read = {"camber": camber, "caster": caster, "toe.wheel": "0.6°"}
    return aimed(
        evidence(
            down={(key, "LF"): PACK for key in ("pack.front", "pack.rear")},
            later={(key, "LF"): text for key, text in read.items()},
            sheet={"corner.steer": "behind", "corner.shaft-at": "inboard", "toe.total": "0 in"} | sheet,
            drawer={"1/32 in": 12, "1/16 in": 12},
        )
    )


def test_packs_stay_where_camber_and_caster_are_inside_the_sheets_bands():
    aims = on_the_floor(camber="0.4°", caster="1.3°", sheet={"camber": "0.5° ± 0.5°", "caster": "1° ± 0.5°"})

    assert aims["pre-alignment.front", "LF"].says == "Leave the front pack as it is."
    assert aims["pre-alignment.rear", "LF"].says == "Leave the rear pack as it is."
    assert "shorter" in aims["pre-alignment.sleeve", "LF"].says


def test_one_angle_outside_its_band_moves_the_packs_for_both():
    aims = on_the_floor(camber="0.4°", caster="2.3°", sheet={"camber": "0.5° ± 0.5°", "caster": "1° ± 0.5°"})

    assert aims["pre-alignment.front", "LF"].says.startswith("Add")
    assert degrees(aims["pre-alignment.camber", "LF"].answer.value) == pytest.approx(0.5, abs=0.1)
    assert degrees(aims["pre-alignment.caster", "LF"].answer.value) == pytest.approx(1, abs=0.25)


def test_a_pack_that_goes_altogether_is_said_to_be_none():
    aims = on_the_floor(camber="-4°", caster="1°", sheet={"camber": "0.5°", "caster": "1°"})

    assert aims["pre-alignment.front", "LF"].says == "Take 1/4 in (6.35 mm) out of the front pack: none then."


def _sleeve(rear, *, off="0"):
    """What is said of the left sleeve when the tape reads `rear` behind and 58 1/4 in ahead."""
    both = {(key, place): text for (key, _), text in found().items() for place in ("LF", "RF")}
    tape = {
        ("toe.tape-front", "car"): "58 1/4 in",
        ("toe.tape-rear", "car"): rear,
        ("toe.tape-diameter", "car"): "26 in",
        ("steering-wheel.off", "car"): off,
    }
    sheet = WORDS | WANTED | {"toe.total": "1/16 to 3/16 in toe-in", "tie-rod.pitch": "1.411 mm"}
    given = evidence(later=both | tape, sheet=sheet | {"steering.ratio": "24"}, drawer=DRAWER)
    return aimed(given)["pre-alignment.sleeve", "LF"].says


def test_a_sleeve_is_left_when_the_toe_keeps_to_the_sheet_and_the_move_is_less_than_its_own_doubt():
    assert _sleeve("58 3/8 in", off="1").startswith("Leave the sleeve as it is (")


def test_a_toe_off_the_sheet_is_set_however_coarse_the_tape():
    assert _sleeve("58 1/4 in").startswith("Turn the sleeve ")
