"""Both stands under the frame, seen from ahead of the car and low."""

from seed_demo.picture import ground, metal
from seed_demo.picture.sheet import Colour, Sheet

RED: Colour = (150, 44, 36)


def draw(*, tilt_deg: float) -> Sheet:
    """The sheet with spots "left stand" and "right stand", each where it carries the frame."""
    sheet = Sheet(ground.floor().copy(), 1.22, tilt_deg, (0.0, -120.0))
    sheet.polygon(metal.box(-800, -700, 1600, 640), (26, 25, 24))
    sheet.lay()
    _underside(sheet)
    for name, x in (("right stand", -360.0), ("left stand", 360.0)):
        _stand(sheet, x)
        sheet.spot(name, x, -214)
    return sheet


def _underside(sheet: Sheet) -> None:
    """Frame rails end-on, the crossmember, the sump, and both lower arms hanging."""
    metal.plate(sheet, metal.box(-330, -330, 660, 70), metal.CAST, edge_mm=5)
    metal.plate(sheet, metal.box(-120, -300, 240, 130), metal.BLACK, edge_mm=6)
    for side in (-1, 1):
        metal.plate(sheet, metal.box(side * 360 - 48, -300, 96, 84), metal.mix(metal.BLACK, metal.RUST, 0.4))
        metal.cone(sheet, (side * 310, -236), (side * 560, -150), 44, 30, metal.CAST)
        metal.dome(sheet, (side * 566, -150), 44, metal.CAST, flat=0.3)
    sheet.lay(18.0)


def _stand(sheet: Sheet, x: float) -> None:
    """Four spread legs, a notched post, a saddle; the pawl is in its notch."""
    for foot in (-120.0, 120.0, -52.0, 56.0):
        deep = 150.0 if abs(foot) > 100 else 112.0
        metal.cone(sheet, (x + foot * 0.18, -120), (x + foot, deep), 26, 34, RED)
        metal.plate(sheet, metal.box(x + foot - 34, deep - 6, 68, 14), metal.shade(RED, 0.8), edge_mm=2)
    metal.bar(sheet, (x, -196), (x, 40), 46, metal.STEEL)
    for notch in range(8):
        sheet.polygon(metal.box(x + 10, -170 + notch * 24, 15, 9), (30, 30, 30))
    metal.plate(sheet, metal.box(x - 58, -132, 116, 46), RED, edge_mm=3)
    saddle = [(x - 62, -226), (x - 40, -196), (x + 40, -196), (x + 62, -226), (x + 50, -180), (x - 50, -180)]
    metal.plate(sheet, saddle, metal.STEEL, edge_mm=3)
    metal.bar(sheet, (x + 30, -100), (x + 150, -70), 12, metal.STEEL)
    sheet.lay(20.0)
