"""A formula that can be asked for its figure alone, or for the figure with its uncertainty and its why."""

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite, sqrt
from typing import Generic, ParamSpec

from server.compute.refusal import Refused
from server.compute.unit import Quantity

P = ParamSpec("P")


@dataclass(frozen=True, slots=True)
class Known:
    """A figure that goes into a formula, and how far off it may be."""

    value: float  # SI
    uncertainty: float = 0.0  # half-width, SI

    def __post_init__(self) -> None:
        if not isfinite(self.value) or not isfinite(self.uncertainty) or self.uncertainty < 0:
            raise Refused("Every figure needs a number, and an uncertainty not below 0.")

    @property
    def spread(self) -> float:
        """Standard deviation, the half-width taken as the ends of a flat band. Source: GUM 4.3.7."""
        return self.uncertainty / sqrt(3)


@dataclass(frozen=True, slots=True)
class Input:
    """What one figure of an answer rested on."""

    name: str  # `handle length`
    value: float  # SI
    unit: str  # SI unit, as in the formula's argument: `m`, `Nm`, `rad`; empty for a plain figure
    uncertainty: float  # SI


@dataclass(frozen=True, slots=True)
class Answer:
    """A figure that can say why."""

    value: float  # SI
    uncertainty: float  # half-width, SI
    quantity: Quantity
    formula: str
    source: str
    inputs: tuple[Input, ...]
    cautions: tuple[str, ...] = ()  # where it stops being valid, one sentence each

    @property
    def known(self) -> Known:
        """The answer as an input of the next formula."""
        return Known(self.value, self.uncertainty)


@dataclass(frozen=True)
class Formula(Generic[P]):
    """A function of SI floats, with its text and source. Call it for the bare figure."""

    compute: Callable[P, float]
    quantity: Quantity
    text: str
    source: str
    limits: Callable[..., tuple[str, ...]] = lambda **_: ()  # the cautions these inputs call for

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> float:
        """The figure alone."""
        return self.compute(*args, **kwargs)

    def answer(self, **inputs: Known | float) -> Answer:
        """The figure with its uncertainty and its why.

        inputs     by the function's own names; a bare float counts as exact
        returns    uncertainty by first-order propagation, inputs taken as independent
        source     JCGM 100:2008 (GUM) 5.1.2, with the half-widths in place of standard uncertainties
        """
        compute: Callable[..., float] = self.compute
        known = {name: as_known(value) for name, value in inputs.items()}
        values = {name: item.value for name, item in known.items()}
        spread = sqrt(sum(self._effect(values, name, item.uncertainty) ** 2 for name, item in known.items()))
        shown = tuple(_shown(name, item) for name, item in known.items())
        cautions = self.limits(**values)
        return Answer(compute(**values), spread, self.quantity, self.text, self.source, shown, cautions)

    def _effect(self, values: dict[str, float], name: str, uncertainty: float) -> float:
        """How far this input's uncertainty moves the figure: its slope, by central difference, times it."""
        step = uncertainty / 1000  # small enough to be a slope, large enough to stand clear of rounding
        if step == 0:
            return 0.0
        compute: Callable[..., float] = self.compute
        up = compute(**{**values, name: values[name] + step})
        down = compute(**{**values, name: values[name] - step})
        return (up - down) / (2 * step) * uncertainty


def formula(
    quantity: Quantity,
    text: str,
    source: str,
    *,
    limits: Callable[..., tuple[str, ...]] = lambda **_: (),
) -> Callable[[Callable[P, float]], Formula[P]]:
    """Marks a function as a formula: what it yields, how it reads, where it is from, where it ends."""
    return lambda compute: Formula(compute, quantity, text, source, limits)


def as_known(value: Known | float) -> Known:
    """A bare float is exact."""
    return value if isinstance(value, Known) else Known(value)


_UNITS = ("N_per_m", "Nm_per_rad", "Nm", "rad", "Pa", "kg", "m2", "m", "N", "J")


def _shown(name: str, item: Known) -> Input:
    """`handle_m` is a handle in metres: house rule, the unit ends the name."""
    for unit in _UNITS:
        if name.endswith(f"_{unit}"):
            return Input(name.removesuffix(f"_{unit}").replace("_", " "), item.value, unit, item.uncertainty)
    return Input(name.replace("_", " "), item.value, "", item.uncertainty)
