"""A front corner of the car from the side, with a tape from the wheel's centre to the fender's edge."""

from PIL import ImageOps

from seed_demo.picture import ground, metal, scale
from seed_demo.picture.sheet import Colour, Point, Sheet

TYRE_mm = 640.0
RIM_mm = 370.0
ARCH_mm = 360.0  # radius of the opening


def draw(height_mm: float, paint: Colour, *, inches: bool, right: bool, tilt_deg: float) -> Sheet:
    """The sheet with spots "wheel centre", "fender edge" and "frame".

    height_mm  from the wheel's centre to the fender's edge, which the tape shows
    right      of the car: the front of the car is then to the right
    """
    sheet = Sheet(ground.floor().copy(), 1.42, tilt_deg, (0.0, -70.0))
    if right:
        sheet.picture = ImageOps.mirror(sheet.picture)
    ahead = 1 if right else -1
    _wall(sheet)
    _opening(sheet)
    _wheel(sheet)
    _body(sheet, height_mm, paint, ahead)
    _tape(sheet, height_mm, inches=inches)
    sheet.spot("wheel centre", 0, 0)
    sheet.spot("fender edge", 0, -height_mm)
    for lean in (-14, 14):
        sheet.line([(-ahead * 470 - lean, 96), (-ahead * 470 + lean, 124)], metal.WHITE_PAINT, 6)
    sheet.lay()
    sheet.spot("frame", -ahead * 470, 110)
    return sheet


def _wall(sheet: Sheet) -> None:
    sheet.polygon(metal.box(-900, -900, 1800, 1010), (104, 110, 112))
    sheet.polygon(metal.box(-900, 90, 1800, 26), (80, 84, 86))
    sheet.lay()


def _opening(sheet: Sheet) -> None:
    sheet.polygon(metal.box(-ARCH_mm - 40, -ARCH_mm - 40, 2 * ARCH_mm + 80, ARCH_mm + 190), (20, 19, 18))
    sheet.lay()


def _wheel(sheet: Sheet) -> None:
    sheet.disc((0, 0), TYRE_mm / 2, (30, 30, 32))
    for radius in (300, 272, 214):
        sheet.disc((0, 0), radius, (52, 52, 54))
        sheet.disc((0, 0), radius - 5, (33, 33, 35))
    metal.dome(sheet, (0, 0), RIM_mm, metal.STEEL, flat=0.72)
    for turn in range(10):
        (at,) = metal.arc((0, 0), 138, turn * 36, turn * 36, steps=1)[:1]
        sheet.disc(at, 17, (28, 28, 30))
    metal.dome(sheet, (0, 0), 168, metal.BRIGHT, flat=0.3)
    for turn in range(5):
        (at,) = metal.arc((0, 0), 57, turn * 72 - 90, turn * 72 - 90, steps=1)[:1]
        metal.hexagon(sheet, at, 21, metal.ZINC, turn_deg=turn * 17)
    sheet.disc((0, 0), 7, metal.YELLOW_PAINT)
    sheet.lay(22.0)


def _body(sheet: Sheet, height: float, paint: Colour, ahead: int) -> None:
    """Fender with its opening, a strip of chrome, the bumper ahead and the sill behind."""
    rise = height / ARCH_mm
    edge = [(x, y * rise) for x, y in metal.arc((0, 0), ARCH_mm, 180, 360, steps=40)]
    front, back = ahead * 620.0, -ahead * 900.0
    low_front, low_back = (ahead * 600.0, 96.0), (-ahead * 900.0, 150.0)
    nearest = edge if ahead < 0 else edge[::-1]
    outline = [
        low_front, (front, -300), (ahead * 560, -520), (back, -560), low_back, (-ahead * ARCH_mm, 140.0),
        *nearest[::-1], (ahead * ARCH_mm, 96.0),
    ]  # fmt: skip
    metal.plate(sheet, outline, paint, edge_mm=3)
    _sheen(sheet, paint, ahead)
    sheet.line(nearest, metal.shade(paint, 0.62), 9)
    sheet.lay(12.0)
    bumper = [(ahead * 480.0, -40.0), (ahead * 700.0, -60.0), (ahead * 700.0, 50.0), (ahead * 480.0, 40.0)]
    metal.plate(sheet, bumper, metal.BRIGHT, edge_mm=6)
    sheet.lay(10.0)


def _sheen(sheet: Sheet, paint: Colour, ahead: int) -> None:
    """The bulge of the fender catches the light along its top."""
    for band, share in ((-520, 1.22), (-498, 1.12), (-476, 1.05)):
        sheet.line([(ahead * 540, band + 12), (-ahead * 900, band - 22)], metal.shade(paint, share), 22)
    sheet.line([(ahead * 590, -262), (-ahead * 900, -276)], metal.BRIGHT, 9)
    sheet.line([(ahead * 590, -255), (-ahead * 900, -269)], metal.shade(paint, 0.5), 4)


def _tape(sheet: Sheet, height: float, *, inches: bool) -> None:
    """Hooked at the wheel's centre and drawn straight up past the fender's edge."""
    up = Sheet(sheet.picture, sheet.px_per_mm, sheet.tilt_deg - 90, (70.0, 0.0))
    scale.rule(
        up,
        (0.0, -30.0),
        inches=inches,
        length_mm=height + 150,
        width_mm=30,
        face=scale.TAPE_FACE,
        before_mm=6,
    )
    up.lay(4.0)
    _dot(sheet, (-9, -height), metal.WHITE_PAINT)
    sheet.lay()


def _dot(sheet: Sheet, at: Point, colour: Colour) -> None:
    sheet.disc(at, 8, colour)
