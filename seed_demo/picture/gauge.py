"""A dial gauge held against a disc's face: what it reads stands on its dial."""

from seed_demo.picture import ground, lettering, metal
from seed_demo.picture.sheet import Sheet


def draw(reading: int, *, unit: str, tilt_deg: float) -> Sheet:
    """The sheet with the spot "needle".

    reading  in marks of the dial, of which a turn has 100
    unit     what is printed on the dial for one mark
    """
    sheet = Sheet(ground.well().copy(), 8.2, tilt_deg, (0.0, 0.0))
    metal.dome(sheet, (70, 150), 330, metal.mix(metal.STEEL, metal.RUST, 0.12), flat=0.93)
    for groove in range(6):
        sheet.line(metal.arc((70, 150), 150 - groove * 11, 180, 330, 40), metal.shade(metal.STEEL, 0.8), 0.5)
    sheet.lay(3.0)
    metal.bar(sheet, (-110, -60), (-20, -16), 9, metal.STEEL)
    metal.bar(sheet, (0, 26), (10, 62), 9, metal.BRIGHT)
    metal.bar(sheet, (10, 62), (13, 74), 4, metal.STEEL)
    sheet.lay(9.0)
    _dial(sheet, unit)
    tip = metal.arc((0, -10), 24, reading * 3.6 - 90, reading * 3.6 - 90, 1)[0]
    tail = metal.arc((0, -10), -8, reading * 3.6 - 90, reading * 3.6 - 90, 1)[0]
    sheet.line([tail, tip], (20, 20, 22), 0.9)
    metal.dome(sheet, (0, -10), 5, metal.STEEL)
    sheet.lay(1.0)
    sheet.spot("needle", *tip)
    return sheet


def _dial(sheet: Sheet, unit: str) -> None:
    metal.dome(sheet, (0, -10), 78, metal.BRIGHT, flat=0.92)
    sheet.disc((0, -10), 34, (236, 235, 228))
    for mark in range(100):
        deg = mark * 3.6 - 90
        inner = 27 if mark % 10 == 0 else 30 if mark % 5 == 0 else 31.4
        ends = [metal.arc((0, -10), radius, deg, deg, 1)[0] for radius in (inner, 33.2)]
        sheet.line(ends, (30, 30, 32), 0.36)
        if mark % 10 == 0:
            at = metal.arc((0, -10), 22.6, deg, deg, 1)[0]
            word = lettering.words(str(mark))
            sheet.stamp(word, at, 4.4 * word.width / word.height)
    word = lettering.words(unit)
    sheet.stamp(word, (0, 2), 3.4 * word.width / word.height)
    sheet.lay(5.0)
