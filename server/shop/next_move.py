"""The next move as the targets say it, side by side and in the order it is made; else what it waits for."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from server.procedure.fact import CORNERS
from server.shop.evidence import Evidence
from server.shop.geometry import shaft_at_of, steer_of
from server.shop.odd_reading import odd_readings
from server.shop.realign import WANTED
from server.shop.target import TAKEN_BACK
from server.shop.wheel_record import SWEPT
from server.store.tables import Target

Stage = Literal["read", "packs", "toe", "done"]

PACK_NAMES = {"pack.front": "front", "pack.rear": "rear"}
Targets = dict[tuple[str, str], Target]  # by key and place


@dataclass(frozen=True, slots=True)
class Saying:
    """A target's sentence, and what it says besides."""

    target: Target
    main: str
    more: str

    @property
    def is_change(self) -> bool:
        """Whether something has to be done."""
        return not self.main.startswith("Leave ")


@dataclass(frozen=True, slots=True)
class SideMove:
    """What to do on one side, what it should read then, and what has to be read before more can be said."""

    place: str
    packs: tuple[Saying, ...]
    sleeve: Saying | None
    expected: tuple[tuple[str, Saying], ...]  # camber, caster, toe
    missing: tuple[str, ...]
    odd: tuple[str, ...]  # readings to take again before anything is changed by them
    knows_thread: bool  # which end of its tie rod has the right-hand thread

    @property
    def changes_packs(self) -> bool:
        """Whether the car has to be lifted for it."""
        return any(one.is_change for one in self.packs)

    @property
    def turns_sleeve(self) -> bool:
        """Whether the tie rod's length changes."""
        return self.sleeve is not None and self.sleeve.is_change


@dataclass(frozen=True, slots=True)
class NextMove:
    """The move of the whole car."""

    sides: tuple[SideMove, ...]
    likely: Saying | None
    missing: tuple[str, ...]  # of the whole car
    model: str  # what the linkage takes for granted

    @property
    def is_there(self) -> bool:
        """Whether there is anything to say yet."""
        return any(side.packs or side.sleeve for side in self.sides)

    @property
    def stage(self) -> Stage:
        """Where one is in the order of work."""
        if not self.is_there:
            return "read"
        if any(side.changes_packs for side in self.sides):
            return "packs"
        return "toe" if any(side.turns_sleeve for side in self.sides) else "done"


def next_move(evidence: Evidence, targets: Targets) -> NextMove:
    """The move that follows from the readings on the floor."""
    sides = tuple(_side(evidence, targets, place) for place in CORNERS)
    likely = _saying(targets, "likely", "car")
    return NextMove(sides, likely, tuple(_missing_of_car(evidence)), _model(evidence))


def _side(evidence: Evidence, targets: Targets, place: str) -> SideMove:
    packs = (_saying(targets, end, place) for end in ("front", "rear"))
    expected = ((name, _saying(targets, name, place)) for name in ("camber", "caster", "toe"))
    return SideMove(
        place=place,
        packs=tuple(one for one in packs if one),
        sleeve=_saying(targets, "sleeve", place),
        expected=tuple((name, one) for name, one in expected if one),
        missing=tuple(_missing(evidence, place)),
        odd=tuple(odd_readings(evidence, targets, place)),
        knows_thread=evidence.answer("tie-rod.right-hand", place) is not None,
    )


def _saying(targets: Targets, what: str, place: str) -> Saying | None:
    target = targets.get((f"pre-alignment.{what}", place))
    if target is None or target.says == TAKEN_BACK:
        return None
    main, dot, more = target.says.partition(". ")
    return Saying(target, f"{main}." if dot else main, more)


def _missing(evidence: Evidence, place: str) -> Iterator[str]:
    """What the linkage still has to be told of this wheel."""
    if evidence.left("camber", place) is None:
        yield "Read its camber."
    if evidence.left("caster", place) is None and any(evidence.left(key, place) is None for key in SWEPT):
        yield "Read its caster, by gauge or by sweep."
    for key, end in PACK_NAMES.items():
        if evidence.left(key, place) is None and evidence.found(key, place) is None:
            yield f"Measure the {end} pack that is in; 0 if there is none."
    tape = (evidence.left(f"toe.tape-{end}", "car") for end in ("front", "rear"))
    if evidence.left("toe.wheel", place) is None and None in tape:
        yield "Read toe, by tape or by gauge: without it the sleeve has no move."


def _missing_of_car(evidence: Evidence) -> Iterator[str]:
    if not any(key in evidence.specs for key in WANTED):
        yield "The spec sheet has neither camber nor caster nor toe to aim at."
    if evidence.spec("tie-rod.pitch") is None:
        yield "The spec sheet has no thread pitch of the tie rods: without it, no turns of the sleeve."
    is_off, by_gauge = evidence.left("steering-wheel.off", "car"), evidence.left("toe.wheel", "LF")
    if is_off is not None and by_gauge is None and evidence.spec("steering.ratio") is None:
        yield "The spec sheet has no steering ratio: without it, the steering wheel is not brought straight."


def _model(evidence: Evidence) -> str:
    """What is taken for granted, and where it was read."""
    shaft, steer = shaft_at_of(evidence.specs), steer_of(evidence.specs)
    rods = f", the tie rods {steer.value}" if steer else ""
    sits = f" The shaft sits {shaft.value}{rods}, by the spec sheet." if shaft else ""
    return (
        "Worked out for the height at which it was read, the lower arm held still, the shaft's pivots moved"
        f" straight across.{sits}"
    )
