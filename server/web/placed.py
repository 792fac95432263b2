"""A pose laid out on paper: where each joint is in either view, and which way things lie."""

from collections.abc import Callable
from dataclasses import dataclass

from server.compute.layout import ShaftAt
from server.compute.pose import Pose
from server.web.outline import Spot
from server.web.projection import Projection

THINNEST = 2.0  # px of a pack, however thin it is
BRACKET = 11.0  # px from the shaft's centre line to where its packs begin
COIL_m = 0.058  # half a coil's diameter


@dataclass(frozen=True, slots=True)
class Fit:
    """What belongs to a corner beside its pose."""

    shaft_at: ShaftAt = ShaftAt.INBOARD
    front_pack_m: float = 0.0
    rear_pack_m: float = 0.0
    turns: float = 6.0  # of the spring


@dataclass(frozen=True, slots=True)
class Placed:
    """A pose on paper. Lengths of parts are in pixels; `out` points outboard."""

    on: Projection
    pose: Pose
    fit: Fit

    @property
    def out(self) -> Spot:
        """One pixel outboard."""
        return complex(self.on.hand)

    @property
    def free(self) -> int:
        """1 where the tie rods lie behind the axle and there is room ahead of it, else -1."""
        return 1 if bool(self.pose.corner.is_rear_steer) else -1

    @property
    def to_bracket(self) -> Spot:
        """One pixel from the shaft to its bracket."""
        return -self.out * self.fit.shaft_at.outboard

    def front(self, name: str) -> Spot:
        """A joint seen from the front, by its name in the pose or the corner."""
        return self.on.front(getattr(self.pose if hasattr(self.pose, name) else self.pose.corner, name))

    def plan(self, name: str) -> Spot:
        """The same from above."""
        return self.on.plan(getattr(self.pose if hasattr(self.pose, name) else self.pose.corner, name))

    def between(self, view: Callable[[str], Spot], one: str, other: str, share: float) -> Spot:
        """On the way from one joint to another."""
        return view(one) + (view(other) - view(one)) * share

    def on_axis(self, down: float) -> Spot:
        """Where the steering axis passes that height, seen from the front; the lower ball joint if never."""
        lower, upper = self.front("lower_ball"), self.front("upper_ball")
        high = upper.imag - lower.imag
        return lower + (upper - lower) * (down - lower.imag) / high if high else lower

    def pack(self, thickness_m: float) -> float:
        """How thick a pack is drawn."""
        return max(THINNEST, thickness_m * self.on.scale) if thickness_m > 0 else 0.0

    @property
    def wheel_up(self) -> Spot:
        """Unit vector up along the wheel, from the front."""
        spin = complex(self.pose.spin[1], -self.pose.spin[2]) * self.on.hand
        return spin / abs(spin) * -1j

    @property
    def wheel_ahead(self) -> Spot:
        """Unit vector ahead along the wheel, from above."""
        spin = complex(self.pose.spin[1], self.pose.spin[0]) * self.on.hand
        return spin / abs(spin) * 1j

    @property
    def bar_at(self) -> float:
        """Down, where the anti-roll bar crosses the car."""
        return self.on.ends[self.free > 0] - self.free * 12

    @property
    def link_foot(self) -> tuple[Spot, Spot]:
        """Where the bar's link stands on the lower arm, in both views."""
        foot = self.between(self.front, "lower_front", "lower_ball", 0.74)
        return foot, complex(foot.real, self.on.axle + self.free * 0.085 * self.on.scale)
