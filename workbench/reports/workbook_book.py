"""A spreadsheet that shows its values everywhere and recalculates to the program's own cents.

Every formula is written with the program's own result as its stored value, so a viewer that does
not calculate shows the same figures, and an engine that does can be held against them. Text is
always written as text: what a user typed can never become a formula. Our formulas are fixed
templates with cell addresses and nothing of the user's.

A column is described once (`Column`) and a sheet of rows becomes a table with frozen heads, widths,
number formats and a print area.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from workbench.domain.money import decimals_of
from workbench.domain.record import dataclass

HALF_OF_DUST = "5E-8"
"""Added before rounding, so that binary dust does not decide a half cent (see `money.cents`)."""
_LONGEST_TEXT = 32_000
_NOT_PRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula with the value the program itself comes to."""

    text: str
    value: float | str


Cell = str | float | int | Decimal | date | Formula | None


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    head
        Its heading, unique in the table.
    kind
        `text`, `money`, `number`, `share`, `date` or `whole`.
    width
        In characters.
    input
        Whether the reader may change it; such cells are tinted.
    """

    head: str
    kind: str = "text"
    width: float = 12
    input: bool = False


def plain_text(text: str) -> str:
    """Text as a cell can hold it: no control signs, no lone surrogates, not too long."""
    clean = _NOT_PRINTABLE.sub("\ufffd", text)
    # A cell counts in halves of UTF-16, so that a sign beyond the first plane counts twice.
    halves = clean.encode("utf-16-le") if 2 * len(clean) > _LONGEST_TEXT else b""
    if len(halves) > 2 * _LONGEST_TEXT:
        begun = halves[: 2 * _LONGEST_TEXT].decode("utf-16-le", "ignore")
        return begun + " … (continued in the program)"
    return clean


class Book:
    """A workbook being written."""

    def __init__(self, path: Path, title: str, currency: str, created: datetime) -> None:
        import xlsxwriter  # noqa: PLC0415 - only when a workbook is written

        self.currency = currency
        self._book: Any = xlsxwriter.Workbook(
            str(path),
            {
                "strings_to_formulas": False,
                "strings_to_urls": False,
                "strings_to_numbers": False,
                "in_memory": True,
            },
        )
        self._book.set_properties({"title": plain_text(title), "created": created, "author": ""})
        self._book.set_calc_mode("auto")
        self._formats = self._make_formats(currency)
        self._names: set[str] = set()

    def _make_formats(self, currency: str) -> dict[tuple[str, bool], Any]:
        digits = decimals_of(currency)
        money = "#,##0" + ("." + "0" * digits if digits else "")
        patterns = {
            "text": "@",
            "money": f"{money};[Red]-{money}",
            "number": "#,##0.00",
            "whole": "0",
            "share": "0.0%",
            "date": "yyyy-mm-dd",
        }
        made: dict[tuple[str, bool], Any] = {}
        for kind, pattern in patterns.items():
            for tinted in (False, True):
                look: dict[str, object] = {"num_format": pattern, "valign": "top"}
                if tinted:
                    look["bg_color"] = "#FBF3DC"
                if kind == "text":
                    look["text_wrap"] = False
                made[kind, tinted] = self._book.add_format(look)
        made["quoted", False] = self._book.add_format({"num_format": "@", "quote_prefix": True})
        made["head", False] = self._book.add_format(
            {"bold": True, "bottom": 1, "valign": "top", "text_wrap": True, "bg_color": "#EFEBE2"}
        )
        made["title", False] = self._book.add_format({"bold": True, "font_size": 16})
        made["words", False] = self._book.add_format({"text_wrap": True, "valign": "top"})
        return made

    def add_sheet(self, name: str) -> Any:
        """A new sheet; its name is cleaned and made unique."""
        clean = re.sub(r"[\[\]:*?/\\']", " ", plain_text(name)).strip()[:31] or "Sheet"
        stem, number = clean, 2
        while clean.casefold() in self._names:
            clean = f"{stem[:27]} {number}"
            number += 1
        self._names.add(clean.casefold())
        return self._book.add_worksheet(clean)

    def define(self, name: str, place: str) -> None:
        """A name for a place, such as `Budget` for `=Totals!$B$2`."""
        self._book.define_name(name, place)

    def write(
        self,
        sheet: Any,
        row: int,
        column: int,
        cell: Cell,
        kind: str = "text",
        *,
        tinted: bool = False,
    ) -> None:
        """One cell by its type; text is never guessed to be anything else."""
        look = self._formats[kind, tinted]
        if cell is None:
            sheet.write_blank(row, column, None, look)
        elif isinstance(cell, Formula):
            sheet.write_formula(row, column, cell.text, look, cell.value)
        elif isinstance(cell, str):
            text = plain_text(cell)
            if text.startswith(_FORMULA_SIGNS):
                look = self._formats["quoted", False]
            sheet.write_string(row, column, text, look)
        elif isinstance(cell, date):
            sheet.write_datetime(row, column, datetime(cell.year, cell.month, cell.day), look)
        else:
            sheet.write_number(row, column, float(cell), look)

    def words(self, sheet: Any, row: int, text: str, *, title: bool = False) -> None:
        """A line of words in the first column."""
        look = self._formats["title" if title else "words", False]
        sheet.write_string(row, 0, plain_text(text), look)

    def table(
        self,
        name: str,
        columns: Sequence[Column],
        rows: Sequence[Sequence[Cell]],
        *,
        landscape: bool = True,
    ) -> Any:
        """A sheet that is one table: heads frozen, widths set, ready to print."""
        sheet = self.add_sheet(name)
        for at, column in enumerate(columns):
            sheet.set_column(at, at, column.width)
        for down, row in enumerate(rows, 1):
            for at, (column, cell) in enumerate(zip(columns, row, strict=True)):
                self.write(sheet, down, at, cell, column.kind, tinted=column.input)
        last = max(len(rows), 1)
        for at, column in enumerate(columns if not rows else ()):  # a table needs one row
            self.write(sheet, 1, at, None, column.kind)
        sheet.add_table(
            0,
            0,
            last,
            len(columns) - 1,
            {
                "name": re.sub(r"\W", "", f"{name}Table"),
                "style": "Table Style Light 1",
                "columns": [{"header": column.head} for column in columns],
                "autofilter": True,
            },
        )
        for at, column in enumerate(columns):
            sheet.write_string(0, at, column.head, self._formats["head", False])
        sheet.freeze_panes(1, 0)
        sheet.print_area(0, 0, last, len(columns) - 1)
        sheet.repeat_rows(0)
        sheet.fit_to_pages(1, 0)
        sheet.set_paper(9)
        if landscape:
            sheet.set_landscape()
        sheet.set_footer("&L&A&Rpage &P of &N")
        return sheet

    def close(self) -> None:
        """Write the file."""
        self._book.close()


def letter(column: int) -> str:
    """The letters of a column counted from 0."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def rounded(formula: str, digits: int) -> str:
    """A formula rounded half up to the currency's decimals, as the program rounds."""
    return f"ROUND({formula}+{HALF_OF_DUST},{digits})"


def column_letters(columns: Sequence[Column]) -> Callable[[str], str]:
    """The letters of a table's columns by their heads."""
    places = {column.head: letter(at) for at, column in enumerate(columns)}
    return places.__getitem__
