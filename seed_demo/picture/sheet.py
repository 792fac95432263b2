"""The sheet a scene is drawn on: millimetres in, pixels out, seen by a camera not held quite straight."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import cos, radians, sin

from PIL import Image, ImageDraw, ImageFilter

WIDTH_px, HEIGHT_px = 1600, 1200
MARGIN_px = 96  # drawn around the picture, so that what lies outside casts its shadow into it
COARSE = 4  # shadows are worked out on every fourth pixel
DARKEST = 0.55  # how much of the light a shadow takes
SHADOW = (12, 11, 10)
NOTHING = (0, 0, 0, 0)

Point = tuple[float, float]
Colour = tuple[int, int, int]


@dataclass
class Sheet:
    """What has been laid down so far, what is being drawn on top of it, and where its named spots are."""

    picture: Image.Image
    px_per_mm: float
    tilt_deg: float = 0.0
    centre_mm: Point = (0.0, 0.0)  # what the middle of the picture shows
    spots: dict[str, Point] = field(default_factory=dict)  # fractions of width and height

    def __post_init__(self) -> None:
        turn = radians(self.tilt_deg)
        self._across, self._down = cos(turn) * self.px_per_mm, sin(turn) * self.px_per_mm
        self._layer = Image.new("RGBA", (WIDTH_px + 2 * MARGIN_px, HEIGHT_px + 2 * MARGIN_px))
        self._draw = ImageDraw.Draw(self._layer)

    def at(self, x_mm: float, y_mm: float) -> Point:
        """Where a point of the scene is in the picture [px]; x to the right, y downwards."""
        x, y = x_mm - self.centre_mm[0], y_mm - self.centre_mm[1]
        return (
            WIDTH_px / 2 + x * self._across - y * self._down,
            HEIGHT_px / 2 + x * self._down + y * self._across,
        )

    def spot(self, name: str, x_mm: float, y_mm: float) -> None:
        """Name a place of the scene, so that a pin can be put on it."""
        x, y = self.at(x_mm, y_mm)
        self.spots[name] = (x / WIDTH_px, y / HEIGHT_px)

    def polygon(self, points_mm: Sequence[Point], fill: Colour) -> None:
        self._draw.polygon([self._on_layer(*point) for point in points_mm], fill=(*fill, 255))

    def line(self, points_mm: Sequence[Point], fill: Colour, width_mm: float) -> None:
        width_px = max(round(width_mm * self.px_per_mm), 1)
        ends = [self._on_layer(*point) for point in points_mm]
        self._draw.line(ends, fill=(*fill, 255), width=width_px, joint="curve")

    def disc(self, centre_mm: Point, radius_mm: float, fill: Colour) -> None:
        x, y = self._on_layer(*centre_mm)
        r = radius_mm * self.px_per_mm
        self._draw.ellipse((x - r, y - r, x + r, y + r), fill=(*fill, 255))

    def stamp(self, image: Image.Image, centre_mm: Point, width_mm: float, turn_deg: float = 0.0) -> None:
        """Lay a small flat picture down: a label, a scale's numbers."""
        share = width_mm * self.px_per_mm / image.width
        size = (max(round(image.width * share), 1), max(round(image.height * share), 1))
        turned = (
            image.convert("RGBA")
            .resize(size)
            .rotate(-(self.tilt_deg + turn_deg), Image.Resampling.BICUBIC, expand=True)
        )
        x, y = self._on_layer(*centre_mm)
        corner = round(x - turned.width / 2), round(y - turned.height / 2)
        self._layer.paste(turned, corner, turned)

    def lay(self, height_mm: float = 0.0) -> None:
        """Put down what has been drawn, with the shadow of something that high, and begin anew on top."""
        box = self._layer.getbbox()
        if box is not None:
            layer = self._layer.crop(box)
            at = box[0] - MARGIN_px, box[1] - MARGIN_px
            if height_mm > 0:
                self._shade(layer.getchannel("A"), at, height_mm * self.px_per_mm)
            self.picture.paste(layer, at, layer)
            self._layer.paste(NOTHING, box)

    def _on_layer(self, x_mm: float, y_mm: float) -> Point:
        x, y = self.at(x_mm, y_mm)
        return x + MARGIN_px, y + MARGIN_px

    def _shade(self, outline: Image.Image, at: tuple[int, int], height_px: float) -> None:
        """Light from the upper left: the shadow falls to the lower right, softer the higher the thing."""
        soft_px = max(height_px / 2 / COARSE, 1)
        border = round(soft_px * 2)
        cast = outline.reduce(COARSE).point(lambda value: value * DARKEST)
        mask = Image.new("L", (cast.width + 2 * border, cast.height + 2 * border))
        mask.paste(cast, (border, border))
        soft = mask.filter(ImageFilter.BoxBlur(soft_px))
        soft = soft.resize((mask.width * COARSE, mask.height * COARSE), Image.Resampling.BILINEAR)
        x = at[0] - border * COARSE + round(height_px * 0.6)
        y = at[1] - border * COARSE + round(height_px * 0.8)
        self.picture.paste(SHADOW, (x, y, x + soft.width, y + soft.height), soft)
