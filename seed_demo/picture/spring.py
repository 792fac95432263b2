"""A coil spring with the compressor in it: on the bench along a tape, or up in the car between its seats."""

from math import cos, pi, sin

from seed_demo.picture import ground, metal, scale
from seed_demo.picture.sheet import Colour, Point, Sheet

WIRE_mm = 16.0
MEAN_mm = 112.0
COILS = 7.5
STEPS = 26  # straight pieces of a turn
PAINT: Colour = metal.YELLOW_PAINT
YOKES = (("upper", 1.0, 1.5), ("lower", 6.0, 6.5))  # at which turn its hook at 12 and that at 6 o'clock sit


def on_bench(length_mm: float, *, inches: bool, tilt_deg: float, colour: Colour) -> Sheet:
    """Held by the compressor and measured, with a spot at each end and at each hook.

    length_mm  from end to end, which the tape beside it shows
    """
    sheet = Sheet(ground.bench().copy(), 3.7, tilt_deg, (length_mm / 2, 24.0))
    scale.rule(sheet, (0.0, 92.0), inches=inches, length_mm=length_mm + 70, width_mm=22, face=scale.TAPE_FACE)
    for x in (0.0, length_mm):
        sheet.line([(x, 40), (x, 94)], (30, 30, 32), 1.2)
    sheet.lay(1.0)
    _held(sheet, length_mm, colour)
    sheet.lay(34.0)
    sheet.spot("upper end", 0, 0)
    sheet.spot("lower end", length_mm, 0)
    return sheet


def in_car(length_mm: float, *, tilt_deg: float, colour: Colour) -> Sheet:
    """The same between the frame's seat and the lower arm's pocket, seen from beside the car."""
    sheet = Sheet(ground.well().copy(), 3.1, 90 + tilt_deg, (length_mm / 2, 0.0))
    frame = [(-60.0, -150.0), (-14.0, -130.0), (-14.0, 190.0), (-120.0, 210.0), (-120.0, -170.0)]
    metal.plate(sheet, frame, metal.BLACK, edge_mm=4)
    sheet.lay(8.0)
    _held(sheet, length_mm, colour)
    sheet.lay(20.0)
    pocket = [
        (length_mm - 6, -84.0),
        (length_mm + 4, 200.0),
        (length_mm + 44, 220.0),
        (length_mm + 56, -110.0),
    ]
    metal.plate(sheet, pocket, metal.mix(metal.BLACK, metal.RUST, 0.35), edge_mm=4)
    sheet.lay(6.0)
    return sheet


def _held(sheet: Sheet, length: float, colour: Colour) -> None:
    """Far half of the coils, the screw, the near half, then the hooks that lie over it."""
    _half(sheet, length, colour, near=False)
    metal.thread(sheet, (-46, 0), (length + 30, 0), 17, crests=round((length + 76) / 3), colour=metal.ZINC)
    metal.hexagon(sheet, (-46, 0), 30, metal.STEEL, turn_deg=8)
    _half(sheet, length, colour, near=True)
    for name, twelve, six in YOKES:
        _yoke(sheet, length, name, twelve, six)


def _half(sheet: Sheet, length: float, colour: Colour, *, near: bool) -> None:
    tone = colour if near else metal.shade(colour, 0.5)
    turns = int(COILS * STEPS)
    for step in range(turns):
        angle = 2 * pi * (step + 0.5) / STEPS
        if (sin(angle) > 0) == near:
            a, b = _wire(length, step), _wire(length, step + 1.35)
            if abs(a[1]) > MEAN_mm * 0.44:  # round the bend
                sheet.disc(a, WIRE_mm * 0.48, metal.shade(tone, 0.7))
            metal.bar(sheet, a, b, WIRE_mm, tone)


def _wire(length: float, step: float) -> Point:
    """The middle of the wire after so many steps; the ends lie flat."""
    turn = step / STEPS
    along = min(max((turn - 0.6) / (COILS - 1.2), 0.0), 1.0)
    return WIRE_mm / 2 + along * (length - WIRE_mm), -MEAN_mm / 2 * cos(2 * pi * turn)


def _yoke(sheet: Sheet, length: float, name: str, twelve: float, six: float) -> None:
    """Two forged claws from the screw outwards over the wire, and the paint beside each."""
    nut_x = (_wire(length, twelve * STEPS)[0] + _wire(length, six * STEPS)[0]) / 2
    for hour, turn, painted in (("12", twelve, twelve + 0.1), ("6", six, six - 0.1)):
        x, y = _wire(length, turn * STEPS)
        outward = y / abs(y)
        metal.cone(sheet, (nut_x, 0), (x, y - outward * 6), 22, 15, metal.BRIGHT)
        metal.dome(sheet, (x, y + outward * 2), 19, metal.BRIGHT, flat=0.3)
        a, b = _wire(length, painted * STEPS - 1), _wire(length, painted * STEPS + 1)
        metal.bar(sheet, a, b, WIRE_mm, PAINT)
        sheet.spot(f"{name} hook at {hour}", (a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    metal.hexagon(sheet, (nut_x, 0), 36, metal.STEEL, turn_deg=14)
