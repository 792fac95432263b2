"""What a front end is made of and how it comes apart: the words of the procedure library."""

from itertools import pairwise
from typing import Annotated, Literal, Self, TypeVar

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, model_validator

from server.procedure.unit import SI_PER_UNIT, Quantity, si_value

Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*([.-][a-z0-9]+)*$", max_length=60)]
Text = Annotated[str, StringConstraints(min_length=1, strip_whitespace=True)]
Sentence = Annotated[str, StringConstraints(pattern=r"^[A-Z][^.!?]*\.$", max_length=90)]
Thread = Annotated[str, StringConstraints(pattern=r"^(\d+/\d+-\d+|M\d+x\d+(\.\d+)?)$")]
Fraction = Annotated[float, Field(gt=0, le=1)]
Minutes = Annotated[float, Field(gt=0, le=480)]

FactName = Annotated[str, StringConstraints(pattern=r"^((car|centre|each)\.)?[a-z][a-z0-9-]*$")]
# A bare name means the operation's own place; `each.` means both corners.
Facts = dict[FactName, str]

Signal = Literal["danger", "warning", "caution", "notice"]
Act = Literal["loosen", "back off", "off", "hand", "snug", "torque", "uncotter", "cotter"]
Phase = Literal["strip", "bench", "refit", "after"]
PlaceKind = Literal["car", "centre", "corner"]
Group = Literal["vehicle", "front", "corner"]


