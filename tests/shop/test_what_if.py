"""A change tried on a job's record: read from the form, started from what was read, and said in words."""

from math import degrees

import pytest

from server.compute.corner import Hand
from server.compute.stand import Coil, lift_m
from server.shop.geometry import layout_of
from server.shop.what_if import NotTried, answers, asked_of
from tests.shop.bench_top import evidence

WORDS = {"corner.steer": "behind", "corner.shaft-at": "inboard"}
SHEET = WORDS | {"camber": "0.5°", "caster": "1°", "toe.total": "1/16 in toe-in", "tie-rod.pitch": "1.411 mm"}
SPRING = {"spring.rate": "300 lbf/in", "spring.free-length": "15 3/4 in"}
DOWN = {
    ("camber", "LF"): "0.5°",
    ("caster", "LF"): "1.2°",
    ("toe.wheel", "LF"): "0.1°",
    ("pack.front", "LF"): "1/8 in",
    ("pack.rear", "LF"): "5/32 in",
}
INCH_m, PITCH_m = 0.0254, 1.411e-3


def tried(typed, *, down=DOWN, later=None, sheet=SHEET, places=("LF",), system="inch"):
    given = evidence(down=down, later=later, sheet=sheet)
    return answers(given, asked_of(typed, given, system=system), places, system=system)


def figures(answer):
    """Before and after by name [SI]."""
    return {row.name: (row.before.value, row.after.value) for row in answer.rows}


def change(answer, name="Camber"):
    before, after = figures(answer)[name]
    return after - before


def refused(typed, **how):
    with pytest.raises(NotTried) as raised:
        tried(typed, **how)
    return {name: one.sentence for name, one in raised.value.by_field.items()}


def test_it_starts_from_what_was_read():
    [answer] = tried({"lift": "19 mm"})

    assert degrees(figures(answer)["Camber"][0]) == pytest.approx(0.5)
    assert degrees(figures(answer)["Caster"][0]) == pytest.approx(1.2)
    assert degrees(figures(answer)["Toe of this wheel"][0]) == pytest.approx(0.1)
    assert answer.unread == ()
    assert all(row.before.uncertainty > 0 and row.after.uncertainty > 0 for row in answer.rows)


def test_readings_on_the_floor_count_before_those_as_found():
    [answer] = tried({"lift": "19 mm"}, later={("camber", "LF"): "-0.25°", ("caster", "LF"): "1°"})

    assert degrees(figures(answer)["Camber"][0]) == pytest.approx(-0.25)


def test_an_angle_that_nobody_read_is_named_and_unsure():
    [read] = tried({"lift": "19 mm"})
    [unread] = tried({"lift": "19 mm"}, down={("camber", "LF"): "0.5°"})

    assert unread.unread == ("caster", "toe")
    caster = [next(row for row in one.rows if row.name == "Caster") for one in (read, unread)]
    assert caster[1].after.uncertainty > 3 * caster[0].after.uncertainty


def test_a_shim_moves_the_shaft_away_from_its_bracket():
    outboard = SHEET | {"corner.shaft-at": "outboard"}

    [inside], [outside] = (tried({"front": "1/16", "rear": "1/16"}, sheet=one) for one in (SHEET, outboard))

    assert change(inside) < 0 < change(outside)
    assert change(inside) == pytest.approx(-change(outside), rel=0.1)


@pytest.mark.parametrize("steer", ["ahead", "behind"])
def test_a_longer_tie_rod_is_toe_in_behind_the_axle_and_toe_out_ahead_of_it(steer):
    [answer] = tried({"rod": "1/16 in"}, sheet=SHEET | {"corner.steer": steer})

    assert (change(answer, "Toe of this wheel") > 0) == (steer == "behind")


def test_a_turn_of_the_sleeve_is_two_pitches():
    [turned], [longer] = tried({"turns": "1.5"}), tried({"rod": f"{3 * PITCH_m * 1000} mm"})

    assert change(turned, "Toe of this wheel") == pytest.approx(change(longer, "Toe of this wheel"), rel=1e-6)


def test_another_spring_lifts_the_car_by_what_carries_the_same_load():
    typed = {"rate": "330 lbf/in", "free": "15 3/4 in"}
    [answer] = tried(typed, sheet=SHEET | SPRING)

    given = evidence(sheet=SHEET)
    lbf_per_in = 4.4482216152605 / INCH_m
    old, new = (Coil(rate * lbf_per_in, 15.75 * INCH_m) for rate in (300, 330))
    by_lengths = float(lift_m(layout_of(given.specs).corner(Hand.LEFT), old, new))
    assert answer.lift.value == pytest.approx(by_lengths, rel=0.02)
    assert answer.lift.value > 0
    assert answer.lift.uncertainty > 0.2 * answer.lift.value  # guessed lengths come on top of what settles


