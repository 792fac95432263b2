"""A brake caliper hanging on wire from the frame, its hose in a loose bow."""

from itertools import pairwise

from seed_demo.picture import ground, metal
from seed_demo.picture.sheet import Sheet


def draw(*, right: bool, tilt_deg: float) -> Sheet:
    """The sheet with spots "wire" and "hose"."""
    side = 1 if right else -1
    sheet = Sheet(ground.well().copy(), 3.6, tilt_deg, (0.0, 0.0))
    metal.plate(sheet, metal.box(-260, -190, 520, 62), metal.BLACK, edge_mm=3)
    for hole in (-150, -40, 90, 190):
        sheet.disc((hole, -158), 9, (16, 15, 14))
    sheet.lay(10.0)
    bow = [(side * 130, -140), (side * 168, -60), (side * 150, 60), (side * 96, 112), (side * 40, 96)]
    for start, end in pairwise(bow):
        metal.bar(sheet, start, end, 13, metal.RUBBER)
        sheet.disc(end, 6.2, metal.shade(metal.RUBBER, 0.9))
    metal.bar(sheet, (side * 130, -146), (side * 131, -124), 19, metal.ZINC)
    sheet.lay(12.0)
    for loop in (-4, 4):
        sheet.line([(-38 + loop, -158), (-20 + loop / 2, -40), (-14 + loop, 20)], metal.BRIGHT, 2.4)
    sheet.lay(4.0)
    _body(sheet, side)
    sheet.spot("wire", -24, -70)
    sheet.spot("hose", side * 150, 60)
    return sheet


def _body(sheet: Sheet, side: int) -> None:
    iron = metal.mix(metal.CAST, metal.RUST, 0.45)
    outline = [
        (-88.0, 20.0),
        (-60, 4),
        (60, 4),
        (88, 20),
        (92, 84),
        (60, 108),
        (40, 84),
        (-40, 84),
        (-60, 108),
        (-92, 84),
    ]
    metal.plate(sheet, outline, iron, edge_mm=4)
    metal.dome(sheet, (0, 46), 62, iron, flat=0.45)
    for ear in (-74, 74):
        metal.dome(sheet, (ear, 34), 25, iron, flat=0.6)
        metal.hexagon(sheet, (ear, 34), 15, metal.ZINC, turn_deg=ear)
    metal.plate(sheet, metal.box(-52, 88, 104, 12), metal.RUBBER)
    metal.bar(sheet, (side * 28, 96), (side * 44, 94), 15, metal.BRIGHT)
    sheet.lay(14.0)
