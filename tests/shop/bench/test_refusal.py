"""What calculators refuse, and beside which field; what they warn of."""

from math import degrees

import pytest

from server.shop.bench.table import CALCULATORS
from server.shop.refusal import Refusal
from tests.shop.bench.fill import example_with

REFUSED = [
    ("wrench-setting", {"adapter": "-18 in"}, "adapter", "further than the wrench is long"),
    ("torque-range", {"highest": "90 lbf·ft"}, "highest", "lower to its higher"),
    ("torque-range", {"drag_rule": ""}, "drag_rule", "which of the two"),
    ("torque-range", {"accuracy": "10"}, "accuracy", "take a finer one"),
    ("castle-nut", {"highest": "50 lbf·ft"}, "highest", "lower to its higher"),
    ("castle-nut", {"turn": "61°"}, "turn", "never further"),
    ("castle-nut", {"turned": ""}, "turned", "belong together"),
    ("castle-nut", {"earlier": ""}, "earlier", "belong together"),
    ("castle-nut", {"earlier": "70 lbf·ft"}, "earlier", "at a higher torque"),
    ("wrench-fitness", {"least": ""}, "least", "both ends"),
    ("wrench-fitness", {"most": "80 lbf·ft"}, "most", "lower to its higher"),
    ("generic-torque", {"thread": "2/1-20"}, "grade", "no SAE 5 bolt of that diameter"),
    ("spring-rate", {"outer": "0.5 in"}, "outer", "wider than its wire"),
    ("spring-rate-by-loads", {"second_force": "700 lbf"}, "second_force", "check which is which"),
    ("spring-held", {"length": "7.20 in"}, "solid", "the coils touch"),
    ("spring-held", {"rating": "1500 lbf"}, "rating", "rated for"),
    ("next-spring", {"rating": "1500 lbf"}, "rating", "rated for 6672 N \\(1500 lbf\\)"),
    ("next-spring", {"free": ""}, "free", "belong together"),
    ("next-spring", {"rate": ""}, "rate", "belong together"),
    ("next-spring", {"limit": "400 MPa"}, "limit", "its limit is"),
    ("next-spring", {"length": "7.30 in"}, "solid", "too little is left"),
    ("spring-held", {"limit": "400 MPa"}, "limit", "its limit is"),
    ("spring-held", {"outer": ""}, "outer", "belong together"),
    ("spring-held", {"wire": ""}, "wire", "belong together"),
    ("spring-held", {"wire": "", "outer": ""}, "wire", "must be known"),
    ("spring-stress", {"outer": "1 1/4 in"}, "outer", "two of its wires"),
    ("torque-applied", {"adapter": "-18 in"}, "adapter", "further than the wrench is long"),
    ("wrench-fitness", {"lowest": "200 lbf·ft"}, "full_scale", "lower to its higher"),
    ("torque-then-angle", {"turns": "45° + 361°"}, "turns", "No. 2: a turn lies between"),
    ("torque-then-angle", {"turns": "45° + -5°"}, "turns", "No. 2"),
    ("castle-nut", {"past": "10°"}, "past", "do not make one step"),
    ("castle-nut", {"thread": ""}, "thread", "needed too"),
    ("cotter-pin", {"hole": "0.05 in"}, "hole", "the smallest wants"),
    ("cotter-pin", {"thread": "M11x1"}, "thread", "no castle nut for that thread"),
    ("bolt-preload", {"thread": "2/1-20"}, "grade", "no SAE 5 bolt of that diameter"),
    ("friction-torque", {"hole": ""}, "hole", "belong together"),
    ("friction-torque", {"bearing": ""}, "bearing", "belong together"),
    ("friction-torque", {"grade": "SAE 5", "thread": "1/2-20"}, "bearing", "metric threads only"),
    ("friction-torque", {"grade": "SAE 5", "thread": "2/1-20"}, "grade", "no SAE 5 bolt of that diameter"),
    ("tie-rod-preset", {"outer_showing": "45"}, "now", "one thread diameter"),
    ("tie-rod-preset", {"now": "17 in"}, "now", "run out of thread"),
    ("tie-rod-preset", {"change": "-14 in"}, "change", "above 0"),
    ("toe-by-tape", {"diameter": "0.01 in"}, "diameter", "twice the diameter"),
    ("caster-by-sweep", {"steer": "60.5°"}, "steer", "turned each way"),
    ("shim-packs", {"wanted": "20 mm", "drawer": "1 × 1/8"}, "drawer", "cannot make up"),
    ("wheel-angles", {"lift": "400 mm"}, "", "upper arm does not reach"),
    ("wheel-angles", {"lift": "-400 mm"}, "", "cannot bring the wheel to that height"),
]


@pytest.mark.parametrize(("name", "typed", "field", "says"), REFUSED)
def test_what_does_not_go_together_is_said_beside_a_field(
    name: str, typed: dict[str, str], field: str, says: str
) -> None:
    with pytest.raises(Refusal, match=says) as refused:
        example_with(name, **typed)

    assert refused.value.field == field


