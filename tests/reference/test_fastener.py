"""Published torque, wrench, castle-nut and preload figures, each recomputed by the code under test."""

from datetime import date
from math import radians

import pytest

from server.compute import castle_nut, cotter, lock_nut, preload, torque, turn, wrench
from server.compute.grade import Finish, strength
from server.compute.thread import least_protrusion_m, least_tapped_m, thread_size
from tests.reference.published import Check, Row, Values, compare, rows


def _pitch(x: Values) -> float:
    return x["P"] if "P" in x else 1 / x["tpi"]


def _wrench_setting(x: Values) -> Values:
    angle = x.get("angle", 0.0)
    return {"S": wrench.setting_Nm(torque_Nm=x["T"], handle_m=x["L"], adapter_m=x["E"], angle_rad=angle)}


def _wrench_applied(x: Values) -> Values:
    return {"T": wrench.applied_Nm(setting_Nm=x["S"], handle_m=x["L"], adapter_m=x["E"])}


def _stress_area(x: Values) -> Values:
    thread = preload.Thread.METRIC if "P" in x else preload.Thread.INCH
    return {"area": preload.stress_area_m2(diameter_m=x["d"], pitch_m=_pitch(x), thread=thread)}


def _strength(x: Values) -> Values:
    steel = strength(str(x["grade"]), x["d"])
    return {"proof": steel.proof_Pa, "tensile": steel.tensile_Pa, "yield": steel.yield_Pa}


def _proof_load(x: Values) -> Values:
    return {"load": preload.load_N(stress_Pa=strength(str(x["grade"]), x["d"]).proof_Pa, area_m2=x["As"])}


def _tensile_load(x: Values) -> Values:
    return {"load": preload.load_N(stress_Pa=strength(str(x["grade"]), x["d"]).tensile_Pa, area_m2=x["As"])}


def _load_share(x: Values) -> Values:
    return {"load": preload.load_N(stress_Pa=x["fub"], area_m2=x["As"], fraction=x["factor"])}


def _finish(_: Values) -> Values:
    names = {"K_black": "BLACK", "K_zinc": "ZINC", "K_lubricated": "LUBRICATED", "K_cadmium": "CADMIUM"}
    return {key: Finish[name].nut_factor for key, name in names.items()}


def _torque_short(x: Values) -> Values:
    return {"T": preload.torque_Nm(nut_factor=x["K"], preload_N=x["F"], diameter_m=x["d"])}


def _torque_chain(x: Values) -> Values:
    force = preload.load_N(stress_Pa=x["Sp"], area_m2=x["At"], fraction=x["fraction"])
    return {"F": force, "T": preload.torque_Nm(nut_factor=x["K"], preload_N=force, diameter_m=x["d"])}


def _torque_step(x: Values) -> Values:
    full = preload.torque_Nm(nut_factor=x["km"], preload_N=x["Fp"], diameter_m=x["d"])
    return {"T": torque.stages_Nm(full, (x["step_factor"],))[0]}


def _preload_short(x: Values) -> Values:
    mean = preload.preload_N(nut_factor=x["K"], torque_Nm=x["T"], diameter_m=x["d"])
    dry, wet = Finish.ZINC.scatter, Finish.LUBRICATED.scatter
    return {
        "F": mean,
        "Fmin_lub": mean * (1 - wet),
        "Fmax_lub": mean * (1 + wet),
        "Fmin_dry": mean * (1 - dry),
        "Fmax_dry": mean * (1 + dry),
    }


def _torque_long(x: Values) -> Values:
    factor = preload.nut_factor(
        diameter_m=x["d"], pitch_m=_pitch(x), thread_friction=x["f"], head_friction=x["fc"]
    )
    return {"K": factor, "T": preload.torque_Nm(nut_factor=factor, preload_N=x["F"], diameter_m=x["d"])}


def _yield_tightened(x: Values) -> Values:
    size = {"diameter_m": x["d"], "pitch_m": x["P"]}
    force = preload.yield_preload_N(**size, thread_friction=x["mu"], yield_Pa=x["Rp02"], share=x["nu"])
    made = preload.friction_torque_Nm(
        preload_N=force,
        **size,
        thread_friction=x["mu"],
        head_friction=x["mu"],
        bearing_m=x["dw"],
        hole_m=x["dh"],
    )
    return {"FM": force, "MA": made}


def _castle_verdict(x: Values) -> Values:
    window = torque.Window(x["T_min"], x["T_max"])
    return {"verdict": castle_nut.next_slot(window, reached_Nm=x["T_aligned"], turn_rad=0.0).verdict}


def _castle_tightens_only(x: Values) -> Values:
    index = castle_nut.index_rad(slots=6)
    turns = [castle_nut.turn_on_rad(index_rad=index, slot_past_hole_rad=radians(a)) for a in range(-90, 91)]
    window = torque.Window(x["T_min"], x["T_max"])
    verdicts = {
        castle_nut.next_slot(window, reached_Nm=2 * x["T_max"], turn_rad=turn).verdict for turn in turns
    }
    only_tightens = min(turns) >= 0 and verdicts == {castle_nut.Verdict.CHANGE}
    return {"backs_off": "false" if only_tightens else "true"}


def _castle_index(x: Values) -> Values:
    index = castle_nut.index_rad(slots=int(x["slots"]), cross_holes=int(x["cross_holes"]))
    on = castle_nut.turn_on_rad(index_rad=index, slot_past_hole_rad=x["slot_past_hole"])
    return {"index": index, "turn_on": on, "advance": turn.advance_m(pitch_m=x["P"], angle_rad=on)}


