"""What stands in a file that came back, before anybody knows what it means: sheets of cells.

A reader (`xlsx`, `csv_text`, `pdf_fields`) answers an `Incoming`; a recogniser makes a preview of
it. A cell keeps what the file says and how it says it: a number, a day, a text, a fault. Nothing is
guessed here: a day written as text stays text, a number stored as text is marked so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from enum import Enum

from workbench.domain.problem import HardstandError, Problem, Severity
from workbench.domain.record import dataclass

MOST_ROWS = 20_000
MOST_COLUMNS = 200
MOST_SHEETS = 200
MOST_CELLS = 400_000
LARGEST_FILE = 50 * 1024 * 1024
LARGEST_TEXT = 1024 * 1024


class Holds(Enum):
    """What a cell holds."""

    TEXT = "text"
    NUMBER = "number"
    DAY = "day"
    TRUTH = "truth"
    FAULT = "fault"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell that is not empty.

    Attributes
    ----------
    at
        Its place as a person finds it: `B7`, or `line 3, field 2`.
    text
        What it says; for a fault, what is wrong, such as `#REF!`.
    number
        For a number, exactly as the shortest writing of the stored value.
    day
        For a day.
    percent
        The number is shown as a percentage, so 0.25 stands for 25.
    currency
        Sign or code that only the cell's number format names; empty for none.
    quoted
        A text that the file marks as text on purpose.
    """

    at: str
    holds: Holds
    text: str
    number: Decimal | None = None
    day: date | None = None
    percent: bool = False
    currency: str = ""
    quoted: bool = False

    @property
    def is_fault(self) -> bool:
        """Whether there is no value to be had."""
        return self.holds is Holds.FAULT


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one row that are not empty, by column counted from 1.

    Attributes
    ----------
    width
        How many fields the row was written with, where the file says so; else 0.
    """

    number: int
    cells: Mapping[int, Cell]
    width: int = 0

    def text(self, column: int) -> str:
        """What a cell says, without space around it; empty where there is none."""
        cell = self.cells.get(column)
        return "" if cell is None else cell.text.strip()


@dataclass(frozen=True, slots=True)
class Area:
    """A block of merged cells; all counted from 1, ends included."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int

    def words(self) -> str:
        """As a person names it, such as B2:C4."""
        first = f"{column_letters(self.first_column)}{self.first_row}"
        return f"{first}:{column_letters(self.last_column)}{self.last_row}"


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet; `hidden` when the program that wrote it would not show it."""

    name: str
    rows: tuple[Row, ...]
    hidden: bool = False
    merged: tuple[Area, ...] = ()


@dataclass(frozen=True, slots=True)
class Incoming:
    """A file as it was read.

    Attributes
    ----------
    kind
        `xlsx`, `csv` or `pdf`.
    read_as
        How it was read, for the reader to confirm: encoding and separator of a text file.
    notices
        What is in it that was not looked at, such as macros or links to other files.
    separator
        What divides the columns of a text table; empty for other files.
    may_be
        The separators that fit as well as that one, so that only a person can say.
    data
        The file itself, to be kept with what comes of it; empty where it must not be kept.
    """

    name: str
    kind: str
    sheets: tuple[Sheet, ...]
    read_as: str = ""
    notices: tuple[Problem, ...] = ()
    separator: str = ""
    may_be: tuple[str, ...] = ()
    data: bytes = b""

    def where(self, sheet: Sheet, at: str = "") -> str:
        """The place in words: file, sheet where there are several, cell."""
        parts = [self.name]
        if len(self.sheets) > 1:
            parts.append(f"sheet {sheet.name}")
        if at:
            parts.append(at if " " in at else f"cell {at}")
        return ", ".join(parts)


def refused(name: str, message: str, remedy: str) -> HardstandError:
    """The error that stops the reading of a whole file."""
    return HardstandError((Problem(name, message, remedy, Severity.REFUSED),))


def column_letters(column: int) -> str:
    """The letters of a column counted from 1."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


_REFERENCE = re.compile(r"^\$?([A-Z]{1,3})\$?(\d{1,7})$")


def row_and_column(reference: str) -> tuple[int, int] | None:
    """Row and column of a reference such as `B7`, counted from 1; None when it is none."""
    match = _REFERENCE.match(reference)
    if match is None:
        return None
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - 64
    return int(match[2]), column


def shown_number(number: Decimal) -> str:
    """A number as people write it, without an exponent."""
    return f"{number:f}"
