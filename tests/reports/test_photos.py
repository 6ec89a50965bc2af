"""Export copies of photos: upright, small, of few formats, and never a traceback."""

from __future__ import annotations

import base64
import io
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from tests.reports.invented import FakeShelf, jpeg
from workbench.reports.photos import (
    DAMAGED,
    LONGEST_SIDE,
    NO_PREVIEW,
    NOT_THERE,
    SMALL_SIDE,
    TOO_LARGE,
    Darkroom,
    export_copy,
)


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    kept = io.BytesIO()
    image.save(kept, kind, **options)
    return kept.getvalue()


def arrow() -> Image.Image:
    """A picture with a dark corner at its upper left."""
    image = Image.new("RGB", (300, 200), "white")
    ImageDraw.Draw(image).rectangle((0, 0, 90, 60), fill="black")
    return image


# The eight orientations of the Exif standard (CIPA DC-008, tag 0x0112): how the stored picture is
# to be turned so that its first corner, the dark one here, comes to lie where it should.
CORNERS = {1: "tl", 2: "tr", 3: "br", 4: "bl", 5: "tl", 6: "tr", 7: "br", 8: "bl"}


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_stands_upright(orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    copy = export_copy(saved(arrow(), "JPEG", exif=exif))

    shown = Image.open(io.BytesIO(copy.jpeg)).convert("L")
    turned = orientation >= 5
    assert shown.size == ((200, 300) if turned else (300, 200))
    wide, high = shown.size
    at = {
        "tl": (10, 10),
        "tr": (wide - 10, 10),
        "br": (wide - 10, high - 10),
        "bl": (10, high - 10),
    }
    dark = {name for name, place in at.items() if _level(shown, place) < 100}
    assert dark == {CORNERS[orientation]}


def _level(image: Image.Image, place: tuple[int, int]) -> float:
    level = image.getpixel(place)
    assert isinstance(level, int | float)
    return float(level)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "GIF"])
def test_the_formats_of_phones_and_cameras_are_shown(kind: str) -> None:
    copy = export_copy(saved(arrow(), kind))

    assert Image.open(io.BytesIO(copy.jpeg)).format == "JPEG"
    assert copy.words == ""


HEIC = base64.b64decode(
    "AAAAHGZ0eXBoZWljAAAAAG1pZjFoZWljbWlhZgAAAX1tZXRhAAAAAAAAACFoZGxyAAAAAAAAAABwaWN0AAAAAAAAAAAAAAAA"
    "AAAAACJpbG9jAAAAAERAAAEAAQAAAAABoQABAAAAAAAAADUAAAAjaWluZgAAAAAAAQAAABVpbmZlAgAAAAABAABodmMxAAAA"
    "AA5waXRtAAAAAAABAAAA/WlwcnAAAADdaXBjbwAAAHZodmNDAQNwAAAAkAAAAAAAHvAA/P34+AAADwNgAAEAGEABDAH//wNw"
    "AAADAJAAAAMAAAMAHroCQGEAAQAqQgEBA3AAAAMAkAAAAwAAAwAeoCCBBZbq5Ka5uAhoMCAAAAMDIAAAAwAhYgABAAZEAcFz"
    "wIkAAAATY29scm5jbHgAAQANAAaAAAAAFGlzcGUAAAAAAAAAQAAAAEAAAAAoY2xhcAAAAEAAAAABAAAAMAAAAAEAAAAAAAAA"
    "Av////AAAAACAAAAEHBpeGkAAAAAAwgICAAAABhpcG1hAAAAAAAAAAEAAQWBAgMFhAAAAD1tZGF0AAAAMSgBrxmA94UN/9jy"
    "fQuDePh+TgYFz6xq+fAY1lcZGKu8fGwZi7vvwE6uJEeTlSZnflA="
)
"""A white picture of 64 by 48 pixels, red at its upper left, as newer phones store one."""


