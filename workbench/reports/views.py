"""What of a finding may be shown to somebody else, field by field.

A sheet for other eyes is never built from the project. It is built from a view: a record that
holds the fields named here and nothing else, so that whatever is added to the project later stays
inside until somebody adds it here. Left out on purpose: what a fault leads to (the catalogue says
that to the buyer, with advice), who looked, private notes, why a grade was overruled, private
photos and photos of no reading, chances and allowances.
"""

from __future__ import annotations

from collections.abc import Container
from datetime import date
from typing import TypeAlias

from workbench.catalogue.model import Catalogue, Check
from workbench.domain.boat import Boat
from workbench.domain.inspection import Inspection, PhotoMark, Reading
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade, Sight
from workbench.figures.findings import Finding

from .words import UNITLESS, capital, counted, day, listed, lower, measured

Particulars: TypeAlias = tuple[tuple[str, str], ...]
"""(label, words) of what is known of a boat."""


@dataclass(frozen=True, slots=True)
class ShownPhoto:
    """A photo that may be shown: her boat's id and its file, to fetch it by; caption and rings."""

    boat: str
    file: str
    caption: str
    marks: tuple[PhotoMark, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """A finding as it may be shown to others.

    Attributes
    ----------
    reading
        What was read, in one line; other people's differing readings after it.
    note
        The note that the buyer wrote for others to read.
    why_unseen
        Why it could not be seen; empty when nobody looked.
    by_hand
        Whether the grade was set by hand and not by the rule.
    certain
        False where the person who looked was not sure or could only partly judge.
    who, when_who
        Who should confirm it, and in what case.
    """

    check: str
    title: str
    part: str
    system: str
    station: str
    grade: Grade
    reading: str
    taken: date | None
    note: str
    why_unseen: str
    meaning: str
    by_hand: bool
    certain: bool
    who: str
    when_who: str
    photos: tuple[ShownPhoto, ...]
    drawing: str


def seen(finding: Finding, boat_id: str, inspection: Inspection, catalogue: Catalogue) -> Seen:
    """What may be shown of one finding."""
    check = finding.check
    counting = finding.counting.reading if finding.counting else None
    system = catalogue.systems.get(check.system)
    station = catalogue.stations.get(check.station)
    return Seen(
        check=check.id,
        title=check.title,
        part=check.part,
        system=system.title if system else "",
        station=station.label if station else "",
        grade=finding.grade,
        reading=_readings_words(finding, counting),
        taken=counting.taken if counting else None,
        note=counting.note if counting else "",
        why_unseen=finding.reason_unseen if finding.grade is Grade.UNSEEN else "",
        meaning=check.meaning.get(finding.grade, ""),
        by_hand=finding.overruling is not None,
        certain=finding.certain or finding.grade in (Grade.SOUND, Grade.ABSENT),
        who=check.handover.who,
        when_who=check.handover.when,
        photos=_photos_of(finding, boat_id, inspection),
        drawing=check.drawing,
    )


def _readings_words(finding: Finding, counting: Reading | None) -> str:
    """The reading that counts, and the last ones of other people where they differ."""
    if counting is None:
        return ""
    said = reading_words(finding.check, counting)
    if not finding.disagree:
        return said
    others = {
        reading_words(finding.check, one.reading)
        for one in finding.judged
        if one.reading is not counting and one.reading.sight is Sight.SEEN
    } - {said}
    return f"{said}; another reading: {listed(sorted(others))}" if others else said


def reading_words(check: Check, reading: Reading) -> str:
    """A reading in one line: values with units and labels, choices by their words."""
    if reading.sight is Sight.NOT_FITTED:
        return "not fitted"
    if reading.sight is Sight.NOT_SEEN:
        return reading.reason or "could not be seen"
    parts: list[str] = []
    for entry in check.entries:
        value = reading.values.get(entry.id)
        if isinstance(value, Quantity):
            named = len(check.entries) > 1 or value.unit in UNITLESS
            label = f"{lower(entry.label)}: " if named else ""
            parts.append(f"{label}{measured(value)}")
        elif value:
            parts.append(next((one.label for one in entry.choices if one.id == value), value))
    return capital(", ".join(parts))


def _photos_of(finding: Finding, boat_id: str, inspection: Inspection) -> tuple[ShownPhoto, ...]:
    """The photos of a finding's readings that are not private, each once."""
    wanted = dict.fromkeys(name for one in finding.judged for name in one.reading.photos)
    found = (inspection.photos.get(name) for name in wanted)
    return tuple(
        ShownPhoto(boat_id, photo.file, photo.caption, photo.marks)
        for photo in found
        if photo is not None and not photo.private
    )


def boat_words(boat: Boat, catalogue: Catalogue) -> str:
    """A boat in a few words: 31 ft sloop of 1979, Invented 31 by North Shed."""
    length = boat.dimensions.get("loa")
    rig = _fact_words(boat, catalogue, "rig")
    kind = " ".join(part for part in (measured(length) if length else "", rig or "boat") if part)
    year = f" of {boat.year}" if boat.year else ""
    made = " by ".join(part for part in (boat.design, boat.builder) if part)
    return capital(kind + year + (f", {made}" if made else ""))


def particulars(
    boat: Boat, catalogue: Catalogue, wanted: Container[str] | None = None
) -> Particulars:
    """What is known of her, sizes first, in the catalogue's order; of `wanted` ids where given."""
    sizes = [
        (one.label, measured(boat.dimensions[name]))
        for name, one in catalogue.dimensions.items()
        if name in boat.dimensions and (wanted is None or name in wanted)
    ]
    fitted = [
        (one.label, _fact_words(boat, catalogue, name))
        for name, one in catalogue.facts.items()
        if wanted is None or name in wanted
    ]
    return (*sizes, *((label, words) for label, words in fitted if words))


def _fact_words(boat: Boat, catalogue: Catalogue, name: str) -> str:
    """The words of a fit-out fact that was stated; empty when it was not."""
    fact = catalogue.facts.get(name)
    stated = boat.facts.get(name)
    if fact is None or stated is None:
        return ""
    return next((one.label for one in fact.choices if one.id == stated), "")


def looked_on(inspection: Inspection) -> tuple[date, ...]:
    """The days on which somebody read something, in order."""
    taken = {one.taken for all_of in inspection.readings.values() for one in all_of if one.taken}
    return tuple(sorted(taken))


def price_book_words(catalogue: Catalogue) -> str:
    """What an estimate rests on, such as: price book of 1 March 2026, middling yard region."""
    book = catalogue.prices
    try:
        dated = day(date.fromisoformat(book.dated))
    except ValueError:
        dated = book.dated
    return f"price book of {dated}" + (f", {book.region}" if book.region else "")


def looked_words(looked: int, checks: int) -> str:
    """How much was looked at."""
    return f"{looked} of {counted(checks, 'thing')} looked at"
