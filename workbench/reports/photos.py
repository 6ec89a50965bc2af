"""Photos as they are handed out: upright pixels on a new picture, without anything else.

A camera writes where and when a picture was taken, with what, and often a second small picture,
into the same file. So a photo is never passed on: its pixels are turned upright, scaled to what
paper can show (at most 1,600 of them on the longer side), pasted on a new picture and saved as a
JPEG that holds nothing but those pixels.

Files may come from strangers. They are decoded in a process of their own, under limits; whatever
cannot be read, and whatever ends that process, gives words in place of the picture.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from .photo_child import COPY, TIME
from .photo_decoding import (
    DAMAGED,
    LONGEST_SIDE,
    NO_HELPER,
    NO_PREVIEW,
    NOT_THERE,
    TOO_LARGE,
    TOO_SLOW,
    ExportCopy,
)
from .photo_helpers import helpers

__all__ = [
    "DAMAGED",
    "LONGEST_SIDE",
    "NOT_THERE",
    "NO_HELPER",
    "NO_PREVIEW",
    "SMALL_SIDE",
    "TOO_LARGE",
    "TOO_SLOW",
    "Darkroom",
    "ExportCopy",
    "NoPhotos",
    "Shelf",
    "export_copy",
    "time_taken",
]

SMALL_SIDE = 760
"""Enough for a picture 85 mm wide; one size for most places lets a file hold each photo once."""


class Shelf(Protocol):
    """Where photos are fetched from."""

    def photo(self, boat: str, file: str) -> bytes | None:
        """The bytes of a boat's photo; None when it is not there."""


class NoPhotos:
    """A shelf without photos, for sheets that show none."""

    def photo(self, boat: str, file: str) -> bytes | None:
        """Nothing."""
        del boat, file
        return None


def _nothing() -> None:
    """What is done while a photo is made when nothing else is."""


def export_copy(
    data: bytes | None,
    longest_side: int = LONGEST_SIDE,
    meanwhile: Callable[[], None] = _nothing,
) -> ExportCopy:
    """The copy of a photo that may be handed out, at most `longest_side` pixels long.

    `meanwhile` is called several times a second while it is made, and may raise to stop it.
    """
    if data is None:
        return ExportCopy(b"", words=NOT_THERE)
    return helpers().ask(COPY, data, min(longest_side, LONGEST_SIDE), meanwhile)


def time_taken(data: bytes) -> str:
    """When the camera says a photo was taken, as Exif writes it; empty where it does not."""
    answer = helpers().ask(TIME, data, LONGEST_SIDE)
    return "" if answer.words else answer.jpeg.decode("ascii", "replace")


class Darkroom:
    """Export copies of one sheet's photos, each made once.

    Parameters
    ----------
    shelf
        Where the photos lie.
    stop_if_asked
        Called before each photo and while it is made, so that a person can stop it.
    """

    def __init__(self, shelf: Shelf, stop_if_asked: Callable[[], None] = _nothing) -> None:
        self._shelf = shelf
        self._stop_if_asked = stop_if_asked
        self._made: dict[tuple[str, str, int], ExportCopy] = {}

    def copy(self, boat: str, file: str, longest_side: int) -> ExportCopy:
        """The export copy of a boat's photo, for a place of about so many pixels."""
        size = SMALL_SIDE if longest_side <= SMALL_SIDE else LONGEST_SIDE
        key = (boat, file, size)
        if key not in self._made:
            self._stop_if_asked()
            data = self._shelf.photo(boat, file)
            self._made[key] = export_copy(data, size, self._stop_if_asked)
        return self._made[key]
