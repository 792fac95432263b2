"""What a length that nobody measured costs: how far off it may put readings after an ordinary correction."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import radians

import numpy as np

from server.compute.corner import Hand
from server.compute.layout import Layout, ShaftAt
from server.compute.linkage import Setting
from server.compute.pose import readings
from server.compute.scatter import NINETY, READ, Budget, Scatter, Wheel
from server.shop.geometry import CORNER, layout_of, shaft_at_of
from server.store.tables import Spec

CORRECTION_m = 0.003  # added to the front pack alone, so that camber and caster both change
TOLERATED_rad = np.radians((0.5, 0.5, 0.15))  # of camber, caster, toe: the drive to the rack, common practice
_LEAST_rad = radians(0.02)  # finer than a gauge in the shop reads


@dataclass(frozen=True, slots=True)
class Cost:
    """The reading that a guess puts off most, and by how much nine times in ten."""

    reading: str  # camber, caster or toe
    off_rad: float

    @property
    def counts(self) -> bool:
        """Whether a gauge could ever tell."""
        return self.off_rad >= _LEAST_rad


@dataclass(frozen=True, slots=True)
class Costs:
    """Of every guess, and which one to do away with first, if any counts; by the keys of the spec sheet."""

    by_key: Mapping[str, Cost]
    measure_next: str | None


def costs_of(specs: Mapping[str, Spec]) -> Costs:
    """What each guess of the short form costs; nothing where nothing can be computed or is guessed."""
    layout, shaft = layout_of(specs), shaft_at_of(specs)
    if layout is None or shaft is None or not layout.guessed:
        return Costs({}, None)
    budget = _budget(layout, shaft)
    by_key = {
        f"{CORNER}{share.dimension.key}": _cost(share.spread)
        for share in budget.shares
        if share.dimension and share.dimension.key in layout.guessed
    }
    first = budget.measure_next(TOLERATED_rad)
    key = f"{CORNER}{first.dimension.key}" if first and first.dimension else ""
    return Costs(by_key, key if key and by_key[key].counts else None)


def _budget(layout: Layout, shaft: ShaftAt) -> Budget:
    """Of a wheel that was read at 0 by a perfect gauge, so that the lengths alone count."""
    straight = readings(0.0, 0.0, 0.0)
    setting = Setting(front_m=shaft.outboard * CORRECTION_m)
    (budget,) = Scatter(layout, (Wheel(Hand.LEFT, straight, straight),), (setting,)).budgets()
    return budget


def _cost(spread_rad: np.ndarray) -> Cost:
    worst = int(np.argmax(spread_rad / TOLERATED_rad))
    return Cost(READ[worst], NINETY * float(spread_rad[worst]))
