"""Writing a sheet to be filled in: locked but for its blanks, tinted where something is wanted.

Text is always written as text, so what a user typed never becomes a formula (see `workbook_book`).
Nothing of the computer or its user is in the file: no author, no path, the day and no time.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import IO, Any

from .workbook_book import plain_text

_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
_LINE_POINTS = 15.0
_TINT = "#FBF3DC"
_LOOKS: Mapping[str, Mapping[str, object]] = {
    "text": {},
    "line": {"text_wrap": False},
    "quiet": {"font_color": "#6B675E"},
    "name": {"font_color": "#B9B4A6", "font_size": 6, "text_wrap": False, "shrink": True},
    "head": {"bold": True, "bottom": 1, "bg_color": "#EFEBE2"},
    "station": {"bold": True, "font_size": 13, "top": 2, "text_wrap": False},
    "caution": {"bold": True, "left": 5},
    "caution-text": {"left": 1},
    "title": {"bold": True, "font_size": 14, "text_wrap": False},
    "blank": {"bg_color": _TINT, "border": 1, "border_color": "#B9B4A6", "locked": False},
    "blank-text": {
        "bg_color": _TINT,
        "border": 1,
        "border_color": "#B9B4A6",
        "locked": False,
        "num_format": "@",
    },
    "blank-day": {
        "bg_color": _TINT,
        "border": 1,
        "border_color": "#B9B4A6",
        "locked": False,
        "num_format": "yyyy-mm-dd",
        "align": "left",
    },
}
_MAY = {
    "select_locked_cells": True,
    "select_unlocked_cells": True,
    "format_columns": True,
    "format_rows": True,
    "sort": True,
    "autofilter": True,
}


class FillIn:
    """A workbook of one sheet with blanks, and lists for its drop-downs on a hidden one."""

    def __init__(self, title: str, on: date) -> None:
        import xlsxwriter  # noqa: PLC0415 - only when a spreadsheet is written

        self._held = io.BytesIO()
        self._book: Any = xlsxwriter.Workbook(
            self._held,
            {
                "strings_to_formulas": False,
                "strings_to_urls": False,
                "strings_to_numbers": False,
                "in_memory": True,
            },
        )
        created = datetime(on.year, on.month, on.day)
        self._book.set_properties({"title": plain_text(title), "created": created, "author": ""})
        self._looks = {
            name: self._book.add_format({"valign": "top", "text_wrap": True, **look})
            for name, look in _LOOKS.items()
        }
        self._quoted = {
            name: self._book.add_format(
                {"valign": "top", "text_wrap": True, **look, "quote_prefix": True}
            )
            for name, look in _LOOKS.items()
        }
        self._money: dict[str, Any] = {}
        self._lists: dict[tuple[str, ...], str] = {}
        self.sheet: Any = None

    def begin(self, name: str, heads: Sequence[str], widths: Sequence[float]) -> None:
        """The sheet to be filled in: its columns and its headings, which stay in view."""
        self.sheet = self._book.add_worksheet(name)
        for at, (head, width) in enumerate(zip(heads, widths, strict=True)):
            self.sheet.set_column(at, at, width)
            self.text(0, at, head, "head" if width > 3 else "name")
        self.sheet.freeze_panes(1, 0)
        self.sheet.repeat_rows(0)
        self.sheet.set_landscape()
        self.sheet.set_paper(9)
        self.sheet.fit_to_pages(1, 0)
        self.sheet.set_footer("&L&F&Rpage &P of &N")

    def text(self, row: int, column: int, text: str, look: str = "text") -> None:
        """A cell of text, as text whatever it begins with."""
        clean = plain_text(text)
        looks = self._quoted if clean.startswith(_FORMULA_SIGNS) else self._looks
        self.sheet.write_string(row, column, clean, looks[look])

    def blank(self, row: int, column: int, look: str = "blank") -> None:
        """A cell to be filled in."""
        self.sheet.write_blank(row, column, None, self._looks[look])

    def money_blank(self, row: int, column: int, pattern: str) -> None:
        """A cell for a price or for hours."""
        if pattern not in self._money:
            self._money[pattern] = self._book.add_format(
                {**_LOOKS["blank"], "valign": "top", "num_format": pattern}
            )
        self.sheet.write_blank(row, column, None, self._money[pattern])

    def money_sum(self, row: int, column: int, formula: str, pattern: str) -> None:
        """A sum of blanks, nothing so far; its formula is made of cell addresses only."""
        look = self._book.add_format({"bold": True, "top": 1, "num_format": pattern})
        self.sheet.write_formula(row, column, formula, look, 0)

    def height(self, row: int, *texts: tuple[str, float]) -> None:
        """Make a row high enough for its texts, given with the width of their columns."""
        lines = max((_lines(text, width) for text, width in texts), default=1)
        self.sheet.set_row(row, _LINE_POINTS * max(lines, 1) + 2)

    def choices(
        self, row: int, column: int, choices: Sequence[str], hint: tuple[str, str], *, only: bool
    ) -> None:
        """A drop-down; with `only` nothing else is taken."""
        words = {
            "validate": "list",
            "source": self._list(choices),
            "error_title": "Not in the list",
            "error_message": "Choose one of the list. Write anything else in the note.",
            "show_error": only,
        }
        self._validate(row, column, words, hint)

    def limits(
        self,
        row: int,
        column: int,
        limits: tuple[float, float],
        hint: tuple[str, str],
        message: str,
        *,
        whole: bool = False,
    ) -> None:
        """Sensible limits; a number outside, or with a unit of its own, is asked about."""
        words = {
            "validate": "integer" if whole else "decimal",
            "criteria": "between",
            "minimum": limits[0],
            "maximum": limits[1],
            "error_type": "warning",
            "error_title": "Look at the unit",
            "error_message": message[:255],
        }
        self._validate(row, column, words, hint)

    def day(self, row: int, column: int, hint: tuple[str, str]) -> None:
        """A cell for a day."""
        words = {
            "validate": "date",
            "criteria": ">=",
            "value": date(2000, 1, 1),
            "error_type": "warning",
            "error_title": "A day",
            "error_message": "Write the day as in 2026-05-31.",
        }
        self._validate(row, column, words, hint)

    def hint(self, row: int, column: int, hint: tuple[str, str]) -> None:
        """Words that show while a cell is chosen."""
        self._validate(row, column, {"validate": "any"}, hint)

    def _validate(
        self, row: int, column: int, words: Mapping[str, object], hint: tuple[str, str]
    ) -> None:
        title, message = hint
        shown = {"input_title": plain_text(title)[:32], "input_message": plain_text(message)[:255]}
        self.sheet.data_validation(row, column, row, column, {**words, **shown})

    def _list(self, choices: Sequence[str]) -> str:
        """The place of a list on the hidden sheet; equal lists share one."""
        key = tuple(choices)
        if key not in self._lists:
            first = sum(len(one) for one in self._lists) + 1
            self._lists[key] = f"=Lists!$A${first}:$A${first + len(key) - 1}"
        return self._lists[key]

    def write(self, target: IO[bytes], rows: int, columns: int) -> None:
        """Finish the file and write it; `rows` with the headings."""
        self.sheet.protect("", _MAY)
        self.sheet.autofilter(0, 0, max(rows - 1, 1), columns - 1)
        self.sheet.print_area(0, 0, max(rows - 1, 1), columns - 1)
        lists = self._book.add_worksheet("Lists")
        every = (one for choices in self._lists for one in choices)
        for down, one in enumerate(every):
            lists.write_string(down, 0, plain_text(one), self._looks["blank-text"])
        lists.protect("")
        lists.hide()
        self._book.close()
        target.write(self._held.getvalue())


def _lines(text: str, width: float) -> int:
    """How many lines a text takes in a column so many characters wide."""
    return sum(max(1, -(-len(line) // max(int(width) - 1, 1))) for line in text.split("\n"))
