"""How sure a corner's predicted readings are: to first order, and by drawing it ten thousand times.

What is uncertain: every dimension of the layout, the readings themselves, and the two choices of the model
(what is held while shimming, how the shaft follows). Spreads are standard deviations.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from server.compute.adjust import calibrated
from server.compute.corner import Hand
from server.compute.dimension import Dimension
from server.compute.layout import Layout
from server.compute.linkage import Hold, Setting, Shaft, posed
from server.compute.pose import Readings
from server.compute.vector import Floats

DRAWS = 10_000
SEED = 20_240_501  # the same draws each time, so that a page does not change when it is looked at twice
NINETY = 1.6449  # standard deviations to either side of a 90 % interval; normal distribution
_SMALL = 1e-3  # of a spread, for slopes
READ = ("camber", "caster", "toe")
_MODEL = "How arm and shaft are modelled"


@dataclass(frozen=True, slots=True)
class Wheel:
    """One wheel as read, and how sure of it one is; bare figures [rad]."""

    hand: Hand
    found: Readings
    spread: Readings  # standard deviations
    is_toe_shared: bool = False  # half of one total by tape, so that both wheels' toe is off alike


@dataclass(frozen=True, slots=True)
class Share:
    """What one input costs the prediction."""

    name: str
    spread: Floats  # of camber, caster, toe [rad], shape (3,)
    dimension: Dimension | None = None  # none for a reading and for the model's own choices


@dataclass(frozen=True, slots=True)
class Budget:
    """The uncertainty of one wheel's predicted readings, input by input."""

    shares: tuple[Share, ...]
    guessed: frozenset[str]

    @property
    def spread(self) -> Floats:
        """Standard deviations of camber, caster and toe [rad], shape (3,)."""
        total: Floats = np.sqrt(sum(share.spread**2 for share in self.shares))
        return total

    def measure_next(self, tolerance_rad: Floats) -> Share | None:
        """The guessed dimension that costs most, against what is tolerated; none where none is guessed."""
        open_to = [one for one in self.shares if one.dimension and one.dimension.key in self.guessed]
        return max(open_to, key=lambda one: float(np.sum((one.spread / tolerance_rad) ** 2)), default=None)


@dataclass(frozen=True)
class Scatter:
    """The wheels of one car once their settings are made. Readings are the same on both sides, so that a left
    corner serves for both; the car's two corners share the layout and every draw of it."""

    layout: Layout
    wheels: tuple[Wheel, ...]
    settings: tuple[Setting, ...]  # one a wheel

    def budgets(self) -> list[Budget]:
        """Each wheel's: every input's slope, by central difference, times its spread.

        source     JCGM 100:2008 (GUM) 5.1.2, inputs taken as independent
        """
        n = len(self.layout.dimensions)
        return [self._budget(wheel, n) for wheel in range(len(self.wheels))]

    def draws(self, count: int = DRAWS, seed: int = SEED) -> Floats:
        """What the wheels may read, shape (3, wheels, count) [rad].

        source     JCGM 101:2008, propagation of distributions by a Monte Carlo method
        """
        random = np.random.default_rng(seed)
        figures = self.layout.drawn_m(random, count)
        noise = random.standard_normal((3, len(self.wheels), count))
        noise[2, [wheel.is_toe_shared for wheel in self.wheels]] = random.standard_normal(count)
        noisy = self._found[:, :, None] + self._spread[:, :, None] * noise
        read = predicted(self.layout, figures, Readings(*noisy), self._setting)
        for choice in self._choices:
            read = read + choice[:, :, None] * random.uniform(-1, 1, (len(self.wheels), count))
        return read

    def _budget(self, wheel: int, n: int) -> Budget:
        layout = self.layout
        spreads = np.concatenate((layout.spreads_m, self._spread[:, wheel]))
        steps = np.diag(np.where(spreads > 0, spreads, 1.0) * _SMALL)
        middle = np.concatenate((layout.figures_m, self._found[:, wheel]))[:, None]
        both = np.concatenate((middle + steps, middle - steps), axis=1)
        read = predicted(layout, both[:n], Readings(*both[n:]), self.settings[wheel])
        slopes = (read[:, : n + 3] - read[:, n + 3 :]) / (2 * np.diag(steps))
        costs = (np.abs(slopes) * spreads).T
        names = (*(one.name for one in layout.dimensions), *(f"The {read} reading" for read in READ), _MODEL)
        modelled = np.sqrt(sum(choice[:, wheel] ** 2 for choice in self._choices) / 3)
        shares = map(Share, names, (*costs, modelled), (*layout.dimensions, *(None,) * 4))
        return Budget(tuple(shares), layout.guessed)

    @cached_property
    def _found(self) -> Floats:
        return np.stack([wheel.found.stacked for wheel in self.wheels], axis=1)

    @cached_property
    def _spread(self) -> Floats:
        return np.stack([wheel.spread.stacked for wheel in self.wheels], axis=1)

    @cached_property
    def _setting(self) -> Setting:
        """Of every wheel, each figure (wheels, 1)."""
        figures = ([float(each) for each in setting.figures] for setting in self.settings)
        return Setting(*np.array(list(figures)).T[:, :, None])

    @cached_property
    def _choices(self) -> tuple[Floats, Floats]:
        """What the other choice of what is held, and of how the shaft moves, would add; (3, wheels) each."""
        corner = calibrated(self.layout.corner(Hand.LEFT), Readings(*self._found[:, :, None]))
        other = replace(self._setting, shaft=Shaft.TURNING)
        usual, held, turned = (
            pose.readings.stacked[:, :, 0]
            for pose in (
                posed(corner, self._setting),
                posed(corner, self._setting, Hold.WHEEL_HEIGHT),
                posed(corner, other),
            )
        )
        return held - usual, turned - usual


def half_widths(layout: Layout, figure: Callable[[Floats], Floats]) -> Floats:
    """90 % half-widths of figures that come from the layout alone, to first order.

    figure     from dimensions of shape (n, *shape) to figures of shape (k, *shape)
    returns    shape (k,)
    """
    steps = np.diag(np.where(layout.spreads_m > 0, layout.spreads_m, 1.0) * _SMALL)
    up, down = (figure(layout.figures_m[:, None] + sign * steps) for sign in (1, -1))
    slopes = (up - down) / (2 * np.diag(steps))
    widths: Floats = NINETY * np.sqrt(np.sum((slopes * layout.spreads_m) ** 2, axis=-1))
    return widths


def half_of_draws(drawn: Floats) -> Floats:
    """90 % half-widths of what was drawn along the last axis; a draw that cannot be is no such corner."""
    low, high = np.nanquantile(drawn, (0.05, 0.95), axis=-1)
    half: Floats = (high - low) / 2
    return half


def predicted(layout: Layout, figures_m: Floats, found: Readings, setting: Setting) -> Floats:
    """Camber, caster, toe once the setting is made, the corner calibrated by what was found; (3, *shape).

    figures_m  the layout's dimensions, shape (n, *shape)
    """
    return posed(calibrated(layout.corner(Hand.LEFT, figures_m), found), setting).readings.stacked
