"""Bad workbooks, B19 to B40: each is refused or asked about in words, and nothing is changed.

The files are made here by code. Where a value is read, openpyxl (a reader from outside the project)
says what it is.
"""

from __future__ import annotations

import io
import random
import socket
import struct
import zipfile
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from tests.figures.small_yard import mm, search, seen
from tests.reports.incoming.filling import (
    ROBIN,
    Answers,
    filled,
    form,
    part,
    places,
    preview,
    repacked,
    saved,
    sheet_of,
    table,
    taken_in,
)
from workbench.domain.problem import HardstandError, Severity
from workbench.reports.incoming.cells import Holds
from workbench.reports.incoming.reading import read_incoming

SHEET = "xl/worksheets/sheet1.xml"
GOOD = table(["Name", "Price"], ["Zoe", 20000])


def refusal(data: bytes, name: str = "file.xlsx") -> str:
    """The sentence with which a file is refused."""
    with pytest.raises(HardstandError) as caught:
        read_incoming(name, data)
    (problem,) = caught.value.problems
    assert problem.severity is Severity.REFUSED
    assert problem.where.startswith(name)
    assert problem.remedy
    return problem.message


def sheet_with(cells: str, tail: str = "") -> bytes:
    """A workbook whose sheet holds some raw cells."""
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    xml = f'<worksheet xmlns="{space}"><sheetData>{cells}</sheetData>{tail}</worksheet>'
    return repacked(GOOD, {SHEET: xml.encode()})


def reading_of(value: object, head: str = "Value") -> Answers:
    """The answers of a form with one value of the bearing."""
    return {**ROBIN, "bearing/play": {head: value}}


# --- Packages ---


def test_b19_a_file_that_swells_is_refused_while_it_is_counted() -> None:
    bomb = repacked(GOOD, {"xl/media/bomb.bin": bytes(120 * 1024 * 1024)})
    assert len(bomb) < 1024 * 1024

    assert "swells far beyond its size" in refusal(bomb)


def test_b19_many_parts_that_swell_together_are_refused() -> None:
    noise = random.Random(7).randbytes(1024 * 1024)
    part_of_90 = noise * 4 + bytes(50 * 1024 * 1024)
    bomb = repacked(GOOD, {f"xl/media/{n}.bin": part_of_90 for n in range(4)})

    assert "swells far beyond its size" in refusal(bomb)


def test_b19_more_parts_than_any_workbook_has_are_refused() -> None:
    many = repacked(GOOD, {f"xl/media/{n}.bin": b"" for n in range(2_100)})

    assert "2000 is the limit" in refusal(many)


def lying(data: bytes, name: str, stated: int) -> bytes:
    """A packed file whose directory states another size for a part."""
    made = bytearray(data)
    at = 0
    while (at := made.find(b"PK\x01\x02", at)) >= 0:
        length = struct.unpack_from("<H", made, at + 28)[0]
        if bytes(made[at + 46 : at + 46 + length]) == name.encode():
            struct.pack_into("<I", made, at + 24, stated)
        at += 4
    return bytes(made)


@pytest.mark.parametrize("stated", [10, 10_000_000])
def test_b20_a_part_that_lies_about_its_size_is_refused(stated: int) -> None:
    message = refusal(lying(GOOD, SHEET, stated))

    assert "cut short or damaged" in message or "not as long as the file says" in message


def test_b20_parts_that_lie_over_each_other_are_refused() -> None:
    made = bytearray(GOOD)
    first = made.find(b"PK\x01\x02")
    second = made.find(b"PK\x01\x02", first + 4)
    (offset,) = struct.unpack_from("<I", made, first + 42)
    struct.pack_into("<I", made, second + 42, offset)

    assert "lie over each other" in refusal(bytes(made))


def test_b20_a_packed_file_inside_is_refused() -> None:
    assert "Another packed file" in refusal(repacked(GOOD, {"xl/embeddings/a.xlsx": GOOD}))


