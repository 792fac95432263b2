"""Words and codes on paper: printed tags, numbers on scales, pen on tape."""

from functools import cache

import segno
from PIL import Image, ImageDraw, ImageFont

from seed_demo.picture.sheet import Colour

INK: Colour = (30, 28, 40)
PAPER: Colour = (226, 214, 180)
PEN: Colour = (24, 40, 110)


@cache
def font(size_px: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size_px)


def words(text: str, *, size_px: int = 48, ink: Colour = INK) -> Image.Image:
    """A line of text on nothing."""
    left, top, right, bottom = font(size_px).getbbox(text)
    image = Image.new("RGBA", (round(right - left) + 4, round(bottom - top) + 4))
    ImageDraw.Draw(image).text((2 - left, 2 - top), text, font=font(size_px), fill=(*ink, 255))
    return image


def tag(number: int, lines: tuple[str, ...], code: str) -> Image.Image:
    """A card tag: its number large, what hangs on it, and a QR code that says the same."""
    card = Image.new("RGBA", (640, 320), (*PAPER, 255))
    draw = ImageDraw.Draw(card)
    draw.rectangle((3, 3, 636, 316), outline=(150, 130, 90, 255), width=4)
    draw.ellipse((24, 138, 68, 182), fill=(96, 84, 60, 255))
    draw.text((92, 20), f"{number}", font=font(104), fill=(*INK, 255))
    for row, line in enumerate(lines):
        draw.text((92, 164 + 46 * row), line, font=font(36), fill=(*PEN, 255))
    card.paste(_qr(code, 230), (392, 44))
    return card


def _qr(code: str, side_px: int) -> Image.Image:
    matrix = [bytes(row) for row in segno.make_qr(code, error="m").matrix_iter(border=2)]
    image = Image.new("L", (len(matrix[0]), len(matrix)))
    image.putdata([0 if dark else 255 for row in matrix for dark in row])
    return image.resize((side_px, side_px), Image.Resampling.NEAREST).convert("RGBA")
