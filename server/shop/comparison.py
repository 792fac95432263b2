"""Figures side by side: as found, target, as left."""

from collections.abc import Iterator
from dataclasses import dataclass

from server.procedure.fact import CORNERS
from server.procedure.model import FrontEnd
from server.shop.evidence import Evidence
from server.shop.spec import lines_for
from server.shop.target import CORNER, Histories
from server.store.tables import Capture, Target

COMPARED_AT = (*CORNERS, "car")

# Measured going down, aimed at, measured again: in the order in which one looks at a corner.
MEASURED = {
    "ride-height": "Ride height, wheel centre to fender",
    "ride-height.frame": "Ride height, floor to frame",
    "camber": "Camber",
    "caster": "Caster",
    "toe.total": "Total toe, + is in",
    "toe.angle": "Total toe as an angle",
    "tie-rod.length": "Tie rod between stud centres",
    "pack.front": "Front shim pack",
    "pack.rear": "Rear shim pack",
    "spring.compressed-length": "Spring, compressed length",
}
# Only worked out.
DERIVED = {
    "tie-rod.turns": "Turns of the sleeve",
    "tie-rod.engaged-inner": "Thread held in the sleeve, inner end",
    "tie-rod.engaged-outer": "Thread held in the sleeve, outer end",
    "packs.camber": "Camber to be expected after the refit",
    "packs.caster": "Caster to be expected after the refit",
    "packs.toe": "Toe of this wheel to be expected after the refit",
    "packs.likely": "Chance that the angles are near enough for the drive to the rack",
    "spring.force": "The spring pushes with",
    "spring.energy": "The spring holds",
}
# Figures that are not measured themselves, but worked out from others that are.
FOUND_FROM = {"toe.total": "toe.found", "toe.angle": "toe.found-angle"}
LEFT_FROM = {"toe.total": "toe.left", "toe.angle": "toe.left-angle", "caster": "caster.swept"}


@dataclass(frozen=True, slots=True)
class Compared:
    """One figure at one place, in its three columns. A target among the outer two was worked out."""

    key: str
    place: str
    name: str
    found: Capture | Target | None
    target: Target | None
    left: Capture | Target | None
    before: tuple[Target, ...]  # what the target was, newest first

    @property
    def is_measured(self) -> bool:
        """Whether it is one that is found and left, not only worked out."""
        return self.key in MEASURED

    @property
    def workings(self) -> list[Target]:
        """Every figure of it that can say why."""
        columns = (self.target, self.found, self.left)
        return [one for one in columns if isinstance(one, Target)]

    @property
    def fits(self) -> bool | None:
        """Whether it was left at its target, as far as both can be told; none where either is not there."""
        if self.left is None or self.target is None or None in (self.left.value, self.target.value):
            return None
        apart = abs((self.left.value or 0.0) - (self.target.value or 0.0))
        return apart <= (self.left.uncertainty or 0.0) + (self.target.uncertainty or 0.0)


def comparisons(evidence: Evidence, aimed: Histories) -> list[Compared]:
    """Every figure of a job that was found, aimed at or left: corner by corner, then the car's own."""
    return [
        compared
        for place in COMPARED_AT
        for key, name in (MEASURED | DERIVED).items()
        if (
            compared := Compared(
                key,
                place,
                name,
                found=evidence.found(key, place) or _standing(aimed, FOUND_FROM.get(key), place),
                target=_standing(aimed, key, place),
                left=evidence.left(key, place) or _standing(aimed, LEFT_FROM.get(key), place),
                before=tuple(aimed.get((key, place), [])[1:]),
            )
        )
        and (compared.found or compared.target or compared.left)
    ]


def names(front_end: FrontEnd) -> dict[str, str]:
    """What an input of a target is called, by its key."""
    asked = dict(_asked(front_end))
    lines = {line.key: line.name for line in lines_for(front_end)}
    return asked | lines | MEASURED | DERIVED | {CORNER: "The corner"}


def _asked(front_end: FrontEnd) -> Iterator[tuple[str, str]]:
    for operation in front_end.operations:
        for move in (operation.up, operation.down):
            for wanted in move.captures if move else ():
                yield wanted.id, wanted.name


def _standing(aimed: Histories, key: str | None, place: str) -> Target | None:
    history = aimed.get((key or "", place), [])
    return history[0] if history else None
