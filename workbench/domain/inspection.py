"""What was found on one boat: readings by check, photos, and grades overruled by hand."""

from __future__ import annotations

from datetime import date, datetime

from workbench.domain.record import dataclass

from .frozen import FrozenMap
from .quantity import Quantity
from .vocabulary import Grade, Sight


@dataclass(frozen=True, slots=True)
class PhotoMark:
    """A ring drawn on a photo: centre and radius as shares of width, height and width."""

    x: float
    y: float
    radius: float
    label: str = ""
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture kept as it came, named by the content of its file.

    Attributes
    ----------
    id
        First 40 hexadecimal digits of the SHA-256 of the file.
    file
        Name of the file below the boat's `photos/`.
    taken
        When the camera says it was taken, in the camera's own time; None when it does not say.
    private
        Not to be shown to anybody else.
    """

    id: str
    file: str
    sha256: str
    original_name: str = ""
    caption: str = ""
    taken: datetime | None = None
    private: bool = False
    marks: tuple[PhotoMark, ...] = ()
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Reading:
    """What one person found for one check on one day.

    Attributes
    ----------
    values
        By entry id: a measured quantity, or the id of a choice, or text.
    sight
        Seen, looked for but could not be seen, or not fitted on this boat.
    sure
        False when the person doubts what they saw; the finding then counts as a chance.
    note
        May be shown to the seller.
    private_note
        For the buyer only.
    reason
        Why it could not be seen.
    photos
        Ids of photos in the same inspection.
    """

    id: str
    values: FrozenMap[str, Quantity | str] = FrozenMap()
    sight: Sight = Sight.SEEN
    sure: bool = True
    note: str = ""
    private_note: str = ""
    reason: str = ""
    photos: tuple[str, ...] = ()
    taken: date | None = None
    by: str = ""
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Overruling:
    """A grade set by a person against the rule's, with the reason; always shown as such."""

    grade: Grade
    reason: str
    by: str = ""
    on: date | None = None
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Inspection:
    """All that was looked at on one boat."""

    readings: FrozenMap[str, tuple[Reading, ...]] = FrozenMap()
    overrulings: FrozenMap[str, Overruling] = FrozenMap()
    photos: FrozenMap[str, Photo] = FrozenMap()
    extra: FrozenMap[str, object] = FrozenMap()
