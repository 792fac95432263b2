"""One corner's angles against their bands, all bands drawn alike, so that one look tells what is out."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from server.shop.comparison import Compared

LEFT, RIGHT = 140.0, 268.0  # the band's edges [px]
_FIRST, _LAST = 84.0, 324.0  # where a mark still has room
KEYS = {"camber": "camber", "caster": "caster", "toe.angle": "total toe"}
COLUMNS = ("found", "target", "left")

Say = Callable[[float], str]


@dataclass(frozen=True, slots=True)
class Mark:
    """A column's figure on its row; `beyond` is -1 or 1 where it lies farther out than the row reaches."""

    column: str
    at: float
    beyond: int
    text: str


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: the ends of its band in words, and its marks."""

    name: str
    short: str
    low: str
    high: str
    marks: tuple[Mark, ...]


def rows(compared: Iterable[Compared], place: str, say: Say) -> tuple[Row, ...]:
    """The rows of a corner, the car's toe with them; only figures that have a band."""
    by_key = {(one.key, one.place): one for one in compared}
    wanted = (by_key.get((key, "car" if key == "toe.angle" else place)) for key in KEYS)
    return tuple(row for one in wanted if one is not None and (row := _row(one, say)) is not None)


def place_in_band(value: float, low: float, high: float) -> tuple[float, int]:
    """Across [px], and whether that is beyond the row's end."""
    at = LEFT + (RIGHT - LEFT) * (value - low) / (high - low)
    beyond = (at > _LAST) - (at < _FIRST)
    return min(max(at, _FIRST), _LAST), beyond


def _row(compared: Compared, say: Say) -> Row | None:
    target = compared.target
    if target is None or target.value is None or not target.uncertainty:
        return None
    low, high = target.value - target.uncertainty, target.value + target.uncertainty
    marks = [
        Mark(column, *place_in_band(one.value, low, high), say(one.value))
        for column in COLUMNS
        if (one := getattr(compared, column)) is not None and one.value is not None
    ]
    return Row(compared.name, KEYS[compared.key], say(low), say(high), tuple(marks))
