"""Drawn pictures: to scale, the same each time, small, and with their pins where they should be."""

from hashlib import sha256
from io import BytesIO
from math import dist

import pytest
from PIL import Image

from seed_demo.picture import corner, gauge, metal, pack, spring, stand, tie_rod
from seed_demo.picture.light import photograph
from seed_demo.picture.sheet import HEIGHT_px, WIDTH_px

INCH_mm = 25.4
SCENES = {
    "tie rod": lambda: tie_rod.draw(tie_rod.Assembly(320.675, 8, 9, inches=True), tilt_deg=-2.8),
    "corner": lambda: corner.draw(362.0, (88, 116, 104), inches=True, right=False, tilt_deg=-0.8),
    "pack": lambda: pack.draw((3.175, 0.79375), name="LF front", inches=True, tilt_deg=1.5),
    "spring": lambda: spring.on_bench(292.1, inches=True, tilt_deg=-2.0, colour=metal.BLACK),
    "stands": lambda: stand.draw(tilt_deg=-1.0),
}


def apart_mm(sheet, one, other):
    """How far apart two spots of a scene are, measured in the picture."""
    (x1, y1), (x2, y2) = sheet.spots[one], sheet.spots[other]
    size = (WIDTH_px, HEIGHT_px)
    return dist((x1 * size[0], y1 * size[1]), (x2 * size[0], y2 * size[1])) / sheet.px_per_mm


@pytest.mark.parametrize("name", SCENES)
def test_a_photo_is_the_same_each_time_and_small(name):
    first, again = (photograph(SCENES[name]().picture, lamp=1) for _ in range(2))

    assert sha256(first).digest() == sha256(again).digest()
    assert Image.open(BytesIO(first)).size == (1600, 1200)
    assert 60_000 < len(first) < 150_000


@pytest.mark.parametrize("length_in", [12.625, 13.1875])
def test_a_tie_rod_is_as_long_in_the_picture_as_its_figure(length_in):
    sheet = tie_rod.draw(tie_rod.Assembly(length_in * INCH_mm, 8, 9, inches=True), tilt_deg=-2.8)

    assert apart_mm(sheet, "inner stud", "outer stud") == pytest.approx(length_in * INCH_mm, abs=0.01)


def test_the_rule_has_a_mark_where_the_outer_stud_is_read():
    """12 5/8 in: the pencil line squared down from the stud meets a mark of the rule."""
    sheet = tie_rod.draw(tie_rod.Assembly(12.625 * INCH_mm, 8, 9, inches=True), tilt_deg=0.0)

    def grey(x_mm, y_mm):
        x, y = sheet.at(x_mm, y_mm)
        return min(sum(sheet.picture.getpixel((round(x) + dx, round(y)))) / 3 for dx in (-1, 0, 1))

    on_the_mark = grey(12.625 * INCH_mm, 62 + 3)
    beside_it = grey((12 + 21 / 32) * INCH_mm, 62 + 3)
    assert on_the_mark < 90 < beside_it


def test_a_pack_is_as_thick_in_the_picture_as_its_shims():
    sheet = pack.draw((3.175, 0.79375), name="LF front", inches=True, tilt_deg=1.5)

    assert apart_mm(sheet, "bottom", "top") == pytest.approx(3.96875, abs=0.01)


def test_a_spring_is_as_long_in_the_picture_as_its_figure():
    sheet = spring.on_bench(292.1, inches=True, tilt_deg=-2.0, colour=metal.BLACK)

    assert apart_mm(sheet, "upper end", "lower end") == pytest.approx(292.1, abs=0.01)


def test_the_pins_of_the_hooks_are_on_their_paint():
    sheet = spring.on_bench(292.1, inches=True, tilt_deg=-2.0, colour=metal.BLACK)

    for name in ("upper hook at 12", "upper hook at 6", "lower hook at 12", "lower hook at 6"):
        x, y = sheet.spots[name]
        red, green, blue = sheet.picture.getpixel((round(x * WIDTH_px), round(y * HEIGHT_px)))
        assert red > 120, name
        assert green > 0.6 * red > 1.5 * blue, name


@pytest.mark.parametrize("name", SCENES)
def test_every_spot_lies_in_the_picture(name):
    assert SCENES[name]().spots
    assert all(0 < x < 1 and 0 < y < 1 for x, y in SCENES[name]().spots.values())


def test_the_needle_stands_at_the_reading():
    sheet = gauge.draw(25, unit="0.001 in", tilt_deg=0.0)
    x, y = sheet.at(0, -10)

    needle_x, needle_y = sheet.spots["needle"]

    assert needle_x * WIDTH_px > x + 100
    assert needle_y * HEIGHT_px == pytest.approx(y, abs=1)
