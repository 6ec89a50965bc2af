"""A day as a person types it: 2026-05-09, the locale's short or long form, or a month and year.

Two-digit years are read as of this century and the fifty years before it; a month without a day is
its first.
"""

from __future__ import annotations

import re
from datetime import date

from PySide6.QtCore import QDate, QLocale

from workbench.domain.problem import EntryError
from workbench.window.texts import tr

_MONTH = re.compile(r"^(?P<year>\d{4})[-/.](?P<month>\d{1,2})$")
_FIRST_OF_TWO_DIGITS = 1976


def read_day(text: str) -> date | None:
    """The day typed; None for nothing.

    Raises
    ------
    EntryError
        With a sentence for the field.
    """
    tidy = text.strip()
    if not tidy:
        return None
    found = _iso(tidy) or _month(tidy) or _by_locale(tidy)
    if found is None:
        raise EntryError(tr("“{text}” is no day. Write one such as 2026-05-09.").format(text=tidy))
    return found


def _iso(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _month(text: str) -> date | None:
    match = _MONTH.match(text)
    if match is None or not 1 <= int(match["month"]) <= 12:
        return None
    return date(int(match["year"]), int(match["month"]), 1)


def _by_locale(text: str) -> date | None:
    locale = QLocale()
    for form in (QLocale.FormatType.ShortFormat, QLocale.FormatType.LongFormat):
        day: QDate = locale.toDate(text, form, _FIRST_OF_TWO_DIGITS)
        if day.isValid():
            return date(day.year(), day.month(), day.day())
    return None
