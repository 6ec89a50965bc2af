"""A request for a quote goes out as a spreadsheet and comes back as quotes, one for each price."""

from __future__ import annotations

import dataclasses
import io
from datetime import date
from decimal import Decimal
from pathlib import Path

import ironcalc
import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from tests.figures.small_yard import ALL_GOOD, mm, search, seen, small_catalogue
from tests.reports.incoming.filling import (
    Answers,
    as_file,
    filled,
    places,
    preview,
    repacked,
    saved,
    sheet_of,
    taken_in,
)
from workbench.domain.ledger import OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Span
from workbench.edits import costing
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.reports.spreadsheet_quote import write_request
from workbench.reports.yard_view import yard_view
from workbench.store.attachments import document_name

BEARING, SEACOCKS = "bearing/renew/work", "seacocks/renew/work"
HAUL, DRAW = "access/haul-out", "access/draw-shaft"
QUOTED = date(2026, 5, 20)
WHARF: Answers = {
    "quote/yard": {"Price": "Wharf & Sons"},
    "quote/date": {"Price": QUOTED},
    "quote/valid-until": {"Price": date(2026, 8, 31)},
    BEARING: {"Price": 310.5, "Note": "if the tube is sound"},
    SEACOCKS: {"Price": 800},
    HAUL: {"Price": 550},
}


def worn() -> Project:
    """Ann with a worn-out bearing, three bad seacocks and a job of the buyer's own."""
    readings = {
        **ALL_GOOD,
        "bearing": seen(play=mm("2")),
        "seacocks": seen(state="bad", number=Quantity(Decimal(3), "count")),
    }
    own = OwnLine("", "=Paint <her>", Span.exactly(Decimal(100)))
    return search(readings, more=[lambda p: costing.put_own_line(p, "ann", own)])


def request(project: Project | None = None) -> bytes:
    """The request as it goes out."""
    assessment = assess(project or worn(), small_catalogue())
    view = yard_view(assessment.boats["ann"], assessment.catalogue, date(2026, 5, 10))
    kept = io.BytesIO()
    write_request(view, "ann", assessment.catalogue, kept)
    return kept.getvalue()


def quotes(project: Project) -> tuple[Quote, ...]:
    return project.boats["ann"].ledger.quotes


def expected() -> set[tuple[str, Decimal, tuple[str, ...], date, date, str]]:
    """What Wharf & Sons ask for."""
    until = date(2026, 8, 31)
    return {
        ("Wharf & Sons", Decimal("310.5"), (BEARING,), QUOTED, until, "if the tube is sound"),
        ("Wharf & Sons", Decimal(800), (SEACOCKS,), QUOTED, until, ""),
        ("Wharf & Sons", Decimal(550), (HAUL,), QUOTED, until, ""),
    }


def facts(project: Project) -> set[tuple[object, ...]]:
    return {
        (one.yard, one.amount.amount, one.answers, one.on, one.valid_until, one.note)
        for one in quotes(project)
    }


def test_shared_work_stands_once_and_no_price_of_ours_is_in_the_request() -> None:
    book = openpyxl.load_workbook(io.BytesIO(request()))
    rows, columns = places(sheet_of(book))
    texts = [str(cell.value) for row in sheet_of(book).iter_rows() for cell in row]

    assert list(rows).count(HAUL) == 1
    assert {BEARING, SEACOCKS, HAUL, DRAW, "own/job-1"} <= set(rows)
    assert not {"300", "250", "750", "600", "400", "20000"} & set(texts)
    assert sheet_of(book).cell(rows[HAUL], columns["Work"]).value == "Serves 2 jobs."


def test_a_job_that_begins_as_a_formula_stays_text() -> None:
    """P6: user text is written as text."""
    sheet = sheet_of(openpyxl.load_workbook(io.BytesIO(request())))
    rows, columns = places(sheet)

    cell = sheet.cell(rows["own/job-1"], columns["Job"])

    assert (cell.value, cell.data_type) == ("=Paint <her>", "s")
    assert cell.quotePrefix


def test_prices_filled_in_with_openpyxl_come_back_as_quotes() -> None:
    assert facts(taken_in(filled(request(), WHARF), worn())) == expected()


def test_prices_filled_in_with_ironcalc_come_back_as_quotes(tmp_path: Path) -> None:
    model = ironcalc.load_from_xlsx(str(as_file(tmp_path, request())), "en", "UTC", "en")
    rows, columns = places(sheet_of(openpyxl.load_workbook(io.BytesIO(request()))))
    for name, said in WHARF.items():
        for head, value in said.items():
            typed = value.isoformat() if isinstance(value, date) else str(value)
            model.set_user_input(0, rows[name], columns[head], typed)
    model.evaluate()
    model.save_to_xlsx(str(tmp_path / "back.xlsx"))

    assert model.get_formatted_cell_value(0, max(rows.values()) + 1, columns["Price"]) == "1,660.50"
    assert facts(taken_in((tmp_path / "back.xlsx").read_bytes(), worn())) == expected()