@pytest.mark.parametrize(
    "declared",
    [
        '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>',
        "<!DOCTYPE x [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;'><!ENTITY c '&b;&b;&b;'>]>",
        '<!DOCTYPE x SYSTEM "http://example.invalid/x.dtd">',
    ],
    ids=["outside entity", "laughs", "outside type"],
)
@pytest.mark.parametrize("where", [SHEET, "xl/workbook.xml", "xl/styles.xml"])
def test_b21_b22_entities_and_document_types_are_refused(declared: str, where: str) -> None:
    xml = part(GOOD, where).decode()
    start = xml.index("?>") + 2 if xml.startswith("<?xml") else 0
    bad = (xml[:start] + declared + xml[start:]).encode()

    assert "declares a document type" in refusal(repacked(GOOD, {where: bad}))


def test_b21_the_other_reader_of_workbooks_is_defused_too() -> None:
    assert openpyxl.DEFUSEDXML is True


def test_b23_links_and_queries_are_listed_and_no_socket_is_opened(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("a socket was opened")

    monkeypatch.setattr(socket, "socket", refuse)
    linked = repacked(
        GOOD,
        {
            "xl/externalLinks/externalLink1.xml": b"<externalLink/>",
            "xl/connections.xml": b"<connections/>",
            "xl/queryTables/queryTable1.xml": b"<queryTable/>",
        },
    )

    told = [one.message for one in preview(linked).notices]

    assert any("links were not followed" in one for one in told)
    assert sum("Nothing was asked" in one for one in told) == 1


@pytest.mark.parametrize(
    ("start", "words"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "old .xls kind"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
            + bytes(600)
            + "EncryptedPackage".encode("utf-16-le"),
            "protected by a password",
        ),
        (b"<!DOCTYPE html><html><table>", "web page"),
        (b"\xef\xbb\xbf <html><table>", "web page"),
        (b'<?xml version="1.0"?><Workbook/>', "XML file"),
        (b"{\\rtf1 hello", "text document (RTF)"),
        (b"\x89PNG\r\n\x1a\n", "picture"),
        (b"", "empty"),
    ],
)
def test_b33_b34_other_kinds_are_told_by_their_first_bytes(start: bytes, words: str) -> None:
    assert words in refusal(start)


def packed(members: Mapping[str, bytes]) -> bytes:
    """A packed file of some parts."""
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w") as made:
        for name, data in members.items():
            made.writestr(name, data)
    return kept.getvalue()


@pytest.mark.parametrize(
    ("members", "words"),
    [
        ({"mimetype": b"application/vnd.oasis.opendocument.spreadsheet"}, "(.ods)"),
        ({"mimetype": b"application/vnd.oasis.opendocument.text"}, "no spreadsheet"),
        ({"xl/workbook.bin": b""}, "(.xlsb)"),
        ({"word/document.xml": b""}, "(.docx)"),
        ({"Index/Document.iwa": b""}, "its own kind"),
        ({"letter.txt": b"Dear"}, "archive (ZIP)"),
    ],
)
def test_b34_packed_files_of_other_kinds_are_told_apart(
    members: Mapping[str, bytes], words: str
) -> None:
    assert words in refusal(packed(members))


def test_b34_a_text_table_named_as_a_workbook_is_read_as_what_it_is() -> None:
    incoming = read_incoming("file.xlsx", b"Name;Price\nZoe;20000\n")

    assert incoming.kind == "csv"


def test_b35_macros_are_listed_and_not_kept() -> None:
    seen_macros = preview(repacked(GOOD, {"xl/vbaProject.bin": b"\xcc\x61"}))

    assert any("macros" in one.message for one in seen_macros.notices)
    assert seen_macros.edit is not None


@pytest.mark.parametrize("keep", [0.2, 0.5, 0.9, 0.99])
def test_b39_a_file_cut_short_is_refused(keep: float) -> None:
    assert "cut short or damaged" in refusal(GOOD[: int(len(GOOD) * keep)])


