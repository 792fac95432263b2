"""A car that executes plans and refuses what would hurt somebody or cannot be done."""

from collections.abc import Callable, Iterable

from server.procedure.model import FrontEnd
from server.procedure.plan import PlannedStep
from tests.procedure.corner_moves import CornerMoves
from tests.procedure.front_moves import FrontMoves
from tests.procedure.iron import AIR, FLOOR, RIDE_HEIGHT, Corner, must, safe

AT_THE_SPRING = ("joint-nuts", "compressor", "knuckle", "spring", "compress")
FINAL = {
    "wheel": FLOOR,
    "clamp": FLOOR,
    "link": RIDE_HEIGHT,
    "lower_pivot": RIDE_HEIGHT,
    "shaft_end": RIDE_HEIGHT,
}


class Car(FrontMoves, CornerMoves):
    """The whole car; `do` makes the moves of one operation."""

    def do(self, operation: str, direction: str, place: str, *, confirmed: bool) -> None:
        """Makes the moves; `confirmed`: the step is a hold point, and someone confirmed it."""
        safe(self.recorded or operation == "intake", "the car is touched before it is recorded as found")
        safe(not self.released, "the car is released")
        self.hold_confirmed = confirmed
        move: Callable[..., None] = getattr(self, f"{self._way(direction)}_{operation.replace('-', '_')}")
        if place in self.corners:
            corner = self.corners[place]
            calm = not (corner.only_nuts or corner.caged) or direction == "bench"
            safe(calm or operation in AT_THE_SPRING, f"{operation} beside a loaded spring")
            move(corner)
        else:
            move()
        for corner in self.corners.values():
            self._nothing_gives_way(corner)

    @staticmethod
    def _way(direction: str) -> str:
        return "down" if direction == "down" else "up"

    def _nothing_gives_way(self, corner: Corner) -> None:
        on, bolts = corner.on, corner.bolts
        if corner.live:
            held = (
                on["knuckle"]
                and on["lower_joint"]
                and on["upper_joint"]
                and on["upper_arm"]
                and on["lower_arm"]
            )
            safe(held, "a live spring with its linkage open")
            for name in ("lower_joint", "upper_joint", "lower_pivot", "upper_arm"):
                safe(bolts[name].grip != "off", f"a live spring with the {name} nut off")
        safe(on["caliper"] or corner.caliper_wired, "the caliper hangs on its hose")
        safe(on["knuckle"] or not on["caliper"], "the knuckle leaves with the caliper on its hose")
        must(not (corner.caged and on["spring"] and on["shock"]), "shock and compressor in one spring")

    @property
    def hazards(self) -> set[tuple[str, str]]:
        """What is dangerous right now, and where."""
        found = {("car-raised", "car")} if self.raised else set()
        for place, corner in self.corners.items():
            kinds = {
                "caliper-hanging": corner.caliper_wired,
                "spring-held-by-nuts": corner.only_nuts,
                "spring-compressed": corner.caged,
            }
            found |= {(kind, place) for kind, stands in kinds.items() if stands}
        return found

    def finished(self) -> None:
        """Raises unless the car is whole, tight in the right condition, safe and released."""
        safe(not self.hazards and self.settled, f"left with {self.hazards}")
        must(self.bar and self.bracket.torqued_at in ("as found", RIDE_HEIGHT), "the bar is not done")
        must(self.released and self.driven and self.height_read and not self.disturbed, "not all was done")
        for corner in self.corners.values():
            must(all(corner.on.values()), "parts left over")
            must(not corner.nuts_due, "wheel nuts not pulled again")
            for name, bolt in corner.bolts.items():
                must(bolt.holds, f"{name}: {bolt.grip}, cotter {bolt.cotter}")
                must(
                    bolt.torqued_at in ("as found", FINAL.get(name, AIR)),
                    f"{name} torqued in {bolt.torqued_at}",
                )

    # the car

    def down_intake(self) -> None:
        must(self.settled and not self.raised, "measured off its wheels")
        self.recorded = True

    def down_support(self) -> None:
        self.raised, self.confirmed, self.settled = True, self.hold_confirmed, False

    def up_support(self) -> None:
        for corner in self.corners.values():
            safe(all(corner.on.values()), f"lowered without {[p for p, on in corner.on.items() if not on]}")
            safe(not corner.caged, "lowered on a compressor")
            for name, bolt in corner.bolts.items():
                safe(bolt.grip in ("torqued", "snug"), f"lowered with {name} {bolt.grip}")
                safe(bolt.cotter != "out", f"lowered without the cotter of {name}")
        safe(self.bar and self.bracket.grip in ("torqued", "snug"), "lowered without its bar")
        self.raised = self.confirmed = False

    def up_settle(self) -> None:
        safe(not self.raised, "rolled off its stands")
        for corner in self.corners.values():
            safe(corner.bolts["wheel"].holds, "rolled on loose wheel nuts")
        self.settled = True

    def up_ride_height(self) -> None:
        must(self.settled and not self.raised, "height read off its wheels")
        for corner in self.corners.values():
            must(
                corner.bolts["lower_pivot"].holds and corner.bolts["shaft_end"].holds,
                "height before the rubber",
            )
        self.height_read = True

    def up_pre_alignment(self) -> None:
        must(self.height_read, "aligned at an unknown height")
        self.disturbed = False
        for corner in self.corners.values():
            corner.bolts["clamp"].loosen()
            corner.bolts["clamp"].snug()

    def up_road_test(self) -> None:
        safe(not self.raised and self.settled and self.bracket.holds, "driven unready")
        safe(not self.disturbed, "driven with its alignment unread")
        for corner in self.corners.values():
            for name, bolt in corner.bolts.items():
                safe(bolt.holds, f"driven with {name} {bolt.grip}, cotter {bolt.cotter}")
        self.driven = True

    def up_release(self) -> None:
        safe(self.driven and self.height_read, "released untried")
        safe(not any(corner.nuts_due for corner in self.corners.values()), "wheel nuts not pulled again")
        self.released = True


def execute(car: Car, steps: Iterable[PlannedStep], front_end: FrontEnd) -> Car:
    """The car after those steps; raises Unsafe or Impossible. The library says only where a hold point is."""
    for step in steps:
        operation = front_end.operation(step.operation)
        move = operation.down if step.direction == "down" else operation.up
        confirmed = move is not None and move.hold is not None
        car.do(step.operation, step.direction, step.place, confirmed=confirmed)
    return car
