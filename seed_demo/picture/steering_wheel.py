"""The steering wheel straight ahead, with tape across rim and column and one pen line over both."""

from seed_demo.picture import lettering, metal
from seed_demo.picture.ground import well
from seed_demo.picture.sheet import Colour, Sheet

RIM_mm = 200.0  # radius
DASH: Colour = (70, 66, 60)


def draw(*, tilt_deg: float) -> Sheet:
    """The sheet with the spot "pen line"."""
    sheet = Sheet(well().copy(), 2.35, tilt_deg, (0.0, -30.0))
    sheet.polygon(metal.box(-420, -320, 840, 300), DASH)
    sheet.polygon(metal.box(-420, -60, 840, 14), metal.shade(DASH, 0.5))
    for at in (-110, 110):
        metal.dome(sheet, (at, -190), 96, metal.BRIGHT, flat=0.9)
        sheet.disc((at, -190), 41, (22, 23, 24))
        sheet.line([(at, -190), (at - 24, -164)], metal.WHITE_PAINT, 3)
    sheet.lay()
    _shroud(sheet)
    _rim(sheet)
    _tape(sheet)
    return sheet


def _shroud(sheet: Sheet) -> None:
    metal.cone(sheet, (0, -210), (0, 40), 74, 118, metal.BLACK)
    sheet.lay(16.0)


def _rim(sheet: Sheet) -> None:
    for spoke in (0, 180, 90):
        end = metal.arc((0, 0), RIM_mm, spoke, spoke, steps=1)[0]
        metal.cone(sheet, (0, 0), end, 46, 24, metal.STEEL)
    for ring in range(9):
        tone = metal.shade((58, 34, 26), 0.55 + 0.16 * (4 - abs(ring - 3)))
        sheet.line(metal.arc((0, 0), RIM_mm + 12 - 3 * ring, 0, 360, steps=90), tone, 4)
    metal.dome(sheet, (0, 0), 118, metal.BLACK, flat=0.4)
    sheet.lay(26.0)


def _tape(sheet: Sheet) -> None:
    """Masking tape over the top of the rim and on the shroud behind it."""
    for top, wide in ((-222.0, 62.0), (-176.0, 52.0)):
        sheet.polygon(metal.box(-wide / 2, top, wide, 40), (214, 198, 150))
    sheet.line([(0.5, -222), (-0.5, -136)], lettering.PEN, 2)
    sheet.stamp(lettering.words("straight", ink=lettering.PEN), (16, -150), 24, 3)
    sheet.lay(1.5)
    sheet.spot("pen line", 0, -180)
