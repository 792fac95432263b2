"""The digits people type: whole, decimal, fraction, feet and inches, degrees and minutes."""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from server.compute.refusal import Refused

LONGEST = 40  # characters; the longest honest measurement is far shorter

_FIGURE = re.compile(
    r"(?P<sign>[+-]?)(?P<body>(?:[0-9]+[ -])?[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)",
)
_FEET_AND_INCHES = re.compile(
    r"""(?P<sign>[+-]?)(?P<feet>[0-9]+)\ ?(?:'|ft|foot|feet)(?P<gap>\ ?)
        (?P<inches>[0-9]{1,2}(?:[ -][0-9]+/[0-9]+|[.,][0-9]+)?|[0-9]+/[0-9]+)\ ?
        (?P<mark>(?:"|in|inch|inches)?)""",
    re.VERBOSE | re.IGNORECASE,
)
_DEGREES_AND_MINUTES = re.compile(
    r"""(?P<sign>[+-]?)(?P<degrees>[0-9]+)\ ?(?:°|º|deg|degrees?)\ ?
        (?P<minutes>[0-9]+(?:[.,][0-9]+)?)\ ?(?:'|min|minutes?)""",
    re.VERBOSE | re.IGNORECASE,
)
_GROUPED = re.compile(r"[1-9][0-9]{0,2}([.,' _])[0-9]{3}(?![0-9])")
_LOOKALIKES = str.maketrans({"−": "-", "⁄": "/", "’": "'", "‘": "'", "′": "'", "”": '"', "“": '"', "″": '"'})


@dataclass(frozen=True, slots=True)
class Figure:
    """A number as written, kept exactly."""

    value: Fraction
    step: Fraction  # what one more of its last digit, or of its smallest part, would be
    written: str
    is_fraction: bool = False
    is_grouped: bool = False  # could be a thousand as well as a decimal: 1,234


def tidy(text: str) -> str:
    """What was typed, with phone keyboards' look-alikes put right and outer blanks taken off.

    raises     Refused for too long, empty, invisible characters, and digits other than 0-9
    """
    if len(text) > LONGEST:
        raise Refused(f"That is longer than {LONGEST} characters; type one figure and its unit.")
    inner = text.strip(" \t\r\n\u00a0")
    if any(unicodedata.category(ch)[0] in "CZ" and ch != " " for ch in inner):
        raise Refused("There is an invisible character in it; type the figure again by hand.")
    inner = "".join(_open_vulgar(ch) for ch in inner).translate(_LOOKALIKES)
    if any(ch.isnumeric() and ch not in "0123456789" for ch in inner):
        raise Refused("Use the digits 0 to 9.")
    return re.sub(" +", " ", inner).strip()


def _open_vulgar(character: str) -> str:
    """`⅝` as ` 5/8`; anything else as it is."""
    if unicodedata.decomposition(character).startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", character)
    return character


def leading_figure(text: str) -> tuple[Figure, str] | None:
    """The figure that the text starts with and the rest, or None if it starts with none.

    raises     Refused for a division by zero or an improper fraction after a whole number
    """
    match = _FIGURE.match(text)
    if match is None:
        return None
    figure = _signed(match["sign"], parse(match["body"]))
    return figure, text[match.end() :].strip()


def feet_and_inches(text: str) -> Figure | None:
    """`1' 0 5/8"` as a figure in inches, or None if it is not written so."""
    match = _FEET_AND_INCHES.fullmatch(text)
    if match is None or not (match["gap"] or match["mark"]):
        return None
    inches = parse(match["inches"])
    if inches.value >= 12:
        raise Refused(f"{match['inches']} inches after the feet is a foot or more; write it all in inches.")
    total = int(match["feet"]) * 12 + inches.value
    written = f"{match['feet']}' {inches.written}\""
    return _signed(match["sign"], Figure(total, inches.step, written, inches.is_fraction))


def degrees_and_minutes(text: str) -> Figure | None:
    """`1°15'` as a figure in degrees, or None if it is not written so."""
    match = _DEGREES_AND_MINUTES.fullmatch(text)
    if match is None:
        return None
    minutes = parse(match["minutes"])
    if minutes.value >= 60:
        raise Refused(f"{minutes.written} minutes is a degree or more; minutes run from 0 to 59.")
    total = int(match["degrees"]) + minutes.value / 60
    return _signed(match["sign"], Figure(total, minutes.step / 60, f"{match['degrees']}°{minutes.written}'"))


def parse(body: str) -> Figure:
    """An unsigned figure that matches the grammar: `12 5/8`, `12-5/8`, `3/32`, `320,7`, `.125`, `12`."""
    return _fraction(body) if "/" in body else _decimal(body)


def _fraction(body: str) -> Figure:
    whole, top, bottom = ([None, *re.split("[ /-]", body)])[-3:]
    if int(bottom or 0) == 0:
        raise Refused("A fraction cannot have 0 below the line.")
    part = Fraction(int(top or 0), int(bottom or 1))
    if whole is not None and part >= 1:
        raise Refused(f"{top}/{bottom} after a whole number makes one more; carry it over and type it again.")
    written = f"{top}/{bottom}" if whole is None else f"{whole} {top}/{bottom}"
    return Figure(int(whole or 0) + part, Fraction(1, int(bottom or 1)), written, is_fraction=True)


def _decimal(body: str) -> Figure:
    whole, _, decimals = body.replace(",", ".").partition(".")
    step = Fraction(1, 10 ** len(decimals))
    written = f"{whole or 0}.{decimals}" if decimals else whole
    grouped = "," in body and _GROUPED.fullmatch(body) is not None
    return Figure(int(f"{whole}{decimals}") * step, step, written, is_grouped=grouped)


def _signed(sign: str, figure: Figure) -> Figure:
    if sign != "-" or figure.value == 0:
        return figure
    return Figure(-figure.value, figure.step, f"-{figure.written}", figure.is_fraction, figure.is_grouped)


def looks_grouped(text: str) -> bool:
    """Whether it starts like a number with its thousands set apart: `1 000`, `1'000`, `1_000`, `1,000`."""
    return _GROUPED.match(text) is not None
