"""Numbers, days and words as people and other programs write them in files.

Nothing that can be read in two ways is guessed: a number is read only where its decimal mark is
known or does not matter, a day only where its order is. What is open is asked once for the file.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from workbench.domain.problem import EntryError
from workbench.domain.record import dataclass
from workbench.domain.written_numbers import parse_decimal

_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufeff]")
_SURROGATES = re.compile("[\ud800-\udfff\ufffe\uffff]")
_SPACES = re.compile(r"[ \t\u00a0\u2007\u202f]+")
_DEFUSED = re.compile(r"^'(?=[=+\-@\t\r＝＋－＠])")
_ISO = re.compile(r"^(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ][\d:.]+Z?)?$")
_THREE = re.compile(r"^(\d{1,4})\s*[./\- ]\s*(\d{1,2})\s*[./\- ]\s*(\d{1,4})\.?$")
_DAY_OF_MONTH = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?"
_MONTH_AND_YEAR = r"(?P<month>[a-z]{3,9})\.?,?[ \-]+(?P<year>\d{4})"
_NAMED = (
    re.compile(rf"^{_DAY_OF_MONTH}\.?[ \-]+{_MONTH_AND_YEAR}$"),
    re.compile(rf"^(?P<month>[a-z]{{3,9}})\.? {_DAY_OF_MONTH},? (?P<year>\d{{4}})$"),
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH_NAMES = (
    *("january", "february", "march", "april", "may", "june", "july"),
    *("august", "september", "october", "november", "december"),
)
_NUMBER = re.compile(r"[-+−]?[\d.,'’\s\u00a0\u202f\u2009]*\d[\d.,'’\s\u00a0\u202f\u2009]*")

DAY_ORDERS = ("dmy", "mdy", "ymd")
DAY_ORDER_WORDS = {"dmy": "day first", "mdy": "month first", "ymd": "year first"}


def clean(text: str) -> str:
    """Text as a record can hold it: one kind of line end, no control signs, no lone surrogates."""
    joined = text.replace("\r\n", "\n").replace("\r", "\n")
    lines = re.sub("[\x85\u2028\u2029]", "\n", joined)
    return _SURROGATES.sub("\ufffd", _CONTROLS.sub("", lines))


def undefused(text: str) -> str:
    """Text of a file of comma-separated values without the apostrophe that kept it from acting."""
    return _DEFUSED.sub("", text)


def folded(text: str) -> str:
    """Text for comparing: small letters, single spaces, no difference of form."""
    return (
        _SPACES.sub(" ", unicodedata.normalize("NFKC", text).replace("\n", " ")).strip().casefold()
    )


@dataclass(frozen=True, slots=True)
class Marks:
    """What the numbers written as text in a file say of its decimal mark.

    Attributes
    ----------
    seen
        Decimal marks that some number proves.
    open
        The first number that can be read in two ways, empty for none.
    """

    seen: frozenset[str]
    open: str

    def settled(self, asked: str) -> str:
        """The mark to read with: the one asked for, or the one the file proves; else empty."""
        if asked:
            return asked
        return next(iter(self.seen)) if len(self.seen) == 1 else ""

    @property
    def must_be_asked(self) -> bool:
        """Whether a number can be read in two ways and nothing in the file decides."""
        return bool(self.open) and len(self.seen) != 1


def marks_of(texts: Iterable[str]) -> Marks:
    """What some texts say of the decimal mark."""
    seen: set[str] = set()
    unsure = ""
    for text in texts:
        found = _NUMBER.search(text)
        if not found:
            continue
        number = found[0].strip()
        if _reads_twice(number):
            unsure = unsure or text
        else:
            seen |= _proved(number)
    return Marks(frozenset(seen), unsure)


def _reads_twice(number: str) -> bool:
    return _read(number, ".") != _read(number, ",")


def _read(number: str, mark: str) -> Decimal | None:
    try:
        return parse_decimal(number, mark)
    except EntryError:
        return None


def _proved(number: str) -> set[str]:
    """The decimal mark that a number can only have; empty where it has none."""
    commas, dots = number.count(","), number.count(".")
    if commas and dots:
        return {"," if number.rfind(",") > number.rfind(".") else "."}
    if commas + dots > 1:
        return {"." if commas else ","}  # it divides thousands, so the other one is decimal
    if commas + dots == 1:
        return {"," if commas else "."}
    return set()


def parse_number(text: str, mark: str) -> Decimal:
    """A number in a text that holds nothing else.

    Raises
    ------
    EntryError
        When it is none, or when nothing says which of two readings is meant.
    """
    if not mark and _reads_twice(text.strip()):
        raise EntryError(f"“{text.strip()}” can be read in two ways. Say what the decimal mark is.")
    return parse_decimal(text, mark)


@dataclass(frozen=True, slots=True)
class WrittenDay:
    """A day as it was written: the days it can be, by the order of its parts."""

    text: str
    by_order: tuple[tuple[str, date], ...]

    @property
    def is_open(self) -> bool:
        """Whether it can be more than one day."""
        return len({on for _, on in self.by_order}) > 1

    def on(self, order: str) -> date | None:
        """The day, read in an order; None where it is no day in it, or open and no order given."""
        if not self.is_open:
            return self.by_order[0][1] if self.by_order else None
        return dict(self.by_order).get(order)


def written_day(text: str) -> WrittenDay:
    """The days that a text can stand for; none when it is no day."""
    tidy = text.strip().lower()
    iso = _ISO.match(tidy)
    if iso:
        on = _day(int(iso[1]), int(iso[2]), int(iso[3]))
        return WrittenDay(text, (("ymd", on),) if on else ())
    for pattern in _NAMED:
        named = pattern.match(tidy)
        if named and _month(named["month"]):
            on = _day(int(named["year"]), _month(named["month"]), int(named["day"]))
            return WrittenDay(text, (("dmy", on),) if on else ())
    three = _THREE.match(tidy)
    return WrittenDay(text, _readings(three[1], three[2], three[3]) if three else ())


def _month(name: str) -> int:
    if name in _MONTHS or name in _MONTH_NAMES or name == "sept":
        return _MONTHS.index(name[:3]) + 1
    return 0


def _readings(first: str, second: str, third: str) -> tuple[tuple[str, date], ...]:
    made: list[tuple[str, date]] = []
    for order in DAY_ORDERS:
        parts = dict(zip(order, (first, second, third), strict=True))
        if any(len(parts[part]) > 2 for part in "dm") or len(parts["y"]) == 3:
            continue
        year = int(parts["y"]) + (2000 if len(parts["y"]) <= 2 else 0)
        on = _day(year, int(parts["m"]), int(parts["d"]))
        if on is not None:
            made.append((order, on))
    return tuple(made)


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
