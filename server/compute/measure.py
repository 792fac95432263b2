"""What people type at the car, read as a quantity with the uncertainty its own writing implies."""

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from server.compute import figure as fig
from server.compute.answer import Known
from server.compute.figure import Figure
from server.compute.refusal import Refused
from server.compute.unit import Quantity, Unit, plain, quantities_with, unit_named, units_of

__all__ = ["Quantity", "Reading", "Refused", "read", "read_toe"]

EXAMPLES = {
    Quantity.LENGTH: "a length like 12 5/8 in or 320.7 mm",
    Quantity.ANGLE: "an angle like 0.75° or 1°15'",
    Quantity.TORQUE: "a torque like 95 lbf·ft, 129 N·m or 1140 lbf·in",
    Quantity.COUNT: "a whole number like 7",
    Quantity.NUMBER: "a plain figure like 7 1/2 or 0.18",
    Quantity.FORCE: "a force like 1350 lbf or 6000 N",
    Quantity.PRESSURE: "a pressure like 32 psi, 2.2 bar or 220 kPa",
    Quantity.STRESS: "a stress like 79500 MPa or 85 ksi",
    Quantity.DISTANCE: "a distance like 123456 km or 76711 mi",
    Quantity.MASS: "a mass like 900 kg or 2000 lb",
    Quantity.RATE: "a spring rate like 350 lbf/in or 61 N/mm",
    Quantity.ENERGY: "an energy like 500 J",
}
SIXTEENTH = Fraction(1, 16)  # what any rule in a workshop is divided to
_RULE_PARTS = (1, 2, 4, 8, 16, 32, 64, 128)
_NO_FIGURE = re.compile(r"[-+?.,/'\"]*|n/?a|none|same|ok", re.IGNORECASE)
_TOE = re.compile(r"(?P<figure>.+?) ?\b(?P<way>(?:toe[ -]?)?(?:in|out))", re.IGNORECASE)
_BARE = re.compile(r"[-+0-9.,/ ]+")
_MOST_TOE_m, _MOST_TOE_rad = 0.030, 0.06  # far outside any setting: beyond it a reading is asked about again


@dataclass(frozen=True, slots=True)
class Band:
    """Where a figure usually lies."""

    lowest: float | None  # SI
    highest: float | None  # SI
    unit: Unit  # to write it in

    def holds(self, value: float) -> bool:
        """Whether the value lies inside, ends included."""
        too_low = self.lowest is not None and value < self.lowest
        too_high = self.highest is not None and value > self.highest
        return not (too_low or too_high)

    @property
    def words(self) -> str:
        """`100 to 600 mm`."""
        if self.lowest is None or self.highest is None:
            ends = (("at least", self.lowest), ("at most", self.highest))
            return " ".join(f"{word} {self.unit.write(end)}" for word, end in ends if end is not None)
        low = plain(self.unit.of(self.lowest), self.unit.decimals)
        return f"{low} to {self.unit.write(self.highest)}"


@dataclass(frozen=True, slots=True)
class Reading:
    """One figure as typed and as understood."""

    text: str  # exactly what was typed
    quantity: Quantity
    value: float  # in the quantity's SI unit
    uncertainty: float  # half of the smallest step that the writing, or the tool, resolves; same unit
    unit: str  # the unit it was read in
    read_as: str  # for the person to see before it is kept: `12 5/8 in = 320.675 mm`
    implausible: str | None = None  # why it needs a second confirmation, as a sentence

    @property
    def known(self) -> Known:
        """The value and its uncertainty, ready to go into a formula."""
        return Known(self.value, self.uncertainty)


def read(
    text: str,
    quantity: Quantity,
    *,
    default_unit: str,
    lowest: float | None = None,
    highest: float | None = None,
    signed: bool = False,
    zero: bool = True,
    resolution: float | None = None,
) -> Reading:
    """The one figure in the text.

    text           what was typed, 40 characters at most
    default_unit   the field's unit, taken when none is typed; `""` for counts and plain numbers
    lowest, highest  the plausible band [SI]; outside it the reading asks for a second confirmation
    signed         whether a minus sign makes sense here
    zero           whether 0 makes sense here; never for a torque
    resolution     the smallest step of the tool used [SI]; otherwise the writing's own step counts
    raises         Refused, with what would have been accepted
    validity       ASCII digits, decimal point or comma, no exponents, no thousands marks
    """
    figure, unit, was_typed = _understand(fig.tidy(text), quantity, default_unit)
    _check_inch_fraction(figure, unit)
    _check_sign(figure, quantity, signed=signed, zero=zero)
    value = float(figure.value * unit.si)
    half_step = resolution / 2 if resolution is not None else _half_step(figure, unit)
    echo = _echo(figure, unit, value)
    band = Band(lowest, highest, unit_named(default_unit, quantity))
    doubt = _doubt(figure, unit, echo, band, was_typed=was_typed)
    return Reading(text, quantity, value, half_step, unit.name, echo, doubt)


