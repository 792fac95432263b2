"""What sat on a bolt or a stem, laid out in the order it came off, numbered in chalk."""

from collections.abc import Sequence
from typing import Literal

from seed_demo.picture import ground, lettering, metal
from seed_demo.picture.sheet import Colour, Point, Sheet

Piece = Literal["head", "washer", "cup", "cup back", "rubber", "spacer", "nut", "arm", "bar", "frame"]

LINK: tuple[Piece, ...] = (
    "head", "washer", "rubber", "arm", "rubber", "cup", "spacer", "cup back", "rubber", "bar", "rubber",
    "washer", "nut",
)  # fmt: skip
SHOCK: tuple[Piece, ...] = ("nut", "cup back", "rubber", "frame", "rubber", "cup")

BOLTED_THROUGH = ("arm", "bar", "frame")  # not in the picture: a line where each sat

_WIDE_mm: dict[Piece, float] = {
    "head": 13, "washer": 4, "cup": 9, "cup back": 9, "rubber": 21, "spacer": 84, "nut": 12,
    "arm": 12, "bar": 12, "frame": 12,
}  # fmt: skip
_GAP_mm = 7.0
CHALK: Colour = (236, 234, 226)


def draw(pieces: Sequence[Piece], *, tilt_deg: float, shank_mm: float = 10.0) -> Sheet:
    """The pieces from left to right, the bolt that carried them below; a spot at each by its number."""
    length = sum(_WIDE_mm[piece] + _GAP_mm for piece in pieces)
    sheet = Sheet(ground.bench().copy(), min(1450 / length, 9.0), tilt_deg, (length / 2, 22.0))
    x = 0.0
    for number, piece in enumerate(pieces, start=1):
        wide = _WIDE_mm[piece]
        _lay(sheet, piece, x, wide)
        middle = x + wide / 2
        sheet.spot(str(number), middle, 0)
        x += wide + _GAP_mm
    sheet.lay(6.0)
    _bolt(sheet, (length * 0.1, 62.0), length * 0.62, shank_mm)
    _chalk(sheet, pieces)
    return sheet


def _lay(sheet: Sheet, piece: Piece, x: float, wide: float) -> None:
    """One piece on edge, its axis along the row."""
    left, right = (x, 0.0), (x + wide, 0.0)
    if piece in ("head", "nut"):
        metal.bar(sheet, left, right, 17, metal.ZINC)
        sheet.line([(x, -4.2), (x + wide, -4.2)], metal.shade(metal.ZINC, 0.5), 0.6)
        sheet.line([(x, 4.2), (x + wide, 4.2)], metal.shade(metal.ZINC, 0.4), 0.6)
    elif piece == "washer":
        metal.bar(sheet, left, right, 33, metal.STEEL)
    elif piece in ("cup", "cup back"):
        shallow, deep = (24.0, 38.0) if piece == "cup" else (38.0, 24.0)
        metal.cone(sheet, left, right, shallow, deep, metal.mix(metal.STEEL, metal.RUST, 0.4))
    elif piece == "rubber":
        metal.cone(sheet, left, (x + wide / 2, 0), 28, 34, metal.RUBBER)
        metal.cone(sheet, (x + wide / 2, 0), right, 34, 28, metal.RUBBER)
    elif piece == "spacer":
        metal.bar(sheet, left, right, 15, metal.mix(metal.STEEL, metal.RUST, 0.25))
    else:
        sheet.polygon(metal.box(x + wide / 2 - 0.6, -28, 1.2, 50), CHALK)


def _bolt(sheet: Sheet, start: Point, length: float, shank: float) -> None:
    x, y = start
    metal.bar(sheet, (x - 7, y), (x, y), 17, metal.ZINC)
    metal.bar(sheet, (x, y), (x + length * 0.78, y), shank, metal.ZINC)
    metal.thread(sheet, (x + length * 0.78, y), (x + length, y), shank, crests=round(length * 0.22 / 1.6))
    sheet.lay(5.0)


def _chalk(sheet: Sheet, pieces: Sequence[Piece]) -> None:
    x = 0.0
    for number, piece in enumerate(pieces, start=1):
        word = lettering.words(piece if piece in BOLTED_THROUGH else str(number), ink=CHALK)
        tall = 8.0
        sheet.stamp(word, (x + _WIDE_mm[piece] / 2, 34), tall * word.width / word.height, number * 7 % 11 - 5)
        x += _WIDE_mm[piece] + _GAP_mm
    sheet.lay()