def test_b39_a_part_whose_sum_does_not_agree_is_refused() -> None:
    stored = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(GOOD)) as old, zipfile.ZipFile(stored, "w", 0) as made:
        for info in old.infolist():
            made.writestr(info.filename, old.read(info.filename))
    data = stored.getvalue().replace(b"sheetData", b"sheetDatb", 1)

    assert "cut short or damaged" in refusal(data)


@pytest.mark.parametrize(
    "name", ["../../x.txt", "/etc/x", "C:\\x", "\\\\host\\x", "xl/../../x", "..\\x"]
)
def test_b40_a_part_that_leads_out_of_the_file_is_refused_and_nothing_is_written(
    name: str, tmp_path: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(str(tmp_path))
    data = repacked(GOOD, {"xl/media/zzzzzzzzzz": b"x"})
    bad = data.replace(b"xl/media/zzzzzzzzzz", name.encode().ljust(19, b"x"))

    message = refusal(bad)

    assert "leads out of the file" in message
    assert "Nothing was unpacked" in message


# --- Cells ---


def test_b24_a_formula_without_a_value_is_a_fault_and_never_nought() -> None:
    data = filled(form(), reading_of("=0.3+0.4"))
    rows, _ = places(sheet_of(openpyxl.load_workbook(io.BytesIO(data))))

    found = preview(data)

    assert [one.message for one in found.faults] == ["It holds formula without value."]
    assert found.faults[0].where.endswith(f"cell D{rows['bearing/play']}")
    assert found.faults[0].remedy == "Type the value itself over it."
    assert found.edit is None


def test_a_formula_with_a_stored_value_counts_with_that_value() -> None:
    kept = io.BytesIO()
    book = xlsxwriter.Workbook(kept)
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["Name", "Price"])
    sheet.write_string(1, 0, "Zoe")
    sheet.write_formula(1, 1, "=10000*2", None, 20000)
    book.close()

    boat = taken_in(kept.getvalue()).boats["zoe"].boat

    assert boat.asking_price is not None
    assert boat.asking_price.amount == 20_000


@pytest.mark.parametrize("error", ["#REF!", "#DIV/0!", "#N/A", "#NAME?", "#VALUE!"])
def test_b25_a_stored_error_is_a_fault_with_its_name(error: str) -> None:
    data = sheet_with(
        '<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c>'
        '<c r="B1" t="inlineStr"><is><t>Price</t></is></c></row>'
        '<row r="2"><c r="A2" t="inlineStr"><is><t>Zoe</t></is></c>'
        f'<c r="B2" t="e"><f>1/0</f><v>{error}</v></c></row>'
    )

    found = preview(data)

    assert [one.message for one in found.faults] == [f"It holds {error}."]
    assert found.edit is None


def test_b26_merged_answers_count_once_and_are_told_of() -> None:
    data = filled(form(), ROBIN)
    book = openpyxl.load_workbook(io.BytesIO(data))
    sheet = sheet_of(book)
    rows, _ = places(sheet)
    first, last = rows["bearing/play"], rows["bearing/sound"]
    sheet.merge_cells(f"D{first}:D{last}")

    found = preview(saved(book))

    assert [one.message for one in found.notices] == [
        "These cells are merged, so what they say counts for the first row only."
    ]
    (reading,) = taken_in(saved(book)).boats["ann"].inspection.readings["bearing"]
    assert dict(reading.values) == {"play": mm("0.7")}


def test_b26_merged_cells_of_a_table_are_told_of() -> None:
    def merge(sheet: Worksheet) -> None:
        sheet.merge_cells("B2:B3")

    data = table(["Name", "Lies at"], ["Zoe", "North"], ["Max", None], change=merge)

    (told,) = preview(data).notices

    assert told.where == "file.xlsx, cell B2:B3"
    assert taken_in(data).boats["max"].boat.lies_at == ""


