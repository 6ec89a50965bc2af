"""Photos for the screen: upright, limited, words where they cannot be shown (B51 to B60)."""

from __future__ import annotations

import io
import os
import struct
import zlib
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from workbench.domain.inspection import Photo
from workbench.store.attachments import add_photo
from workbench.store.folder import create_project
from workbench.store.saving import ProjectFolder
from workbench.window.photo_loading import (
    LARGE,
    SMALL,
    ThumbnailCache,
    decode,
    framed_words,
    load_picture,
    taken_at,
)

ORIENTATION, TAKEN, EXIF = 0x0112, 0x9003, 0x8769
"""Exif 2.32: Orientation, DateTimeOriginal, and the pointer to the part that holds it."""


def picture(size: tuple[int, int] = (400, 300), orientation: int = 1, taken: str = "") -> bytes:
    """A JPEG whose upper left quarter is red, as the camera stored it."""
    image = Image.new("RGB", size, "white")
    image.paste((220, 0, 0), (0, 0, size[0] // 2, size[1] // 2))
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    if taken:
        exif.get_ifd(EXIF)[TAKEN] = taken
    data = io.BytesIO()
    image.save(data, "JPEG", quality=95, exif=exif)
    return data.getvalue()


def png_that_claims(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose head claims so many pixels (ISO/IEC 15948: IHDR)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


def is_red(image: QImage, x: float, y: float) -> bool:
    colour = image.pixelColor(int(x * image.width()), int(y * image.height()))
    return colour.red() > 150 and colour.green() < 100


RED_QUARTER = {
    # Where a picture stored with its mark at the upper left shows it, by Exif's eight orientations.
    1: (0.2, 0.2),
    2: (0.8, 0.2),
    3: (0.8, 0.8),
    4: (0.2, 0.8),
    5: (0.2, 0.2),
    6: (0.8, 0.2),
    7: (0.8, 0.8),
    8: (0.2, 0.8),
}


@pytest.mark.parametrize("orientation", RED_QUARTER)
def test_a_photo_is_shown_upright_however_the_camera_was_held(orientation: int) -> None:
    # B57
    made = decode(picture(orientation=orientation), SMALL)

    assert made.image is not None
    x, y = RED_QUARTER[orientation]
    assert is_red(made.image, x, y)
    assert not is_red(made.image, 1 - x, 1 - y)
    assert (made.image.height() > made.image.width()) == (orientation >= 5)


def test_a_thumbnail_is_no_larger_than_asked_for() -> None:
    made = decode(picture((4000, 3000)), SMALL)

    assert made.image is not None
    assert max(made.image.width(), made.image.height()) == SMALL


def test_what_the_camera_says_of_the_time_is_read() -> None:
    assert taken_at(picture(taken="2026:05:09 14:03:11")) == datetime(2026, 5, 9, 14, 3, 11)


@pytest.mark.parametrize("said", ["", "0000:00:00 00:00:00", "yesterday", "2026:13:40 99:00:00"])
def test_a_time_that_is_none_is_not_made_up(said: str) -> None:
    assert taken_at(picture(taken=said)) is None


def test_a_photo_cut_off_is_told_in_words() -> None:
    made = decode(picture()[:2000], SMALL)

    assert made.image is None
    assert "cannot be read" in made.words


@pytest.mark.parametrize("size", [(8_001, 8_000), (60_000, 60_000)])
def test_a_head_that_claims_too_many_pixels_is_refused_before_anything_is_decoded(
    size: tuple[int, int],
) -> None:
    made = decode(png_that_claims(*size), SMALL)

    assert made.image is None
    assert "too many pixels" in made.words


@pytest.mark.parametrize(
    "data",
    [b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%!PS-Adobe-3.0 EPSF-3.0\n", b"%PDF-1.7", b""],
    ids=["SVG", "EPS", "PDF", "nothing"],
)
def test_what_is_no_photo_is_told_in_words(data: bytes) -> None:
    assert decode(data, SMALL).image is None
    assert taken_at(data) is None


@pytest.mark.parametrize("mode", ["CMYK", "L", "1", "P", "RGBA", "I;16"])
def test_every_way_of_storing_colours_is_shown(mode: str) -> None:
    # B56
    image = Image.new(mode, (40, 30))
    data = io.BytesIO()
    image.save(data, "TIFF")

    assert decode(data.getvalue(), SMALL).image is not None


def test_only_the_first_frame_of_several_is_shown() -> None:
    # B52
    frames = [Image.new("RGB", (40, 30), colour) for colour in ("red", "blue")]
    data = io.BytesIO()
    frames[0].save(data, "GIF", save_all=True, append_images=frames[1:])
    made = decode(data.getvalue(), SMALL)

    assert made.image is not None
    assert is_red(made.image, 0.5, 0.5)


def test_garbage_in_the_tags_of_a_photo_is_let_be() -> None:
    # B58
    data = picture()
    garbage = b"\xff\xe1" + struct.pack(">H", 60_000) + b"Exif\0\0" + b"II*\0\x08\0\0\0" * 7_499
    odd = data[:2] + garbage[: 60_000 + 2] + data[2:]

    assert taken_at(odd) is None
    assert decode(odd, SMALL).image is not None


# stored photos and the cache


@pytest.fixture
def folder(tmp_path: Path, qapp: QApplication) -> Iterator[ProjectFolder]:
    del qapp
    opened = create_project(tmp_path / "search", "Search")
    yield opened.folder
    opened.folder.close()


@pytest.fixture
def cache(tmp_path: Path) -> ThumbnailCache:
    return ThumbnailCache(tmp_path / "thumbnails")


def test_a_stored_photo_is_loaded_and_its_file_stays_as_it_was(
    folder: ProjectFolder, cache: ThumbnailCache
) -> None:
    data = picture()
    photo = add_photo(folder, "ann", data, "bow.jpg")

    assert load_picture(folder, "ann", photo, LARGE, cache).image is not None
    assert Path(folder.root, "boats", "ann", "photos", photo.file).read_bytes() == data


def test_a_thumbnail_comes_from_the_cache_the_second_time(
    folder: ProjectFolder, cache: ThumbnailCache
) -> None:
    photo = add_photo(folder, "ann", picture(), "bow.jpg")
    assert load_picture(folder, "ann", photo, SMALL, cache).image is not None
    Path(folder.root, "boats", "ann", "photos", photo.file).unlink()

    assert load_picture(folder, "ann", photo, SMALL, cache).image is not None
    assert "not in the folder" in load_picture(folder, "ann", photo, LARGE, cache).words


@pytest.mark.parametrize("file", ["../../../secret.jpg", "/etc/passwd", "C:\\x.jpg", ""])
def test_a_reference_that_leads_out_of_the_folder_loads_nothing(
    folder: ProjectFolder, cache: ThumbnailCache, file: str
) -> None:
    photo = Photo("a", file, "../../../evil")

    made = load_picture(folder, "ann", photo, SMALL, cache)

    assert made.image is None
    assert "not in the folder" in made.words


def test_the_cache_drops_what_was_used_longest_ago(tmp_path: Path) -> None:
    image = decode(picture(), SMALL).image
    assert image is not None
    photos = [Photo(str(n), f"{n}.jpg", f"{n}" * 64) for n in range(4)]
    cache = ThumbnailCache(tmp_path / "thumbnails")
    for age, photo in enumerate(photos):
        cache.put(photo, SMALL, image)
        os.utime(cache._file(photo, SMALL), (1_000_000 + age, 1_000_000 + age))
    assert cache.get(photos[0], SMALL) is not None  # of use again, and so the youngest
    one = cache._file(photos[0], SMALL).stat().st_size

    gone = ThumbnailCache(tmp_path / "thumbnails", most_bytes=2 * one).prune()

    assert gone == 2
    assert [cache.get(photo, SMALL) is not None for photo in photos] == [True, False, False, True]


def test_a_cache_that_cannot_be_written_does_no_harm(tmp_path: Path) -> None:
    image = decode(picture(), SMALL).image
    assert image is not None
    (tmp_path / "file").write_text("no folder")
    cache = ThumbnailCache(tmp_path / "file" / "below")

    cache.put(Photo("a", "a.jpg", "a" * 64), SMALL, image)

    assert cache.get(Photo("a", "a.jpg", "a" * 64), SMALL) is None


def test_words_in_a_frame_are_drawn_in_their_colours(qapp: QApplication) -> None:
    del qapp
    made = framed_words("The photo cannot be read.", "#56636E", "#F7F5F0")

    assert made.pixelColor(2, 2).name().upper() == "#F7F5F0"
    assert any(
        made.pixelColor(x, made.height() // 2).lightness() < 150 for x in range(20, made.width())
    )
