"""Steel rules and tapes: marks where they belong, so that what lies along one can be read off."""

from fractions import Fraction

from seed_demo.picture import lettering, metal
from seed_demo.picture.sheet import Colour, Point, Sheet

INCH_mm = 25.4
STEEL_FACE: Colour = (206, 207, 204)
TAPE_FACE: Colour = (232, 206, 84)
MARK: Colour = (34, 34, 36)


def rule(
    sheet: Sheet,
    zero: Point,
    *,
    inches: bool,
    length_mm: float,
    width_mm: float = 26.0,
    finest: Fraction = Fraction(1, 16),
    face: Colour = STEEL_FACE,
    before_mm: float = 8.0,
) -> None:
    """A rule to the right of its zero, with the marks along its upper edge.

    finest  of the marks, in inches or in centimetres
    """
    x, y = zero
    metal.plate(sheet, metal.box(x - before_mm, y, length_mm + before_mm, width_mm), face, edge_mm=0.8)
    unit_mm = INCH_mm if inches else 10.0
    for step in range(int(length_mm / (float(finest) * unit_mm)) + 1):
        at = step * finest
        along = x + float(at) * unit_mm
        high = _height(at) * width_mm
        sheet.line([(along, y), (along, y + high)], MARK, float(finest) * unit_mm * 0.16)
        if at.denominator == 1 and step:
            number = lettering.words(str(int(at)), ink=MARK)
            tall = width_mm * 0.3
            sheet.stamp(number, (along, y + width_mm * 0.74), tall * number.width / number.height)


def _height(at: Fraction) -> float:
    """The share of the width that a mark is long: the rounder its figure, the longer."""
    return {1: 0.5, 2: 0.4, 4: 0.32, 5: 0.2, 8: 0.26, 10: 0.2}.get(at.denominator, 0.18)
