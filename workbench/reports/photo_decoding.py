"""What is done with the bytes of a photo, in whichever process: looked at, decoded, laid bare.

Only the few formats that phones and cameras write are opened, and only up to a number of pixels
that is read in the file's head before anything is decoded. The program itself never decodes a
photo; it asks a process of its own to (`photo_helpers`), and these limits are that one's second
line.
"""

from __future__ import annotations

import io
import re
import struct
import warnings
import zlib
from functools import cache
from typing import TYPE_CHECKING

from workbench.domain.record import dataclass

if TYPE_CHECKING:
    from PIL import Image

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "GIF", "HEIF")
"""The allow-list; the library itself would open more than forty."""
MOST_PIXELS_JPEG = 200_000_000
MOST_PIXELS_OTHER = 64_000_000
"""A JPEG is decoded at about the size that is wanted; everything else has to be decoded whole."""
LONGEST_SIDE = 1_600
QUALITY = 82
NOT_THERE = "The photo is not in the folder."
DAMAGED = "The photo cannot be read."
TOO_LARGE = "The photo has too many pixels."
NO_PREVIEW = "There is no preview of this kind of photo; its file is kept."
TOO_SLOW = "Reading the photo took too long."
NO_HELPER = "The photo cannot be shown now; close other programs and try again."

_TAKEN = (0x9003, 0x9004)
_CHANGED = 0x0132
_EXIF = 0x8769
"""Exif 2.32: DateTimeOriginal, DateTimeDigitized, DateTime, and where the first two are found."""
_MOMENT = re.compile(r"[0-9]{4}:[0-9]{2}:[0-9]{2} [0-9]{2}:[0-9]{2}:[0-9]{2}")
_HEIF_SIGN = re.compile(rb"....ftyp", re.DOTALL)
_AVIF_SIGN = re.compile(rb"....ftypavi[fs]", re.DOTALL)
"""ISO/IEC 14496-12: the size and kind of the box that such a file begins with, then its brand."""
DECODERS_RAISE = (
    *(OSError, ValueError, SyntaxError, LookupError, TypeError, AttributeError),
    *(ArithmeticError, EOFError, MemoryError, RuntimeError, AssertionError),
    *(struct.error, zlib.error),
)
"""What the decoders raise for files that are cut off, damaged, or made to harm."""


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


class _TooLargeError(Exception):
    """A picture with more pixels than are decoded."""


def bare_copy(data: bytes, longest_side: int) -> ExportCopy:
    """The upright pixels of a photo as a new JPEG, at most `longest_side` pixels long."""
    if _AVIF_SIGN.match(data):
        return ExportCopy(b"", words=NO_PREVIEW)
    try:
        with warnings.catch_warnings():
            # What the library only warns of (large pictures, odd tags) is decided here.
            warnings.simplefilter("ignore")
            return _copied(data, min(longest_side, LONGEST_SIDE))
    except _TooLargeError:
        return ExportCopy(b"", words=TOO_LARGE)
    except DECODERS_RAISE:
        return ExportCopy(b"", words=DAMAGED)


def camera_time(data: bytes) -> str:
    """When the camera says the photo was taken, as Exif writes it; empty where it does not."""
    try:
        with warnings.catch_warnings():
            # What the library only warns of (large pictures, odd tags) says nothing of the time.
            warnings.simplefilter("ignore")
            with _opened(data) as image:
                exif = image.getexif()
                inner = exif.get_ifd(_EXIF)
                said = [*(inner.get(tag) for tag in _TAKEN), exif.get(_CHANGED)]
    except (*DECODERS_RAISE, _TooLargeError):
        return ""  # odd tags do not make a photo less of one
    texts = (one.strip("\0 ") for one in said if isinstance(one, str))
    return next((one for one in texts if _MOMENT.fullmatch(one)), "")


def _opened(data: bytes) -> Image.Image:
    """The picture with its head read, and nothing decoded."""
    from PIL import Image  # noqa: PLC0415 - what only imports the words needs no decoder

    if _HEIF_SIGN.match(data):
        _know_heif()
    try:
        found = Image.open(io.BytesIO(data), formats=FORMATS)
    except Image.DecompressionBombError as error:
        raise _TooLargeError from error
    most = MOST_PIXELS_JPEG if found.format == "JPEG" else MOST_PIXELS_OTHER
    if found.width * found.height > most:
        found.close()
        raise _TooLargeError
    return found


def _copied(data: bytes, longest_side: int) -> ExportCopy:
    from PIL import ImageOps  # noqa: PLC0415 - see above

    with _opened(data) as opened:
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
    import pi_heif  # noqa: PLC0415 - only where there is such a photo

    pi_heif.register_heif_opener()
