"""Photos as they are handed out: upright pixels on a new picture, without anything else.

A camera writes where and when a picture was taken, with what, and often a second small picture,
into the same file. So a photo is never passed on: its pixels are turned upright, scaled to what
paper can show (at most 1,600 of them on the longer side), pasted on a new picture and saved as a
JPEG that holds nothing but those pixels.

Files may come from strangers. Only the few formats that phones and cameras write are opened, and
only up to a number of pixels; whatever cannot be read gives words in place of the picture.
"""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Protocol

from workbench.domain.record import dataclass

if TYPE_CHECKING:
    from PIL import Image

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "GIF", "HEIF")
"""The allow-list; the library itself would open more than forty."""
MOST_PIXELS = 150_000_000
LONGEST_SIDE = 1_600
SMALL_SIDE = 760
"""Enough for a picture 85 mm wide; one size for most places lets a file hold each photo once."""
QUALITY = 82
NOT_THERE = "The photo is not in the folder."
DAMAGED = "The photo cannot be read."
TOO_LARGE = "The photo has too many pixels."


class Shelf(Protocol):
    """Where photos are fetched from."""

    def photo(self, boat: str, file: str) -> bytes | None:
        """The bytes of a boat's photo; None when it is not there."""


@dataclass(frozen=True, slots=True)
class ExportCopy:
    """A photo as it is handed out.

    Attributes
    ----------
    jpeg
        The file's bytes; empty when there is no picture to show.
    words
        What stands in its place then.
    """

    jpeg: bytes
    width: int = 0
    height: int = 0
    words: str = ""


class NoPhotos:
    """A shelf without photos, for sheets that show none."""

    def photo(self, boat: str, file: str) -> bytes | None:
        """Nothing."""
        del boat, file
        return None


def export_copy(data: bytes | None, longest_side: int = LONGEST_SIDE) -> ExportCopy:
    """The copy of a photo that may be handed out, at most `longest_side` pixels long."""
    if data is None:
        return ExportCopy(b"", words=NOT_THERE)
    _know_heif()
    try:
        with warnings.catch_warnings():
            # What the library only warns of (large pictures, odd tags) is decided here.
            warnings.simplefilter("ignore")
            return _copied(data, min(longest_side, LONGEST_SIDE))
    except _TooLargeError:
        return ExportCopy(b"", words=TOO_LARGE)
    except _DECODERS_RAISE:
        return ExportCopy(b"", words=DAMAGED)


class _TooLargeError(Exception):
    """A picture with more pixels than are decoded."""


_DECODERS_RAISE = (
    *(OSError, ValueError, SyntaxError, LookupError, TypeError, AttributeError),
    *(ArithmeticError, EOFError, MemoryError, RuntimeError, AssertionError),
    *(struct.error, zlib.error),
)
"""What the decoders raise for files that are cut off, damaged, or made to harm."""


def _copied(data: bytes, longest_side: int) -> ExportCopy:
    from PIL import Image, ImageOps  # noqa: PLC0415 - sheets without photos need no decoder

    try:
        found = Image.open(io.BytesIO(data), formats=FORMATS)
    except Image.DecompressionBombError as error:
        raise _TooLargeError from error
    with found as opened:
        if opened.width * opened.height > MOST_PIXELS:
            raise _TooLargeError
        box = (longest_side, longest_side)
        opened.draft("RGB", box)  # a JPEG is decoded at about the size that is needed
        opened.load()
        opened.thumbnail(box)
        upright = ImageOps.exif_transpose(opened)
        bare = _on_new_picture(upright)
    kept = io.BytesIO()
    bare.save(kept, "JPEG", quality=QUALITY)
    return ExportCopy(kept.getvalue(), bare.width, bare.height)


def _on_new_picture(image: Image.Image) -> Image.Image:
    """The pixels on a new white RGB picture that has no other data."""
    from PIL import Image  # noqa: PLC0415 - see above

    bare = Image.new("RGB", image.size, "white")
    if image.has_transparency_data:
        solid = image.convert("RGBA")
        bare.paste(solid, (0, 0), solid)
    else:
        bare.paste(image.convert("RGB"))
    return bare


@cache
def _know_heif() -> None:
    """Let the decoder read what newer phones write."""
    import pi_heif  # noqa: PLC0415 - half a second that only sheets with photos pay

    pi_heif.register_heif_opener()


class Darkroom:
    """Export copies of one sheet's photos, each made once.

    Parameters
    ----------
    shelf
        Where the photos lie.
    before_each
        Called before each photo is made, so that a person can stop it.
    """

    def __init__(self, shelf: Shelf, before_each: Callable[[], None] = lambda: None) -> None:
        self._shelf = shelf
        self._before_each = before_each
        self._made: dict[tuple[str, str, int], ExportCopy] = {}

    def copy(self, boat: str, file: str, longest_side: int) -> ExportCopy:
        """The export copy of a boat's photo, for a place of about so many pixels."""
        size = SMALL_SIDE if longest_side <= SMALL_SIDE else LONGEST_SIDE
        key = (boat, file, size)
        if key not in self._made:
            self._before_each()
            self._made[key] = export_copy(self._shelf.photo(boat, file), size)
        return self._made[key]
