"""Shim packs: as found from their pieces, and made up from what is in the drawer.

Thicknesses are counted in whole nanometres, in which inch and metric shims are both exact.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from server.compute.answer import Answer, Input, Known
from server.compute.drawer import Drawer, Taken, cheapest, ways
from server.compute.refusal import Refused
from server.compute.show import show_both
from server.compute.unit import Quantity


class CannotMakeUp(Refused):
    """The drawer does not hold the packs that are wanted."""


@dataclass(frozen=True, slots=True)
class Pack:
    """One pack out of the drawer."""

    pieces_m: tuple[float, ...]  # thickest first
    thickness_m: float
    error_m: float  # thickness less what was wanted


def pack_as_found(pieces: Sequence[Known]) -> Answer:
    """A pack's thickness from its pieces, measured one by one.

    returns    uncertainty as the root of the sum of squares
    """
    if not pieces or any(piece.value <= 0 for piece in pieces):
        raise Refused("List each shim of the pack with its thickness; for an empty pack choose no shims.")
    total = sum(piece.value for piece in pieces)
    spread = sqrt(sum(piece.uncertainty**2 for piece in pieces))
    inputs = tuple(
        Input(f"shim {n}", piece.value, "m", piece.uncertainty) for n, piece in enumerate(pieces, 1)
    )
    return Answer(total, spread, Quantity.LENGTH, "sum of the pieces", "measured one by one", inputs)


def make_up(
    wanted_m: Sequence[float],
    stock: Mapping[float, int],
    *,
    tolerance_m: float,
    alike_m: float = 0.0,
    most_pieces: int = 8,
) -> tuple[Pack, ...]:
    """The packs nearest to the wanted thicknesses, all drawn from one drawer.

    wanted_m     a thickness a pack; 0 for no shims
    stock        thickness [m] to how many are in the drawer
    tolerance_m  how far a pack may be off
    alike_m      errors are counted in whole steps of this, so that no pile of thin shims saves a hair
    most_pieces  in one pack
    returns      packs in the order wanted: least sum of errors, among those fewest pieces; the exact optimum
    raises       CannotMakeUp with what is short; DrawerTooLarge beyond the bound of the search
    """
    if min(tolerance_m, alike_m, most_pieces, *wanted_m, 0) < 0:
        raise Refused("Thicknesses, tolerance, step and number of pieces are not below 0.")
    drawer = _drawer(stock)
    limits = _Limits(_nm(tolerance_m), max(_nm(alike_m), 1), most_pieces)
    packs = [_choices(wanted, drawer, limits) for wanted in wanted_m]
    best = cheapest(packs, tuple(count for _, count in drawer))
    if best is None:
        raise CannotMakeUp("Each pack can be made up alone, but the drawer holds too few shims for them all.")
    return tuple(_pack(taken, drawer, wanted) for taken, wanted in zip(best, wanted_m, strict=True))


@dataclass(frozen=True, slots=True)
class _Limits:
    tolerance_nm: int
    alike_nm: int
    most_pieces: int


def _nm(length_m: float) -> int:
    return round(length_m * 1e9)


def _drawer(stock: Mapping[float, int]) -> Drawer:
    if any(thickness <= 0 or count < 0 for thickness, count in stock.items()):
        raise Refused("Every shim in the drawer has a thickness above 0 and a count not below it.")
    return tuple(sorted(((_nm(thickness), count) for thickness, count in stock.items()), reverse=True))


def _choices(wanted_m: float, drawer: Drawer, limits: _Limits) -> list[tuple[tuple[int, ...], Taken]]:
    """Every way to come within the tolerance of one pack, with its cost, best first."""
    wanted_nm = _nm(wanted_m)
    low, high = wanted_nm - limits.tolerance_nm, wanted_nm + limits.tolerance_nm
    choices = []
    for taken in ways(drawer, low, high, limits.most_pieces):
        error_nm = abs(_thickness_nm(taken, drawer) - wanted_nm)
        choices.append(((error_nm // limits.alike_nm, sum(taken), error_nm), taken))
    if not choices:
        raise CannotMakeUp(_shortfall(wanted_m, drawer, limits))
    return sorted(choices)


def _thickness_nm(taken: Taken, drawer: Drawer) -> int:
    return sum(number * thickness for number, (thickness, _) in zip(taken, drawer, strict=True))


def _pack(taken: Taken, drawer: Drawer, wanted_m: float) -> Pack:
    pieces = tuple(t / 1e9 for number, (t, _) in zip(taken, drawer, strict=True) for _ in range(number))
    thickness_m = _thickness_nm(taken, drawer) / 1e9
    return Pack(pieces, thickness_m, thickness_m - wanted_m)


def _shortfall(wanted_m: float, drawer: Drawer, limits: _Limits) -> str:
    """What the drawer comes nearest to, in words."""
    nearest_m = _nearest_nm(_nm(wanted_m), drawer, limits) / 1e9
    wanted, nearest, off = (
        show_both(length_m, Quantity.LENGTH, system="inch")
        for length_m in (wanted_m, nearest_m, abs(nearest_m - wanted_m))
    )
    side = "thin" if nearest_m < wanted_m else "thick"
    return f"The drawer cannot make up {wanted}: the nearest is {nearest}, too {side} by {off}."


def _nearest_nm(wanted_nm: int, drawer: Drawer, limits: _Limits) -> int:
    """The nearest thickness that can be made, looked for in an ever wider band."""
    reach_nm = max(limits.tolerance_nm, 1000)
    while not (found := ways(drawer, wanted_nm - reach_nm, wanted_nm + reach_nm, limits.most_pieces)):
        reach_nm *= 2
    return min((_thickness_nm(taken, drawer) for taken in found), key=lambda nm: abs(nm - wanted_nm))