def test_what_newer_phones_write_is_shown() -> None:
    copy = export_copy(HEIC)
    shown = Image.open(io.BytesIO(copy.jpeg))

    assert shown.size == (64, 48)
    assert shown.getpixel((10, 10)) == pytest.approx((220, 0, 0), abs=30)
    assert shown.getpixel((50, 40)) == pytest.approx((255, 255, 255), abs=30)


def test_a_kind_of_photo_without_a_decoder_says_so() -> None:
    # B55
    assert export_copy(b"\0\0\0\x1cftypavif\0\0\0\0mif1").words == NO_PREVIEW


@pytest.mark.parametrize("kind", ["BMP", "PPM", "ICO", "PDF", "EPS", "TGA", "PCX", "SGI"])
def test_other_formats_are_not_opened(kind: str) -> None:
    # B60
    assert export_copy(saved(arrow(), kind)).words == DAMAGED


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "CMYK", "I;16"])
def test_every_kind_of_pixel_becomes_rgb(mode: str) -> None:
    kind = "TIFF" if mode == "CMYK" else "PNG"
    copy = export_copy(saved(Image.new(mode, (40, 30)), kind))

    assert Image.open(io.BytesIO(copy.jpeg)).mode == "RGB"


def test_what_is_clear_becomes_white() -> None:
    copy = export_copy(saved(Image.new("RGBA", (40, 30), (0, 0, 0, 0)), "PNG"))

    assert _level(Image.open(io.BytesIO(copy.jpeg)).convert("L"), (20, 15)) > 250


@pytest.mark.parametrize("size", [(5000, 200), (200, 5000), (3000, 3000), (50, 40)])
def test_a_copy_is_never_larger_than_it_may_be(size: tuple[int, int]) -> None:
    copy = export_copy(jpeg(*size))

    assert max(copy.width, copy.height) == min(max(size), LONGEST_SIDE)
    assert copy.width / copy.height == pytest.approx(size[0] / size[1], rel=0.1)


def bomb(width: int, height: int) -> bytes:
    """A small file that says it is a huge picture (a PNG whose head is changed)."""
    import zlib  # noqa: PLC0415 - only here

    data = bytearray(saved(Image.new("L", (1, 1)), "PNG"))
    data[16:24] = width.to_bytes(4, "big") + height.to_bytes(4, "big")
    data[29:33] = zlib.crc32(bytes(data[12:29])).to_bytes(4, "big")
    return bytes(data)


@pytest.mark.parametrize("side", [12_500, 14_000, 40_000, 2**31 - 1])
def test_a_picture_with_too_many_pixels_is_not_decoded(side: int) -> None:
    # B51
    assert export_copy(bomb(side, side)).words == TOO_LARGE


def test_a_missing_photo_says_so() -> None:
    assert export_copy(None).words == NOT_THERE


@given(st.binary(max_size=400))
def test_any_bytes_give_a_picture_or_words(data: bytes) -> None:
    copy = export_copy(data)

    assert bool(copy.jpeg) != bool(copy.words)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "GIF"])
def test_damage_anywhere_gives_a_picture_or_words(kind: str) -> None:
    # B53: bytes changed and cut at random places, the same ones in every run.
    whole = saved(arrow(), kind)
    luck = random.Random(7)
    for _ in range(120):
        data = bytearray(whole[: luck.randrange(1, len(whole) + 1)])
        for _ in range(luck.randrange(4)):
            data[luck.randrange(len(data))] = luck.randrange(256)
        copy = export_copy(bytes(data))
        assert bool(copy.jpeg) != bool(copy.words)


def test_a_photo_is_made_once_for_places_of_like_size() -> None:
    asked: list[None] = []
    room = Darkroom(FakeShelf({"p.jpg": jpeg(2000, 1500)}), lambda: asked.append(None))

    small = [room.copy("b", "p.jpg", size) for size in (200, 500, SMALL_SIDE)]
    large = room.copy("b", "p.jpg", SMALL_SIDE + 1)

    assert len(asked) == 2
    assert len({id(one) for one in small}) == 1
    assert max(small[0].width, small[0].height) == SMALL_SIDE
    assert max(large.width, large.height) == LONGEST_SIDE
