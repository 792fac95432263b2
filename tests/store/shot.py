"""Pictures as phones send them, and bytes that only pretend to be one."""

import io
import struct
import zlib
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

RED, GREEN, BLUE, WHITE = (220, 30, 30), (30, 200, 30), (30, 30, 220), (240, 240, 240)


def quarters(width: int, height: int) -> Image.Image:
    """Red, green over blue, white: tells every way of lying from every other."""
    image = Image.new("RGB", (width, height), RED)
    image.paste(GREEN, (width // 2, 0, width, height))
    image.paste(BLUE, (0, height // 2, width // 2, height))
    image.paste(WHITE, (width // 2, height // 2, width, height))
    return image


def encode(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    file = io.BytesIO()
    image.save(file, kind, **options)
    return file.getvalue()


def jpeg(width: int = 640, height: int = 480, **options: Any) -> bytes:
    return encode(quarters(width, height), **{"quality": 90} | options)


def decode(encoded: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(encoded))
    image.load()
    return image


def lying(upright: Image.Image, orientation: int) -> bytes:
    """A JPEG whose pixels lie as EXIF's `orientation` says, so that it should be shown like `upright`.

    source     TIFF 6.0 (1992), p. 36, Orientation: which side the first row and the first column are (memory)
    """
    pixels: NDArray[np.uint8] = np.asarray(upright)
    first_row = {1: "top", 2: "top", 3: "bottom", 4: "bottom", 5: "left", 6: "right", 7: "right", 8: "left"}
    first_column = {
        1: "left",
        2: "right",
        3: "right",
        4: "left",
        5: "top",
        6: "top",
        7: "bottom",
        8: "bottom",
    }
    sides = {first_row[orientation], first_column[orientation]}
    if "bottom" in sides:
        pixels = pixels[::-1]
    if "right" in sides:
        pixels = pixels[:, ::-1]
    if first_row[orientation] in ("left", "right"):
        pixels = pixels.swapaxes(0, 1)
    return encode(Image.fromarray(np.ascontiguousarray(pixels)), quality=95, exif=exif(orientation))


def exif(orientation: int = 1) -> Image.Exif:
    tags = Image.Exif()
    tags[0x0112] = orientation
    return tags


def talkative(*, kind: str = "JPEG") -> bytes:
    """A picture with all the metadata that should stay in the shop's archive."""
    tags = exif(6)
    tags[0x010E] = "<script>described</script>"
    tags[0x0132] = "1970:01:01 00:00:00"
    tags.get_ifd(0x8769)[0x927C] = b"MAKERNOTE" * 6_000
    gps = tags.get_ifd(0x8825)
    gps[1], gps[2], gps[3], gps[4] = "N", (12.0, 34.0, 56.5), "E", (65.0, 43.0, 21.25)
    options: dict[str, Any] = {"comment": b"a comment"} if kind == "JPEG" else {}
    return encode(quarters(640, 480), kind, exif=tags, xmp=b"<x:xmpmeta>gps too</x:xmpmeta>", **options)


def chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def png_claiming(width: int, height: int, *, rows: int | None = None) -> bytes:
    """A PNG whose header claims a size, white, one bit a pixel; `rows`: with no more than those inside."""
    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    row = b"\0" + b"\xff" * ((width + 7) // 8)
    body = zlib.compress(row * (height if rows is None else rows), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def jpeg_claiming(width: int, height: int) -> bytes:
    """A small JPEG with another size written over that of its frame header."""
    small = jpeg(16, 16)
    at = small.index(b"\xff\xc0") + 5
    return small[:at] + struct.pack(">HH", height, width) + small[at + 4 :]


def layered_jpeg(scans: int) -> bytes:
    """A progressive JPEG with its last layer repeated."""
    plain = encode(Image.new("RGB", (640, 480), RED), progressive=True)
    last = plain.rindex(b"\xff\xda")
    more = scans - plain.count(b"\xff\xda")
    return plain[:-2] + plain[last:-2] * more + plain[-2:]
