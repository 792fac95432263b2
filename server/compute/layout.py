"""A corner from what a person can measure: the long form of hard points, the short form of a few lengths.

Every dimension has its own uncertainty; one of the short form that nobody has measured is guessed, as wide as
such cars differ. Figures that many corners share are arrays: dimensions along the first axis, (n, *shape).
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from server.compute.answer import Known
from server.compute.corner import Corner, Hand
from server.compute.dimension import LONG, PLACES, SHORT, Dimension
from server.compute.refusal import Refused
from server.compute.vector import Floats


class Steer(Enum):
    """Where the tie rods lie."""

    AHEAD = "ahead of the axle"
    BEHIND = "behind the axle"


class ShaftAt(Enum):
    """On which side of its bracket the upper arm's shaft sits: which way a shim moves it."""

    INBOARD = "inboard of its bracket"
    OUTBOARD = "outboard of its bracket"

    @property
    def outboard(self) -> int:
        """The shaft's move outboard per shim added. Source: geometry."""
        return 1 if self is ShaftAt.OUTBOARD else -1


@dataclass(frozen=True, slots=True)
class Layout:
    """A corner's dimensions with how far off each may be."""

    dimensions: tuple[Dimension, ...]  # SHORT or LONG
    figures: tuple[float, ...]  # [m]
    spreads: tuple[float, ...]  # standard deviations [m]
    guessed: frozenset[str]  # keys of those that nobody measured
    steer: Steer = Steer.BEHIND  # the long form shows it by itself

    @property
    def figures_m(self) -> Floats:
        """Shape (n,)."""
        return np.array(self.figures)

    @property
    def spreads_m(self) -> Floats:
        """Standard deviations, shape (n,)."""
        return np.array(self.spreads)

    def with_measured(self, key: str, known: Known) -> "Layout":
        """The same with a guess replaced by what was measured elsewhere; unchanged if it is no guess."""
        if key not in self.guessed:
            return self
        at = [one.key for one in self.dimensions].index(key)
        figures = (*self.figures[:at], known.value, *self.figures[at + 1 :])
        spreads = (*self.spreads[:at], _spread_m(known, self.dimensions[at]), *self.spreads[at + 1 :])
        return replace(self, figures=figures, spreads=spreads, guessed=self.guessed - {key})

    def drawn_m(self, random: np.random.Generator, count: int) -> Floats:
        """Dimensions as they may be, shape (n, count); a length ends three spreads out."""
        normal = np.clip(random.standard_normal((len(self.dimensions), count)), -3, 3)
        return self.figures_m[:, None] + self.spreads_m[:, None] * normal

    def corner(self, hand: Hand, figures_m: Floats | None = None) -> Corner:
        """The corner of that side, or many of them from figures of shape (n, *shape).

        raises     Refused for lengths that make no corner
        """
        figures = self.figures_m if figures_m is None else figures_m
        named = dict(zip((one.key for one in self.dimensions), figures, strict=True))
        return _short(named, hand, self.steer) if self.dimensions is SHORT else _long(named, hand)


def short(measured: Mapping[str, Known], steer: Steer) -> Layout:
    """The short form: what was measured, and a guess for the rest.

    raises     Refused for a length not above 0 where it has to be
    """
    for one in SHORT:
        if one.key in measured and not one.signed and measured[one.key].value <= 0:
            raise Refused(f"{one.name}: a length above 0 is needed.")
    figures = tuple(measured[one.key].value if one.key in measured else one.usual_m for one in SHORT)
    spreads = tuple(_spread_m(measured.get(one.key), one) for one in SHORT)
    guessed = frozenset(one.key for one in SHORT if one.key not in measured)
    return Layout(SHORT, figures, spreads, guessed, steer)


def long(measured: Mapping[str, Known]) -> Layout:
    """The long form, which has to be whole.

    raises     Refused with the first that is missing
    """
    for one in LONG:
        if one.key not in measured:
            raise Refused(f"{one.name} is missing.")
    figures = tuple(measured[one.key].value for one in LONG)
    spreads = tuple(_spread_m(measured[one.key], one) for one in LONG)
    return Layout(LONG, figures, spreads, frozenset())