WARNED = [
    ("torque-range", {"highest": ""}, "no tolerance"),
    ("torque-range", {"threads": "into-aluminium"}, "the most, not the aim"),
    ("wrench-fitness", {"accuracy": ""}, "ISO 6789"),
    ("wrench-fitness", {"full_scale": "400 lbf·ft"}, "reads best"),
    ("generic-torque", {}, "not the maker's figure"),
    ("spring-held", {"rating": ""}, "rating is not given"),
    ("spring-held", {"solid": ""}, "coil bind is not checked"),
    ("spring-held", {"length": "15.5 in"}, "the spring is loose"),
    ("spring-rate", {"wire": "0.2 in"}, "used from 3 to 20"),
    ("compressor-screw", {}, "no proof of safety"),
    ("compressor-screw", {"lead": "1 in"}, "turns back by itself"),
    ("tie-rod-preset", {}, "Keep the old assembly"),
    ("tie-rod-preset", {"outer_showing": "20"}, "screw both ends in equally"),
    ("caster-by-sweep", {"steer": "5°"}, "unusual"),
    ("shim-packs", {"wanted": "5 mm", "drawer": "9 × 1/16", "tolerance": "1 mm"}, "thinner than wanted"),
    ("measurement", {"text": "1,234 mm"}, "decimal comma"),
]


@pytest.mark.parametrize(("name", "typed", "says"), WARNED)
def test_what_to_mind_is_said(name: str, typed: dict[str, str], says: str) -> None:
    assert says in " ".join(example_with(name, **typed).all_cautions)


VERDICTS = [
    ("castle-nut", {"turn": "0", "past": ""}, "fit a new cotter pin"),
    ("castle-nut", {"reached": "50 lbf·ft"}, "tighten to the lowest torque first"),
    ("castle-nut", {"reached": "95 lbf·ft"}, "change the washer or the nut"),
    ("castle-nut", {"turn": "", "past": "1°", "highest": "70 lbf·ft"}, "change the washer or the nut"),
    ("castle-nut", {"earlier": "", "turned": ""}, "tighten on to the next slot"),
    ("castle-nut", {"earlier": "", "turned": "", "grip": ""}, "tighten on to the next slot"),
    ("locking-nut", {}, "it still locks"),
    ("locking-nut", {"drag": "18 lbf·in"}, "do not use it again"),
    ("bolt-preload", {"torque": "90 lbf·ft"}, "it may pass its proof load"),
    ("bolt-preload", {}, "within its proof load"),
    ("bolt-preload", {"torque": "140 lbf·ft"}, "past its proof load"),
    ("wrench-fitness", {}, "fit"),
    ("wrench-fitness", {"calibrated": ""}, "not fit"),
    ("wrench-fitness", {"calibrated": "2025-01-01"}, "not fit"),
    ("wrench-fitness", {"setting": "29 lbf·ft"}, "not fit"),
    ("toe-by-tape", {}, "toe-in"),
    ("toe-by-tape", {"front": "58 15/32 in"}, "toe-out"),
    ("toe-by-tape", {"front": "58 13/32 in"}, "neither in nor out, as far as the tape can tell"),
    ("tie-rod-preset", {}, "lengthen: top of the sleeve toward the rear"),
    ("tie-rod-preset", {"side": "right"}, "lengthen: top of the sleeve toward the front"),
    ("compressor-screw", {}, "the screw holds by itself"),
    ("compressor-screw", {"lead": "1 in"}, "the screw may run back"),
    ("ride-height", {"new_free": "14.00 in"}, "lower"),
]


@pytest.mark.parametrize(("name", "typed", "verdict"), VERDICTS)
def test_the_verdict(name: str, typed: dict[str, str], verdict: str) -> None:
    assert example_with(name, **typed).verdict == verdict


def test_what_rests_on_tables_of_grades_is_generic() -> None:
    generic = [one.name for one in CALCULATORS if example_with(one.name).generic]

    assert generic == ["generic-torque", "friction-torque", "bolt-preload"]


def test_a_nut_that_is_seen_to_be_past_the_slot_never_turns_back() -> None:
    # six slots, 60° apart: 35° past one is 25° before the next
    turn = example_with("castle-nut", turn="", past="35°").main.answer

    assert degrees(turn.value) == pytest.approx(25)


def test_a_short_stud_warns_of_a_steep_rise_and_a_long_one_does_not() -> None:
    unknown = {"earlier": "", "turned": "", "turn": "2°", "past": ""}

    assert "may lie beyond" in example_with("castle-nut", **unknown, grip="0.5 in").says
    assert "inside the range" in example_with("castle-nut", **unknown, grip="60 in").says


def test_packs_name_their_shims_and_share_one_drawer() -> None:
    result = example_with("shim-packs", wanted="1/8\n1/8", drawer="1 × 1/8\n2 × 1/16")

    assert [line.pieces_m for line in result.lines] == [(0.003175,), (0.0015875, 0.0015875)]
