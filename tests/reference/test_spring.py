"""Published spring and power-screw figures, each recomputed by the code under test."""

import pytest

from server.compute import compressor, nested, ride_height, spring
from server.compute.constants import GRAVITY_m_per_s2
from tests.reference.published import Check, Row, Values, compare, rows

FACTORS = {"wahl": spring.wahl, "direct_shear": spring.direct_shear, "bergstrasser": spring.bergstrasser}
FREE_m = 10.0  # any free length; only the compression matters where it is used


def _rate_of(x: Values, active_coils: float) -> float:
    return spring.rate_N_per_m(
        wire_m=x["d"], mean_diameter_m=x["D"], active_coils=active_coils, modulus_Pa=x["G"]
    )


def _plain(x: Values, force: float, diameter: float) -> float:
    return spring.plain_stress_Pa(force_N=force, mean_diameter_m=diameter, wire_m=x["d"])


def _energy(rate: float, compression: float) -> float:
    return spring.energy_J(rate_N_per_m=rate, free_length_m=FREE_m, length_m=FREE_m - compression)


def _rate(x: Values) -> Values:
    return {"k": _rate_of(x, x["Na"])}


def _deflection(x: Values) -> Values:
    length = spring.length_at_force_m(free_length_m=FREE_m, force_N=x["F"], rate_N_per_m=x["k"])
    return {"delta": FREE_m - length}


def _rate_and_factors(x: Values) -> Values:
    rate, index = _rate_of(x, x["Na"]), x["D"] / x["d"]
    factors = {"Ks": spring.direct_shear(index), "Kw": spring.wahl(index)}
    return {
        "k": rate,
        **_deflection({"F": x["F"], "k": rate}),
        **factors,
        "Kc": factors["Kw"] / factors["Ks"],
    }


def _solid(x: Values) -> Values:
    layers = spring.solid_layers(x["Nt"], spring.Ends(x["ends"]))
    return {"Ls": spring.solid_length_m(wire_m=x["d"], layers=layers)}


def _ends(x: Values) -> Values:
    total = spring.total_coils(x["Na"], spring.Ends(x["ends"]))
    return {"Nt": total, **_solid({**x, "Nt": total})}


def _free_length_with_gaps(x: Values) -> Values:
    """Squared and ground, with a gap left at every one of Nt - 1 places under full load."""
    rate = _rate_of(x, x["Na"])
    solid = _solid({**x, "ends": "squared and ground"})["Ls"]
    loaded = solid + x["gap"] * (x["Nt"] - 1)
    free = spring.free_length_m(length_m=loaded, force_N=x["F"], rate_N_per_m=rate)
    return {"k": rate, "Ls": solid, "L0": free}


def _stress_direct(x: Values) -> Values:
    """Stress by a named factor; Wahl's by the formula that the pages use."""
    if x["factor"] == "wahl":
        stress = spring.stress_Pa(force_N=x["F"], mean_diameter_m=x["C"] * x["d"], wire_m=x["d"])
        return {"tau": stress}
    factor = 1.0 if x["factor"] == "none" else FACTORS[x["factor"]](x["C"])
    return {"tau": factor * _plain(x, x["F"], x["C"] * x["d"])}


def _load_at_stress(x: Values) -> Values:
    diameter = spring.mean_diameter_m(outer_diameter_m=x["OD"], wire_m=x["d"])
    factor = 1.0 if x["factor"] == "none" else FACTORS[x["factor"]](diameter / x["d"])
    force = x["tau"] / (factor * _plain(x, 1.0, diameter))
    return {"F": force, "delta_per_turn": force / _rate_of({**x, "D": diameter}, 1.0)}


def _deflection_per_coil(x: Values) -> Values:
    load = _load_at_stress({**x, "tau": x["S"], "factor": "none"})
    return {"P": load["F"], "f": load["delta_per_turn"]}