def test_b27_a_day_that_can_be_several_is_asked_and_not_guessed() -> None:
    data = filled(form(), {**ROBIN, "form/date": {"Value": "03/04/05"}})

    found = preview(data)

    (asked,) = [one for one in found.questions if one.key == "day-order"]
    assert asked.text == "Which day is “03/04/05”?"
    assert [one.words for one in asked.choices] == [
        "2005-04-03 (day first)",
        "2005-03-04 (month first)",
        "2003-04-05 (year first)",
    ]
    assert found.edit is None
    after = taken_in(data, answers={"day-order": "mdy"})
    assert after.boats["ann"].inspection.readings["bearing"][0].taken == date(2005, 3, 4)


@pytest.mark.parametrize("written", ["25/12/2025", "25.12.2025", "2025-12-25", "25 December 2025"])
def test_a_day_that_can_be_only_one_is_read(written: str) -> None:
    after = taken_in(filled(form(), {**ROBIN, "form/date": {"Value": written}}))

    assert after.boats["ann"].inspection.readings["bearing"][0].taken == date(2025, 12, 25)


@pytest.mark.parametrize("from_1904", [False, True])
def test_b28_both_calendars_of_workbooks_give_the_same_day(from_1904: bool) -> None:
    book = openpyxl.load_workbook(io.BytesIO(filled(form(), ROBIN)))
    if from_1904:
        book.epoch = CALENDAR_MAC_1904
    data = saved(book)
    assert (b'date1904="1"' in part(data, "xl/workbook.xml")) is from_1904

    after = taken_in(data)

    assert after.boats["ann"].inspection.readings["bearing"][0].taken == date(2026, 5, 9)


@pytest.mark.parametrize(
    ("written", "amount"),
    [
        ("1.234,56", "1234.56"),
        ("1 234,56", "1234.56"),
        ("1'234.56", "1234.56"),
        ("1\u00a0234,56", "1234.56"),
        ("1\u202f234,56", "1234.56"),
        ("€ 24.500,00", "24500"),
        ("24 500 EUR", "24500"),
    ],
)
def test_b29_marks_and_spaces_of_other_countries_are_read(written: str, amount: str) -> None:
    after = taken_in(table(["Name", "Price"], ["Zoe", written]))

    asked = after.boats["zoe"].boat.asking_price
    assert asked is not None
    assert asked.amount == Decimal(amount)


@pytest.mark.parametrize(("mark", "amount"), [(",", 24_500), (".", Decimal("24.5"))])
def test_b29_a_mark_that_can_be_two_things_is_asked_once(mark: str, amount: Decimal) -> None:
    data = table(["Name", "Price"], ["Zoe", "24.500"], ["Max", "31.000"])

    found = preview(data)

    (asked,) = found.questions
    assert asked.key == "decimal-mark"
    assert [one.words for one in asked.choices] == [
        "a decimal comma: 24500",
        "a decimal point: 24.500",
    ]
    assert found.edit is None
    price = taken_in(data, answers={"decimal-mark": mark}).boats["zoe"].boat.asking_price
    assert price is not None
    assert price.amount == amount


def test_b29_another_number_of_the_file_can_settle_the_mark_and_that_is_said() -> None:
    data = table(["Name", "Price"], ["Zoe", "24.500"], ["Max", "31.000,50"])

    found = preview(data)

    assert found.questions == ()
    assert "Numbers written with a decimal comma." in found.read_as
    price = taken_in(data).boats["zoe"].boat.asking_price
    assert price is not None
    assert price.amount == 24_500


def test_b30_a_number_stored_as_text_is_read_and_told_of() -> None:
    data = filled(form(), {**ROBIN, "bearing/play": {"Value": "0.7"}})

    found = preview(data)

    assert found.faults == ()
    assert [one.message for one in found.notices] == [
        "One number is stored as text; it was read as a number."
    ]
    (reading,) = taken_in(data).boats["ann"].inspection.readings["bearing"]
    assert reading.values["play"] == mm("0.7")


