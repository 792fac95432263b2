"""How the finished sheet becomes a photo: uneven light, a soft lens, a little grain, and JPEG."""

from functools import cache
from io import BytesIO

import numpy as np
from PIL import Image, ImageChops

from seed_demo.picture.ground import COARSE, clouds
from seed_demo.picture.sheet import HEIGHT_px, WIDTH_px

QUALITY = 74
LAMPS = ((0.3, 0.2), (0.7, 0.25), (0.45, 0.1), (0.25, 0.6))  # where each lamp hangs over the picture


def photograph(picture: Image.Image, *, lamp: int) -> bytes:
    """The picture as a phone would have kept it.

    lamp     which of the shop's lamps it was under
    returns  JPEG
    """
    soft = ImageChops.add(picture, ImageChops.offset(picture, 1, 1), 2)
    lit = ImageChops.multiply(soft, _lamp(lamp % len(LAMPS)))
    grained = ImageChops.add(lit, _grain(), 1, -128)
    encoded = BytesIO()
    grained.save(encoded, "JPEG", quality=QUALITY)
    return encoded.getvalue()


@cache
def _lamp(number: int) -> Image.Image:
    """Bright under the lamp, falling off to the corners."""
    width, height = WIDTH_px // COARSE, HEIGHT_px // COARSE
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    at_x, at_y = LAMPS[number]
    away = np.hypot(x / width - at_x, (y / height - at_y) * 0.75)
    grey = np.clip(255 * (1.1 - 0.5 * away**1.5), 0, 255).astype(np.uint8)
    small = Image.fromarray(np.stack([grey, grey, (grey * 0.97).astype(np.uint8)], axis=-1), "RGB")
    return small.resize((WIDTH_px, HEIGHT_px), Image.Resampling.BICUBIC)


@cache
def _grain() -> Image.Image:
    grain = 128 + clouds(42, coarsest=4, octaves=2, size=(WIDTH_px, HEIGHT_px)) * 4
    grey = Image.fromarray(np.clip(grain, 0, 255).astype(np.uint8))
    return Image.merge("RGB", (grey, grey, grey))
