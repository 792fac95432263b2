"""The iron of a front end: bolts, the parts of a corner, and what can go wrong with them.

It knows nothing of the library's facts. The rules are common practice of the trade.
"""

from dataclasses import dataclass, field

CORNERS = ("LF", "RF")
AIR, FLOOR, RIDE_HEIGHT = "air", "floor", "ride_height"


class Unsafe(Exception):
    """Somebody could be hurt."""


class Impossible(Exception):
    """The parts do not allow it."""


def must(true: bool, what: str) -> None:
    if not true:
        raise Impossible(what)


def safe(true: bool, what: str) -> None:
    if not true:
        raise Unsafe(what)


@dataclass
class Bolt:
    """A set of equal fasteners."""

    grip: str = "torqued"  # torqued, snug, loose, off
    torqued_at: str = "as found"
    cotter: str = "none"  # none, old, out, new

    def loosen(self) -> None:
        must(self.cotter not in ("old", "new"), "the cotter is in")
        must(self.grip != "off", "it is not there")
        self.grip = "loose"

    def off(self) -> None:
        self.loosen()
        self.grip = "off"

    def run_on(self) -> None:
        must(self.grip == "off", "it is on already")
        self.grip = "loose"

    def snug(self) -> None:
        must(self.grip == "loose", "only a loose one is run snug")
        self.grip = "snug"

    def torque(self, condition: str) -> None:
        must(self.grip != "off", "it is not there")
        self.grip, self.torqued_at = "torqued", condition

    def pull_cotter(self) -> None:
        must(self.cotter == "old", "no cotter to pull")
        self.cotter = "out"

    def new_cotter(self) -> None:
        must(
            self.grip == "torqued" and self.cotter == "out", "a cotter goes into an empty hole of a tight nut"
        )
        self.cotter = "new"

    @property
    def holds(self) -> bool:
        return self.grip == "torqued" and self.cotter != "out"


BOLTS = (
    *("wheel", "link", "outer_rod", "inner_rod", "clamp", "caliper", "shock_top", "shock_bottom"),
    *("lower_pivot", "lower_joint", "upper_joint", "joint_flange", "upper_arm", "shaft_end", "bump_stop"),
)
PARTS = (
    *("wheel", "link", "rod", "caliper", "shock", "knuckle", "spring", "lower_joint", "upper_joint"),
    *("lower_arm", "upper_arm", "packs", "studs", "stop"),
)
COTTERED = ("outer_rod", "inner_rod", "lower_joint", "upper_joint")


@dataclass
class Corner:
    """One wheel station."""

    on: dict[str, bool] = field(default_factory=lambda: dict.fromkeys(PARTS, True))
    bolts: dict[str, Bolt] = field(default_factory=lambda: {name: Bolt() for name in BOLTS})
    undecided: set[str] = field(default_factory=set)
    tapers_stuck: bool = True  # ball joints
    caged: bool = False  # the compressor holds the spring
    caliper_wired: bool = False
    preset: bool = False
    has_shaft: bool = False  # the steering shaft passes here
    packs_made_up: bool = False
    nuts_due: bool = False  # wheel nuts to pull again

    def __post_init__(self) -> None:
        for name in COTTERED:
            self.bolts[name].cotter = "old"

    @property
    def live(self) -> bool:
        """The spring pushes the arms apart."""
        return self.on["spring"] and not self.caged

    @property
    def only_nuts(self) -> bool:
        return self.live and not self.tapers_stuck and not self.joints_hold

    @property
    def joints_hold(self) -> bool:
        return self.bolts["lower_joint"].holds and self.bolts["upper_joint"].holds

    def take(self, part: str, *, decide: bool = True) -> None:
        must(self.on[part], f"{part} is off already")
        self.on[part] = False
        if decide:
            self.undecided.add(part)

    def fit(self, part: str) -> None:
        must(not self.on[part], f"{part} is on already")
        must(part not in self.undecided, f"nobody decided on {part}")
        self.on[part] = True


class Vehicle:
    """The car and its supports, as far as every move has to know them."""

    def __init__(self, drive: str) -> None:
        shaft = {"LHD": "LF", "RHD": "RF"}[drive]
        self.corners = {name: Corner(has_shaft=name == shaft) for name in CORNERS}
        self.hold_confirmed = False  # of the step in hand
        self.recorded = self.raised = self.confirmed = False
        self.settled = True
        self.bar, self.bracket, self.bar_decided = True, Bolt(), True
        self.disturbed = self.height_read = self.driven = self.released = False

    def hanging(self) -> None:
        must(self.raised, "the car stands on its wheels")
        safe(self.confirmed, "hands under a car nobody confirmed")

    def at_ride_height(self) -> None:
        safe(not self.raised and self.settled, "rubber tightened away from ride height")

    def wheel_off(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["wheel"], "the wheel is in the way")
