"""Edits of what was found: readings, photos, and grades overruled by hand."""

from __future__ import annotations

import dataclasses
import itertools
from datetime import date

from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection, Overruling, Photo, PhotoMark, Reading
from workbench.domain.problem import EntryError
from workbench.domain.project import Project
from workbench.domain.vocabulary import Grade

from .edit import NOTHING, Edit, Put
from .words import is_blank


def _inspection(project: Project, boat_id: str) -> Inspection:
    return project.boats[boat_id].inspection


def _path(boat_id: str, *rest: str) -> tuple[str, ...]:
    return ("boats", boat_id, "inspection", *rest)


def new_reading_id(readings: tuple[Reading, ...], taken: date | None, by: str) -> str:
    """An id for a reading that no other reading of the check has: its day, and a number."""
    stem = taken.isoformat() if taken else "undated"
    taken_ids = {reading.id for reading in readings}
    numbered = (f"{stem}-{number}" for number in itertools.count(1))
    return next(one for one in numbered if one not in taken_ids)


def record_reading(
    project: Project, boat_id: str, check: str, reading: Reading, title: str = ""
) -> Edit:
    """Put a reading on record; one with the id of an earlier one replaces it.

    An empty id is made from the day. Readings of the same person on the same day are one reading:
    the caller passes the id of the one to be replaced.
    """
    before = _inspection(project, boat_id).readings.get(check, ())
    made = reading
    if not reading.id:
        made = dataclasses.replace(reading, id=new_reading_id(before, reading.taken, reading.by))
    after = (*(one for one in before if one.id != made.id), made)
    return Edit(
        f"Reading of {title or check}",
        (Put(_path(boat_id, "readings", check), in_order(after)),),
        f"{boat_id}/{check}/{made.id}",
    )


def in_order(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Readings of one check, the earliest first."""
    return tuple(sorted(readings, key=lambda one: (one.taken or date.min, one.id)))


def remove_reading(
    project: Project, boat_id: str, check: str, reading_id: str, title: str = ""
) -> Edit:
    """Take one reading back."""
    before = _inspection(project, boat_id).readings.get(check, ())
    after = tuple(one for one in before if one.id != reading_id)
    put = Put(_path(boat_id, "readings", check), after or NOTHING)
    return Edit(f"Remove reading of {title or check}", (put,))


def overrule(
    project: Project, boat_id: str, check: str, overruling: Overruling | None, title: str = ""
) -> Edit:
    """Set a grade against the rule's, with its reason; None goes back to the rule.

    Raises
    ------
    EntryError
        When no reason is given.
    """
    if overruling is not None and is_blank(overruling.reason):
        raise EntryError("Say why the rule does not hold here.")
    word = "Overrule" if overruling is not None else "Go back to the rule for"
    put = Put(_path(boat_id, "overrulings", check), NOTHING if overruling is None else overruling)
    return Edit(f"{word} {title or check}", (put,))


def mark_absent(project: Project, boat_id: str, check: str, reason: str, title: str = "") -> Edit:
    """Say that what the check looks at is not fitted on this boat."""
    return overrule(project, boat_id, check, Overruling(Grade.ABSENT, reason), title)


def add_photo(
    project: Project, boat_id: str, photo: Photo, check: str = "", reading_id: str = ""
) -> Edit:
    """Put a photo, whose file is stored already, on record, and in a reading where one is named."""
    inspection = _inspection(project, boat_id)
    puts = [Put(_path(boat_id, "photos", photo.id), photo)]
    if check and reading_id:
        readings = tuple(
            _with_photo(one, photo.id) if one.id == reading_id else one
            for one in inspection.readings.get(check, ())
        )
        puts.append(Put(_path(boat_id, "readings", check), readings))
    return Edit(f"Add photo {photo.original_name or photo.id[:8]}", tuple(puts))


def _with_photo(reading: Reading, photo_id: str) -> Reading:
    if photo_id in reading.photos:
        return reading
    return dataclasses.replace(reading, photos=(*reading.photos, photo_id))


def remove_photo(project: Project, boat_id: str, photo_id: str) -> Edit:
    """Take a photo off record and out of all readings; its file stays for undo and backups."""
    inspection = _inspection(project, boat_id)
    readings = FrozenMap(
        (check, tuple(_without_photo(one, photo_id) for one in all_of_check))
        for check, all_of_check in inspection.readings.items()
    )
    return Edit(
        "Remove photo",
        (
            Put(_path(boat_id, "readings"), readings),
            Put(_path(boat_id, "photos", photo_id), NOTHING),
        ),
    )


def _without_photo(reading: Reading, photo_id: str) -> Reading:
    if photo_id not in reading.photos:
        return reading
    kept = tuple(one for one in reading.photos if one != photo_id)
    return dataclasses.replace(reading, photos=kept)


def change_photo(
    project: Project,
    boat_id: str,
    photo_id: str,
    *,
    caption: str | None = None,
    private: bool | None = None,
    marks: tuple[PhotoMark, ...] | None = None,
) -> Edit:
    """Change the caption, the privacy or the marks of a photo."""
    photo = _inspection(project, boat_id).photos[photo_id]
    changed = dataclasses.replace(
        photo,
        caption=photo.caption if caption is None else caption,
        private=photo.private if private is None else private,
        marks=photo.marks if marks is None else marks,
    )
    return Edit(
        "Photo", (Put(_path(boat_id, "photos", photo_id), changed),), f"{boat_id}/photo/{photo_id}"
    )
