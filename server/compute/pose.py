"""How a front corner stands: where its joints are, and its wheel angles as a technician reads them."""

from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from server.compute.corner import Corner
from server.compute.vector import NO_ROOM, Floats, dot, length, point, unit, widen


class Fault(IntEnum):
    """Why a pose cannot be: which link does not reach."""

    NONE = 0
    UPPER_ARM = 1
    TIE_ROD = 2
    LOWER_ARM = 3

    @property
    def sentence(self) -> str:
        """Said to a person."""
        return _SENTENCES[self]


_SENTENCES = {
    Fault.NONE: "Every link reaches.",
    Fault.UPPER_ARM: "The upper arm does not reach its ball joint.",
    Fault.TIE_ROD: "The tie rod does not reach the steering arm.",
    Fault.LOWER_ARM: "The lower arm cannot bring the wheel to that height.",
}


@dataclass(frozen=True, slots=True)
class Readings:
    """What the gauges show at one wheel, the same on both sides; shapes (*shape) [rad].

    camber     + top leans outboard
    caster     + steering axis leans rearward going up
    toe        + toe-in, of this wheel alone
    source     ISO 8855:2011; SAE J670e for caster
    """

    camber_rad: Floats
    caster_rad: Floats
    toe_rad: Floats

    @property
    def stacked(self) -> Floats:
        """Camber, caster, toe along the first axis, shape (3, *shape)."""
        return np.stack(np.broadcast_arrays(self.camber_rad, self.caster_rad, self.toe_rad))


def readings(camber_rad: float, caster_rad: float, toe_rad: float) -> Readings:
    """One wheel's readings from bare floats."""
    return Readings(np.asarray(camber_rad), np.asarray(caster_rad), np.asarray(toe_rad))


@dataclass(frozen=True, slots=True)
class Pose:
    """Where everything is. Points are (3, *shape) in vehicle axes; nan where the pose cannot be."""

    corner: Corner
    upper_front: Floats
    upper_rear: Floats
    upper_ball: Floats
    lower_ball: Floats
    tie_inner: Floats
    tie_outer: Floats
    spring_lower: Floats
    wheel_centre: Floats
    spin: Floats  # unit vector along the wheel's axis, outboard
    arm_rad: Floats  # the lower arm from where it stood, ball joint up +
    fault: NDArray[np.int64]  # of `Fault`

    @property
    def readings(self) -> Readings:
        """Camber, caster and toe."""
        axis = self._axis
        return Readings(
            camber_rad=np.arcsin(-self.spin[2]),
            caster_rad=np.arctan2(-axis[0], axis[2]),
            toe_rad=np.arctan2(self.spin[0], self.spin[1] * self.corner.hand),
        )

    @property
    def inclination_rad(self) -> Floats:
        """Steering-axis inclination, + leaning inboard going up. Source: ISO 8855."""
        axis = self._axis
        leaning: Floats = np.arctan2(-axis[1] * self.corner.hand, axis[2])
        return leaning

    @property
    def contact(self) -> Floats:
        """Foot of the wheel's plane on the floor, for a thin disc."""
        level = self.spin[2]
        down = unit(self.spin * level - widen(point(0.0, 0.0, 1.0), level.shape))
        return self.wheel_centre + self.corner.loaded_radius * down

    @property
    def scrub_m(self) -> Floats:
        """On the floor, + when the steering axis meets it inboard of the contact."""
        contact = self.contact
        return dot(contact - self._axis_at(contact[2]), self._lateral)

    @property
    def trail_m(self) -> Floats:
        """On the floor, + when the steering axis meets it ahead of the contact."""
        contact, lateral = self.contact, self._lateral
        heading = np.stack((lateral[1], -lateral[0], lateral[2])) * self.corner.hand
        return dot(self._axis_at(contact[2]) - contact, heading)

    @property
    def spring_m(self) -> Floats:
        """Between the centres of its seats."""
        return length(widen(self.corner.spring_upper, self.arm_rad.shape) - self.spring_lower)

    def only_where(self, possible: NDArray[np.bool_], fault: NDArray[np.int64]) -> "Pose":
        """The same with nan for what cannot be, and why."""
        if np.all(possible):
            return self
        placed = {name: np.where(possible, getattr(self, name), NO_ROOM) for name in _PLACED}
        return Pose(corner=self.corner, fault=np.where(possible, Fault.NONE, fault), **placed)

    def with_some(self, which: NDArray[np.bool_], others: "Pose") -> "Pose":
        """The same with other poses in some places, one after the other."""
        placed = {name: np.array(getattr(self, name)) for name in (*_PLACED, "fault")}
        for name, whole in placed.items():
            whole[..., which] = getattr(others, name)
        return Pose(corner=self.corner, **placed)

    @property
    def _axis(self) -> Floats:
        return self.upper_ball - self.lower_ball

    def _axis_at(self, height: Floats) -> Floats:
        axis = self._axis
        place: Floats = self.lower_ball + axis * ((height - self.lower_ball[2]) / axis[2])
        return place

    @property
    def _lateral(self) -> Floats:
        """Outboard along the wheel's axis, level."""
        return unit(np.stack((self.spin[0], self.spin[1], 0 * self.spin[2])))


_PLACED = tuple(one.name for one in fields(Pose) if one.name not in ("corner", "fault"))
