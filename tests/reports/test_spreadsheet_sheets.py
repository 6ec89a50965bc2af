"""The spreadsheets that others fill in: what is in them, what is locked, and what is kept back.

openpyxl, a reader from outside the project, says what the files hold. The marks P2 to P7 are those
of the project's reliability goals.
"""

from __future__ import annotations

import io
import os
import platform
import re
import zipfile
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from openpyxl.workbook import Workbook
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from tests.reports.incoming.filling import form, places, sheet_of
from tests.reports.incoming.test_quotes_round_trip import request
from tests.reports.invented import DAY, MARIGOLD, assessed, done, two_boats
from tests.reports.test_privacy import (
    Canary,
    amount_spellings,
    figured_secrets,
    holds_amount,
    planted,
    spellings,
)
from workbench.domain.ledger import OfferMade
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.edits import costing
from workbench.figures.assessment import Assessment
from workbench.reports.export import SHEETS, export_sheets

SPREADSHEETS = sorted(name for name, sheet in SHEETS.items() if sheet.ending == "xlsx")
TO_FILL_IN = ("field-sheet", "yard-sheet")


def opened(data: bytes) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(data))


def validation(sheet: Worksheet, place: str) -> DataValidation:
    """What holds for the answers of a cell."""
    found: DataValidation = next(
        one for one in sheet.data_validations.dataValidation if place in one.sqref
    )
    return found


def written(assessment: Assessment, sheet: str, out: Path) -> Path:
    (path,) = export_sheets(assessment, None, out, [sheet], [MARIGOLD], on=DAY)
    return path


def test_a_choice_is_a_drop_down_of_its_words_and_nothing_else_is_taken() -> None:
    book = opened(form())
    sheet = sheet_of(book)
    rows, _ = places(sheet)

    held = validation(sheet, f"D{rows['bearing/sound']}")

    assert (held.type, held.showErrorMessage, held.allowBlank) == ("list", True, True)
    match = re.fullmatch(r"Lists!\$A\$(\d+):\$A\$(\d+)", held.formula1 or "")
    assert match is not None
    lists = sheet_of(book, "Lists")
    words = [lists.cell(row, 1).value for row in range(int(match[1]), int(match[2]) + 1)]
    assert words == ["quiet", "knocks"]
    assert lists.sheet_state == "hidden"


def test_a_number_has_its_unit_limits_a_message_and_a_hint() -> None:
    sheet = sheet_of(opened(form()))
    rows, columns = places(sheet)
    row = rows["bearing/play"]

    held = validation(sheet, f"D{row}")

    assert sheet.cell(row, columns["Unit"]).value == "mm"
    assert (held.type, float(held.formula1 or 9), float(held.formula2 or 9)) == ("decimal", 0, 10)
    assert held.errorStyle == "warning", "a number in another unit may be kept"
    assert held.error is not None
    assert held.error.startswith("Between 0 and 10 mm.")
    assert (held.promptTitle, held.prompt) == ("Play", "Look.")
    assert sheet.cell(row, columns["Enter"]).value == "Play (0 to 10 mm)"


def test_in_feet_and_inches_the_limits_are_in_them_too() -> None:
    sheet = sheet_of(opened(form(imperial=True)))
    rows, columns = places(sheet)
    row = rows["bearing/play"]

    assert sheet.cell(row, columns["Unit"]).value == "in"
    assert float(validation(sheet, f"D{row}").formula2 or "") == pytest.approx(10 / 25.4, rel=1e-3)


def test_only_the_blanks_can_be_written_to() -> None:
    sheet = sheet_of(opened(form()))
    rows, columns = places(sheet)
    blanks = ("Value", "Could not see, why", "Note", "Not sure", "By", "Date")

    assert sheet.protection.sheet
    for head, column in columns.items():
        cell = sheet.cell(rows["bearing/play"], column)
        assert cell.protection.locked is (head not in blanks), head
    assert not sheet.cell(rows["form/by"], columns["Value"]).protection.locked


def test_the_headings_stay_in_view_and_every_page_has_them() -> None:
    sheet = sheet_of(opened(form()))

    assert sheet.freeze_panes == "A2"
    assert sheet.print_title_rows == "$1:$1"
    assert sheet.auto_filter.ref == f"A1:M{sheet.max_row}"


def test_stations_come_in_walking_order_with_their_cautions_before_their_checks(
    assessment: Assessment, tmp_path: Path
) -> None:
    sheet = sheet_of(opened(written(assessment, "field-sheet", tmp_path).read_bytes()))
    boat = assessment.boats[MARIGOLD]
    catalogue = assessment.catalogue
    said = [str(row[1].value or "") for row in sheet.iter_rows()]
    labels = [one.label for one in sorted(catalogue.stations.values(), key=lambda one: one.order)]
    here = [label for label in labels if label in said]

    assert sorted(here, key=said.index) == here
    for finding in boat.findings:
        station = said.index(catalogue.stations[finding.check.station].label)
        first = said.index(finding.check.title)
        assert station < first
        for name in finding.check.cautions:
            caution = said.index(f"Caution: {catalogue.cautions[name].title}", station)
            assert station < caution < first
            assert sheet.cell(caution + 1, 3).value == catalogue.cautions[name].text