def test_b30_an_apostrophe_before_a_text_is_not_part_of_it() -> None:
    book = Workbook()
    sheet = sheet_of(book)
    for at, row in enumerate([["Name", "Notes"], ["Zoe", "=SUM(A1)"]], 1):
        for column, value in enumerate(row, 1):
            cell = sheet.cell(at, column)
            cell.value, cell.data_type = value, "s"
    sheet["B2"].quotePrefix = True

    boat = taken_in(saved(book)).boats["zoe"].boat

    assert boat.private_note == "=SUM(A1)"


@pytest.mark.parametrize("state", ["hidden", "veryHidden"])
def test_b31_a_hidden_sheet_is_offered_and_not_taken_silently(state: str) -> None:
    book = Workbook()
    sheet_of(book).append(["nothing of use"])
    hidden = book.create_sheet("Old boats")
    hidden.append(["Name", "Price"])
    hidden.append(["Zoe", 20000])
    hidden.sheet_state = state

    found = preview(saved(book))

    (asked,) = found.questions
    assert asked.key == "sheet"
    assert [one.words for one in asked.choices] == ["Sheet (1 rows)", "Old boats (2 rows, hidden)"]
    assert "zoe" in taken_in(saved(book), answers={"sheet": "Old boats"}).boats


def test_b31_an_empty_workbook_has_nought_rows() -> None:
    found = preview(table())

    assert [one.message for one in found.faults] == ["There is nothing in it: 0 rows."]


def test_b32_without_headings_row_and_columns_are_asked() -> None:
    data = table(["Zoe", 20000], ["Max", 30000])

    first = preview(data, answers={"kind": "boats"})
    assert [one.key for one in first.questions] == ["heads-row"]
    second = preview(data, answers={"kind": "boats", "heads-row": "0"})
    assert [one.key for one in second.questions] == ["column/name"]
    assert [one.words for one in second.questions[0].choices] == [
        "column A: Zoe, Max",
        "column B: 20000, 30000",
    ]
    after = taken_in(
        data,
        answers={"kind": "boats", "heads-row": "0", "column/name": "1", "column/price": "2"},
    )

    assert {"zoe", "max"} <= set(after.boats)


def test_b32_a_heading_that_stands_twice_is_asked_about() -> None:
    data = table(["Name", "Price", "Price"], ["Zoe", 20000, 21000])

    (asked,) = preview(data).questions

    assert asked.key == "column/price"
    assert [one.words for one in asked.choices] == [
        "Price: 20000",
        "Price: 21000",
        "none of them",
    ]
    price = taken_in(data, answers={"column/price": "3"}).boats["zoe"].boat.asking_price
    assert price is not None
    assert price.amount == 21_000


def test_b32_headings_that_come_again_are_passed_over() -> None:
    data = table(["Name", "Price"], ["Zoe", 20000], ["Name", "Price"], ["Max", 30000])

    found = preview(data)

    assert [one.message for one in found.notices] == [
        "The headings stand there again; that row was passed over."
    ]
    assert set(taken_in(data).boats) == {"ann", "zoe", "max"}


@pytest.mark.parametrize("place", ["XFD1048576", "A20001", "GS2"])
def test_b36_a_filled_cell_far_out_is_refused_whatever_the_dimension_says(place: str) -> None:
    row = "".join(sign for sign in place if sign.isdigit())
    data = sheet_with(
        f'<row r="1"><c r="A1"><v>1</v></c></row><row r="{row}"><c r="{place}"><v>1</v></c></row>'
    ).replace(b"A1:B2", b"A1:A1")

    assert f"Cell {place} is filled, and 20,000 rows of 200 columns are the limit." in refusal(data)


def test_b36_an_empty_cell_far_out_is_no_matter() -> None:
    data = sheet_with(
        '<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row>'
        '<row r="1048576"><c r="XFD1048576" s="0"/></row>'
    )

    (sheet,) = read_incoming("file.xlsx", data).sheets

    assert [row.number for row in sheet.rows] == [1]


