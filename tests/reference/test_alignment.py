"""Published and derived toe, caster and sleeve figures, each recomputed by the code under test."""

import pytest

from server.compute import alignment, tie_rod
from tests.reference.published import Check, Row, Values, compare, rows


def _total_toe(x: Values) -> Values:
    return {"total": alignment.total_toe_rad(toe_m=x["T"], diameter_m=x["D"])}


def _toe_per_wheel(x: Values) -> Values:
    return {"t": alignment.toe_per_wheel_rad(toe_m=x["T"], diameter_m=x["D"])}


def _sleeve_turn(x: Values) -> Values:
    turns_per_m = tie_rod.sleeve_turns(wanted_m=1.0, now_m=0.0, pitch_m=x["P"])
    return {"per_turn": 1 / turns_per_m}


def _caster_by_sweep(x: Values) -> Values:
    caster = alignment.caster_by_sweep_rad(
        camber_out_rad=x["g_out"], camber_in_rad=x["g_in"], steer_rad=x["steer"]
    )
    return {"caster": caster}


CHECKS: dict[str, Check] = {
    "total_toe": _total_toe,
    "toe_per_wheel": _toe_per_wheel,
    "sleeve_turn": _sleeve_turn,
    "caster_by_sweep": _caster_by_sweep,
}


@pytest.mark.parametrize("row", rows("alignment"), ids=lambda row: row.id)
def test_published_alignment_figure_comes_out(row: Row) -> None:
    compare(row, CHECKS)
