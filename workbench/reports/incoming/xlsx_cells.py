"""The cells of one sheet of a workbook, read row by row under limits.

The dimension that a sheet states about itself is not believed; cells say where they are. A formula
is never worked out: its stored value counts, and without one the cell has a fault. Sheets follow
ECMA-376, part 1, 18.3 (from memory).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import field
from datetime import date, datetime, timedelta
from decimal import Decimal
from io import BytesIO
from typing import NoReturn
from xml.etree.ElementTree import Element, ParseError, iterparse
from xml.parsers import expat

from workbench.domain.record import dataclass

from .cells import (
    LARGEST_TEXT,
    MOST_CELLS,
    MOST_COLUMNS,
    MOST_ROWS,
    Area,
    Cell,
    Holds,
    Row,
    column_letters,
    refused,
    row_and_column,
    shown_number,
)
from .text_values import clean
from .xlsx_styles import PLAIN, Look, local

NO_VALUE = "formula without value"
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_MOST_MERGED = 5_000
_MOST_ELEMENTS = 4_000_000


@dataclass(slots=True)
class Budget:
    """What may still be read of a workbook, over all of its sheets."""

    name: str
    stop: Callable[[], None]
    cells: int = MOST_CELLS
    elements: int = _MOST_ELEMENTS

    def spend(self, cells: int, elements: int) -> None:
        """Count what was read, and stop at the limit."""
        self.cells -= cells
        self.elements -= elements
        if self.cells < 0 or self.elements < 0:
            raise refused(
                self.name,
                f"It has more than {MOST_CELLS:,} cells.",
                "Keep only the sheet that is to come in, and save it again.",
            )
        self.stop()


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What the cells of every sheet of a workbook refer to."""

    strings: Sequence[str] = ()
    looks: Sequence[Look] = ()
    from_1904: bool = False


@dataclass(slots=True)
class SheetCells:
    """What a sheet holds."""

    rows: list[Row] = field(default_factory=list)
    merged: list[Area] = field(default_factory=list)


class DeclaresTypeError(ValueError):
    """The text declares a document type, the way in for entities that swell or lead outside."""


def parse_xml(data: bytes) -> Iterator[tuple[str, Element]]:
    """Start and end of every element.

    The text is gone through twice: the first time only to see that it declares no document type,
    without which there are no entities; so the second parser has nothing to expand or to fetch.

    Raises
    ------
    DeclaresTypeError
        When it declares a document type.
    xml.etree.ElementTree.ParseError
        When it is no XML.
    """
    _refuse_document_type(data)
    yield from iterparse(BytesIO(data), events=("start", "end"))  # noqa: S314 - see above


def _refuse_document_type(data: bytes) -> None:
    def refuse(*_: object) -> NoReturn:
        raise DeclaresTypeError("a document type is declared")

    parser = expat.ParserCreate()
    parser.StartDoctypeDeclHandler = refuse
    parser.EntityDeclHandler = refuse
    parser.ExternalEntityRefHandler = refuse
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise ParseError(str(error)) from error


def read_cells(data: bytes, around: Surroundings, budget: Budget, sheet: str) -> SheetCells:
    """The cells of a sheet; its name is only for messages.

    Raises
    ------
    HardstandError
        When a limit is passed.
    """
    made = SheetCells()
    reader = _Reader(around, f"{budget.name}, sheet {sheet}")
    holder: Element | None = None
    for event, element in parse_xml(data):
        name = local(element)
        if event == "start":
            if name == "sheetData":
                holder = element
            continue
        if name == "c":
            budget.spend(0, 1)
        elif name == "row":
            row = reader.row(element)
            budget.spend(len(row.cells), 1)
            if row.cells:
                made.rows.append(row)
            if holder is not None:
                holder.clear()
        elif name == "mergeCell" and len(made.merged) < _MOST_MERGED:
            made.merged += _area(element.get("ref", ""))
    made.rows.sort(key=lambda one: one.number)
    return made


def _area(reference: str) -> list[Area]:
    first, _, last = reference.partition(":")
    start, end = row_and_column(first), row_and_column(last or first)
    return [Area(*start, *end)] if start and end else []