def _stress_and_rate(x: Values) -> Values:
    stress = spring.stress_Pa(force_N=x["F"], mean_diameter_m=x["D"], wire_m=x["d"])
    return {"Kw": spring.wahl(x["D"] / x["d"]), "tau": stress, "k": _rate_of(x, x["Na"])}


def _active_coils(x: Values) -> Values:
    return {"Na": _rate_of(x, 1.0) / x["k"]}


def _rate_from_loads(x: Values) -> Values:
    rate = spring.rate_from_loads_N_per_m(
        first_force_N=x["F1"], first_length_m=x["L1"], second_force_N=x["F2"], second_length_m=x["L2"]
    )
    return {"k": rate}


def _two_load_points(x: Values) -> Values:
    rate = _rate_from_loads(x)["k"]
    free = spring.free_length_m(length_m=x["L1"], force_N=x["F1"], rate_N_per_m=rate)
    ends = [spring.energy_J(rate_N_per_m=rate, free_length_m=free, length_m=x[name]) for name in ("L1", "L2")]
    return {"k": rate, "L0": free, "U": ends[1] - ends[0]}


def _energy_between(x: Values) -> Values:
    return {"U": _energy(x["k"], x["x2"]) - _energy(x["k"], x["x1"])}


def _rate_from_energy(x: Values) -> Values:
    rate = x["U"] / (_energy(1.0, x["x2"]) - _energy(1.0, x["x1"]))
    return {"k": rate, "F2": rate * x["x2"]}


def _coil_bind_energy(x: Values) -> Values:
    """The weight falls the height `h` and then the spring's travel."""
    rate = _rate_of(x, x["Na"])
    force = spring.force_N(rate_N_per_m=rate, free_length_m=FREE_m, length_m=FREE_m - x["travel"])
    energy = _energy(rate, x["travel"])
    mass = x["W"] / float(GRAVITY_m_per_s2)
    fall = spring.drop_height_m(energy_J=energy, mass_kg=mass)
    return {"F": force, "U": energy, "h": fall - x["travel"]}


def _nested_by_wire(x: Values) -> Values:
    """Both free lengths equal."""
    rates = [_rate_of({**x, "d": x[f"d{n}"], "D": x[f"D{n}"]}, x[f"N{n}"]) for n in (1, 2)]
    length = _nested_length(rates, [FREE_m, FREE_m], x["F"])
    forces = [spring.force_N(rate_N_per_m=rate, free_length_m=FREE_m, length_m=length) for rate in rates]
    stresses = [
        spring.stress_Pa(force_N=force, mean_diameter_m=x[f"D{n}"], wire_m=x[f"d{n}"])
        for n, force in enumerate(forces, start=1)
    ]
    return {
        "delta": FREE_m - length,
        **{f"F{n}": force for n, force in enumerate(forces, start=1)},
        **{f"tau{n}": stress for n, stress in enumerate(stresses, start=1)},
    }


def _nested_gap(x: Values) -> Values:
    """The inner one is met only after the outer has gone some way."""
    rates = [_rate_of({**x, "d": x["d1"], "D": x["D1"]}, x["N1"]), x["k2"]]
    frees, length = [FREE_m, FREE_m - x["x1"] + x["x2"]], FREE_m - x["x1"]
    outer = spring.force_N(rate_N_per_m=rates[0], free_length_m=FREE_m, length_m=length)
    both = nested.force_N(**_pair(rates, frees), length_m=length)
    return {"F1": outer, "F": both, "x1": FREE_m - _nested_length(rates, frees, x["F"])}


def _pair(rates: list[float], frees: list[float]) -> dict[str, float]:
    return {
        "outer_rate_N_per_m": rates[0],
        "outer_free_m": frees[0],
        "inner_rate_N_per_m": rates[1],
        "inner_free_m": frees[1],
    }


def _nested_length(rates: list[float], frees: list[float], force: float) -> float:
    return nested.length_at_force_m(**_pair(rates, frees), force_N=force)


def _bounce(x: Values) -> Values:
    often = ride_height.frequency_Hz(wheel_rate_N_per_m=x["k"], mass_kg=x["m"])
    return {"f": often, "T": 1 / often}