def test_b37_ten_thousand_sheets_are_refused() -> None:
    listed = "".join(f'<sheet name="s{n}" sheetId="{n}" r:id="rId1"/>' for n in range(1, 10_001))
    xml = part(GOOD, "xl/workbook.xml").decode()
    start, end = xml.index("<sheets>") + 8, xml.index("</sheets>")
    many = repacked(GOOD, {"xl/workbook.xml": (xml[:start] + listed + xml[end:]).encode()})

    assert "10,000 sheets; 200 is the limit" in refusal(many)


def test_b37_a_million_texts_are_refused() -> None:
    texts = "".join(f"<si><t>{n * 2654435761 % 2**40:x}</t></si>" for n in range(1_000_000))
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    kept = io.BytesIO()
    book = xlsxwriter.Workbook(kept)
    book.add_worksheet().write_string(0, 0, "x")
    book.close()
    data = repacked(
        kept.getvalue(),
        {"xl/sharedStrings.xml": f'<sst xmlns="{space}">{texts}</sst>'.encode()},
    )

    assert "more than 250,000 different texts" in refusal(data)


@pytest.mark.parametrize(
    ("pattern", "sign"), [('#,##0.00 "€"', "€"), ("[$EUR] #,##0", "EUR"), ("[$€-407] #,##0", "€")]
)
def test_b38_a_currency_that_only_a_format_names_is_unconfirmed(pattern: str, sign: str) -> None:
    def change(sheet: Worksheet) -> None:
        sheet["B2"].number_format = pattern

    data = table(["Name", "Price"], ["Zoe", 20000], change=change)
    named = "EUR" if sign == "€" else sign

    found = preview(data)

    (asked,) = found.questions
    assert asked.key == f"currency/{sign}"
    assert asked.text.startswith(f"Only the number format names “{sign}”.")
    assert {one.value for one in asked.choices} == {named, "USD"} or sign == "EUR"
    price = taken_in(data, answers={asked.key: "EUR"}).boats["zoe"].boat.asking_price
    assert price is not None
    assert price.currency == "EUR"


def test_a_fraction_that_a_spreadsheet_made_a_day_of_is_told() -> None:
    found = preview(filled(form(), {**ROBIN, "bearing/play": {"Value": date(2026, 3, 4)}}))

    assert "The spreadsheet made a day of it (2026-03-04)" in found.faults[0].message


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("a lot", "“a lot” is not a measurement."),
        (11, "11 mm is more than 10 mm."),
        (-1, "-1 mm is less than 0 mm."),
        (True, "“TRUE” is no number."),
    ],
)
def test_a_value_that_cannot_be_is_told_with_its_cell_and_nothing_comes_in(
    value: object, words: str
) -> None:
    found = preview(filled(form(), reading_of(value)))

    assert [one.message for one in found.faults] == [words]
    assert found.edit is None
    assert found.changes


def test_a_choice_that_is_none_is_told_with_the_ones_there_are() -> None:
    found = preview(filled(form(), {**ROBIN, "bearing/sound": {"Value": "rattles"}}))

    assert found.faults[0].message == "“rattles” is none of the choices."
    assert found.faults[0].remedy == "There are: quiet; knocks."


def test_a_choice_that_is_nearly_one_is_told_which() -> None:
    found = preview(filled(form(), {**ROBIN, "bearing/sound": {"Value": "knoks"}}))

    assert found.faults[0].remedy == "Did you mean “knocks”?"


def test_what_cannot_be_read_is_left_out_when_that_is_asked_for() -> None:
    data = filled(form(), {**ROBIN, "bearing/play": {"Value": "a lot"}})
    before = search({"rigging": seen(state="good")})

    found = preview(data, before, {"leave-out": "yes"})

    assert found.edit is not None
    assert len(found.faults) == 1
    assert all(one.what != "Play" for one in found.changes)


