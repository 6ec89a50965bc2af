"""The names of the rows and fields of a form, the same in the spreadsheet and in the fillable PDF.

A row of a field form is named `check/entry`; what belongs to a whole check has a name of its own in
place of the entry, and what belongs to the whole form stands under `form`. Names, never positions,
say what an answer is, so rows may be sorted and columns added before a form comes back.

    form/readings/1/<boat>      which form this is, for which boat (its value is never read)
    form/by, form/date          who looked, and on which day
    form/units                  metric or imperial: the units of bare numbers, in a PDF
    <check>/<entry>             one answer
    <check>/not-seen            why it could not be seen; “not fitted” when she has none
    <check>/note                a note that may be shown to others
    <check>/not-sure            anything but nothing, no or off: whoever looked was not sure
    <check>/sight               not seen, not fitted or not sure, in one field
    <check>/<entry>/<choice>    one box of a choice that is ticked, in a PDF

    quote/request/1/<boat>      a request for a quote
    quote/yard, quote/date, quote/valid-until, quote/currency, quote/tax, quote/hour
    quote/all                   one price for all the work
    <line key>, access/<task>   one job to be priced
"""

from __future__ import annotations

READINGS = "form/readings/1"
QUOTE = "quote/request/1"
BY, DATE, UNITS = "form/by", "form/date", "form/units"
METRIC, IMPERIAL = "metric", "imperial"
NOT_SEEN, NOTE, NOT_SURE, SIGHT = "not-seen", "note", "not-sure", "sight"
NOT_FITTED, WAS_NOT_SEEN, WAS_NOT_SURE = "not fitted", "not seen", "not sure"
YARD, QUOTED_ON, VALID_UNTIL = "quote/yard", "quote/date", "quote/valid-until"
CURRENCY, TAX, HOUR, ALL_WORK = "quote/currency", "quote/tax", "quote/hour", "quote/all"
QUOTE_HEADS = (YARD, QUOTED_ON, VALID_UNTIL, CURRENCY, TAX, HOUR, ALL_WORK)


def readings_form(boat: str) -> str:
    """The name by which a form says that it holds readings of a boat."""
    return f"{READINGS}/{boat}"


def quote_request(boat: str) -> str:
    """The name by which a sheet says that it is a request for a quote for a boat."""
    return f"{QUOTE}/{boat}"


def answer(check: str, entry: str) -> str:
    """The name of one answer."""
    return f"{check}/{entry}"


def boat_of(name: str, start: str) -> str | None:
    """The boat that a form's own name names; None when it is no such name."""
    return name[len(start) + 1 :] if name.startswith(f"{start}/") else None


def ticked_box(name: str) -> tuple[str, str] | None:
    """The name of an answer and the choice that a ticked box stands for; None when it is none."""
    start, slash, choice = name.rpartition("/")
    return (start, choice) if slash and choice and check_and_entry(start) is not None else None


def check_and_entry(name: str) -> tuple[str, str] | None:
    """The check and the entry that a row's name names; None when it is no such name."""
    check, slash, entry = name.partition("/")
    if not slash or not check or not entry or "/" in entry or check in ("form", "quote", "access"):
        return None
    return check, entry


ROW, CHECK, ENTER, VALUE, UNIT = "Row", "Check", "Enter", "Value", "Unit"
WHY, NOTES, UNSURE, BY_HEAD, DAY_HEAD = "Could not see, why", "Note", "Not sure", "By", "Date"
LOOK, PLACE, MINUTES = "How to look", "Where", "Minutes"
FORM_HEADS = (
    *(ROW, CHECK, ENTER, VALUE, UNIT, WHY, NOTES, UNSURE, BY_HEAD, DAY_HEAD, LOOK, PLACE, MINUTES),
)
"""The headings of a field form, in the order in which they are written."""

JOB, WORK, HOW_MANY, SEEN = "Job", "Work", "How many", "What was seen"
HOURS, PARTS, PRICE, PRICED_WITH = "Hours", "Parts", "Price", "Priced with"
QUOTE_COLUMNS = (ROW, "No.", JOB, WORK, HOW_MANY, SEEN, HOURS, PARTS, PRICE, PRICED_WITH, NOTES)
"""The headings of a request for a quote, in the order in which they are written."""
