"""What has to be true on the way up. Where a figure is worked out, the hand calculation stands beside it."""

from math import radians, sin

import pytest

from server.compute.unit import Quantity
from server.store.tables import Capture
from tests.shop.bench_top import INCH_m, aimed, evidence

LBF_N = 4.4482216152605  # exact by definition of the pound and standard gravity
ROD, LIES = ("tie-rod.length", "LF"), ("tie-rod.lies-at", "LF")
SPRING = ("spring.compressed-length", "LF")
THREADS = {"tie-rod.pitch": "1.27 mm", "tie-rod.thread": "17.5 mm"}
SHEET = {"spring.rate": "340 lbf/in", "spring.free-length": "15 1/2 in"}


# The tie rod, set from the old one


def test_the_tie_rod_is_set_to_the_length_of_the_old_assembly():
    aim = aimed(evidence(down={ROD: "12 5/8 in"}))[ROD]

    assert aim.answer.value == pytest.approx(12.625 * INCH_m)
    assert aim.answer.uncertainty == pytest.approx(INCH_m / 32)
    assert "as the old assembly was" in aim.says
    assert [one.key for one in aim.captures] == ["tie-rod.length"]


def test_the_sleeve_turns_by_what_is_missing_over_twice_the_pitch():
    """(12.625 − 12.375) in × 25.4 / (2 × 1.27 mm) = 2.5, ± √2 × 0.79375 mm / 2.54 mm = 0.44; derived."""
    given = evidence(down={ROD: "12 5/8 in"}, later={LIES: "12 3/8 in"}, sheet=THREADS)

    aim = aimed(given)["tie-rod.turns", "LF"]

    assert aim.answer.value == pytest.approx(2.5)
    assert aim.says == "2.50 ± 0.44 turns of the sleeve, to lengthen."


def test_which_way_the_sleeve_goes_is_said_once_the_threads_hand_is_known():
    """Seen from the end with the right-hand thread, clockwise unscrews both. From the left of the car,
    looking inboard, the front is at one's left: clockwise takes the top to the rear and lengthens; derived.
    """
    given = evidence(down={ROD: "12 5/8 in"}, later={LIES: "12 7/8 in"}, sheet=THREADS)
    assert "to shorten" in aimed(given)["tie-rod.turns", "LF"].says

    given.captures["tie-rod.right-hand", "LF", "bench"] = _chosen("Outer end")
    assert "shorten: top of the sleeve toward the front" in aimed(given)["tie-rod.turns", "LF"].says

    given.captures["tie-rod.right-hand", "LF", "bench"] = _chosen("Inner end")
    assert "shorten: top of the sleeve toward the rear" in aimed(given)["tie-rod.turns", "LF"].says


def test_a_reason_why_the_hand_was_not_seen_is_not_taken_for_a_hand():
    given = evidence(down={ROD: "12 5/8 in"}, later={LIES: "12 3/8 in"}, sheet=THREADS)
    given.captures["tie-rod.right-hand", "LF", "bench"] = _chosen("Inner end is rusted over", kind="missing")

    assert "top of the sleeve" not in aimed(given)["tie-rod.turns", "LF"].says


def test_without_a_pitch_there_are_no_turns_but_the_missing_line_is_named():
    given = evidence(down={ROD: "12 5/8 in"}, later={LIES: "12 3/8 in"})

    aim = aimed(given)["tie-rod.turns", "LF"]

    assert aim.answer is None
    assert aim.missing == ("tie-rod.pitch",)


@pytest.mark.parametrize(
    ("showing", "verdict"),
    [("8", "enough"), ("32", "too little: it must hold by at least one thread diameter")],
)
def test_what_is_left_in_the_sleeve_is_held_against_one_thread_diameter(showing, verdict):
    """2.25 in − 8 × 1.27 mm = 46.99 mm, over 17.5 mm; with 32 showing 16.51 mm. Common practice."""
    later = {
        LIES: "12 3/8 in",
        ("tie-rod.thread-length", "LF"): "2.25 in",
        ("tie-rod.threads-outer", "LF"): showing,
    }

    aim = aimed(evidence(down={ROD: "12 5/8 in"}, later=later, sheet=THREADS))["tie-rod.engaged-outer", "LF"]

    assert aim.answer.value == pytest.approx(2.25 * INCH_m - int(showing) * 0.00127)
    assert aim.says.endswith(f": {verdict}.")


