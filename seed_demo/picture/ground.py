"""What things lie on or stand before: drawn once, copied for each picture."""

from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from seed_demo.picture.sheet import Colour, HEIGHT_px, WIDTH_px

Field = NDArray[np.float32]

COARSE = 4  # nothing in a ground is finer than a few pixels: it is worked out on every fourth


def clouds(
    seed: int, *, coarsest: int, octaves: int, stretch: int = 1, size: tuple[int, int] | None = None
) -> Field:
    """Smooth noise about 0, within about ±1: patches of `coarsest` points, halved from octave to octave.

    stretch  how much longer than high a patch is
    size     width and height in points; a ground's, if nothing else is said
    """
    rng = np.random.default_rng(seed)
    width, height = size or (WIDTH_px // COARSE, HEIGHT_px // COARSE)
    total = np.zeros((height, width), np.float32)
    for octave in range(octaves):
        patch = max(coarsest >> octave, 1)
        rough = max(height // patch, 2), max(width // (patch * stretch), 2)
        noise = Image.fromarray(rng.standard_normal(rough).astype(np.float32))
        total += np.asarray(noise.resize((width, height), Image.Resampling.BICUBIC)) / 2 ** (octave + 1)
    return total


@cache
def bench() -> Image.Image:
    """A worn plank bench, grain along it."""
    grain = clouds(3, coarsest=16, octaves=3, stretch=12) * 16 + clouds(4, coarsest=64, octaves=2) * 8
    wood = _coloured((128, 104, 78), grain)
    for row in (236, 640, 1010):
        wood.paste((46, 36, 28), (0, row, WIDTH_px, row + 5))
    return wood


@cache
def cardboard() -> Image.Image:
    """A flattened box, as one lays greasy parts on."""
    flutes = np.sin(np.arange(WIDTH_px // COARSE, dtype=np.float32) * COARSE / 7)[None, :] * 2
    return _coloured((176, 144, 104), clouds(8, coarsest=64, octaves=3) * 9 + flutes)


@cache
def floor() -> Image.Image:
    """Sealed concrete with old stains."""
    return _coloured((132, 132, 128), clouds(15, coarsest=64, octaves=4) * 12)


@cache
def well() -> Image.Image:
    """The dark behind the wheel: old underseal and road dirt."""
    return _coloured((54, 50, 46), clouds(23, coarsest=64, octaves=4) * 13)


def _coloured(base: Colour, change: Field) -> Image.Image:
    pixels = np.asarray(base, np.float32) + change[..., None]
    small = Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8), "RGB")
    return small.resize((WIDTH_px, HEIGHT_px), Image.Resampling.BICUBIC)
