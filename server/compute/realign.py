"""The next move at the front end: which packs and tie-rod lengths bring the readings to what is wanted.

Both corners draw on one drawer. The tie rods are set last, for the packs that were chosen, so that each
wheel has its own half of the toe and the steering wheel stays where it was straight ahead.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from server.compute.adjust import calibrated, setting_for, tie_rod_for
from server.compute.corner import Corner, Hand
from server.compute.layout import Layout, ShaftAt
from server.compute.linkage import Setting, at_arm, posed
from server.compute.pack_choice import Limits, Wish, choose
from server.compute.pose import Readings
from server.compute.scatter import DRAWS, Budget, Scatter, Wheel, half_of_draws
from server.compute.shims import Pack
from server.compute.vector import Floats

NO_LIMITS = Limits()
_SLOPE_m = 0.5e-3  # for the effect of a pack's thickness, by central difference


@dataclass(frozen=True, slots=True)
class Band:
    """How far off a reading may be for the drive to the rack, either way [rad]."""

    camber_rad: float
    caster_rad: float
    toe_rad: float  # of every wheel that was read, together: half of the car's when only one was

    @property
    def rad(self) -> Floats:
        """Camber, caster, toe, shape (3,)."""
        return np.array((self.camber_rad, self.caster_rad, self.toe_rad))


@dataclass(frozen=True, slots=True)
class Standing:
    """One wheel as it stands: what it reads, the packs that are in, and what it should read."""

    wheel: Wheel
    front_m: float
    rear_m: float
    wanted: Readings
    keeps_packs: bool = False  # good enough as they are: the toe alone is set

    @property
    def aimed(self) -> Readings:
        """What the packs are chosen for: what it reads, where they stay."""
        found = self.wheel.found
        kept = Readings(found.camber_rad, found.caster_rad, self.wanted.toe_rad)
        return kept if self.keeps_packs else self.wanted


@dataclass(frozen=True, slots=True)
class Exact:
    """The packs that would bring one corner there exactly [m], and what they are uncertain by: 90 %."""

    front_m: float  # below 0 where no pack can do it
    rear_m: float
    front_off_m: float
    rear_off_m: float


@dataclass(frozen=True, slots=True)
class Move:
    """What to do at one corner, and what it should read then."""

    standing: Standing
    exact: Exact
    front: Pack
    rear: Pack
    tie_rod_m: float  # change of length, longer +
    tie_rod_off_m: float  # half-width of 90 %
    predicted: Readings
    off_rad: Floats  # half-widths of 90 % of the draws: camber, caster, toe, shape (3,)
    budget: Budget

    @property
    def front_change_m(self) -> float:
        """Thickness to add to the front pack; below 0 to take out."""
        return self.front.thickness_m - self.standing.front_m

    @property
    def rear_change_m(self) -> float:
        """Thickness to add to the rear pack; below 0 to take out."""
        return self.rear.thickness_m - self.standing.rear_m


class Cause(Enum):
    """Why a reading is not reached."""

    NONE_LEFT = "a pack cannot be thinner than none"
    LIMIT = "the packs' limits stand against it"
    DRAWER = "the drawer comes no nearer"


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A reading that the move leaves off by more than half the band."""

    hand: Hand
    reading: str  # camber | caster
    by_rad: float  # predicted less aimed at
    cause: Cause


@dataclass(frozen=True, slots=True)
class Plan:
    """The moves at every corner that was read, and how likely they are to be enough."""

    moves: tuple[Move, ...]
    likely: float  # to be inside the band with every reading, 0 to 1
    short: tuple[Shortfall, ...]


def realign(
    layout: Layout,
    shaft: ShaftAt,
    standing: Sequence[Standing],
    band: Band,
    stock: Mapping[float, int],
    limits: Limits = NO_LIMITS,
    *,
    draws: int = DRAWS,
) -> Plan:
    """The plan for one corner or both.

    standing   each with its own readings; the car's two corners share the layout
    stock      thickness [m] to how many are in the drawer; a pack that is in may stay whole, where it is
    raises     Refused where no setting gives what is wanted, or no packs can be made up
    """
    tasks = [_Task.of(layout, shaft, one, band, limits) for one in standing]
    packs = choose([task.wish for task in tasks], stock)
    settings = [task.setting(*pair) for task, pair in zip(tasks, packs, strict=True)]
    scatter = Scatter(layout, tuple(one.wheel for one in standing), tuple(settings))
    drawn, budgets = scatter.draws(draws), scatter.budgets()
    half = half_of_draws(drawn)
    moves = tuple(
        task.move(*each) for task, *each in zip(tasks, packs, settings, half.T, budgets, strict=True)
    )
    short = (each for task, move in zip(tasks, moves, strict=True) for each in task.short(move))
    return Plan(moves, _likely(drawn, standing, band), tuple(short))