def test_the_quotes_replace_the_estimates_they_answer() -> None:
    after = taken_in(filled(request(), WHARF), worn())

    figured = assess(after, small_catalogue()).boats["ann"]

    by_key = {line.key: line.counted for line in figured.lines}
    assert (by_key[BEARING], by_key[SEACOCKS]) == (Decimal("310.50"), Decimal("800.00"))
    assert {one.task.id: one.mean for one in figured.access}["haul-out"] == 550
    assert [one for one in figured.problems if one.key.startswith("quote")] == []


def test_a_second_import_changes_nothing_and_a_revised_quote_takes_its_place() -> None:
    once = taken_in(filled(request(), WHARF), worn())
    revised = {**WHARF, SEACOCKS: {"Price": 760}}

    again = preview(filled(request(), WHARF), once)
    after = taken_in(filled(request(), revised), once)

    assert again.edit is None
    assert again.unchanged == 3
    assert len(quotes(after)) == 3
    assert {one.amount.amount for one in quotes(after)} == {Decimal("310.5"), 760, 550}
    (change,) = preview(filled(request(), revised), once).changes
    assert (change.old, change.new) == ("800 USD, 2026-05-20", "760 USD, 2026-05-20")


def test_the_quote_of_another_yard_takes_the_work_over_and_that_is_told() -> None:
    once = taken_in(filled(request(), WHARF), worn())
    theirs: Answers = {"quote/yard": {"Price": "Slipway"}, BEARING: {"Price": 290}}

    found = preview(filled(request(), theirs), once)

    assert any(
        "The quote of Wharf & Sons (310.50 USD, 2026-05-20) no longer counts for it." in one.message
        for one in found.notices
    )
    assert any("has no date" in one.message for one in found.notices)


def test_rows_may_share_the_price_of_another_row() -> None:
    shared: Answers = {
        **WHARF,
        SEACOCKS: {"Priced with": "1.1"},
    }
    data = filled(request(), shared)
    rows, columns = places(sheet_of(openpyxl.load_workbook(io.BytesIO(data))))
    number = sheet_of(openpyxl.load_workbook(io.BytesIO(data))).cell(rows[BEARING], columns["No."])
    data = filled(request(), {**shared, SEACOCKS: {"Priced with": number.value}})

    by_amount = {one.amount.amount: one.answers for one in quotes(taken_in(data, worn()))}

    assert by_amount[Decimal("310.5")] == (BEARING, SEACOCKS)


def test_a_row_priced_with_a_row_that_has_no_price_is_told() -> None:
    found = preview(filled(request(), {**WHARF, SEACOCKS: {"Priced with": "9.9"}}), worn())

    assert found.faults[0].message == "“9.9” is no row with a price."
    assert found.edit is None


def test_one_price_for_all_the_work_answers_every_row() -> None:
    answers: Answers = {"quote/yard": {"Price": "Wharf"}, "quote/all": {"Price": 2000}}

    (quote,) = quotes(taken_in(filled(request(), answers), worn()))

    assert quote.amount == Money(Decimal(2000), "USD")
    assert set(quote.answers) == {BEARING, SEACOCKS, HAUL, DRAW, "own/job-1"}


def test_a_price_for_all_that_is_not_the_sum_of_the_rows_is_told() -> None:
    found = preview(filled(request(), {**WHARF, "quote/all": {"Price": 2000}}), worn())

    assert "The rows come to 1,660.50, and 2,000 stands for all the work" in found.faults[0].message


def test_hours_and_parts_make_a_price_where_an_hour_has_one() -> None:
    answers: Answers = {
        "quote/yard": {"Price": "Wharf"},
        "quote/hour": {"Price": 95},
        BEARING: {"Hours": 2.5, "Parts": 80},
    }

    (quote,) = quotes(taken_in(filled(request(), answers), worn()))

    assert quote.amount.amount == Decimal("2.5") * 95 + 80


def test_hours_without_the_price_of_an_hour_are_told() -> None:
    answers: Answers = {"quote/yard": {"Price": "Wharf"}, BEARING: {"Hours": 2.5}}

    found = preview(filled(request(), answers), worn())

    assert found.faults[0].message == "There are hours and no price."


def test_tax_on_top_is_added_so_that_the_quote_is_what_is_paid() -> None:
    answers: Answers = {**WHARF, "quote/tax": {"Price": 19}}

    found = {one.answers: one for one in quotes(taken_in(filled(request(), answers), worn()))}

    assert found[SEACOCKS,].amount.amount == Decimal("952.00")
    assert found[SEACOCKS,].note == "with 19 % tax, which comes on top of 800"


