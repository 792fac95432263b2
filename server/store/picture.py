"""Bytes from a phone -> an upright picture without metadata, in two sizes, or a refusal in words.

The bytes are untrusted: their type is judged by content against a short list, the size is checked
before anything is decoded, and only what was encoded here is ever shown to anyone.
"""

import io
import re
import struct
from dataclasses import dataclass

from PIL import ExifTags, Image, ImageCms, JpegImagePlugin, PngImagePlugin, WebPImagePlugin

MAX_BYTES = 25 * 1024 * 1024
MAX_PIXELS = 64_000_000
MAX_SCANS = 64  # a camera makes one, or some ten; at the most pixels, 64 took 5 s to decode
DISPLAY_px = 2048
THUMBNAIL_px = 400
FORMATS = tuple(
    plugin.format
    for plugin in (
        JpegImagePlugin.JpegImageFile,  # also MPO, a JPEG with a second picture inside, as some phones make
        PngImagePlugin.PngImageFile,
        WebPImagePlugin.WebPImageFile,
    )
)
HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
UNREADABLE = (OSError, ValueError, SyntaxError, struct.error)  # what Pillow raises on spoilt bytes
JPEG_MARKER = re.compile(rb"\xff[\xc0-\xcf\xd8-\xfe]")

UPRIGHT_BY = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What turns a picture of this EXIF orientation upright; from 5 on it lies on its side."""


class PictureRefused(ValueError):
    """A picture that is not kept. `str()` is the sentence for whoever took it."""


class NotAPicture(PictureRefused):
    pass


class PictureTooLarge(PictureRefused):
    pass


class PictureDamaged(PictureRefused):
    pass


@dataclass(frozen=True, slots=True)
class Picture:
    """Width and height are those of the whole picture, upright [px]; both copies are JPEG."""

    width: int
    height: int
    display: bytes
    thumbnail: bytes


def develop(received: bytes) -> Picture:
    """Decode, turn upright, convert to sRGB, scale down, and encode without metadata.

    raises     NotAPicture, PictureTooLarge, PictureDamaged
    validity   JPEG, PNG, WebP; at most 25 MiB and 64 million pixels
    """
    image = _open(received)
    if image.format in ("JPEG", "MPO") and _scans(received) > MAX_SCANS:
        raise NotAPicture("No camera makes a JPEG with so many layers. Take the picture with a camera.")
    orientation = _orientation(image)
    width, height = image.size if orientation < 5 else image.size[::-1]
    display = _in_srgb(_decode(image))
    if orientation in UPRIGHT_BY:
        display = display.transpose(UPRIGHT_BY[orientation])
    thumbnail = display.copy()
    thumbnail.thumbnail((THUMBNAIL_px, THUMBNAIL_px))
    return Picture(width, height, display=_jpeg(display, quality=85), thumbnail=_jpeg(thumbnail, quality=80))


def upright_size(received: bytes) -> tuple[int, int]:
    """Width and height of the whole picture, upright [px], without decoding it."""
    image = _open(received)
    return image.size if _orientation(image) < 5 else (image.height, image.width)


def check_length(received: bytes) -> None:
    if len(received) > MAX_BYTES:
        raise PictureTooLarge(
            f"This picture has {len(received) / 2**20:.0f} MiB, and {MAX_BYTES // 2**20} MiB is the most. "
            "Set the camera to a lower resolution and take it again."
        )


def _open(received: bytes) -> Image.Image:
    """Read the header only."""
    check_length(received)
    if received[4:8] == b"ftyp" and received[8:12] in HEIF_BRANDS:
        raise NotAPicture(
            "This is a HEIC picture, which cannot be read here. Set the phone's camera to save JPEG "
            '(under "Formats" choose "Most Compatible", or switch "High efficiency" off) and take it again.'
        )
    try:
        image = Image.open(io.BytesIO(received), formats=FORMATS)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise PictureTooLarge(_too_many_pixels()) from error
    except UNREADABLE as error:
        raise NotAPicture("This is not a picture that can be read here: send JPEG, PNG or WebP.") from error
    if image.width * image.height > MAX_PIXELS:
        raise PictureTooLarge(_too_many_pixels())
    return image


def _too_many_pixels() -> str:
    return (
        f"This picture has more than {MAX_PIXELS // 1_000_000} million pixels. "
        "Set the camera to a lower resolution and take it again."
    )


def _scans(jpeg: bytes) -> int:
    """How often the decoder has to go over the whole picture.

    Between markers stand segments that tell their length; within a scan no marker can occur but restarts.
    source     ITU-T T.81 (1992), B.1.1 (from memory)
    """
    at, scans = 2, 0
    while (marker := JPEG_MARKER.search(jpeg, at)) and marker[0] != b"\xff\xd9":
        scans += marker[0] == b"\xff\xda"
        at = marker.end() + int.from_bytes(jpeg[marker.end() : marker.end() + 2])
    return scans


def _orientation(image: Image.Image) -> int:
    """1 to 8 as EXIF counts them; whatever makes no sense counts as 1, upright."""
    try:
        orientation = image.getexif().get(ExifTags.Base.Orientation, 1)
    except UNREADABLE:
        return 1
    return orientation if orientation in UPRIGHT_BY else 1


def _decode(image: Image.Image) -> Image.Image:
    """The pixels, at the largest halving that is at most 2048 px long.

    A JPEG is halved while it is decoded, which is several times cheaper than afterwards.
    """
    halving = 1
    while -(-max(image.size) // halving) > DISPLAY_px:
        halving *= 2
    full = image.size
    image.draft("RGB", (max(full[0] // halving, 1), max(full[1] // halving, 1)))
    try:
        image.load()
    except UNREADABLE as error:
        raise PictureDamaged("This picture is damaged or cut short. Send it again.") from error
    left = halving * max(image.size) // max(full)
    image = _plain(image)
    return image.reduce(left) if left > 1 else image


def _plain(image: Image.Image) -> Image.Image:
    """One of the modes that can be scaled and converted: L, RGB, RGBA, CMYK."""
    if image.mode.startswith("I"):
        return image.point(lambda value: value / 256).convert("L")  # 16 bits a pixel
    if image.has_transparency_data and image.mode != "RGBA":
        return image.convert("RGBA")
    return image if image.mode in ("L", "RGB", "RGBA", "CMYK") else image.convert("RGB")


def _in_srgb(image: Image.Image) -> Image.Image:
    """RGB, on white where it was transparent."""
    profile = image.info.get("icc_profile")
    if image.mode == "RGBA":
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image).convert("RGB")
    return (_converted(image, profile) if profile else None) or image.convert("RGB")


def _converted(image: Image.Image, profile: bytes) -> Image.Image | None:
    """The picture's colours through its own profile, or none where the profile does not fit it."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (OSError, ImageCms.PyCMSError):
        return None


def _jpeg(image: Image.Image, *, quality: int) -> bytes:
    image.info = {}  # Pillow would carry a comment over
    encoded = io.BytesIO()
    image.save(encoded, "JPEG", quality=quality)
    return encoded.getvalue()
