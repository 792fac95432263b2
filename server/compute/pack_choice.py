"""Which whole packs come nearest to what the corners call for, all of them out of one drawer.

Near the exact packs the readings follow the thicknesses linearly, so the error of a corner is a quadratic in
its two thicknesses. The search takes the pairs of every corner in the order of their error, and stops at the
first set that the drawer can make up: the exact optimum, not a rounding of each pack alone.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

import numpy as np
from numpy.typing import NDArray

from server.compute.drawer import Choice, Drawer, DrawerTooLarge, Taken, cheapest, ways
from server.compute.refusal import Refused
from server.compute.shims import Pack
from server.compute.vector import Floats

ALIKE = 0.01  # of the sum of squared errors over tolerances: as good as the same, so that fewer pieces win
MOST_SETS = 20_000
_STEP_m = 1e-9  # thicknesses are counted in whole nanometres


@dataclass(frozen=True, slots=True)
class Limits:
    """What the maker or the shop allows of one corner's packs; none where nobody has said."""

    most_m: float | None = None
    most_apart_m: float | None = None  # front against rear

    def allow(self, front_m: Floats, rear_m: Floats) -> NDArray[np.bool_]:
        """Which of these pairs are within them."""
        most = np.inf if self.most_m is None else self.most_m + _STEP_m
        apart = np.inf if self.most_apart_m is None else self.most_apart_m + _STEP_m
        allowed: NDArray[np.bool_] = (
            (front_m <= most) & (rear_m <= most) & (np.abs(front_m - rear_m) <= apart)
        )
        return allowed


@dataclass(frozen=True, slots=True)
class Wish:
    """What one corner calls for."""

    front_m: float  # the exact packs; below 0 where no pack can do it
    rear_m: float
    effect: Floats  # what a pack's thickness does, over what is tolerated: rows camber, caster; (2, 2) [1/m]
    limits: Limits = Limits()
    kept_m: tuple[float, float] = (
        0.0,
        0.0,
    )  # front and rear pack that are in, and may stay whole; 0 for none

    def errors(self, front_m: Floats, rear_m: Floats) -> Floats:
        """Squared errors of camber and caster over their tolerances, summed; inf beyond the limits."""
        off = np.stack(np.broadcast_arrays(front_m - self.front_m, rear_m - self.rear_m))
        total = np.sum(np.tensordot(self.effect, off, axes=1) ** 2, axis=0)
        return np.where(self.limits.allow(front_m, rear_m), total, np.inf)


class NoPacks(Refused):
    """Not even the least that is there keeps to the limits."""

    def __init__(self) -> None:
        super().__init__(
            "No packs that can be made up keep to the limits; look at the drawer and at the limits."
        )


def choose(
    wishes: Sequence[Wish], stock: Mapping[float, int], *, most_pieces: int = 8
) -> list[tuple[Pack, Pack]]:
    """Front and rear pack of each corner: least error over all corners, then the fewest pieces.

    stock      thickness [m] to how many are in the drawer; a pack that is in may stay, as one piece
    returns    in the order of the wishes
    raises     NoPacks; DrawerTooLarge beyond the bound of the search
    """
    if any(thickness <= 0 or count < 0 for thickness, count in stock.items()):
        raise Refused("Every shim has a thickness above 0 and a count not below it.")
    return _Search.of(wishes, stock, most_pieces).best()


