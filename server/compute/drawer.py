"""The search behind the shim packs: the ways to fill one, and the cheapest set out of one drawer."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from operator import le, sub

from server.compute.refusal import Refused

MOST_STEPS = 100_000  # beyond this a drawer is refused, never answered by a guess

Drawer = tuple[tuple[int, int], ...]  # thickness and how many, thickest first
Taken = tuple[int, ...]  # how many of each thickness, in the drawer's order
Cost = tuple[int, ...]  # the weightiest part first; costs add up part by part
Choice = tuple[Cost, Taken]


class DrawerTooLarge(Refused):
    """There are more ways to make up the packs than can be looked through."""

    def __init__(self) -> None:
        super().__init__("There are too many ways to make that up; allow fewer pieces or a closer tolerance.")


def ways(drawer: Drawer, low: int, high: int, most_pieces: int) -> list[Taken]:
    """Every pack from low to high thick with at most so many pieces.

    raises     DrawerTooLarge
    """
    filling = _Filling(drawer)
    filling.add(0, low, high, most_pieces, [0] * len(drawer))
    return filling.found


@dataclass(slots=True)
class _Filling:
    drawer: Drawer
    found: list[Taken] = field(default_factory=list)
    steps: int = 0

    def add(self, start: int, low: int, high: int, pieces: int, taken: list[int]) -> None:
        """Keeps what is taken if it is thick enough, then adds each shim from `start` on in turn."""
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise DrawerTooLarge
        if low <= 0:
            self.found.append(tuple(taken))
        for kind in range(start, len(self.drawer)):
            thickness, count = self.drawer[kind]
            if low > pieces * thickness:  # what follows is thinner still and can never fill it
                return
            for number in range(1, min(count, pieces, high // thickness) + 1):
                taken[kind] = number
                self.add(
                    kind + 1, low - number * thickness, high - number * thickness, pieces - number, taken
                )
            taken[kind] = 0


def cheapest(packs: Sequence[Sequence[Choice]], stock: Taken) -> list[Taken] | None:
    """One choice a pack with the least total cost that the stock allows, or None if it allows none.

    packs      the choices of each pack, cheapest first
    returns    the exact optimum, by branch and bound
    raises     DrawerTooLarge
    """
    search = _Search(packs)
    search.descend(stock, tuple(range(len(packs))), (0, 0, 0), {})
    return None if search.best is None else [search.best[pack] for pack in range(len(packs))]


@dataclass(slots=True)
class _Search:
    packs: Sequence[Sequence[Choice]]
    best: dict[int, Taken] | None = None
    best_cost: Cost = ()
    steps: int = 0

    def descend(self, left: Taken, undecided: tuple[int, ...], cost: Cost, chosen: dict[int, Taken]) -> None:
        """Tries every choice of the next pack that could still beat the best set found."""
        if not undecided:
            self.best, self.best_cost = chosen, cost
            return
        floor = self._floor(left, undecided)
        if floor is None:
            return
        pack, *others = undecided
        others_cost = _add(cost, *floor[1:])
        for choice_cost, taken in self.packs[pack]:
            self.steps += 1
            if self.steps > MOST_STEPS:
                raise DrawerTooLarge
            total = _add(choice_cost, others_cost)
            if self.best is not None and total >= self.best_cost:
                return
            if _fits(taken, left):
                rest = tuple(map(sub, left, taken))
                self.descend(rest, tuple(others), _add(cost, choice_cost), {**chosen, pack: taken})

    def _floor(self, left: Taken, undecided: tuple[int, ...]) -> list[Cost] | None:
        """The least each undecided pack can cost if it had the rest of the drawer for itself."""
        floor = []
        for pack in undecided:
            first = next((cost for cost, taken in self.packs[pack] if _fits(taken, left)), None)
            if first is None:
                return None
            floor.append(first)
        return floor


def _fits(taken: Taken, left: Taken) -> bool:
    return all(map(le, taken, left))


def _add(*costs: Cost) -> Cost:
    return tuple(map(sum, zip(*costs, strict=True)))