def _tension(x: Values) -> Values:
    return {"sigma": preload.tension_Pa(preload_N=x["F"], area_m2=x["At"])}


def _stretch(x: Values) -> Values:
    stiffness = castle_nut.bolt_stiffness_N_per_m(area_m2=x["A"], grip_m=x["L"], modulus_Pa=x["E"])
    return {"stretch": x["F"] / stiffness, **_tension({**x, "At": x["A"]})}


def _cotter_hole(x: Values) -> Values:
    return {"hole": cotter.hole_m(x["pin"]), "pin": cotter.pin_for_hole_m(x["hole"])}


def _castle_slot(x: Values) -> Values:
    slot = cotter.slot(x["d"])
    return {
        "slot_min": slot.least_m,
        "slot_max": slot.most_m,
        "pin": slot.pin_m,
        "pin_length": slot.pin_length_m,
    }


def _slots(x: Values) -> Values:
    return {"slots": cotter.slots(x["d"])}


def _least_breakaway(x: Values) -> Values:
    least = lock_nut.least_breakaway_Nm(thread_size(str(x["thread"])))
    return {"T": least, "T_printed": least}


def _turns(x: Values) -> Values:
    return {"total": turn.total_rad(list(x.values()))}


def _long_enough(x: Values) -> Values:
    size = thread_size(str(x["thread"]))
    return {"beyond_nut": least_protrusion_m(size), "tapped": least_tapped_m(size)}


def _ends(window: torque.Window) -> Values:
    return {"lowest": window.lowest_Nm, "highest": window.highest_Nm}


def _drag_always(x: Values) -> Values:
    window = torque.Window(x["T_min"], x["T_max"])
    return _ends(torque.window_with_drag(window, x["drag"], torque.DragRule.ALWAYS))


def _drag_from_a_third(x: Values) -> Values:
    window = torque.Window(x["T_min"], x["T_max"])
    return _ends(torque.window_with_drag(window, x["drag"], torque.DragRule.FROM_A_THIRD))


def _stages(x: Values) -> Values:
    fractions = (x["first_fraction"], x["last_fraction"]) if "first_fraction" in x else None
    first, last = torque.stages_Nm(x["T"], fractions)
    return {"first": first, "last": last}


def _order_on_circle(x: Values) -> Values:
    return {"order": "-".join(map(str, torque.order_on_circle(int(x["studs"]))))}


def _advance(x: Values) -> Values:
    return {"advance": turn.advance_m(pitch_m=_pitch(x), angle_rad=x["angle"])}


def _derate(x: Values) -> Values:
    return {"T": torque.derated_Nm(x["T"], torque.Condition[str(x["condition"])])}


def _window(x: Values) -> Values:
    return _ends(torque.window_about(x["T"]))


def _fit(full_scale_Nm: float, setting_Nm: float) -> wrench.Fitness:
    today = date(2024, 5, 1)
    plate = wrench.Wrench(0.0, full_scale_Nm, wrench.standard_accuracy(full_scale_Nm), today)
    return wrench.fitness(plate, setting_Nm, today)


def _edge(x: Values, good: Check, *, rising: bool) -> float:
    """The setting at which a wrench turns good, or bad again, found by trying."""
    tried = [share / 1000 * x["full_scale"] for share in range(1, 1001)]
    passing = [setting for setting in tried if good({"setting": setting})]
    return min(passing) if rising else max(passing)


def _wrench_error(x: Values) -> Values:
    accuracy = wrench.standard_accuracy(x["full_scale"])
    lowest = _edge(x, lambda y: _fit(x["full_scale"], y["setting"]).fit, rising=True)
    return {"lowest": lowest, "error": wrench.reached(x["reading"], accuracy).highest_Nm - x["reading"]}


def _best_part(x: Values) -> Values:
    def best(y: Values) -> bool:
        return not _fit(x["full_scale"], y["setting"]).cautions

    return {"low": _edge(x, best, rising=True), "high": _edge(x, best, rising=False)}


def _standard_accuracy(x: Values) -> Values:
    return {"accuracy": wrench.standard_accuracy(x["full_scale"])}


CHECKS: dict[str, Check] = {
    "wrench_setting": _wrench_setting,
    "wrench_applied": _wrench_applied,
    "stress_area": _stress_area,
    "strength": _strength,
    "proof_load": _proof_load,
    "tensile_load": _tensile_load,
    "load_share": _load_share,
    "finish": _finish,
    "torque_short": _torque_short,
    "torque_chain": _torque_chain,
    "torque_step": _torque_step,
    "preload_short": _preload_short,
    "torque_long": _torque_long,
    "yield_tightened": _yield_tightened,
    "castle_verdict": _castle_verdict,
    "castle_tightens_only": _castle_tightens_only,
    "castle_index": _castle_index,
    "drag_always": _drag_always,
    "drag_from_a_third": _drag_from_a_third,
    "stages": _stages,
    "order_on_circle": _order_on_circle,
    "advance": _advance,
    "tension": _tension,
    "stretch": _stretch,
    "cotter_hole": _cotter_hole,
    "castle_slot": _castle_slot,
    "slots": _slots,
    "least_breakaway": _least_breakaway,
    "turns": _turns,
    "long_enough": _long_enough,
    "derate": _derate,
    "window": _window,
    "wrench_error": _wrench_error,
    "best_part": _best_part,
    "standard_accuracy": _standard_accuracy,
}


@pytest.mark.parametrize("row", rows("fastener"), ids=lambda row: row.id)
def test_published_fastener_figure_comes_out(row: Row) -> None:
    compare(row, CHECKS)
