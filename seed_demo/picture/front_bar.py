"""The anti-roll bar: its ends painted left and right, and a bushing with its split face."""

from itertools import pairwise

from seed_demo.picture import ground, lettering, metal
from seed_demo.picture.sheet import Sheet


def marked(*, tilt_deg: float) -> Sheet:
    """The bar on the floor with an L and an R in white, spots "left" and "right"."""
    sheet = Sheet(ground.floor().copy(), 1.5, tilt_deg, (0.0, 60.0))
    steel = metal.mix(metal.BLACK, metal.STEEL, 0.2)
    run = [(-470.0, 200.0), (-430, 40), (-350, 0), (350, 0), (430, 40), (470, 200)]
    for start, end in pairwise(run):
        metal.bar(sheet, start, end, 26, steel)
        sheet.disc(end, 12.6, metal.shade(steel, 0.9))
    for name, x in (("right", -470.0), ("left", 470.0)):
        metal.dome(sheet, (x, 212), 52, steel, flat=0.5)
        sheet.disc((x, 212), 9, (20, 20, 20))
        metal.bar(sheet, (x * 0.55 - 30, 0), (x * 0.55 + 30, 0), 54, metal.RUBBER)
        letter = lettering.words(name[0].upper(), ink=metal.WHITE_PAINT)
        sheet.stamp(letter, (x * 0.945, 96), 20)
        sheet.spot(name, x * 0.945, 96)
    sheet.lay(14.0)
    return sheet


def split_face(*, tilt_deg: float) -> Sheet:
    """A bushing still on the bar, the bracket off, with the spot "split"."""
    sheet = Sheet(ground.well().copy(), 7.0, tilt_deg, (0.0, 0.0))
    metal.plate(sheet, metal.box(-130, -96, 260, 60), metal.BLACK, edge_mm=3)
    sheet.lay(6.0)
    metal.bar(sheet, (-130, 0), (130, 0), 26, metal.mix(metal.BLACK, metal.STEEL, 0.25))
    metal.bar(sheet, (-36, 0), (36, 0), 58, metal.RUBBER)
    sheet.line([(-36, -20), (36, -20)], (14, 14, 14), 1.6)
    sheet.line([(-36, -18.6), (36, -18.6)], (84, 84, 86), 0.7)
    arrow = [(48.0, -20.0), (60, -26), (60, -22), (88, -22), (88, -18), (60, -18), (60, -14)]
    sheet.polygon(arrow, metal.WHITE_PAINT)
    sheet.lay(10.0)
    sheet.spot("split", 0, -19)
    return sheet