def test_a_row_that_names_no_check_is_told() -> None:
    book = openpyxl.load_workbook(io.BytesIO(filled(form(), ROBIN)))
    sheet = sheet_of(book)
    rows, _ = places(sheet)
    sheet.cell(rows["bearing/play"], 1).value = "bearings/play"

    found = preview(saved(book))

    assert [one.message for one in found.faults] == [
        "There is no check “bearings” in the catalogue."
    ]
    assert found.faults[0].remedy == "Leave the first column as it was."


def test_a_row_that_stands_there_twice_with_two_answers_is_told() -> None:
    book = openpyxl.load_workbook(io.BytesIO(filled(form(), ROBIN)))
    sheet = sheet_of(book)
    sheet.append(["bearing/play", "bearing", "", 1.1])

    found = preview(saved(book))

    assert "twice with two answers (0.7 mm; 1.1 mm)" in found.faults[0].message


def test_a_row_without_a_name_is_told_and_keeps_nothing_out() -> None:
    book = openpyxl.load_workbook(io.BytesIO(filled(form(), ROBIN)))
    sheet_of(book).append(["", "the cooker too", "", "rusty"])

    found = preview(saved(book))

    assert found.edit is not None
    assert any("It has no name in the first column" in one.message for one in found.notices)


CELLS: Sequence[object] = (
    1,
    0.1,
    -2.5,
    1e-7,
    123456789.25,
    "plain",
    "with <angle> & amp",
    "two\nlines",
    "ünïcödé ⛵",
    True,
    date(1999, 12, 31),
    date(2026, 5, 31),
)


@pytest.mark.parametrize("writer", ["openpyxl", "xlsxwriter"])
def test_cells_read_as_the_other_reader_reads_them(writer: str) -> None:
    if writer == "openpyxl":
        data = table(CELLS)
    else:
        kept = io.BytesIO()
        book = xlsxwriter.Workbook(kept, {"default_date_format": "yyyy-mm-dd"})
        book.add_worksheet().write_row(0, 0, CELLS)
        book.close()
        data = kept.getvalue()
    read = sheet_of(openpyxl.load_workbook(io.BytesIO(data), data_only=True))
    theirs = next(read.iter_rows(values_only=True))

    (row,) = read_incoming("file.xlsx", data).sheets[0].rows

    for their, cell in zip(theirs, row.cells.values(), strict=True):
        if isinstance(their, datetime):
            assert cell.day == their.date()
        elif isinstance(their, bool):
            assert (cell.holds, cell.text) == (Holds.TRUTH, str(their).upper())
        elif isinstance(their, int | float):
            assert cell.number is not None
            assert float(cell.number) == their
        else:
            assert cell.text == their


SMALL_FORM = filled(form(), ROBIN)
TEXT_PARTS = ("xl/workbook.xml", SHEET, "xl/styles.xml", "xl/_rels/workbook.xml.rels")


@given(st.data())
def test_whatever_happened_to_a_workbook_it_is_read_or_refused_in_words(
    drawn: st.DataObject,
) -> None:
    name = drawn.draw(st.sampled_from(TEXT_PARTS))
    made = bytearray(part(SMALL_FORM, name))
    for _ in range(drawn.draw(st.integers(1, 5))):
        at = drawn.draw(st.integers(0, len(made) - 1))
        made[at : at + drawn.draw(st.integers(0, 3))] = drawn.draw(st.binary(max_size=3))

    try:
        found = preview(repacked(SMALL_FORM, {name: bytes(made)}))
    except HardstandError as error:
        said = [problem.remedy for problem in error.problems]
    else:
        said = [found.title]
    assert all(said)


@given(st.data())
def test_whatever_happened_to_its_packing_it_is_read_or_refused_in_words(
    drawn: st.DataObject,
) -> None:
    made = bytearray(GOOD)
    for _ in range(drawn.draw(st.integers(1, 4))):
        made[drawn.draw(st.integers(0, len(made) - 1))] = drawn.draw(st.integers(0, 255))

    try:
        said = [read_incoming("file.xlsx", bytes(made)).kind]
    except HardstandError as error:
        said = [problem.remedy for problem in error.problems]
    assert all(said)