def test_the_way_back_is_said_pack_by_pack_from_what_is_in_and_what_was_tried():
    [nothing] = tried({"front": "0 in"}, down=DOWN | {("camber", "LF"): "0.5°", ("caster", "LF"): "1°"})
    [more] = tried({"front": "1/16 in"}, down=DOWN | {("camber", "LF"): "0.5°", ("caster", "LF"): "1°"})

    assert nothing.back[:2] == ("Leave the front pack.", "Leave the rear pack.")
    assert more.back[0].startswith("Take 1/16 in")
    assert "out of the front pack: about 1/8 in (3.2 mm) then." in more.back[0]
    assert "turns of the sleeve" in more.back[2]


def test_a_way_back_over_the_thickest_pack_allowed_says_so():
    thinner = {"front": "-1/16 in"}
    [free], [held] = (tried(thinner, sheet=SHEET | limit) for limit in ({}, {"pack.most": "3/32 in"}))

    assert not any("allows" in one for one in free.back)
    assert any(
        one.endswith("more than the 3/32 in (2.38 mm) that the spec sheet allows.") for one in held.back
    )


def test_a_way_back_that_takes_out_more_than_there_is_says_so():
    [answer] = tried({"lift": "0 in"}, down=DOWN | {("camber", "LF"): "-3°"})

    assert any("more than would be in it" in one for one in answer.back)


def test_taking_out_more_than_is_in_a_pack_is_cautioned():
    [answer] = tried({"front": "-1/4 in"})

    assert answer.cautions == ("There is only 1/8 in (3.17 mm) in the front pack.",)


def test_a_lift_that_a_link_does_not_follow_names_the_link():
    [answer] = tried({"lift": "400 mm"})

    assert answer.fault == "The upper arm does not reach its ball joint."
    assert answer.rows == answer.back == ()


def test_both_sides_are_answered_each_from_its_own_readings():
    left, right = tried({"lift": "19 mm"}, down=DOWN | {("camber", "RF"): "-0.5°"}, places=("LF", "RF"))

    assert (left.place, right.place) == ("LF", "RF")
    assert degrees(figures(right)["Camber"][0]) == pytest.approx(-0.5)
    assert right.unread == ("caster", "toe")


def test_without_a_corner_there_is_no_answer():
    assert tried({"lift": "19 mm"}, sheet={"camber": "0.5°"}) == []


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({}, "lift", "Fill in at least one change."),
        ({"lift": "  "}, "lift", "Fill in at least one change."),
        ({"lift": "high"}, "lift", "figure"),
        ({"front": "1/0"}, "front", "below the line"),
        ({"lift": "1 in", "rate": "300", "free": "15"}, "lift", "not both"),
        ({"rate": "330 lbf/in"}, "free", "its rate and its free length"),
        ({"free": "15 in"}, "rate", "its rate and its free length"),
        ({"rate": "330 lbf/in", "free": "15 in"}, "rate", "of the spring that is in"),
        ({"turns": "1", "rod": "1 mm"}, "turns", "not both"),
        ({"turns": "nan"}, "turns", "figure"),
        ({"rate": "-300", "free": "15"}, "rate", "below zero"),
    ],
)
def test_what_cannot_be_tried_is_said_beside_its_field(typed, field, sentence):
    assert sentence in refused(typed)[field]


def test_turns_need_the_pitch_of_the_thread():
    assert "thread pitch" in refused({"turns": "1"}, sheet=WORDS)["turns"]


def test_a_spring_that_carries_the_car_nowhere_is_refused():
    assert refused({"rate": "20 lbf/in", "free": "8 in"}, sheet=SHEET | SPRING)["rate"]


def test_every_wrong_field_is_told_at_once():
    assert set(refused({"lift": "x", "front": "y"})) == {"lift", "front"}


def test_a_figure_hard_to_believe_is_tried_and_doubted():
    given = evidence(sheet=SHEET)

    [doubt] = asked_of({"lift": "200 mm"}, given, system="metric").doubts

    assert "is outside the usual" in doubt
    assert "Confirm" not in doubt


def test_a_bare_figure_is_meant_in_the_shops_own_units():
    [inch], [metric] = (
        tried({"lift": text}, system=unit) for text, unit in (("1", "inch"), ("25.4", "metric"))
    )

    assert [row.after.value for row in inch.rows] == pytest.approx([row.after.value for row in metric.rows])


def test_where_the_guesses_make_no_corner_that_is_said_not_raised_anew():
    """An arm of 4 in, and heights guessed so wide that some drawn corner's joints lie further apart."""
    wrong = refused({"lift": "10 mm"}, sheet=SHEET | {"corner.upper-arm": "4 in ± 1 mm"})

    assert wrong[""].startswith("The upper arm is shorter than its own ends are apart")