def test_every_answer_of_every_check_that_applies_has_one_row(
    assessment: Assessment, tmp_path: Path
) -> None:
    sheet = sheet_of(opened(written(assessment, "field-sheet", tmp_path).read_bytes()))
    names = [str(cell.value) for cell in sheet["A"] if cell.value and "/" in str(cell.value)]

    asked = [one for one in names if not one.startswith("form/")]

    assert sorted(asked) == sorted(
        f"{finding.check.id}/{entry.id}"
        for finding in assessment.boats[MARIGOLD].findings
        for entry in finding.check.entries
    )


@pytest.mark.parametrize("sheet", SPREADSHEETS)
def test_p4_a_spreadsheet_says_nothing_of_the_computer_and_is_the_same_twice(
    sheet: str, assessment: Assessment, tmp_path: Path
) -> None:
    first = written(assessment, sheet, tmp_path / "a")
    second = written(assessment, sheet, tmp_path / "b")
    properties = opened(first.read_bytes()).properties

    assert first.read_bytes() == second.read_bytes()
    assert (properties.creator or "", properties.lastModifiedBy or "") == ("", "")
    tokens = {platform.node(), os.environ.get("USER", ""), str(Path.home()), str(tmp_path)}
    for name, data in parts(first):
        for token in tokens - {""}:
            assert token.encode() not in data, name


def parts(path: Path) -> list[tuple[str, bytes]]:
    """Every part of a packed file, and the file's own name."""
    with zipfile.ZipFile(path) as archive:
        inside = [(name, archive.read(name)) for name in archive.namelist()]
    return [*inside, ("name", path.name.encode())]


@pytest.fixture(scope="module")
def with_canaries() -> tuple[Project, Canary]:
    """The search with a word or an amount of its own in every field that is nobody's business."""
    project, canary, _ = planted()
    return project, canary


@pytest.mark.parametrize("sheet", TO_FILL_IN)
def test_p2_no_part_of_a_spreadsheet_for_others_carries_a_secret(
    sheet: str, with_canaries: tuple[Project, Canary], tmp_path: Path
) -> None:
    project, canary = with_canaries
    path = written(assessed(project), sheet, tmp_path)
    amounts = {**canary.amounts, **figured_secrets(project)}

    found = {
        of
        for of, word in canary.words.items()
        for _, data in parts(path)
        if any(spelled in data for spelled in spellings(word))
    }
    found |= {
        of
        for of, amount in amounts.items()
        for _, data in parts(path)
        if any(holds_amount(data, spelled) for spelled in amount_spellings(amount))
    }

    assert found == set()


def test_the_search_for_secrets_finds_them_in_the_buyers_own_workbook(
    with_canaries: tuple[Project, Canary], tmp_path: Path
) -> None:
    """The search can fail: what a workbook does show is found in it."""
    project, canary = with_canaries
    path = written(assessed(project), "workbook", tmp_path)

    assert any(
        spelled in data
        for spelled in spellings(canary.words["comparable title"])
        for _, data in parts(path)
    )


@pytest.mark.parametrize("sheet", SPREADSHEETS)
def test_p7_a_spreadsheet_holds_no_link_script_or_other_file(
    sheet: str, assessment: Assessment, tmp_path: Path
) -> None:
    path = written(assessment, sheet, tmp_path)

    for name, data in parts(path):
        assert not re.search(
            r"vba|externalLink|embedding|connections|queryTable", name, re.IGNORECASE
        ), name
        assert b"TargetMode" not in data, name
        assert b"<hyperlink" not in data, name


def test_the_workbook_of_some_boats_holds_only_those(
    assessment: Assessment, tmp_path: Path
) -> None:
    book = opened(written(assessment, "workbook", tmp_path).read_bytes())

    assert [row[0].value for row in sheet_of(book, "Boats").iter_rows(min_row=2)] == [MARIGOLD]
    assert "For you alone" not in book.sheetnames


def test_a_request_without_work_can_still_be_opened() -> None:
    from tests.figures.small_yard import ALL_GOOD, search  # noqa: PLC0415 - only here

    rows, _ = places(sheet_of(opened(request(search(ALL_GOOD)))))

    assert "quote/yard" in rows
    assert not [name for name in rows if name.startswith("access/")]


def test_the_day_of_the_sheet_is_in_its_properties_without_a_time() -> None:
    created = opened(form()).properties.created

    assert created is not None
    assert (created.date(), created.hour, created.minute) == (date(2026, 5, 1), 0, 0)


def test_offers_and_notes_are_in_a_workbook_only_when_they_are_asked_for(tmp_path: Path) -> None:
    project = two_boats()
    made = OfferMade("", Money(Decimal(77_123), "USD"), conditions="Zqconditions")
    project = done(project, [costing.put_offer(project, MARIGOLD, made)])

    said = {}
    for name in ("workbook", "workbook-private"):
        book = opened(written(assessed(project), name, tmp_path).read_bytes())
        cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row]
        said[name] = "Zqconditions" in cells or any("77123" in text for text in cells)

    assert said == {"workbook": False, "workbook-private": True}
