"""A shim pack on edge against a rule that stands beside it, with the tag it was wired to."""

from fractions import Fraction

from PIL import Image

from seed_demo.picture import ground, lettering, metal, scale
from seed_demo.picture.sheet import Sheet

SHIM_mm = 44.0
SLIPS_mm = (0.0, 0.8, -0.5, 0.4, -0.9, 0.6, -0.2, 0.9)  # how far each shim stands out of line
FINISHES = (
    metal.ZINC,
    metal.STEEL,
    metal.mix(metal.STEEL, metal.RUST, 0.35),
    metal.mix(metal.ZINC, metal.RUST, 0.2),
)


def draw(
    pieces_mm: tuple[float, ...], *, name: str, inches: bool, tilt_deg: float, tag: Image.Image | None = None
) -> Sheet:
    """The sheet with spots "bottom" and "top", between which the thickness is to be read.

    pieces_mm  the shims from the bottom up
    """
    sheet = Sheet(ground.bench().copy(), 18.0, tilt_deg, (34.0, -14.0))
    _rule(sheet, inches=inches)
    y = 0.0
    for number, piece in enumerate(pieces_mm):
        _shim(sheet, y, piece, number)
        y -= piece
    sheet.lay(2.0)
    sheet.spot("bottom", 0, 0)
    sheet.spot("top", 0, y)
    _wire(sheet, y)
    if tag is not None:
        sheet.stamp(tag, (52, -33), 42, 5)
        sheet.lay(0.8)
    sheet.stamp(lettering.words(name, ink=lettering.PEN), (22, 9), 26, -2)
    sheet.lay()
    return sheet


def _rule(sheet: Sheet, *, inches: bool) -> None:
    """Standing up, so its marks run along the edge of the pack; zero at the bench."""
    standing = Sheet(sheet.picture, sheet.px_per_mm, sheet.tilt_deg - 90, (14.0, 34.0))
    finest = Fraction(1, 32) if inches else Fraction(1, 20)
    scale.rule(standing, (0.0, 0.0), inches=inches, length_mm=62, width_mm=14, finest=finest, before_mm=0)
    standing.lay(0.6)


def _shim(sheet: Sheet, y: float, thickness: float, number: int) -> None:
    left = 1.2 + SLIPS_mm[number % len(SLIPS_mm)]
    colour = FINISHES[number % len(FINISHES)]
    sheet.polygon(metal.box(left, y - thickness, SHIM_mm, thickness), metal.shade(colour, 0.85))
    sheet.polygon(metal.box(left, y - thickness, SHIM_mm, thickness * 0.3), metal.shade(colour, 1.15))
    sheet.polygon(metal.box(left, y - 0.1, SHIM_mm, 0.14), (26, 24, 22))


def _wire(sheet: Sheet, top: float) -> None:
    for x in (19.0, 20.2):
        sheet.line([(x, 0.6), (x, top - 0.6)], metal.BRIGHT, 0.7)
    sheet.line([(20.2, top - 0.4), (24, top - 8), (33.6, -32)], metal.BRIGHT, 0.6)
    sheet.lay(1.0)