@dataclass(frozen=True, slots=True)
class _Pairs:
    """One corner's pairs of packs within a window about the exact ones, least error first."""

    errors: Floats
    front: list[int]  # nm
    rear: list[int]

    @classmethod
    def of(cls, wish: Wish, levels: Sequence[Mapping[int, int]], reach: int) -> "_Pairs":
        front, rear = (
            np.array([h for h in one if abs(h - round(exact_m / _STEP_m)) <= reach], dtype=np.int64)
            for one, exact_m in zip(levels, (wish.front_m, wish.rear_m), strict=True)
        )
        front_m, rear_m = (one.astype(np.float64) * _STEP_m for one in (front, rear))
        errors = wish.errors(front_m[:, None], rear_m[None, :]).ravel()
        order = np.argsort(errors, kind="stable")[: int(np.sum(np.isfinite(errors)))]
        return cls(
            errors[order],
            front[order // max(len(rear), 1)].tolist(),
            rear[order % max(len(rear), 1)].tolist(),
        )


@dataclass(slots=True)
class _Best:
    """The best set found so far, and what makes it so: error in steps, pieces, error."""

    packs: list[tuple[int, ...]]
    rank: tuple[int, int, float]


@dataclass(slots=True)
class _Search:
    wishes: tuple[Wish, ...]
    drawers: tuple[Drawer, ...]  # one a pack: the same kinds in each, but only its own pack that is in
    stock: Taken
    most_pieces: int
    known_ways: dict[tuple[int, int], list[Choice]] = field(default_factory=dict)

    @classmethod
    def of(cls, wishes: Sequence[Wish], stock: Mapping[float, int], most_pieces: int) -> "_Search":
        kinds = [(round(thickness / _STEP_m), count, -1) for thickness, count in stock.items() if count]
        kept = (round(each / _STEP_m) for wish in wishes for each in wish.kept_m)
        kinds += [(height, 1, pack) for pack, height in enumerate(kept) if height]
        kinds.sort(reverse=True)
        drawers = (
            tuple((height, count if owner in (-1, pack) else 0) for height, count, owner in kinds)
            for pack in range(2 * len(wishes))
        )
        return cls(tuple(wishes), tuple(drawers), tuple(count for _, count, _ in kinds), most_pieces)

    def best(self) -> list[tuple[Pack, Pack]]:
        """Widens the window until nothing outside of it can be better."""
        exact = [round(each / _STEP_m) for wish in self.wishes for each in (wish.front_m, wish.rear_m)]
        heights = [height for height, _ in self.drawers[0]]
        thickest = max(heights, default=0) * self.most_pieces
        widest = max(max(abs(thickest - one), abs(one)) for one in exact)
        reach = max(2 * min(heights, default=0), 1)
        found = self._within(reach, max(exact))
        while reach < widest and (found is None or found.rank[2] + ALIKE >= self._least_outside(reach)):
            reach = min(2 * reach, widest)
            found = self._within(reach, max(exact))
        if found is None:
            raise NoPacks
        return self._packs(found)

    def _least_outside(self, reach: int) -> float:
        """No pair with a pack further off than this has a smaller error."""
        weakest = min(float(np.linalg.svd(wish.effect, compute_uv=False)[-1]) for wish in self.wishes)
        return (weakest * reach * _STEP_m) ** 2

    def _within(self, reach: int, thickest_wanted: int) -> _Best | None:
        thickest = thickest_wanted + reach
        levels = [fewest_pieces(drawer, self.most_pieces, thickest) for drawer in self.drawers]
        pairs = [_Pairs.of(wish, levels[2 * n : 2 * n + 2], reach) for n, wish in enumerate(self.wishes)]
        best: _Best | None = None
        for tried, (error, chosen) in enumerate(_by_error(pairs)):
            step = int(error // ALIKE)
            if best is not None and step > best.rank[0]:
                break
            if tried >= MOST_SETS:
                raise DrawerTooLarge
            fewest = sum(one[height] for one, height in zip(levels, chosen, strict=True))
            if best is None or fewest < best.rank[1]:
                best = self._better(best, step, error, chosen)
        return best

    def _better(self, best: _Best | None, step: int, error: float, chosen: tuple[int, ...]) -> _Best | None:
        choices = [self._ways(*each) for each in enumerate(chosen)]
        shortest = [each[0][1] for each in choices]
        taken = shortest if _fits(shortest, self.stock) else cheapest(choices, self.stock)
        if taken is None:
            return best
        rank = (step, sum(map(sum, taken)), error)
        return _Best(taken, rank) if best is None or rank < best.rank else best

    def _ways(self, pack: int, height: int) -> list[Choice]:
        if (pack, height) not in self.known_ways:
            found = ways(self.drawers[pack], height, height, self.most_pieces)
            self.known_ways[pack, height] = sorted(((sum(one), 0, 0), one) for one in found)
        return self.known_ways[pack, height]

    def _packs(self, found: _Best) -> list[tuple[Pack, Pack]]:
        exact = [each for wish in self.wishes for each in (wish.front_m, wish.rear_m)]
        packs = [self._pack(taken, each) for taken, each in zip(found.packs, exact, strict=True)]
        return list(zip(packs[::2], packs[1::2], strict=True))

    def _pack(self, taken: Taken, exact_m: float) -> Pack:
        heights = (height for height, _ in self.drawers[0])
        pieces = [t for number, t in zip(taken, heights, strict=True) for _ in range(number)]
        thickness_m = sum(pieces) / 1e9
        return Pack(tuple(one / 1e9 for one in pieces), thickness_m, thickness_m - exact_m)


def _fits(packs: Sequence[Taken], stock: Taken) -> bool:
    return all(sum(used) <= have for used, have in zip(zip(*packs, strict=True), stock, strict=True))


def fewest_pieces(drawer: Drawer, most_pieces: int, thickest: int) -> dict[int, int]:
    """Every thickness up to `thickest` that one pack can have, with the fewest pieces that make it."""
    levels = {0: 0}
    for thickness, count in drawer:
        wider = dict(levels)
        for height, pieces in levels.items():
            most = min(count, most_pieces - pieces, (thickest - height) // thickness)
            for number in range(1, most + 1):
                at = height + number * thickness
                wider[at] = min(wider.get(at, most_pieces), pieces + number)
        levels = wider
    return levels


def _by_error(corners: Sequence[_Pairs]) -> Iterator[tuple[float, tuple[int, ...]]]:
    """Every set of one pair a corner, least total error first: heights of front, rear, front, rear."""
    if any(not len(one.errors) for one in corners):
        return
    start = (0,) * len(corners)
    heap, seen = [(_total(corners, start), start)], {start}
    while heap:
        error, at = heappop(heap)
        yield error, tuple(h for one, i in zip(corners, at, strict=True) for h in (one.front[i], one.rear[i]))
        for corner, one in enumerate(corners):
            onward = (*at[:corner], at[corner] + 1, *at[corner + 1 :])
            if onward[corner] < len(one.errors) and onward not in seen:
                seen.add(onward)
                heappush(heap, (_total(corners, onward), onward))


def _total(corners: Sequence[_Pairs], at: tuple[int, ...]) -> float:
    return float(sum(one.errors[i] for one, i in zip(corners, at, strict=True)))