class _Reader:
    """Reads rows one after the other; cells without a reference follow the one before."""

    def __init__(self, around: Surroundings, name: str) -> None:
        self._around, self._name = around, name
        self._row = 0

    def row(self, element: Element) -> Row:
        """The cells of a row that are not empty."""
        stated = element.get("r", "")
        self._row = int(stated) if stated.isdigit() and len(stated) < 9 else self._row + 1
        cells: dict[int, Cell] = {}
        column = 0
        for one in element:
            if local(one) != "c":
                continue
            place = row_and_column(one.get("r", ""))
            column = place[1] if place else column + 1
            at = f"{column_letters(column)}{self._row}"
            cell = self._cell(one, at)
            if cell is not None:
                self._refuse_far(at, column)
                cells[column] = cell
        return Row(self._row, cells)

    def _refuse_far(self, at: str, column: int) -> None:
        if column > MOST_COLUMNS or self._row > MOST_ROWS:
            raise refused(
                self._name,
                f"Cell {at} is filled, and {MOST_ROWS:,} rows of {MOST_COLUMNS} columns are the "
                "limit.",
                "Delete what lies far out, or keep only the rows that are to come in.",
            )

    def _cell(self, element: Element, at: str) -> Cell | None:
        kind = element.get("t", "n")
        has_formula, value, inline = False, None, None
        for child in element:
            name = local(child)
            if name == "f":
                has_formula = True
            elif name == "v":
                value = child.text or ""
            elif name == "is":
                inline = rich_text(child)
        if kind == "inlineStr":
            return self._text(inline or "", at, element)
        if not value and has_formula and kind != "str":
            return Cell(at, Holds.FAULT, NO_VALUE)
        if value is None or (value == "" and kind != "str"):
            return None
        return self._valued(kind, value, at, element)

    def _valued(self, kind: str, value: str, at: str, element: Element) -> Cell | None:
        if kind == "s":
            known = value.isdigit() and len(value) < 9 and int(value) < len(self._around.strings)
            return (
                self._text(self._around.strings[int(value)], at, element)
                if known
                else Cell(at, Holds.FAULT, "text that is missing from the file")
            )
        if kind == "str":
            return self._text(unescaped(value), at, element)
        if kind == "b":
            return Cell(at, Holds.TRUTH, "TRUE" if value.strip() in ("1", "true") else "FALSE")
        if kind == "e":
            return Cell(at, Holds.FAULT, clean(value)[:40])
        if kind == "d":
            return _day_written_out(value, at)
        return self._number(value, at, element)

    def _look(self, element: Element) -> Look:
        style = element.get("s", "0")
        number = int(style) if style.isdigit() and len(style) < 9 else 0
        return self._around.looks[number] if number < len(self._around.looks) else PLAIN

    def _text(self, text: str, at: str, element: Element) -> Cell | None:
        tidy = clean(text)
        if not tidy.strip():
            return None
        if len(tidy) > LARGEST_TEXT:
            return Cell(at, Holds.FAULT, "text longer than this program takes")
        return Cell(at, Holds.TEXT, tidy, quoted=self._look(element).quoted)

    def _number(self, value: str, at: str, element: Element) -> Cell:
        try:
            number = exact(float(value))
        except (ValueError, ArithmeticError):
            return Cell(at, Holds.FAULT, f"“{clean(value)[:40]}”, which is no number")
        look = self._look(element)
        if look.is_day:
            on = day_of(number, from_1904=self._around.from_1904)
            if on is None:
                return Cell(at, Holds.FAULT, "a day outside the calendar")
            return Cell(at, Holds.DAY, on.isoformat(), day=on)
        return Cell(
            at,
            Holds.NUMBER,
            shown_number(number),
            number=number,
            percent=look.percent,
            currency=look.currency,
        )


def exact(stored: float) -> Decimal:
    """The shortest decimal that a stored binary number stands for: 0.1, not 0.1000000000000000055.

    Raises
    ------
    ValueError
        When it is no finite number.
    """
    number = Decimal(repr(stored))
    if not number.is_finite() or abs(number) > Decimal("1e15"):
        raise ValueError("not a number that can be meant")
    return Decimal(int(number)) if number == number.to_integral_value() else number


def day_of(serial: Decimal, *, from_1904: bool) -> date | None:
    """The day a serial number stands for, in either of the two calendars of workbooks.

    The usual calendar counts a 29 February 1900 that never was; days before it are one off
    (ECMA-376, part 1, 18.17.4.1, from memory).
    """
    days = int(serial)
    start = date(1904, 1, 1) if from_1904 else date(1899, 12, 30 if days > 60 else 31)
    if serial < 0 or days > 2_958_465 or (days == 60 and not from_1904):
        return None
    try:
        return start + timedelta(days=days)
    except OverflowError:
        return None


def _day_written_out(value: str, at: str) -> Cell:
    try:
        on = datetime.fromisoformat(value.strip()).date()
    except ValueError:
        return Cell(at, Holds.FAULT, f"“{clean(value)[:40]}”, which is no day")
    return Cell(at, Holds.DAY, on.isoformat(), day=on)


def rich_text(element: Element) -> str:
    """The text of a string in several fonts, without the reading aids of some scripts."""
    parts: list[str] = []
    for child in element:
        if local(child) == "t":
            parts.append(child.text or "")
        elif local(child) == "r":
            parts += [one.text or "" for one in child if local(one) == "t"]
    return unescaped("".join(parts))


def unescaped(text: str) -> str:
    """Text with its escaped signs (`_x000D_`) put back."""
    if "_x" not in text:
        return text
    return _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)
