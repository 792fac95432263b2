"""A tie-rod assembly along a rule: the inner stud over its zero, the outer one over what is to be read."""

from dataclasses import dataclass

from PIL import Image

from seed_demo.picture import ground, lettering, metal, scale
from seed_demo.picture.sheet import Point, Sheet

SLEEVE_mm = 112.0
PITCH_mm = 1.411
THREAD_mm = 17.5


@dataclass(frozen=True, slots=True)
class Assembly:
    """What can be seen of one."""

    length_mm: float  # between stud centres
    inner_threads: int  # showing
    outer_threads: int
    inches: bool
    is_new: bool = False


def draw(assembly: Assembly, *, tilt_deg: float, tag: Image.Image | None = None) -> Sheet:
    """The sheet with spots "inner stud", "outer stud", "inner clamp" and "outer clamp"."""
    length = assembly.length_mm
    sheet = Sheet(ground.cardboard().copy(), 3.55, tilt_deg, (length / 2, 6.0))
    _pencil(sheet, length)
    scale.rule(sheet, (0.0, 62.0), inches=assembly.inches, length_mm=length + 90)
    sheet.lay(1.0)
    _rod(sheet, assembly)
    sheet.lay(14.0)
    if tag is not None:
        sheet.line([(length * 0.42, 8), (length * 0.41, -40), (length * 0.385, -78)], metal.STEEL, 1.0)
        sheet.stamp(tag, (length * 0.385 + 48, -84), 116, -6)
        sheet.lay(2.0)
    return sheet


def _pencil(sheet: Sheet, length: float) -> None:
    """What was squared down from each stud's centre."""
    for x in (0.0, length):
        sheet.line([(x, 0), (x, 64)], (70, 62, 58), 0.5)
    sheet.lay()


def _rod(sheet: Sheet, assembly: Assembly) -> None:
    length = assembly.length_mm
    body = metal.BLACK if assembly.is_new else metal.mix(metal.CAST, metal.RUST, 0.45)
    slack = length - SLEEVE_mm - (assembly.inner_threads + assembly.outer_threads) * PITCH_mm
    inner_end = slack * 0.5
    sleeve_from = inner_end + assembly.inner_threads * PITCH_mm
    sleeve_to = sleeve_from + SLEEVE_mm
    outer_end = sleeve_to + assembly.outer_threads * PITCH_mm
    for stud, end in ((0.0, inner_end), (length, outer_end)):
        metal.cone(sheet, (stud, 0), (end, 0), 26, 18.5, body)
        _joint(sheet, (stud, 0), body, is_new=assembly.is_new)
    metal.thread(sheet, (inner_end, 0), (sleeve_from, 0), THREAD_mm, crests=assembly.inner_threads)
    metal.thread(sheet, (sleeve_to, 0), (outer_end, 0), THREAD_mm, crests=assembly.outer_threads)
    metal.bar(sheet, (sleeve_from, 0), (sleeve_to, 0), 27, metal.STEEL if assembly.is_new else body)
    sheet.line([(sleeve_from, -3), (sleeve_to, -3)], (24, 22, 20), 1.6)
    for name, x in (("inner clamp", sleeve_from + 13), ("outer clamp", sleeve_to - 13)):
        _clamp(sheet, x, body)
        sheet.spot(name, x, -21)
    sheet.spot("inner stud", 0, 0)
    sheet.spot("outer stud", length, 0)


def _joint(sheet: Sheet, centre: Point, body: tuple[int, int, int], *, is_new: bool) -> None:
    metal.dome(sheet, centre, 43, body, flat=0.5)
    metal.dome(sheet, centre, 33, metal.RUBBER, flat=0.2)
    metal.dome(sheet, centre, 13, metal.BRIGHT if is_new else metal.STEEL, flat=0.6)
    sheet.line([(centre[0] - 2, centre[1]), (centre[0] + 2, centre[1])], (20, 20, 20), 0.5)
    sheet.line([(centre[0], centre[1] - 2), (centre[0], centre[1] + 2)], (20, 20, 20), 0.5)


def _clamp(sheet: Sheet, x: float, body: tuple[int, int, int]) -> None:
    metal.bar(sheet, (x - 6, 0), (x + 6, 0), 34, metal.shade(body, 1.15))
    metal.plate(sheet, metal.box(x - 6, -25, 12, 10), metal.shade(body, 1.05))
    metal.bar(sheet, (x, -33), (x, -14), 7, metal.ZINC)
    metal.hexagon(sheet, (x, -33), 12, metal.ZINC, turn_deg=12)


def pen(text: str) -> Image.Image:
    """A word written on the cardboard."""
    return lettering.words(text, ink=lettering.PEN)
