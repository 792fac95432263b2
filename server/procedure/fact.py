"""Facts: what is true of a car on the way down and up, one value per variable and place."""

from typing import Literal, NamedTuple

from server.procedure.model import Facts, FrontEnd, PlaceKind

Place = Literal["car", "centre", "LF", "RF"]
Corner = Literal["LF", "RF"]
CORNERS: tuple[Corner, Corner] = ("LF", "RF")

State = dict[tuple[Place, str], str]


class Fact(NamedTuple):
    """One variable of one place has this value."""

    place: Place
    variable: str
    value: str

    def __str__(self) -> str:
        return f"{self.place}.{self.variable} = {self.value}"


def places(kind: PlaceKind) -> tuple[Place, ...]:
    """Where an operation of that kind of place is done."""
    if kind == "corner":
        return CORNERS
    return (kind,)


def resolve(facts: Facts, place: Place) -> frozenset[Fact]:
    """The facts as seen from one place: a bare name means that place, `each.` both corners."""
    return frozenset(
        Fact(where, variable, value)
        for name, value in facts.items()
        for where, variable in _seen(name, place)
    )


def kind_and_variable(name: str, kind: PlaceKind) -> tuple[PlaceKind, str]:
    """Which kind of place a name in an operation of `kind` belongs to, and its variable there."""
    prefix, dot, variable = name.partition(".")
    if not dot:
        return kind, name
    prefixes: dict[str, PlaceKind] = {"car": "car", "centre": "centre", "each": "corner"}
    return prefixes[prefix], variable


def initial(front_end: FrontEnd) -> State:
    """The state in which a car comes in."""
    kinds: dict[PlaceKind, dict[str, tuple[str, ...]]] = {
        "car": front_end.states.car,
        "centre": front_end.states.centre,
        "corner": front_end.states.corner,
    }
    return {
        (place, variable): values[0]
        for kind, variables in kinds.items()
        for place in places(kind)
        for variable, values in variables.items()
    }


def holds(facts: frozenset[Fact], state: State) -> bool:
    """Whether all the facts are true in that state."""
    return all(state[fact.place, fact.variable] == fact.value for fact in facts)


def _seen(name: str, place: Place) -> list[tuple[Place, str]]:
    kind, variable = kind_and_variable(name, "corner")
    if "." not in name:
        return [(place, variable)]
    return [(where, variable) for where in places(kind)]
