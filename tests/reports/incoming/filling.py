"""Files to bring in, made in the test: the small search, its forms, and ways to fill them in."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

import openpyxl
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from tests.figures.small_yard import search, small_catalogue
from workbench.domain.project import Project
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.reports.incoming.importing import preview_of
from workbench.reports.incoming.preview import Preview, Request
from workbench.reports.incoming.reading import read_incoming
from workbench.reports.spreadsheet_form import write_form

TODAY = date(2026, 5, 31)
VISIT = date(2026, 5, 9)
Answers = Mapping[str, Mapping[str, object]]
"""What is put into the columns of rows, by the names of the rows and the headings."""

ROBIN: Answers = {
    "form/by": {"Value": "Robin"},
    "form/date": {"Value": VISIT},
    "bearing/play": {"Value": 0.7, "Note": "rocks <by> hand & creaks"},
    "bearing/sound": {"Value": "knocks"},
    "seacocks/state": {"Value": "bad", "Not sure": "x"},
    "seacocks/number": {"Value": 3},
    "rigging/state": {"Could not see, why": "mast is down"},
    "seal/state": {"Could not see, why": "not fitted"},
}


def form(project: Project | None = None, *, imperial: bool = False) -> bytes:
    """The field form of Ann, as it goes out."""
    assessment = assess(project or search({}), small_catalogue())
    kept = io.BytesIO()
    write_form(
        assessment.boats["ann"], assessment.catalogue, date(2026, 5, 1), kept, imperial=imperial
    )
    return kept.getvalue()


def saved(book: Workbook) -> bytes:
    """A workbook as openpyxl saves it."""
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def sheet_of(book: Workbook, name: str = "") -> Worksheet:
    """A sheet of a workbook, the first without a name."""
    found = book[name] if name else book.worksheets[0]
    assert isinstance(found, Worksheet)
    return found


def places(sheet: Worksheet) -> tuple[dict[str, int], dict[str, int]]:
    """Rows by their names and columns by their headings."""
    rows = {str(cell.value): cell.row for cell in sheet["A"] if cell.value is not None}
    columns = {str(cell.value): cell.column for cell in sheet[1] if cell.value is not None}
    return rows, columns


def filled(
    data: bytes, answers: Answers, change: Callable[[Worksheet], None] = lambda sheet: None
) -> bytes:
    """A form filled in with openpyxl, and then changed as somebody might."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    sheet = sheet_of(book)
    rows, columns = places(sheet)
    for name, columns_said in answers.items():
        for head, value in columns_said.items():
            sheet.cell(rows[name], columns[head]).value = value  # type: ignore[assignment]
    change(sheet)
    return saved(book)


def table(
    *rows: Sequence[object], change: Callable[[Worksheet], None] = lambda sheet: None
) -> bytes:
    """A workbook of one sheet with some rows."""
    book = Workbook()
    sheet = sheet_of(book)
    for row in rows:
        sheet.append(list(row))
    change(sheet)
    return saved(book)


def preview(
    data: bytes | str,
    project: Project | None = None,
    answers: Mapping[str, str] | None = None,
    *,
    name: str = "file.xlsx",
    boat: str = "",
) -> Preview:
    """What a file would change in the small search."""
    raw = data.encode() if isinstance(data, str) else data
    incoming = read_incoming("file.csv" if isinstance(data, str) else name, raw)
    request = Request(
        incoming, project or search({}), small_catalogue(), TODAY, answers or {}, boat
    )
    return preview_of(request)


def taken_in(
    data: bytes | str, project: Project | None = None, answers: Mapping[str, str] | None = None
) -> Project:
    """The small search after a file was taken in, with no fault and no question."""
    before = project or search({})
    seen = preview(data, before, answers)
    assert not seen.questions, seen.questions
    assert not seen.faults, [one.sentence() for one in seen.faults]
    if seen.edit is None:
        return before
    after, _ = apply(before, seen.edit)
    return after


def repacked(
    data: bytes,
    change: Mapping[str, bytes] | None = None,
    leave_out: Sequence[str] = (),
) -> bytes:
    """A packed file with some parts changed, added or left out."""
    kept = io.BytesIO()
    new = dict(change or {})
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(kept, "w", 8) as made:
        for info in old.infolist():
            if info.filename not in leave_out:
                made.writestr(info.filename, new.pop(info.filename, old.read(info.filename)))
        for name, part in new.items():
            made.writestr(name, part)
    return kept.getvalue()


def part(data: bytes, name: str) -> bytes:
    """One part of a packed file."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return archive.read(name)


def as_file(folder: Path, data: bytes, name: str = "file.xlsx") -> Path:
    """A file on the disk."""
    path = folder / name
    path.write_bytes(data)
    return path
