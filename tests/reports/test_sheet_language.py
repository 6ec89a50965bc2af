"""A sheet is in one language throughout, whatever language the figures were made in."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import openpyxl

from workbench.catalogue.loading import load
from workbench.domain.boat import Boat
from workbench.domain.project import Project
from workbench.domain.settings import Settings
from workbench.edits.boats import add_boat
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.reports.export import export_sheets
from workbench.reports.sheet_language import for_sheets

DAY = date(2026, 5, 9)


def project() -> Project:
    """A search with one boat."""
    empty = Project("p", "Search", Settings(as_of=DAY))
    return apply(empty, add_boat(empty, Boat("", "Ann", year=1985)))[0]


def test_an_english_assessment_is_taken_as_it_is() -> None:
    made = assess(project(), load())

    assert for_sheets(made) is made


def test_sheets_of_a_german_assessment_are_the_english_ones(tmp_path: Path) -> None:
    texts = []
    for language in ("en", "de"):
        made = assess(project(), load(language))
        (file,) = export_sheets(made, None, tmp_path / language, ["field-sheet"], ["ann"], on=DAY)
        sheet = openpyxl.load_workbook(file).worksheets[0]
        texts.append([[cell.value for cell in row] for row in sheet.iter_rows()])

    assert texts[0] == texts[1]
    assert for_sheets(made).boats["ann"].deferred == made.boats["ann"].deferred