class Entry(BaseModel):
    """Anything written in a library file: no unknown fields, no coercion, never changed afterwards."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class Part(Entry):
    """Something that comes off the car."""

    id: Id
    name: Text
    tag: bool  # gets a numbered tag when it is off
    decide: bool  # the bench has to say: reuse, renew, repair or send out
    keep_until: Id | None = None  # the operation before whose end it may not be discarded


class Fastener(Entry):
    """A set of equal bolts or nuts at one place."""

    id: Id
    name: Text
    thread: Thread  # typical; the vehicle's own data goes before it
    count: Annotated[int, Field(gt=0)]
    kind: Literal["castle nut", "slotted nut", "prevailing nut", "nut", "bolt", "wheel nut"]
    cotter: bool
    one_time: bool
    reuse: Text
    torque: Annotated[str, StringConstraints(pattern=r"^torque\.[a-z][a-z0-9-]*$")]  # key in the spec sheet
    final_at: Literal["air", "ride_height", "floor"]
    safety: bool  # verified by a second person, paint stripe
    pattern: Literal["single", "line", "star"]
    stages: tuple[Fraction, ...] = (1.0,)  # of the full torque, rising

    @model_validator(mode="after")
    def _stages_rise_to_the_full_torque(self) -> Self:
        rising = all(lower < higher for lower, higher in pairwise(self.stages))
        if not self.stages or not rising or self.stages[-1] != 1.0:
            raise ValueError("stages have to rise and end at 1.0")
        return self


class HazardKind(Entry):
    """Something dangerous that steps begin and end."""

    id: Id
    name: Text
    signal: Signal
    text: Text
    acute: bool  # nobody may walk away from it; a standing one is watched
    has_energy: bool = False


class Caution(Entry):
    """A warning shown before the hands move."""

    signal: Signal
    text: Text


class Wanted(Entry):
    """One capture a step asks for.

    The same id in two steps is the same figure: as found going down, as left afterwards.
    """

    id: Id
    kind: Literal["photo", "measurement", "mark", "note", "choice"]
    name: Text
    quantity: Quantity | None = None  # of a measurement
    unit: str | None = None  # the default; others of the quantity may be typed
    lowest: str | None = None  # plausible band, as a figure with its unit
    highest: str | None = None
    read_to: str | None = None  # the finest that such a gauge tells apart, however finely it is written
    signed: bool = False
    required: bool = True
    per_side: bool = False  # asked for LF and for RF in one step
    options: tuple[Text, ...] = ()

    @property
    def lowest_si(self) -> float | None:
        """The lowest plausible value [SI unit of the quantity]."""
        return self._band_end(self.lowest)

    @property
    def highest_si(self) -> float | None:
        """The highest plausible value [SI unit of the quantity]."""
        return self._band_end(self.highest)

    @property
    def read_to_si(self) -> float | None:
        """The finest step that can be read [SI unit of the quantity]."""
        return self._band_end(self.read_to)

    def _band_end(self, text: str | None) -> float | None:
        return None if text is None or self.quantity is None else si_value(text, quantity=self.quantity)

    @model_validator(mode="after")
    def _kind_fits(self) -> Self:
        measured = self.kind == "measurement"
        if measured != (self.quantity is not None):
            raise ValueError("a measurement names its quantity, and nothing else does")
        if (self.kind == "choice") != bool(self.options):
            raise ValueError("a choice lists its options, and nothing else does")
        return self

    @model_validator(mode="after")
    def _unit_fits(self) -> Self:
        if self.quantity is None:
            if (self.unit, self.lowest, self.highest, self.read_to) != (None, None, None, None):
                raise ValueError("only a figure has a unit, a plausible band or a finest step")
            return self
        units = SI_PER_UNIT[self.quantity]
        if (self.unit or "") not in units:
            raise ValueError(f"unit missing or not one of a {self.quantity}: {', '.join(units)}")
        return self

    @model_validator(mode="after")
    def _band_is_possible(self) -> Self:
        low, high = self.lowest_si, self.highest_si
        if low is not None and low < 0 and not self.signed:
            raise ValueError(f"a negative {self.quantity} is only possible when it is signed")
        if low is not None and high is not None and low >= high:
            raise ValueError("lowest has to be below highest")
        return self


class FastenerAct(Entry):
    """What a move does to one set of fasteners."""

    fastener: Id
    act: Act


class Move(Entry):
    """An operation in one direction: what it needs, what it makes true, what it asks for."""

    sentence: Sentence
    needs: Facts = {}
    needs_shaft_side: Facts = {}  # also needed at the corner where the steering shaft is
    makes: Facts
    cautions: tuple[Caution, ...] = ()
    captures: tuple[Wanted, ...] = ()
    fasteners: tuple[FastenerAct, ...] = ()
    hold: Text | None = None  # a hold point: what a qualified person confirms
    hold_at: Literal["start", "end"] = "end"  # confirmed before the first touch, or before it counts as done
    hazards_begin: tuple[Id, ...] = ()  # from the first touch
    hazards_end: tuple[Id, ...] = ()  # only once done
    requires_second: bool = False  # two people at the car


class Operation(Entry):
    """One rung of the ladder. Only a strip operation has a way down; the others have their move in `up`."""

    id: Id
    name: Text
    phase: Phase
    place: PlaceKind
    group: Group
    only_on: Literal["shaft_side"] | None = None
    when: Facts = {}  # bench, refit, after: part of the job if the strip ends like this
    down: Move | None = None
    up: Move | None = None
    goes_back_with: Id | None = None  # the operation whose way up also undoes this one
    parts: tuple[Id, ...] = ()
    drawing: tuple[Id, ...] = ()  # parts to highlight
    decides: bool = False  # here the bench decides what becomes of the parts that are off
    tools: tuple[Text, ...] = ()
    minutes_down: Minutes | None = None  # nominal, our own guess
    minutes_up: Minutes | None = None
    why: Text
    goes_wrong: Text
    check: Text
    shaft_side: Text | None = None  # what differs where the steering shaft is

    @model_validator(mode="after")
    def _moves_fit_the_phase(self) -> Self:
        if (self.phase == "strip") != (self.down is not None):
            raise ValueError("a strip operation has a way down, and no other has")
        if self.phase != "strip" and (self.up is None or self.parts):
            raise ValueError("a bench, refit or after operation has its move in `up` and takes no parts off")
        if bool(self.when) != (self.phase != "strip"):
            raise ValueError("a bench, refit or after operation says `when`, and a strip operation does not")
        if self.group == "corner" and self.place != "corner":
            raise ValueError("an operation of the corner group is done at a corner")
        return self

    @model_validator(mode="after")
    def _minutes_fit_the_moves(self) -> Self:
        for move, minutes, name in ((self.down, self.minutes_down, "down"), (self.up, self.minutes_up, "up")):
            if (move is None) != (minutes is None):
                raise ValueError(f"minutes_{name} and {name} belong together")
        return self


class Scope(Entry):
    """What may be asked for: the facts to reach. A bare name means every corner chosen."""

    id: Id
    name: Text
    reach: Facts


Values = Annotated[tuple[str, ...], Field(min_length=2)]


class States(Entry):
    """The variables of a front end, each with its values; the first is how a car comes in."""

    car: dict[str, Values]
    centre: dict[str, Values]
    corner: dict[str, Values]


_Named = TypeVar("_Named", Part, Fastener, HazardKind, Operation, Scope)


class FrontEnd(Entry):
    """One kind of front end."""

    id: Id
    name: Text
    describes: Text
    cautions: tuple[Caution, ...]  # hold for the whole job
    states: States
    parts: tuple[Part, ...]
    fasteners: tuple[Fastener, ...]
    hazards: tuple[HazardKind, ...]
    operations: tuple[Operation, ...]  # the ladder, from its top rung down
    scopes: tuple[Scope, ...]

    def part(self, part_id: str) -> Part:
        """The part of that id; raises KeyError."""
        return _find(self.parts, part_id)

    def fastener(self, fastener_id: str) -> Fastener:
        """The fastener of that id; raises KeyError."""
        return _find(self.fasteners, fastener_id)

    def hazard(self, hazard_id: str) -> HazardKind:
        """The kind of hazard of that id; raises KeyError."""
        return _find(self.hazards, hazard_id)

    def operation(self, operation_id: str) -> Operation:
        """The operation of that id; raises KeyError."""
        return _find(self.operations, operation_id)

    def scope(self, scope_id: str) -> Scope:
        """The scope of that id; raises KeyError."""
        return _find(self.scopes, scope_id)


def _find(entries: tuple[_Named, ...], wanted: str) -> _Named:
    for entry in entries:
        if entry.id == wanted:
            return entry
    raise KeyError(wanted)
