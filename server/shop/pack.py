"""Shim packs made up from the drawer: which shims, for all of a job's packs out of one stock."""

from collections import Counter
from collections.abc import Sequence
from functools import lru_cache

from server.compute.constants import INCH_m
from server.compute.refusal import Refused
from server.compute.shims import Pack, make_up
from server.compute.show import System
from server.procedure.fact import CORNERS
from server.shop.evidence import Evidence
from server.store.tables import Shim

KEYS = ("pack.front", "pack.rear")
ALIKE_m = 25.4e-6  # a thousandth of an inch: what a micrometer tells apart

PackAt = tuple[str, str]  # key and place
Stock = tuple[tuple[float, int], ...]  # thickness [m] and how many


def which_shims(evidence: Evidence, *, system: System) -> dict[PackAt, str]:
    """For each pack still to be made up: the shims for it, or why the drawer does not give them.

    Packs made up already draw on the drawer no more.
    """
    wanted = _wanted(evidence)
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


def _wanted(evidence: Evidence) -> dict[PackAt, float]:
    """The thickness [m] of every pack that had shims and is not made up yet."""
    found = {(key, place): evidence.found(key, place) for place in CORNERS for key in KEYS}
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


def _named(thickness_m: float, drawer: Sequence[Shim]) -> str:
    """A thickness as it is written on the drawer."""
    return min(drawer, key=lambda shim: abs(shim.thickness_m - thickness_m)).text


def _off(error_m: float, system: System) -> str:
    if abs(error_m) < ALIKE_m:
        return ""
    side = "thicker" if error_m > 0 else "thinner"
    inches, millimetres = f"{abs(error_m) / float(INCH_m):.3f} in", f"{abs(error_m) * 1000:.2f} mm"
    own, other = (inches, millimetres) if system == "inch" else (millimetres, inches)
    return f", {own} ({other}) {side} than that"
