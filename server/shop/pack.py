"""Shim packs made up from the drawer: which shims, for all of a job's packs out of one stock."""

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache

from server.compute.constants import INCH_m
from server.compute.refusal import Refused
from server.compute.shims import Pack, make_up
from server.compute.show import System, show_made, usual_unit
from server.compute.unit import Quantity
from server.procedure.fact import CORNERS
from server.shop.evidence import Evidence
from server.shop.spec import in_unit
from server.store.tables import Shim

KEYS = ("pack.front", "pack.rear")
_SAME_m = 2e-9  # thicknesses are counted in nanometres
ALIKE_m = 25.4e-6  # a thousandth of an inch: what a micrometer tells apart

PackAt = tuple[str, str]  # key and place
Stock = tuple[tuple[float, int], ...]  # thickness [m] and how many


def which_shims(evidence: Evidence, *, system: System, places: Iterable[str] = CORNERS) -> dict[PackAt, str]:
    """For each pack of these places still to be made up as found: the shims for it, or why there are none.

    Packs made up already draw on the drawer no more.
    """
    wanted = _wanted(evidence, places)
    stock = tuple((shim.thickness_m, shim.count) for shim in evidence.drawer if shim.count)
    if not wanted:
        return {}
    if not stock:
        return dict.fromkeys(wanted, "The drawer is empty.")
    possible, said = {}, {}
    for at, thickness_m in wanted.items():
        try:
            _packs((thickness_m,), stock)
            possible[at] = thickness_m
        except Refused as refused:
            said[at] = str(refused)
    return said | _together(possible, stock, evidence.drawer, system)


def _wanted(evidence: Evidence, places: Iterable[str]) -> dict[PackAt, float]:
    """The thickness [m] of every pack that had shims and is not made up yet."""
    found = {(key, place): evidence.found(key, place) for place in places for key in KEYS}
    return {at: one.value for at, one in found.items() if one and one.value and evidence.left(*at) is None}


def _together(
    wanted: dict[PackAt, float], stock: Stock, drawer: Sequence[Shim], system: System
) -> dict[PackAt, str]:
    if not wanted:
        return {}
    try:
        packs = _packs(tuple(wanted.values()), stock)
    except Refused as refused:
        return dict.fromkeys(wanted, str(refused))
    return {at: _said(pack, drawer, system) for at, pack in zip(wanted, packs, strict=True)}


@lru_cache(maxsize=256)
def _packs(wanted_m: tuple[float, ...], stock: Stock) -> tuple[Pack, ...]:
    """The exact optimum, within half the thinnest shim of each pack; raises Refused."""
    tolerance_m = min(thickness for thickness, _ in stock) / 2
    return make_up(wanted_m, dict(stock), tolerance_m=tolerance_m, alike_m=ALIKE_m)


def _said(pack: Pack, drawer: Sequence[Shim], system: System) -> str:
    count = Counter(pack.pieces_m)
    pieces = " + ".join(f"{number} × {_named(thickness, drawer)}" for thickness, number in count.items())
    return f"From the drawer: {pieces}{_off(pack.error_m, system)}."


def said_planned(pack: Pack, evidence: Evidence, system: System) -> str:
    """Which pieces a planned pack is made of: shims of the drawer, and packs that are there, kept whole."""
    if not pack.pieces_m:
        return "No shims."
    count = Counter(_piece(thickness, evidence, system) for thickness in pack.pieces_m)
    pieces = " + ".join(
        name if name.startswith("the ") else f"{number} × {name}" for name, number in count.items()
    )
    return f"Nearest: {pieces}{_off(pack.error_m, system)}."


def _piece(thickness_m: float, evidence: Evidence, system: System) -> str:
    for shim in evidence.drawer:
        if abs(shim.thickness_m - thickness_m) < _SAME_m:
            return shim.text
    return f"the pack of {_as_written(thickness_m, evidence, system)} that is there, whole"


def _as_written(thickness_m: float, evidence: Evidence, system: System) -> str:
    """A pack's thickness as whoever measured it wrote it."""
    for (key, *_), taken in evidence.captures.items():
        if key in KEYS and taken.value is not None and abs(taken.value - thickness_m) < _SAME_m:
            return in_unit(taken.text, usual_unit(Quantity.LENGTH, system))
    return show_made(thickness_m, system=system)


def _named(thickness_m: float, drawer: Sequence[Shim]) -> str:
    """A thickness as it is written on the drawer."""
    return min(drawer, key=lambda shim: abs(shim.thickness_m - thickness_m)).text


def _off(error_m: float, system: System) -> str:
    if abs(error_m) < ALIKE_m:
        return ""
    side = "thicker" if error_m > 0 else "thinner"
    inches, millimetres = f"{abs(error_m) / float(INCH_m):.3f} in", f"{abs(error_m) * 1000:.2f} mm"
    own, other = (inches, millimetres) if system == "inch" else (millimetres, inches)
    return f", {own} ({other}) {side} than wanted"
