"""Section B of the catalogue of bad inputs, as far as it is about what a picture is made of."""

import io
import time
import zipfile

import numpy as np
import pytest
from PIL import Image, ImageCms

from server.store import picture
from server.store.picture import NotAPicture, PictureDamaged, PictureRefused, PictureTooLarge, develop
from tests.store import shot


def corners(image: Image.Image) -> list[tuple[int, ...]]:
    """The colour well inside each quarter: top left, top right, bottom left, bottom right."""
    width, height = image.size
    places = [(x * width // 4, y * height // 4) for y in (1, 3) for x in (1, 3)]
    return [image.convert("RGB").getpixel(place) for place in places]


def looks_like(image: Image.Image, expected: list[tuple[int, ...]]) -> bool:
    return bool(np.allclose(corners(image), expected, atol=12))


UPRIGHT = [shot.RED, shot.GREEN, shot.BLUE, shot.WHITE]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_is_turned_upright(orientation: int) -> None:
    developed = develop(shot.lying(shot.quarters(640, 480), orientation))

    assert (developed.width, developed.height) == (640, 480)
    assert looks_like(shot.decode(developed.display), UPRIGHT)
    assert looks_like(shot.decode(developed.thumbnail), UPRIGHT)


@pytest.mark.parametrize("orientation", [0, 9, 99])
def test_an_orientation_that_makes_no_sense_counts_as_upright(orientation: int) -> None:
    developed = develop(shot.jpeg(exif=shot.exif(orientation)))

    assert looks_like(shot.decode(developed.display), UPRIGHT)


@pytest.mark.parametrize(
    ("size", "display"),
    [
        ((4032, 3024), (2016, 1512)),
        ((2048, 1536), (2048, 1536)),
        ((2049, 1536), (1025, 768)),
        ((4097, 4097), (1025, 1025)),
        ((300, 200), (300, 200)),
        ((1, 1), (1, 1)),
        ((1, 65_000), (1, 2032)),
    ],
)
def test_the_display_copy_is_the_largest_halving_of_at_most_2048(
    size: tuple[int, int], display: tuple[int, int]
) -> None:
    developed = develop(shot.jpeg(*size))

    assert (developed.width, developed.height) == size
    assert shot.decode(developed.display).size == display


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_kinds_are_halved_alike(kind: str) -> None:
    developed = develop(shot.encode(shot.quarters(2600, 1950), kind))

    assert shot.decode(developed.display).size == (1300, 975)
    assert looks_like(shot.decode(developed.display), UPRIGHT)


def test_the_thumbnail_is_at_most_400_long() -> None:
    assert shot.decode(develop(shot.jpeg(1200, 900)).thumbnail).size == (400, 300)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_but_the_picture_is_in_the_copies(kind: str) -> None:
    sent = shot.talkative(kind=kind)
    assert shot.decode(sent).getexif().get_ifd(0x8825)[2] == (12.0, 34.0, 56.5)  # it was there

    developed = develop(sent)

    for copy in (developed.display, developed.thumbnail):
        image = shot.decode(copy)
        assert dict(image.getexif()) == {}
        assert set(image.info) == {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert not [word for word in (b"Exif", b"script", b"MAKERNOTE", b"comment", b"xmp") if word in copy]


@pytest.mark.parametrize(
    "image",
    [
        pytest.param(shot.quarters(64, 48).convert("CMYK"), id="CMYK"),
        pytest.param(shot.quarters(64, 48).convert("L"), id="grey"),
    ],
)
def test_other_colour_models_come_out_as_rgb(image: Image.Image) -> None:
    developed = develop(shot.encode(image, quality=95))

    assert shot.decode(developed.display).mode == "RGB"
    assert looks_like(shot.decode(developed.display), corners(image))


def test_sixteen_bits_of_grey_are_scaled_not_clipped() -> None:
    ramp = np.tile(np.linspace(0, 65535, 256).astype(np.uint16), (16, 1))

    row = np.asarray(shot.decode(develop(shot.encode(Image.fromarray(ramp), "PNG")).display))[8, :, 0]

    assert np.allclose(row, np.arange(256), atol=4)


def test_the_see_through_becomes_white() -> None:
    image = Image.new("RGBA", (64, 48), (255, 0, 0, 0))

    assert shot.decode(develop(shot.encode(image, "PNG")).display).getpixel((32, 24)) == (255, 255, 255)


def test_colours_are_converted_through_the_pictures_own_profile() -> None:
    swapped = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    swapped = swapped.replace(b"rXYZ", b"tXYZ").replace(b"bXYZ", b"rXYZ").replace(b"tXYZ", b"bXYZ")
    sent = shot.encode(Image.new("RGB", (64, 48), (255, 0, 0)), quality=95, icc_profile=swapped)

    shown = shot.decode(develop(sent).display)

    assert np.allclose(shown.getpixel((32, 24)), (0, 0, 255), atol=6)  # its red is our blue
    assert "icc_profile" not in shown.info


@pytest.mark.parametrize("profile", [b"no profile at all", b"\0" * 200])
def test_a_profile_that_makes_no_sense_is_left_out(profile: bytes) -> None:
    assert looks_like(shot.decode(develop(shot.jpeg(icc_profile=profile)).display), UPRIGHT)


def test_a_jpeg_with_a_second_picture_inside_is_accepted() -> None:
    two = shot.encode(
        shot.quarters(640, 480), "MPO", save_all=True, append_images=[Image.new("RGB", (640, 480))]
    )
    assert shot.decode(two).format == "MPO"

    assert looks_like(shot.decode(develop(two).display), UPRIGHT)


@pytest.mark.parametrize("tail", [b"<script>alert(1)</script>", b"<?php evil(); ?>"])
def test_what_hides_behind_a_jpeg_is_not_in_its_copies(tail: bytes) -> None:
    developed = develop(shot.jpeg() + tail)

    assert tail not in developed.display + developed.thumbnail
    assert developed.display.endswith(b"\xff\xd9")


def test_an_archive_behind_a_jpeg_is_not_in_its_copies() -> None:
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w") as file:
        file.writestr("a.txt", "hidden")

    developed = develop(shot.jpeg() + archive.getvalue())

    assert not zipfile.is_zipfile(io.BytesIO(developed.display))


NO_PICTURES = {
    "nothing": b"",
    "three bytes": b"\xff\xd8\xff",
    "text": b"a photo of the left spring",
    "SVG": b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>',
    "HTML": b"<!doctype html><script>alert(1)</script>",
    "PDF": b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n",
    "ZIP": b"PK\x05\x06" + b"\0" * 18,
    "EPS": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n",
    "FITS": b"SIMPLE  =                    T".ljust(2880),
    "WebM": b"\x1a\x45\xdf\xa3\x01\0\0\0\0\0\0\x1fwebm",
    "GIF": shot.encode(shot.quarters(8, 8), "GIF"),
    "GIF and script": shot.encode(shot.quarters(8, 8), "GIF") + b"*/=1;alert(1)",
    "TIFF": shot.encode(shot.quarters(8, 8), "TIFF"),
    "BMP": shot.encode(shot.quarters(8, 8), "BMP"),
    "ICO": shot.encode(shot.quarters(16, 16), "ICO"),
}


@pytest.mark.parametrize("sent", NO_PICTURES.values(), ids=NO_PICTURES.keys())
def test_what_is_no_picture_from_a_camera_is_refused(sent: bytes) -> None:
    with pytest.raises(NotAPicture, match="send JPEG, PNG or WebP"):
        develop(sent)


@pytest.mark.parametrize("brand", [b"heic", b"heix", b"mif1"])
def test_heic_is_refused_with_the_setting_to_change(brand: bytes) -> None:
    with pytest.raises(NotAPicture, match='choose "Most Compatible"'):
        develop(b"\0\0\0\x18ftyp" + brand + b"\0" * 100)


@pytest.mark.parametrize("progressive", [False, True])
@pytest.mark.parametrize("missing", ["half", "a hundredth", "two bytes"])
def test_a_jpeg_cut_short_is_refused(progressive: bool, missing: str) -> None:
    whole = shot.encode(Image.effect_noise((640, 480), 60).convert("RGB"), progressive=progressive)
    cut = {"half": len(whole) // 2, "a hundredth": len(whole) // 100, "two bytes": 2}[missing]

    with pytest.raises(PictureDamaged, match="damaged or cut short"):
        develop(whole[:-cut])


def test_a_picture_of_too_many_bytes_is_refused() -> None:
    with pytest.raises(PictureTooLarge, match="26 MiB, and 25 MiB is the most"):
        develop(shot.jpeg() + bytes(26 * 2**20))


@pytest.mark.parametrize(
    "sent",
    [
        pytest.param(shot.png_claiming(13_000, 13_000), id="Pillow would only warn"),
        pytest.param(shot.png_claiming(8_001, 8_000), id="Pillow would say nothing"),
        pytest.param(shot.png_claiming(60_000, 60_000, rows=100), id="a bomb"),
        pytest.param(shot.jpeg_claiming(65_535, 65_535), id="the largest JPEG"),
    ],
)
def test_too_many_pixels_are_refused_before_they_are_decoded(sent: bytes) -> None:
    start = time.thread_time()

    with pytest.raises(PictureTooLarge, match="more than 64 million pixels"):
        develop(sent)

    assert time.thread_time() - start < 0.1


def test_control_the_most_pixels_are_accepted() -> None:
    assert develop(shot.png_claiming(8_000, 8_000)).width == 8_000


@pytest.mark.parametrize("scans", [65, 200, 5_000])
def test_a_jpeg_of_very_many_layers_is_refused_before_it_is_decoded(scans: int) -> None:
    sent = shot.layered_jpeg(scans)
    start = time.thread_time()

    with pytest.raises(NotAPicture, match="so many layers"):
        develop(sent)

    assert time.thread_time() - start < 0.1


def test_control_a_jpeg_of_as_many_layers_as_allowed_is_accepted() -> None:
    assert develop(shot.layered_jpeg(picture.MAX_SCANS)).width == 640


def test_an_exif_that_goes_round_in_a_circle_does_no_harm() -> None:
    looped = bytearray(b"Exif\0\0II*\0" + (8).to_bytes(4, "little"))
    looped += (
        (1).to_bytes(2, "little") + bytes.fromhex("1201 0300 0100 0000 0600 0000") + (8).to_bytes(4, "little")
    )

    developed = develop(shot.jpeg(exif=bytes(looped)))

    assert (developed.width, developed.height) == (480, 640)


@pytest.mark.filterwarnings("ignore::UserWarning:PIL")  # its remarks on spoilt EXIF
def test_no_spoilt_picture_raises_anything_but_a_refusal() -> None:
    seed = 20_260_302
    random = np.random.default_rng(seed)
    whole = [shot.talkative(kind=kind) for kind in ("JPEG", "PNG", "WEBP")]
    outcomes = {"kept": 0, "refused": 0}
    for _ in range(300):
        spoilt = bytearray(whole[random.integers(len(whole))])
        for _ in range(random.integers(1, 9)):
            spoilt[random.integers(random.choice([64, 1_000, len(spoilt)]))] = random.integers(256)
        try:
            develop(bytes(spoilt))
            outcomes["kept"] += 1
        except PictureRefused:
            outcomes["refused"] += 1
    assert min(outcomes.values()) > 20, (seed, outcomes)