def test_whether_the_thread_is_enough_is_not_said_without_its_diameter():
    later = {
        LIES: "12 3/8 in",
        ("tie-rod.thread-length", "LF"): "2.25 in",
        ("tie-rod.threads-outer", "LF"): "8",
    }
    given = evidence(down={ROD: "12 5/8 in"}, later=later, sheet={"tie-rod.pitch": "1.27 mm"})

    aim = aimed(given)["tie-rod.engaged-outer", "LF"]

    assert aim.missing == ("tie-rod.thread",)
    assert "enough: " not in aim.says
    assert ": enough" not in aim.says


# Shim packs


def test_a_pack_is_aimed_at_as_found_and_says_which_shims_and_what_was_in_the_drawer():
    given = evidence(down={("pack.front", "RF"): "5/32 in"}, drawer={"1/8 in": 2, "1/32 in": 5})

    aim = aimed(given)["pack.front", "RF"]

    assert aim.answer.value == pytest.approx(5 / 32 * INCH_m)
    assert aim.says.endswith("as found. From the drawer: 1 × 1/8 in + 1 × 1/32 in.")
    assert [(one.text, one.count) for one in aim.drawer] == [("1/8 in", 2), ("1/32 in", 5)]


def test_a_place_without_shims_gets_none():
    assert (
        aimed(evidence(down={("pack.rear", "LF"): "0 in"}))["pack.rear", "LF"].says
        == "No shims at the rear stud, as found."
    )


# The spring


def test_the_old_spring_is_pressed_to_its_length_as_found_and_its_force_and_energy_are_told():
    """F = 340 × (15.5 − 9.5) = 2040 lbf; E = ½ × 340 × 6² = 6120 lbf·in = 691.5 J. Hooke's law."""
    found = aimed(evidence(down={SPRING: "9 1/2 in"}, sheet=SHEET))

    assert found[SPRING].answer.value == pytest.approx(9.5 * INCH_m)
    assert found["spring.force", "LF"].answer.value == pytest.approx(2040 * LBF_N)
    assert found["spring.energy", "LF"].answer.value == pytest.approx(6120 * LBF_N * INCH_m)
    assert found["spring.energy", "LF"].answer.value == pytest.approx(691.5, abs=0.1)


def test_a_rating_that_nobody_wrote_down_is_said_to_be_unchecked():
    assert "not checked" in aimed(evidence(down={SPRING: "9 1/2 in"}, sheet=SHEET))["spring.force", "LF"].says


def test_another_spring_is_pressed_into_the_gap_of_the_old_one_and_its_own_force_is_told():
    """F = 400 × (14.5 − 9.5) = 2000 lbf. Hooke's law."""
    sheet = SHEET | {"new-spring.rate": "400 lbf/in", "new-spring.free-length": "14.5 in"}

    found = aimed(evidence(down={SPRING: "9 1/2 in"}, sheet=sheet, renewed=("spring",)))

    assert found[SPRING].answer.value == pytest.approx(9.5 * INCH_m)
    assert found["spring.force", "LF"].answer.value == pytest.approx(2000 * LBF_N)


def test_another_spring_has_no_length_before_it_is_on_the_sheet():
    """Nobody knows yet whether it may be pressed that far."""
    aim = aimed(evidence(down={SPRING: "9 1/2 in"}, sheet=SHEET, renewed=("spring",)))[SPRING]

    assert aim.answer is None
    assert aim.missing == ("new-spring.rate", "new-spring.free-length")


@pytest.mark.parametrize(
    ("line", "why"),
    [({"spring.solid-length": "9 1/2 in"}, "coils touch"), ({"compressor.rating": "1800 lbf"}, "compressor")],
)
def test_a_spring_that_must_not_be_pressed_that_far_gets_no_length_but_the_reason(line, why):
    found = aimed(evidence(down={SPRING: "9 1/2 in"}, sheet=SHEET | line))

    assert found[SPRING].answer is None
    assert why in found[SPRING].says
    assert found["spring.energy", "LF"].answer is None
    assert ("spring.force", "LF") not in found


