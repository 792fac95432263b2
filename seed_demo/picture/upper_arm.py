"""The upper arm: marked on the bench, its ball joint's flange from close by, its packs in the car."""

from seed_demo.picture import ground, lettering, metal
from seed_demo.picture.sheet import Colour, Point, Sheet

FRONT, REAR, JOINT = (-120.0, 0.0), (120.0, 0.0), (-18.0, 210.0)


def marked(*, right: bool, tilt_deg: float) -> Sheet:
    """On the bench with white paint, spots "front" and "outside"."""
    sheet = Sheet(ground.bench().copy(), 2.9, tilt_deg, (0.0, 80.0))
    side = -1 if right else 1
    _arm(sheet, side)
    for name, letters, at in (("front", "F", (-98.0 * side, 46.0)), ("outside", "OUT", (62.0 * side, 96.0))):
        word = lettering.words(letters, ink=metal.WHITE_PAINT)
        sheet.stamp(word, at, 15 * word.width / word.height, 4)
        sheet.spot(name, *at)
    sheet.lay()
    return sheet


def flange(*, tilt_deg: float) -> Sheet:
    """The ball joint's flange on top of the arm, from close by, with the spot "flange"."""
    sheet = Sheet(ground.bench().copy(), 6.4, tilt_deg, (-18.0, 176.0))
    _arm(sheet, 1)
    sheet.spot("flange", JOINT[0], JOINT[1] - 34)
    return sheet


def packs_in_place(front_mm: tuple[float, ...], rear_mm: tuple[float, ...], *, tilt_deg: float) -> Sheet:
    """Shaft, packs and bracket from above, with spots "front pack" and "rear pack"."""
    sheet = Sheet(ground.well().copy(), 9.0, tilt_deg, (0.0, -14.0))
    metal.plate(sheet, metal.box(-160, -110, 320, 74), metal.BLACK, edge_mm=3)
    sheet.lay(6.0)
    for name, x, pieces in (("front pack", -52.0, front_mm), ("rear pack", 52.0, rear_mm)):
        y = -36.0
        for number, piece in enumerate(pieces):
            colour = (metal.ZINC, metal.STEEL)[number % 2]
            sheet.polygon(metal.box(x - 21, y, 42, piece), metal.shade(colour, 0.8 + 0.12 * (number % 3)))
            sheet.line([(x - 21, y + piece), (x + 21, y + piece)], (28, 26, 24), 0.3)
            y += piece
        sheet.lay(2.0)
        sheet.spot(name, x, -36 + sum(pieces) / 2)
        _bolted(sheet, x, y)
    return sheet


def _bolted(sheet: Sheet, x: float, y: float) -> None:
    """The shaft against the pack, its nut, and the thread that is left beyond."""
    metal.bar(sheet, (x - 56, y + 13), (x + 56, y + 13), 17, metal.CAST)
    metal.bar(sheet, (x - 26, y + 13), (x + 26, y + 13), 27, metal.CAST)
    metal.thread(sheet, (x, y + 38), (x, y + 47), 12.7, crests=7)
    metal.bar(sheet, (x, y + 25), (x, y + 39), 20, metal.ZINC)
    sheet.lay(9.0)


def _arm(sheet: Sheet, side: int) -> None:
    pressed = metal.mix(metal.BLACK, metal.RUST, 0.22)
    joint = JOINT[0] * side, JOINT[1]
    legs = [(-132.0, -16), (-104, -16), (joint[0] - 22, 150), (joint[0] + 22, 150), (104, -16), (132, -16)]
    metal.plate(sheet, [*legs, (joint[0] + 48, 236), (joint[0] - 48, 236)], pressed, edge_mm=4)
    sheet.lay(16.0)
    metal.bar(sheet, (-170, 0), (170, 0), 22, metal.CAST)
    for end in (FRONT, REAR):
        metal.bar(sheet, (end[0] - 17, 0), (end[0] + 17, 0), 46, metal.CAST)
        outside = 1 if end[0] > 0 else -1
        metal.bar(sheet, (end[0] + outside * 20, 0), (end[0] + outside * 32, 0), 26, metal.ZINC)
    _joint(sheet, joint)
    sheet.lay(12.0)


def _joint(sheet: Sheet, centre: Point) -> None:
    x, y = centre
    iron: Colour = metal.mix(metal.CAST, metal.STEEL, 0.3)
    metal.plate(sheet, [(x, y - 52), (x + 42, y + 14), (x - 42, y + 14)], iron, edge_mm=2.5)
    metal.dome(sheet, (x, y - 8), 46, iron, flat=0.5)
    for rivet in ((x, y - 40), (x + 29, y + 6), (x - 29, y + 6)):
        metal.dome(sheet, rivet, 13, metal.STEEL, flat=0.3)