def read_toe(text: str, default_unit: str) -> Reading:
    """A toe reading, + for toe-in: `1/16 in toe-in`, `1.5 mm out`, `-0.2°`.

    default_unit   `in`, `mm` or `°`
    raises         Refused, also when it is not 0 and says neither in nor out nor carries a sign
    """
    typed = fig.tidy(text)
    match = _TOE.fullmatch(typed)
    if match is None or _is_inch(match):
        return _toe_by_sign(text, typed, default_unit)
    if typed[0] in "+-":
        raise Refused("Say in or out, or give a sign, but not both.")
    reading = _read_toe_figure(match["figure"], default_unit)
    return _with_way(reading, text, -1.0 if match["way"].lower().endswith("out") else 1.0)


def _is_inch(match: re.Match[str]) -> bool:
    """A last `in` alone is the inch, unless a unit stands before it."""
    return match["way"].lower() == "in" and _BARE.fullmatch(match["figure"]) is not None


def _toe_by_sign(text: str, typed: str, default_unit: str) -> Reading:
    reading = _read_toe_figure(typed, default_unit)
    if reading.value != 0 and typed[0] not in "+-":
        figure = reading.read_as.split(" = ")[0]
        raise Refused(f"Is that toe-in or toe-out? Type {figure} toe-in, or {figure} toe-out.")
    return _with_way(reading, text, 1.0)


def _read_toe_figure(typed: str, default_unit: str) -> Reading:
    bare = _BARE.fullmatch(typed) is not None
    in_degrees = default_unit == "°" if bare else re.search("[°º']|deg|min", typed, re.IGNORECASE)
    if in_degrees:
        quantity, unit, most = Quantity.ANGLE, "°", _MOST_TOE_rad
    else:
        quantity, unit, most = Quantity.LENGTH, default_unit if bare else "in", _MOST_TOE_m
    return read(typed, quantity, default_unit=unit, lowest=-most, highest=most, signed=True)


def _with_way(reading: Reading, text: str, way: float) -> Reading:
    value = way * reading.value + 0.0  # never a minus zero
    name = "" if value == 0 else " toe-in" if value > 0 else " toe-out"
    return replace(reading, text=text, value=value, read_as=f"{reading.read_as.replace('-', '')}{name}")


def _understand(typed: str, quantity: Quantity, default_unit: str) -> tuple[Figure, Unit, bool]:
    """The figure, its unit, and whether the unit was typed rather than taken from the field."""
    wanted = EXAMPLES[quantity]
    if _NO_FIGURE.fullmatch(typed):
        raise Refused(f"There is no figure in it; type {wanted}, or say why it could not be measured.")
    if quantity is Quantity.LENGTH and (inches := fig.feet_and_inches(typed)):
        return inches, unit_named("in", quantity), True
    if quantity is Quantity.ANGLE and (degrees := fig.degrees_and_minutes(typed)):
        return degrees, unit_named("°", quantity), True
    found = fig.leading_figure(typed)
    if found is None:
        raise Refused(f"That does not start with a figure; type {wanted}.")
    figure, tail = found
    _check_one_figure(typed, figure, tail, quantity)
    unit = _unit(figure, tail, quantity, default_unit)
    return figure, unit, bool(tail)


def _check_one_figure(typed: str, figure: Figure, tail: str, quantity: Quantity) -> None:
    wanted = EXAMPLES[quantity]
    counted = quantity in (Quantity.COUNT, Quantity.DISTANCE)
    if fig.looks_grouped(typed) and (counted or re.search("[0-9]", tail)):
        raise Refused("Thousands are written without a mark between them; type 1000, not 1 000 or 1,000.")
    if re.match(r"[.,]", tail):
        raise Refused(f"One decimal mark only, with digits after it, and none for thousands; type {wanted}.")
    if re.match(r"[eE][+-]?[0-9]", tail):
        raise Refused(f"Type the figure out in full, without an exponent: {wanted}.")
    if re.search("[0-9]", tail):
        raise Refused(f"That is more than one figure; type just one, {wanted}.")
    if quantity is Quantity.COUNT and figure.value.denominator != 1:
        raise Refused(f"Here only a whole number makes sense; type {wanted}.")