def test_the_currency_of_the_yard_is_the_currency_of_its_quotes() -> None:
    answers: Answers = {**WHARF, "quote/currency": {"Price": "EUR"}}

    assert {
        one.amount.currency for one in quotes(taken_in(filled(request(), answers), worn()))
    } == {"EUR"}


@pytest.mark.parametrize(
    ("value", "message"),
    [
        (-5, "-5 is less than nothing."),
        ("on request", "“on request” is not a number."),
        (10.005, "10.005 has more decimals than USD is written with."),
    ],
)
def test_b79_a_price_that_cannot_be_is_told(value: object, message: str) -> None:
    found = preview(filled(request(), {**WHARF, BEARING: {"Price": value}}), worn())

    assert [one.message for one in found.faults] == [message]
    assert found.edit is None


def test_b88_a_row_without_a_price_is_no_quote_of_nought() -> None:
    after = taken_in(filled(request(), {"quote/yard": {"Price": "Wharf"}}), worn())

    assert quotes(after) == ()


def test_the_yard_is_asked_for_where_it_is_not_named() -> None:
    data = filled(request(), {BEARING: {"Price": 300}})

    assert [one.key for one in preview(data, worn()).questions] == ["yard"]
    (quote,) = quotes(taken_in(data, worn(), {"yard": "Wharf"}))
    assert quote.yard == "Wharf"


def test_a_row_that_the_yard_added_is_told_and_keeps_nothing_out() -> None:
    def add(sheet: Worksheet) -> None:
        _, columns = places(sheet)
        row = sheet.max_row + 1
        sheet.cell(row, columns["Job"]).value = "Polish her"
        sheet.cell(row, columns["Price"]).value = 300

    found = preview(filled(request(), WHARF, add), worn())

    assert found.edit is not None
    assert any("not one of the rows that were asked for" in one.message for one in found.notices)


def test_sorted_rows_come_back_as_the_same_quotes() -> None:
    book = openpyxl.load_workbook(io.BytesIO(filled(request(), WHARF)))
    sheet = sheet_of(book)
    rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=2)][:-1]
    sheet.delete_rows(2, len(rows) + 1)
    for row in reversed(rows):
        sheet.append(row)

    assert facts(taken_in(saved(book), worn())) == expected()


# --- The file is kept ---


def test_the_file_is_kept_with_the_boat_and_every_quote_of_it_names_it() -> None:
    data = filled(request(), WHARF)

    found = preview(data, worn(), name="from the yard.xlsx")

    (kept,) = found.kept
    assert (kept.boat, kept.name, kept.data) == ("ann", "from the yard.xlsx", data)
    assert kept.file == document_name(data, "from the yard.xlsx")
    after = taken_in(data, worn())
    assert {one.document for one in quotes(after)} == {kept.file}


def test_one_step_back_takes_the_quotes_and_their_file_away() -> None:
    found = preview(filled(request(), WHARF), worn())
    assert found.edit is not None

    after, inverse = apply(worn(), found.edit)

    assert apply(after, inverse)[0] == worn()


def test_the_same_file_again_changes_nothing_and_is_not_kept_twice() -> None:
    data = filled(request(), WHARF)

    again = preview(data, taken_in(data, worn()))

    assert (again.changes, again.edit, again.kept) == ((), None, ())


def test_the_same_prices_saved_anew_change_nothing() -> None:
    """A spreadsheet program writes other bytes each time; the first file stays the one kept."""
    after = taken_in(filled(request(), WHARF), worn())

    again = preview(repacked(filled(request(), WHARF), {"docProps/extra.xml": b"<x/>"}), after)

    assert (again.changes, again.kept) == ((), ())


def test_quotes_that_came_in_without_their_file_are_given_it() -> None:
    data = filled(request(), WHARF)
    bare = taken_in(data, worn())
    for one in quotes(bare):
        without = dataclasses.replace(one, document="")
        bare, _ = apply(bare, costing.put_quote(bare, "ann", without))

    found = preview(data, bare)

    assert {change.new.endswith("with the file it came in") for change in found.changes} == {True}
    assert facts(taken_in(data, bare)) == expected()


def test_a_file_with_macros_is_read_and_not_kept() -> None:
    """B35."""
    data = repacked(filled(request(), WHARF), {"xl/vbaProject.bin": b"macro"})

    found = preview(data, worn())

    assert found.kept == ()
    assert {one.document for one in quotes(taken_in(data, worn()))} == {""}
    assert any("not kept" in one.message for one in found.notices)
