"""The field form of one boat as a spreadsheet: filled in on a phone or tablet, it comes back.

    write_form(boat, catalogue, day, target, imperial=False)

One row for each answer of each check that applies, in walking order. The first, narrow column
names the row (`incoming.row_names`), so a form comes back whatever was sorted or added. Choices are
drop-downs, numbers carry their unit and sensible limits, and the cautions of a place stand where
its checks begin. It is the buyer's own sheet and holds no price, no budget and no private note.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import IO

from workbench.catalogue.model import Catalogue, Check, Entry, Station
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.figures.assessment import BoatAssessment
from workbench.figures.findings import Finding

from .incoming import row_names as names
from .spreadsheet_sheet import FillIn
from .views import boat_words, reading_words
from .words import clipped, counted, day

_WIDTHS = (1.6, 26, 32, 18, 9, 20, 26, 8, 12, 11, 90, 24, 8)
_AT = {head: at for at, head in enumerate(names.FORM_HEADS)}
_REASONS = (
    *(names.NOT_FITTED, "locked", "no access", "covered up", "too dark", "not afloat"),
    *("owner said no", "no time"),
)
_RULES = (
    "A boat ashore stands on props and can fall: never lean on, climb on or move one.",
    "Ask the owner before you turn, open or take apart anything.",
    "This is a look by a buyer, not a survey.",
)
_HOW_TO_FILL = (
    "Fill in the tinted cells. Leave what you did not look at; say why where you could not see. "
    "A number may carry its own unit, as in 1/32 in."
)
_HOW_LONG_AT_MOST = 265
_UNIT_WORDS = {"count": "pieces", "calendar year": "year", "index": "on its scale"}
_YEARS = (1800, 1)


def write_form(
    boat: BoatAssessment, catalogue: Catalogue, on: date, target: IO[bytes], *, imperial: bool
) -> None:
    """Write the form of one boat.

    Parameters
    ----------
    on
        The day it is printed.
    imperial
        Whether lengths and the like are asked for in inches and feet.
    """
    record = boat.candidate.boat
    book = FillIn(f"{record.name}: field form", on)
    book.begin("Readings", names.FORM_HEADS, _WIDTHS)
    writer = _Writer(book, on, imperial=imperial)
    writer.head(boat, catalogue)
    for station, findings in _stations(boat, catalogue):
        writer.station(station, findings, catalogue)
        for finding in findings:
            writer.check(finding, station)
    book.write(target, writer.row, len(names.FORM_HEADS))


def _stations(
    boat: BoatAssessment, catalogue: Catalogue
) -> Iterator[tuple[Station, list[Finding]]]:
    """Stations in walking order with their checks."""
    for station in sorted(catalogue.stations.values(), key=lambda one: one.order):
        here = [one for one in boat.findings if one.check.station == station.id]
        if here:
            yield station, here


class _Writer:
    """Writes row after row of one form."""

    def __init__(self, book: FillIn, on: date, *, imperial: bool) -> None:
        self._book, self._on, self._imperial = book, on, imperial
        self.row = 1

    def _put(self, head: str, text: str, look: str = "text") -> None:
        self._book.text(self.row, _AT[head], text, look)

    def _name(self, name: str) -> None:
        self._put(names.ROW, name, "name")

    def _high_enough(self, *said: tuple[str, str]) -> None:
        self._book.height(self.row, *((text, _WIDTHS[_AT[head]]) for head, text in said))

    def head(self, boat: BoatAssessment, catalogue: Catalogue) -> None:
        """Which boat, who looks, when, and what holds everywhere."""
        record = boat.candidate.boat
        self._name(names.readings_form(record.id))
        self._put(names.CHECK, record.name, "title")
        minutes = sum(one.check.minutes for one in boat.findings)
        about = (
            f"{boat_words(record, catalogue)}. {counted(len(boat.findings), 'check')}, about "
            f"{minutes // 60} h {minutes % 60} min. Printed {day(self._on)}."
        )
        self._put(names.ENTER, about)
        self._put(names.LOOK, _HOW_TO_FILL)
        self._high_enough((names.ENTER, about))
        self.row += 1
        self._blank_for(names.BY, "Who looks", "blank-text", "Your name, once for the whole form.")
        self._blank_for(names.DATE, "On which day", "blank-day", "As in 2026-05-31.")
        for rule in _RULES:
            self._caution("Everywhere", rule)

    def _blank_for(self, name: str, label: str, look: str, hint: str) -> None:
        self._name(name)
        self._put(names.CHECK, label)
        self._put(names.ENTER, hint, "quiet")
        at = _AT[names.VALUE]
        self._book.blank(self.row, at, look)
        if look == "blank-day":
            self._book.day(self.row, at, (label, hint))
        else:
            self._book.hint(self.row, at, (label, hint))
        self.row += 1

    def _caution(self, title: str, text: str) -> None:
        self._put(names.CHECK, f"Caution: {title}", "caution")
        self._put(names.ENTER, text, "caution-text")
        self._high_enough((names.CHECK, title), (names.ENTER, text))
        self.row += 1

    def station(self, station: Station, findings: list[Finding], catalogue: Catalogue) -> None:
        """The head of a station with the cautions of that place."""
        minutes = sum(one.check.minutes for one in findings)
        self._put(names.CHECK, station.label, "station")
        what = f"{counted(len(findings), 'check')}, about {minutes} min"
        self._put(names.LOOK, what, "quiet")
        self.row += 1
        wanted = dict.fromkeys(name for one in findings for name in one.check.cautions)
        for name in wanted:
            if name in catalogue.cautions:
                caution = catalogue.cautions[name]
                self._caution(caution.title, caution.text)

    def check(self, finding: Finding, station: Station) -> None:
        """A row for each answer of a check."""
        for at, entry in enumerate(finding.check.entries):
            self._entry(finding, entry, station, is_first=at == 0)
            self.row += 1

    def _entry(self, finding: Finding, entry: Entry, station: Station, *, is_first: bool) -> None:
        check = finding.check
        unit = entry.imperial_unit if self._imperial and entry.imperial_unit else entry.unit
        self._name(names.answer(check.id, entry.id))
        self._put(names.CHECK, check.title, "text" if is_first else "quiet")
        limits = _limits(entry, unit, self._on)
        asked = _asked(entry, unit, limits)
        self._put(names.ENTER, asked)
        self._put(names.UNIT, _UNIT_WORDS.get(unit, unit), "quiet")
        look = _how_to_look(finding) if is_first else ""
        self._put(names.LOOK, look)
        self._put(names.PLACE, station.label, "quiet")
        self._put(names.MINUTES, str(check.minutes) if is_first else "", "quiet")
        self._value(check, entry, unit, limits)
        self._remarks()
        self._high_enough((names.CHECK, check.title), (names.ENTER, asked), (names.LOOK, look))

    def _value(
        self, check: Check, entry: Entry, unit: str, limits: tuple[float, float] | None
    ) -> None:
        at = _AT[names.VALUE]
        hint = (entry.label, clipped(" ".join((entry.help, *check.steps)), 250))
        is_text = entry.kind in ("choice", "text")
        self._book.blank(self.row, at, "blank-text" if is_text else "blank")
        if entry.kind == "choice":
            labels = [one.label for one in entry.choices]
            self._book.choices(self.row, at, labels, hint, only=True)
        elif limits is None:
            self._book.hint(self.row, at, hint)
        else:
            between = f"Between {limits[0]:g} and {limits[1]:g} {_UNIT_WORDS.get(unit, unit)}."
            message = f"{between} Another unit may be written behind the number."
            is_year = entry.kind == "year"
            self._book.limits(self.row, at, limits, hint, message, whole=is_year)

    def _remarks(self) -> None:
        self._book.blank(self.row, _AT[names.WHY], "blank-text")
        self._book.choices(
            self.row,
            _AT[names.WHY],
            _REASONS,
            ("Could not see", "Say why, in your own words or from the list."),
            only=False,
        )
        self._book.blank(self.row, _AT[names.NOTES], "blank-text")
        self._book.blank(self.row, _AT[names.UNSURE], "blank-text")
        self._book.choices(
            self.row,
            _AT[names.UNSURE],
            ("x",),
            ("Not sure", "An x where you doubt what you saw."),
            only=False,
        )
        self._book.blank(self.row, _AT[names.BY_HEAD], "blank-text")
        self._book.blank(self.row, _AT[names.DAY_HEAD], "blank-day")


def _asked(entry: Entry, unit: str, limits: tuple[float, float] | None) -> str:
    """What is asked, with its sensible limits."""
    if limits is None or entry.kind == "year":
        return entry.label
    named = "" if unit == "count" else f" {_UNIT_WORDS.get(unit, unit)}"
    return f"{entry.label} ({limits[0]:g} to {limits[1]:g}{named})"


def _limits(entry: Entry, unit: str, on: date) -> tuple[float, float] | None:
    """Sensible limits in the unit that is asked for; None for none."""
    if entry.kind == "year":
        low = float(entry.low) if entry.low is not None else _YEARS[0]
        high = float(entry.high) if entry.high is not None else on.year + _YEARS[1]
        return max(low, _YEARS[0]), min(high, on.year + _YEARS[1])
    if entry.kind != "number" or entry.low is None or entry.high is None:
        return None
    try:
        low, high = (Quantity(one, entry.unit).value(unit) for one in (entry.low, entry.high))
    except EntryError:
        low, high = float(entry.low), float(entry.high)
    return float(f"{low:.4g}"), float(f"{high:.4g}")


def _how_to_look(finding: Finding) -> str:
    """The steps in short, and the earlier reading where there is one."""
    steps = clipped(" ".join(finding.check.steps), _HOW_LONG_AT_MOST)
    reading = finding.counting.reading if finding.counting else None
    if reading is None:
        return steps
    on = f" on {day(reading.taken)}" if reading.taken else ""
    return f"{steps} Read{on}: {reading_words(finding.check, reading)}."
