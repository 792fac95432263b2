"""A castle nut on its stud: torqued, a new cotter with both ends bent, a stripe of paint across."""

from seed_demo.picture import ground, metal
from seed_demo.picture.sheet import Sheet


def draw(*, tilt_deg: float) -> Sheet:
    """The sheet with spots "cotter" and "stripe"."""
    sheet = Sheet(ground.well().copy(), 15.0, tilt_deg, (2.0, 2.0))
    knuckle = [(-60.0, -14.0), (-30.0, -34.0), (34.0, -32.0), (64.0, -8.0), (64.0, 60.0), (-60.0, 60.0)]
    metal.plate(sheet, knuckle, metal.mix(metal.CAST, metal.RUST, 0.25), edge_mm=2)
    sheet.lay(2.0)
    metal.dome(sheet, (0, 4), 46, metal.CAST, flat=0.8)
    sheet.lay(2.0)
    metal.hexagon(sheet, (0, 4), 27, metal.ZINC, turn_deg=11)
    metal.dome(sheet, (0, 4), 22, metal.ZINC, flat=0.85)
    for slot in range(6):
        a, b = (
            metal.arc((0, 4), 6.6, 60 * slot + 41, 60 * slot + 41, 1)[0],
            metal.arc((0, 4), 12, 60 * slot + 41, 60 * slot + 41, 1)[0],
        )
        sheet.line([a, b], (34, 32, 30), 3.4)
    metal.dome(sheet, (0, 4), 13, metal.STEEL, flat=0.8)
    sheet.lay(3.0)
    _cotter(sheet)
    sheet.line([(4, 11), (9, 19), (17, 33)], metal.YELLOW_PAINT, 2.6)
    sheet.lay()
    sheet.spot("cotter", -10, -2)
    sheet.spot("stripe", 10, 21)
    return sheet


def _cotter(sheet: Sheet) -> None:
    """Through the slots at 41° and out on both sides: the eye one way, the legs bent the other."""
    eye, far = metal.arc((0, 4), 15.5, 221, 221, 1)[0], metal.arc((0, 4), 12.5, 41, 41, 1)[0]
    metal.bar(sheet, eye, far, 2.6, metal.BRIGHT)
    metal.washer(sheet, eye, 6.4, 2.4, metal.BRIGHT)
    metal.bar(sheet, far, (far[0] + 2.5, far[1] - 9), 1.7, metal.BRIGHT)
    metal.bar(sheet, far, (far[0] - 8, far[1] + 3.6), 1.7, metal.BRIGHT)
    sheet.lay(1.5)