def _spread_m(known: Known | None, dimension: Dimension) -> float:
    return known.spread if known else dimension.spread_m


def _short(m: Mapping[str, Floats], hand: Hand, steer: Steer) -> Corner:
    """Coordinates from the lengths, the lower ball joint at x = 0; flat across where nothing else is said."""
    lower_in = _level(m["lower-arm"], m["lower-ball-height"] - m["lower-pivot-height"], "lower arm")
    upper_in = _level(m["upper-arm"], m["upper-ball-height"] - m["upper-pivot-height"], "upper arm")
    upper_out = m["ball-out"] - m["ball-inset"]
    middle = -m["ball-ahead"]
    lower_middle = -m["lower-ball-ahead"]
    tie_x = m["steering-arm"] * (1 if steer is Steer.AHEAD else -1)
    tie_out, inner_x = m["ball-out"] - m["steering-arm-in"], tie_x + m["tie-inner-ahead"]
    rod_level = _level(m["tie-rod"], m["tie-outer-height"] - m["tie-inner-height"], "tie rod")
    tie_in = _level(rod_level, m["tie-inner-ahead"], "tie rod")
    along = m["spring-out"] / m["lower-arm"]
    pivot_out = m["ball-out"] - lower_in
    seat_up = m["lower-pivot-height"] + along * (m["lower-ball-height"] - m["lower-pivot-height"])
    seat_out = pivot_out + along * lower_in
    rise = m["shaft-rise"] / 2
    places = {
        "upper_front": (
            middle + m["pivot-spacing"] / 2,
            upper_out - upper_in,
            m["upper-pivot-height"] + rise,
        ),
        "upper_rear": (middle - m["pivot-spacing"] / 2, upper_out - upper_in, m["upper-pivot-height"] - rise),
        "stud_front": (middle + m["stud-spacing"] / 2, upper_out - upper_in, m["upper-pivot-height"]),
        "stud_rear": (middle - m["stud-spacing"] / 2, upper_out - upper_in, m["upper-pivot-height"]),
        "upper_ball": (0 * middle, upper_out, m["upper-ball-height"]),
        "lower_front": (lower_middle + m["lower-spacing"] / 2, pivot_out, m["lower-pivot-height"]),
        "lower_rear": (lower_middle - m["lower-spacing"] / 2, pivot_out, m["lower-pivot-height"]),
        "lower_ball": (0 * middle, m["ball-out"], m["lower-ball-height"]),
        "tie_inner": (inner_x, tie_out - tie_in, m["tie-inner-height"]),
        "tie_outer": (tie_x, tie_out, m["tie-outer-height"]),
        "spring_lower": (0 * middle, seat_out, seat_up),
        "spring_upper": (0 * middle, seat_out, seat_up + m["spring-length"]),
        "wheel_centre": (0 * middle, m["ball-out"] + m["wheel-out"], m["wheel-height"]),
    }
    return _corner(places, m["wheel-height"], hand)


def _long(m: Mapping[str, Floats], hand: Hand) -> Corner:
    places = {
        place.replace("-", "_"): (m[f"{place}.ahead"], m[f"{place}.out"], m[f"{place}.up"])
        for place, _ in PLACES
    }
    return _corner(places, m["wheel-centre.up"], hand)


def _corner(places: Mapping[str, tuple[Floats, Floats, Floats]], radius_m: Floats, hand: Hand) -> Corner:
    points = {
        name: np.stack(np.broadcast_arrays(ahead, hand * out, up))
        for name, (ahead, out, up) in places.items()
    }
    straight = np.stack((0 * radius_m, hand + 0 * radius_m, 0 * radius_m))
    return Corner(**points, spin=straight, loaded_radius=np.asarray(radius_m), hand=hand)


def _level(along: Floats, rise: Floats, what: str) -> Floats:
    """What a length covers in one direction when it also goes that far in another."""
    if np.any(np.abs(rise) >= along):
        raise Refused(
            f"The {what} is shorter than its own ends are apart; look at its length and heights again."
        )
    return np.sqrt(along**2 - rise**2)