def _bounce_by_load(x: Values) -> Values:
    readings = {"F1": 0.0, "L1": FREE_m, "F2": x["dW"], "L2": FREE_m - x["dz"]}
    rate = _rate_from_loads(readings)["k"]
    return {"k": rate, **_bounce({"k": rate, "m": x["m"]})}


def _bounce_by_weight(x: Values) -> Values:
    mass = 1.0  # any mass: only how far its weight presses the spring matters
    weight = mass * float(GRAVITY_m_per_s2)
    return _bounce_by_load({"dW": weight, "dz": x["delta"], "m": mass})


def _wheel_rate(x: Values) -> Values:
    return {"kw": ride_height.wheel_rate_N_per_m(rate_N_per_m=x["k"], motion_ratio=x["MR"])}


def _height_change(x: Values) -> Values:
    height = ride_height.height_change_m(
        force_N=x["F"],
        old_free_length_m=x["old_L0"],
        old_rate_N_per_m=x["old_k"],
        new_free_length_m=x["new_L0"],
        new_rate_N_per_m=x["new_k"],
        motion_ratio=x["MR"],
    )
    return {"dh": height}


def _sag(x: Values) -> Values:
    lengths = {"longer_m": x["longer"], "shorter_m": x["shorter"]}
    return {
        "dF": ride_height.sag_force_N(rate_N_per_m=x["k"], **lengths),
        "drop": ride_height.corner_drop_m(**lengths, motion_ratio=x["MR"]),
    }


def _screw(x: Values) -> dict[str, float]:
    return {
        "mean_diameter_m": x["dm"],
        "lead_m": x["lead"],
        "friction": x["mu"],
        "flank_rad": x.get("flank", 0.0),
        "collar_friction": x.get("mu_c", 0.0),
        "collar_radius_m": x.get("rc", 0.0),
    }


def _screw_torque(x: Values) -> Values:
    holds = compressor.holds_itself(mean_diameter_m=x["dm"], lead_m=x["lead"], lowest_friction=x["mu"])
    return {
        "T_raise": compressor.raise_Nm(load_N=x["W"], **_screw(x)),
        "T_lower": compressor.lower_Nm(load_N=x["W"], **_screw(x)),
        "eff": compressor.efficiency(**_screw(x)),
        "holds": float(holds),
    }


def _screw_load(x: Values) -> Values:
    load = compressor.load_N(torque_Nm=x["T"], **_screw(x))
    return {"W": load, "eff": compressor.efficiency(**_screw(x))}


CHECKS: dict[str, Check] = {
    "rate": _rate,
    "deflection": _deflection,
    "rate_and_factors": _rate_and_factors,
    "solid": _solid,
    "ends": _ends,
    "free_length_with_gaps": _free_length_with_gaps,
    "stress_direct": _stress_direct,
    "load_at_stress": _load_at_stress,
    "deflection_per_coil": _deflection_per_coil,
    "stress_and_rate": _stress_and_rate,
    "active_coils": _active_coils,
    "wahl": lambda x: {"K": spring.wahl(x["C"])},
    "bergstrasser": lambda x: {"K": spring.bergstrasser(x["C"])},
    "rate_from_loads": _rate_from_loads,
    "two_load_points": _two_load_points,
    "energy_between": _energy_between,
    "rate_from_energy": _rate_from_energy,
    "coil_bind_energy": _coil_bind_energy,
    "nested_by_wire": _nested_by_wire,
    "nested_gap": _nested_gap,
    "bounce": _bounce,
    "bounce_by_load": _bounce_by_load,
    "bounce_by_weight": _bounce_by_weight,
    "wheel_rate": _wheel_rate,
    "height_change": _height_change,
    "sag": _sag,
    "screw_torque": _screw_torque,
    "screw_load": _screw_load,
}


@pytest.mark.parametrize("row", rows("spring"), ids=lambda row: row.id)
def test_published_spring_figure_comes_out(row: Row) -> None:
    compare(row, CHECKS)
