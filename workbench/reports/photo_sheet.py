"""The photo sheet of one boat: every photo that may be shown, by system, with what it shows.

Private photos are left out. Pictures are export copies: nothing of where or with what they were
taken goes along.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from workbench.catalogue.model import Catalogue
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade
from workbench.figures.assessment import BoatAssessment

from .document import Block, Document, Photo, Photos, Prose, TitleBlock
from .parts import photo_of
from .views import Seen, ShownPhoto, boat_words, seen
from .words import GRADE_WORDS, capital, counted, day

ACROSS = 2


@dataclass(frozen=True, slots=True)
class PhotoView:
    """All that the photo sheet may say: photos with their findings, and photos of none."""

    boat: str
    words: str
    on: date
    shown: tuple[Seen, ...]
    others: tuple[ShownPhoto, ...]


def photo_view(boat: BoatAssessment, catalogue: Catalogue, on: date) -> PhotoView:
    """The photos of a boat that are not private."""
    inspection = boat.candidate.inspection
    found = [seen(one, boat.id, inspection, catalogue) for one in boat.findings]
    with_photos = tuple(one for one in found if one.photos)
    used = {photo.file for one in with_photos for photo in one.photos}
    others = tuple(
        ShownPhoto(boat.id, one.file, one.caption, one.marks)
        for one in inspection.photos.values()
        if not one.private and one.file not in used
    )
    record = boat.candidate.boat
    return PhotoView(record.name, boat_words(record, catalogue), on, with_photos, others)


def photo_document(view: PhotoView) -> Document:
    """The sheet."""
    number = sum(len(one.photos) for one in view.shown) + len(view.others)
    blocks: list[Block] = [TitleBlock("Photo sheet", view.boat, view.words)]
    blocks.append(
        Prose(f"{counted(number, 'photo')}." if number else "There are no photos of her.")
    )
    photos = (*_captioned(view.shown), *map(photo_of, view.others))
    if photos:
        blocks.append(Photos(photos, ACROSS))
    return Document(
        title=f"{view.boat}: photos",
        subject="Photos",
        foot=f"{view.boat}, photos, {day(view.on)}",
        blocks=tuple(blocks),
    )


def _captioned(found: Sequence[Seen]) -> tuple[Photo, ...]:
    """Each photo once, with the system and finding that it belongs to before its own caption."""
    made: dict[str, Photo] = {}
    for one in found:
        for photo in one.photos:
            said = [one.system, _finding_words(one), photo.caption]
            plain = photo_of(photo)
            words = ". ".join(capital(part.rstrip(".")) for part in said if part)
            made.setdefault(photo.file, Photo(plain.boat, plain.file, f"{words}.", plain.marks))
    return tuple(made.values())


def _finding_words(one: Seen) -> str:
    return one.title if one.grade is Grade.UNSEEN else f"{one.title}: {GRADE_WORDS[one.grade]}"
