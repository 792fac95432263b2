"""Turned, forged and moulded things as seen from above: shaded as round where they are round."""

from collections.abc import Sequence
from functools import cache
from math import cos, hypot, pi, radians, sin

from seed_demo.picture.sheet import Colour, Point, Sheet

STEEL: Colour = (158, 160, 162)
BRIGHT: Colour = (196, 198, 200)
ZINC: Colour = (176, 172, 156)
CAST: Colour = (92, 88, 84)
RUST: Colour = (124, 84, 60)
BLACK: Colour = (44, 43, 42)
RUBBER: Colour = (40, 40, 42)
WHITE_PAINT: Colour = (232, 232, 224)
YELLOW_PAINT: Colour = (226, 188, 40)

STRIPS = 9
LIGHT_FROM = 0.32  # where across a round bar it is brightest, from the lit edge
LAMP_deg = 235.0  # the direction the light comes from, on the sheet


@cache
def shade(colour: Colour, share: float) -> Colour:
    """Darker below 1, lighter above."""
    r, g, b = (min(max(round(part * share), 0), 255) for part in colour)
    return r, g, b


def mix(a: Colour, b: Colour, share: float) -> Colour:
    """`a` with that share of `b` in it."""
    r, g, blue = (round(one * (1 - share) + other * share) for one, other in zip(a, b, strict=True))
    return r, g, blue


def roundness(across: float) -> float:
    """How bright a round bar is at 0 (lit edge) to 1 (far edge) across it."""
    return 0.4 + 0.95 * max(cos((across - LIGHT_FROM) * pi * 0.85), 0.0)


def bar(sheet: Sheet, start: Point, end: Point, diameter_mm: float, colour: Colour) -> None:
    """A round bar from one point to another."""
    cone(sheet, start, end, diameter_mm, diameter_mm, colour)


def cone(
    sheet: Sheet, start: Point, end: Point, start_diameter_mm: float, end_diameter_mm: float, colour: Colour
) -> None:
    """A round bar that tapers."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    lit = 1.0 if ux * 0.8 - uy * 0.6 > 0 else -1.0  # which edge is turned to the lamp
    nx, ny = -uy * lit, ux * lit

    def edge(point: Point, diameter: float, across: float) -> Point:
        away = (across - 0.5) * diameter
        return point[0] + nx * away, point[1] + ny * away

    for strip in range(STRIPS):
        a, b = strip / STRIPS, (strip + 1.2) / STRIPS
        corners = [
            edge(start, start_diameter_mm, a),
            edge(end, end_diameter_mm, a),
            edge(end, end_diameter_mm, min(b, 1)),
            edge(start, start_diameter_mm, min(b, 1)),
        ]
        sheet.polygon(corners, shade(colour, roundness((a + min(b, 1)) / 2)))


def thread(
    sheet: Sheet, start: Point, end: Point, diameter_mm: float, *, crests: int, colour: Colour = STEEL
) -> None:
    """A threaded bar with that many crests showing."""
    bar(sheet, start, end, diameter_mm, colour)
    length = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    pitch, half = length / crests, diameter_mm / 2
    for crest in range(crests):
        along = (crest + 0.5) * pitch
        x, y = start[0] + ux * along, start[1] + uy * along
        lean = pitch * 0.25
        ends = [
            (x + uy * half - ux * lean, y - ux * half - uy * lean),
            (x - uy * half + ux * lean, y + ux * half + uy * lean),
        ]
        sheet.line(ends, shade(colour, 0.42), pitch * 0.4)


def dome(sheet: Sheet, centre: Point, diameter_mm: float, colour: Colour, *, flat: float = 0.0) -> None:
    """A round thing seen end-on: a ball, a boss; `flat` is the share of it that is level."""
    radius = diameter_mm / 2
    for ring in range(STRIPS):
        share = 1 - (1 - flat) * ring / STRIPS
        drift = radius * (1 - share) * 0.45
        middle = centre[0] - drift, centre[1] - drift
        sheet.disc(middle, radius * share, shade(colour, 0.55 + 0.65 * ring / (STRIPS - 1)))


def washer(sheet: Sheet, centre: Point, outer_mm: float, hole_mm: float, colour: Colour) -> None:
    """A flat ring with a lit rim and a dark hole."""
    sheet.disc(centre, outer_mm / 2, shade(colour, 0.6))
    sheet.disc((centre[0] - 0.02 * outer_mm, centre[1] - 0.02 * outer_mm), outer_mm * 0.48, colour)
    sheet.disc(centre, hole_mm / 2, shade(colour, 0.25))


def hexagon(
    sheet: Sheet,
    centre: Point,
    flats_mm: float,
    colour: Colour,
    *,
    turn_deg: float = 0.0,
    hole_mm: float = 0.0,
) -> None:
    """A nut or a bolt head from above: facets that catch the light, a chamfer, perhaps a hole."""
    corner = flats_mm / 2 / cos(pi / 6)
    ring = [_around(centre, corner, turn_deg + 60 * side) for side in range(7)]
    for side in range(6):
        facing = turn_deg + 60 * side + 30
        bright = 0.72 + 0.3 * cos(radians(facing - LAMP_deg))
        sheet.polygon([centre, ring[side], ring[side + 1]], shade(colour, bright))
    sheet.disc(centre, flats_mm * 0.46, shade(colour, 1.02))
    if hole_mm:
        sheet.disc(centre, hole_mm / 2, shade(colour, 0.3))


def plate(sheet: Sheet, outline: Sequence[Point], colour: Colour, *, edge_mm: float = 1.5) -> None:
    """A flat or pressed piece: a bright edge towards the lamp, a dark one away from it."""
    sheet.polygon([(x + edge_mm * 0.6, y + edge_mm * 0.8) for x, y in outline], shade(colour, 0.45))
    sheet.polygon([(x - edge_mm * 0.5, y - edge_mm * 0.6) for x, y in outline], shade(colour, 1.25))
    sheet.polygon(outline, colour)


def box(x: float, y: float, width_mm: float, height_mm: float) -> list[Point]:
    """The corners of an upright rectangle by its upper left corner."""
    return [(x, y), (x + width_mm, y), (x + width_mm, y + height_mm), (x, y + height_mm)]


def arc(centre: Point, radius_mm: float, start_deg: float, end_deg: float, steps: int = 24) -> list[Point]:
    """Points along an arc, clockwise on the sheet for rising degrees."""
    span = end_deg - start_deg
    return [_around(centre, radius_mm, start_deg + span * step / steps) for step in range(steps + 1)]


def _around(centre: Point, radius_mm: float, turn_deg: float) -> Point:
    turn = radians(turn_deg)
    return centre[0] + radius_mm * cos(turn), centre[1] + radius_mm * sin(turn)
