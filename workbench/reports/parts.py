"""Small parts that several sheets share."""

from __future__ import annotations

from .document import Photo
from .views import ShownPhoto


def photo_of(shown: ShownPhoto) -> Photo:
    """A photo that may be shown, as a block shows it."""
    return Photo(shown.boat, shown.file, shown.caption, shown.marks)
