"""What a cell and a sheet's name can hold, as openpyxl, a reader from outside, finds them."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import openpyxl
import pytest

from workbench.reports.workbook_book import Book

MOST_SIGNS = 32_767
"""What a cell holds at most (Excel specifications and limits, published by its maker)."""
FORBIDDEN = "[]:*?/\\"
"""Signs that no sheet's name has (the same page), nor an apostrophe at either end."""


def book(place: Path) -> Book:
    return Book(place, "Title", "USD", datetime(2026, 5, 1))


def read(made: Book, place: Path) -> openpyxl.Workbook:
    made._book.close()
    return openpyxl.load_workbook(place)


@pytest.mark.parametrize("sign", ["x", "é", "字", "🧭"])
def test_a_text_longer_than_a_cell_says_that_it_goes_on(tmp_path: Path, sign: str) -> None:
    # B75
    made = book(tmp_path / "a.xlsx")
    sheet = made.add_sheet("Notes")
    made.write(sheet, 0, 0, sign * 40_000)
    made.write(sheet, 1, 0, sign * 15_000)

    found = read(made, tmp_path / "a.xlsx")["Notes"]

    long, short = str(found["A1"].value), str(found["A2"].value)
    assert len(long.encode("utf-16-le")) // 2 <= MOST_SIGNS
    assert long.endswith("(continued in the program)")
    assert short == sign * 15_000


def test_signs_that_break_a_workbook_are_made_plain(tmp_path: Path) -> None:
    # B71, B72
    made = book(tmp_path / "a.xlsx")
    made.write(made.add_sheet("Notes"), 0, 0, "a\x00b\ud800c")

    assert read(made, tmp_path / "a.xlsx")["Notes"]["A1"].value == "a\ufffdb\ufffdc"


def test_names_of_sheets_are_cleaned_short_and_each_its_own(tmp_path: Path) -> None:
    # B76
    made = book(tmp_path / "a.xlsx")
    wanted = [
        "x" * 60,
        "x" * 60,
        "X" * 60,
        f"a{FORBIDDEN}b",
        "'quoted'",
        "",
        "  ",
        "Notes",
        "notes",
    ]
    for name in wanted:
        made.add_sheet(name)

    names = read(made, tmp_path / "a.xlsx").sheetnames

    assert len({name.casefold() for name in names}) == len(wanted)
    assert all(0 < len(name) <= 31 for name in names)
    assert not any(sign in name for name in names for sign in FORBIDDEN)
    assert not any(name.startswith("'") or name.endswith("'") for name in names)