def test_without_the_springs_data_its_energy_is_missing_and_says_of_what():
    aim = aimed(evidence(down={SPRING: "9 1/2 in"}))["spring.energy", "LF"]

    assert aim.answer is None
    assert aim.missing == ("spring.rate", "spring.free-length")


# Ride height and alignment


def test_ride_height_is_aimed_at_as_found_unless_the_sheet_says_otherwise():
    height = ("ride-height", "LF")
    assert aimed(evidence(down={height: "14 1/4 in"}))[height].answer.value == pytest.approx(14.25 * INCH_m)

    told = aimed(evidence(down={height: "14 1/4 in"}, sheet={"ride-height": "14 in ± 1/4 in"}))[height]

    assert told.answer.value == pytest.approx(14 * INCH_m)
    assert told.answer.uncertainty == pytest.approx(INCH_m / 4)
    assert told.answer.source == "Maker's manual p. 3-12"


def test_camber_comes_from_the_sheet_with_half_its_range_as_uncertainty():
    aim = aimed(evidence(sheet={"camber": "0.5° ± 0.25°"}))["camber", "RF"]

    assert aim.answer.value == pytest.approx(radians(0.5))
    assert aim.answer.uncertainty == pytest.approx(radians(0.25))


def test_what_the_sheet_does_not_say_is_named_only_if_a_step_asks_for_it():
    assert ("camber", "LF") not in aimed(evidence())

    aim = aimed(evidence(asked=("camber",)))["camber", "LF"]

    assert aim.answer is None
    assert aim.missing == ("camber",)


def test_toe_by_tape_is_rear_less_front_and_says_which_way():
    """58 5/16 − 58 3/16 = 1/8 in, in; over 26 in: 2·asin(0.125 / 52) = 0.2755°; geometry."""
    tape = {
        ("toe.tape-front", "car"): "58 3/16 in",
        ("toe.tape-rear", "car"): "58 5/16 in",
        ("toe.tape-diameter", "car"): "26 in",
    }

    found = aimed(evidence(down=tape))

    assert found["toe.found", "car"].answer.value == pytest.approx(INCH_m / 8)
    assert found["toe.found", "car"].says.endswith(", in.")
    assert found["toe.found-angle", "car"].answer.value == pytest.approx(radians(0.2755), rel=1e-3)
    assert ("toe.left", "car") not in found


def test_toe_out_is_said_to_be_out():
    tape = {("toe.tape-front", "car"): "58 5/16 in", ("toe.tape-rear", "car"): "58 3/16 in"}

    assert aimed(evidence(down=tape))["toe.found", "car"].says.endswith(", out.")


def test_caster_is_swept_from_two_cambers():
    """(1.5° − 0.75°) / (2·sin 20°) = 1.096°; the gauges' own relation, SAE 850219."""
    swept = {("camber.turned-out", "LF"): "1.5°", ("camber.turned-in", "LF"): "0.75°"}

    aim = aimed(evidence(later=swept))["caster.swept", "LF"]

    assert aim.answer.value == pytest.approx(radians(0.75) / (2 * sin(radians(20))))
    assert aim.answer.quantity is Quantity.ANGLE


# Torques


def test_only_what_this_job_tightens_has_a_torque_among_its_targets():
    sheet = {"torque.wheel-nut": "70 to 80 lbf·ft", "torque.link-nut": "13 lbf·ft"}

    found = aimed(evidence(sheet=sheet, tightened=("wheel-nut", "lower-joint-nut")))

    assert {key for key, _ in found if key.startswith("torque.")} == {
        "torque.wheel-nut",
        "torque.lower-joint-nut",
    }
    assert found["torque.wheel-nut", "car"].answer.value == pytest.approx(75 * LBF_N * 12 * INCH_m)
    assert found["torque.lower-joint-nut", "car"].missing == ("torque.lower-joint-nut",)


def test_a_generic_torque_says_that_a_foreman_has_to_agree():
    given = evidence(sheet={"torque.wheel-nut": "75 lbf·ft"}, tightened=("wheel-nut",))
    given.specs["torque.wheel-nut"].generic = True

    assert "a foreman has to agree" in aimed(given)["torque.wheel-nut", "car"].says


def _chosen(text, *, kind="note"):
    return Capture(id=3, step_id=7, key="tie-rod.right-hand", kind=kind, text=text)