@dataclass(frozen=True, slots=True)
class _Task:
    """One corner: what is wanted of it."""

    layout: Layout
    shaft: ShaftAt
    standing: Standing
    band: Band
    corner: Corner  # calibrated
    wish: Wish

    @classmethod
    def of(cls, layout: Layout, shaft: ShaftAt, standing: Standing, band: Band, limits: Limits) -> "_Task":
        corner = calibrated(layout.corner(standing.wheel.hand), standing.wheel.found)
        exact = setting_for(corner, standing.aimed)
        front_m = standing.front_m + shaft.outboard * float(exact.front_m)
        rear_m = standing.rear_m + shaft.outboard * float(exact.rear_m)
        effect = shaft.outboard * _effect(corner, exact) / [[band.camber_rad], [band.caster_rad]]
        kept = (standing.front_m, standing.rear_m)
        return cls(layout, shaft, standing, band, corner, Wish(front_m, rear_m, effect, limits, kept))

    def setting(self, front: Pack, rear: Pack) -> Setting:
        """These packs in, and the tie rod set for them."""
        out = self.shaft.outboard
        front_m = out * (front.thickness_m - self.standing.front_m)
        rear_m = out * (rear.thickness_m - self.standing.rear_m)
        shimmed = at_arm(self.corner, 0.0, Setting(front_m, rear_m))
        rod_m = tie_rod_for(shimmed, self.standing.wanted.toe_rad) - self.corner.tie_rod_m
        return Setting(front_m, rear_m, rod_m)

    def move(self, packs: tuple[Pack, Pack], setting: Setting, off_rad: Floats, budget: Budget) -> Move:
        """What to do, and what comes of it."""
        return Move(
            standing=self.standing,
            exact=self._exact(off_rad),
            front=packs[0],
            rear=packs[1],
            tie_rod_m=float(setting.tie_rod_m),
            tie_rod_off_m=float(off_rad[2] / abs(_toe_slope(self.corner, setting))),
            predicted=posed(self.corner, setting).readings,
            off_rad=off_rad,
            budget=budget,
        )

    def short(self, move: Move) -> Iterator[Shortfall]:
        """The readings that stay off."""
        off = (move.predicted.stacked - self.standing.aimed.stacked)[:2]
        for reading, by, most in zip(
            ("camber", "caster"), off, (self.band.camber_rad, self.band.caster_rad), strict=True
        ):
            if abs(by) > most / 2:
                yield Shortfall(self.standing.wheel.hand, reading, float(by), self._cause())

    def _exact(self, off_rad: Floats) -> Exact:
        """The packs' uncertainty is that of camber and caster, taken back through their effect."""
        per_m = self.wish.effect * [[self.band.camber_rad], [self.band.caster_rad]]
        front_off_m, rear_off_m = np.hypot(*(np.linalg.inv(per_m) * off_rad[:2]).T)
        return Exact(self.wish.front_m, self.wish.rear_m, float(front_off_m), float(rear_off_m))

    def _cause(self) -> Cause:
        front_m, rear_m = self.wish.front_m, self.wish.rear_m
        if min(front_m, rear_m) < 0:
            return Cause.NONE_LEFT
        if not self.wish.limits.allow(np.asarray(front_m), np.asarray(rear_m)):
            return Cause.LIMIT
        return Cause.DRAWER


def _effect(corner: Corner, setting: Setting) -> Floats:
    """What camber and caster do per outboard move of each stud, rows by columns, (2, 2) [rad/m]."""
    steps = np.array((_SLOPE_m, -_SLOPE_m, 0.0, 0.0))
    front_m, rear_m = setting.front_m + steps, setting.rear_m + steps[::-1] * -1
    read = at_arm(corner, 0.0, Setting(front_m, rear_m, setting.tie_rod_m)).readings.stacked[:2]
    return np.stack((read[:, 0] - read[:, 1], read[:, 2] - read[:, 3]), axis=1) / (2 * _SLOPE_m)


def _toe_slope(corner: Corner, setting: Setting) -> float:
    """Toe per length of tie rod [rad/m]."""
    steps = setting.tie_rod_m + np.array((_SLOPE_m, -_SLOPE_m))
    longer, shorter = at_arm(corner, 0.0, replace(setting, tie_rod_m=steps)).readings.toe_rad
    return float((longer - shorter) / (2 * _SLOPE_m))


def _likely(drawn: Floats, standing: Sequence[Standing], band: Band) -> float:
    """The share of draws in which every wheel's camber and caster, and the toe in total, are inside."""
    wanted = np.stack([one.wanted.stacked for one in standing], axis=1)
    camber, caster, toe = drawn - wanted[:, :, None]
    inside = np.all(np.abs(camber) <= band.camber_rad, axis=0)
    inside &= np.all(np.abs(caster) <= band.caster_rad, axis=0)
    inside &= np.abs(np.sum(toe, axis=0)) <= band.toe_rad
    return float(np.mean(inside))