def _unit(figure: Figure, tail: str, quantity: Quantity, default_unit: str) -> Unit:
    if tail == "":
        return _default_unit(figure, quantity, default_unit)
    try:
        return unit_named(tail, quantity)
    except KeyError:
        raise Refused(_unknown_unit(tail, quantity)) from None


def _default_unit(figure: Figure, quantity: Quantity, default_unit: str) -> Unit:
    unit = unit_named(default_unit, quantity)
    if quantity is Quantity.LENGTH and figure.is_fraction and unit.name != "in":
        raise Refused(
            f"A fraction is read in inches only when it says so; type {figure.written} in, "
            f"or {plain(float(figure.value), 4)} {unit.name}."
        )
    return unit


def _check_inch_fraction(figure: Figure, unit: Unit) -> None:
    if unit.name == "in" and figure.is_fraction and figure.step.denominator not in _RULE_PARTS:
        raise Refused(f"{figure.written} is not on an inch rule; its parts are halves down to 64ths.")


def _unknown_unit(tail: str, quantity: Quantity) -> str:
    wanted = EXAMPLES[quantity]
    others = quantities_with(tail)
    if others:
        kinds = " or ".join(f"a {other}" if other is not Quantity.ANGLE else "an angle" for other in others)
        return f"{tail} is the unit of {kinds}; here type {wanted}."
    if quantity in (Quantity.COUNT, Quantity.NUMBER):
        return f"No unit here; type {wanted}."
    return f"{tail} is not a unit known here; type {wanted}."


def _check_sign(figure: Figure, quantity: Quantity, *, signed: bool, zero: bool) -> None:
    if figure.value < 0 and not signed:
        raise Refused(f"It cannot be below zero here; type {EXAMPLES[quantity]}.")
    if figure.value == 0 and quantity is Quantity.TORQUE:
        raise Refused(f"A torque of 0 is no torque; type {EXAMPLES[quantity]}.")
    if figure.value == 0 and not zero:
        raise Refused("0 does not make sense here; if there is none, choose that instead of typing 0.")


def _half_step(figure: Figure, unit: Unit) -> float:
    """A fraction of an inch stands in its lowest terms: 12 1/2 was read as 12 8/16 on the rule."""
    if unit.quantity is Quantity.COUNT:
        return 0.0
    step = min(figure.step, SIXTEENTH) if figure.is_fraction and unit.name == "in" else figure.step
    return float(step * unit.si / 2)


def _echo(figure: Figure, unit: Unit, value: float) -> str:
    """`12 5/8 in = 320.675 mm`; feet, degrees and minutes keep their own marks."""
    marked = "'" in figure.written
    typed = figure.written if marked else f"{figure.written}{unit.tail}"
    if marked:
        return f"{typed} = {unit.write(value)}" + (f" = {_other(unit, value)}" if unit.echo else "")
    return f"{typed} = {_other(unit, value)}" if unit.echo else typed


def _other(unit: Unit, value: float) -> str:
    return unit_named(unit.echo, unit.quantity).write(value)


def _doubt(figure: Figure, unit: Unit, echo: str, band: Band, *, was_typed: bool) -> str | None:
    """Why a second look is needed, or None."""
    if figure.is_fraction and figure.value >= 1 and not re.search("[ ']", figure.written):
        return f"Read as {echo}. Was a space between whole and fraction left out? Confirm it if it is right."
    if figure.is_grouped:
        return f"Read as {echo}, with a decimal comma, not as thousands. Confirm it if that is right."
    elsewhere = _fitting_elsewhere(figure, unit, band)
    if not band.holds(float(figure.value * unit.si)):
        hint = f" {elsewhere} would fit." if elsewhere else ""
        return f"{echo} is outside the usual {band.words}.{hint} Confirm it if it is right."
    if unit.quantity is Quantity.LENGTH and not was_typed and elsewhere and (band.lowest or 0) > 0:
        return f"No unit typed: {echo}, but {elsewhere} would fit too. Confirm the first or type the unit."
    return None


def _fitting_elsewhere(figure: Figure, unit: Unit, band: Band) -> str:
    """The same figure in the first other common unit in which it would lie inside the band."""
    for other in units_of(unit.quantity)[:2]:
        if other.name != unit.name and band.holds(float(figure.value * other.si)):
            return f"{figure.written}{other.tail}"
    return ""
