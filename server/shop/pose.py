"""How a job's corner stood, and what has been changed at it since: the record as the linkage wants it."""

from collections.abc import Callable
from typing import Protocol

import numpy as np

from server.compute.adjust import calibrated, restood
from server.compute.corner import Corner
from server.compute.layout import ShaftAt
from server.compute.linkage import AS_IT_STOOD, Setting, at_arm, posed
from server.compute.pose import readings
from server.shop.pack import KEYS as PACKS

ROD = "tie-rod.length"
ANGLES = ("camber", "caster")
TOTAL_TOE = "toe.angle"  # of both wheels, the car's own
KEYS = (*PACKS, ROD, *ANGLES)


class Figure(Protocol):
    """A capture or a target."""

    @property
    def value(self) -> float | None:
        """[SI], none where there is none."""


Figures = dict[str, float]
Look = Callable[[str, str], Figure | None]  # by key and place


def figures(look: Look, place: str) -> Figures:
    """Packs, tie rod and angles of a corner in one column, as far as known; `toe` is half of the car's."""
    rows = {key: look(key, place) for key in KEYS} | {"toe": look(TOTAL_TOE, "car")}
    known = {key: one.value for key, one in rows.items() if one is not None and one.value is not None}
    return known | ({"toe": known["toe"] / 2} if "toe" in known else {})


def stood(corner: Corner, found: Figures) -> Corner:
    """The corner made to read what was found; an angle that nobody read stays as the lengths have it."""
    own = at_arm(corner).readings
    camber, caster, toe = (
        found.get(name, float(angle))
        for name, angle in (("camber", own.camber_rad), ("caster", own.caster_rad), ("toe", own.toe_rad))
    )
    return calibrated(corner, readings(camber, caster, toe))


def setting(before: Figures, after: Figures, shaft_at: ShaftAt) -> Setting:
    """What was changed between two columns; a figure that is not in both is taken not to have changed."""
    front, rear = (_change(before, after, key) * shaft_at.outboard for key in PACKS)
    return Setting(front, rear, _change(before, after, ROD))


def changed(corner: Corner, change: Setting, now: Figures) -> tuple[Corner, Setting]:
    """The corner with what has been changed at it; once its camber was read again, it reads that."""
    if "camber" not in now or np.any((pose := posed(corner, change)).fault):
        return corner, change
    return stood(restood(pose), now), AS_IT_STOOD


def _change(before: Figures, after: Figures, key: str) -> float:
    return after[key] - before[key] if key in before and key in after else 0.0
