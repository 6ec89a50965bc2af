"""The whole text of every sheet of the invented search, held against what was read and approved.

A changed sentence shows up here as a difference to be read. When it is meant, write the new text:

    HARDSTAND_WRITE_GOLDEN=1 python -m pytest tests/reports/test_golden_sheets.py
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.reports.invented import BARNABY, DAY, MARIGOLD, shelf
from workbench.figures.assessment import Assessment
from workbench.reports.document_text import as_text
from workbench.reports.export import SHEETS
from workbench.reports.sheet_builders import BUILDERS, Order

GOLDEN = Path(__file__).parent / "golden"


@pytest.mark.parametrize("sheet", sorted(BUILDERS))
def test_a_sheet_says_what_was_approved(sheet: str, assessment: Assessment) -> None:
    boats = (MARIGOLD,) if SHEETS[sheet].per_boat else (MARIGOLD, BARNABY)
    order = Order(assessment, boats, DAY, "a4", shelf())
    text = as_text(BUILDERS[sheet](order))
    path = GOLDEN / f"{sheet}.txt"
    if os.environ.get("HARDSTAND_WRITE_GOLDEN"):
        path.write_text(text, encoding="utf-8")

    assert text == path.read_text(encoding="utf-8")


def test_every_approved_text_has_its_sheet() -> None:
    assert {path.stem for path in GOLDEN.glob("*.txt")} == set(BUILDERS)


def test_every_sheet_that_is_offered_can_be_built() -> None:
    pdfs = {name for name, sheet in SHEETS.items() if sheet.ending == "pdf"}

    assert set(BUILDERS) == pdfs
