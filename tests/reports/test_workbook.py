"""The workbook shows the program's figures everywhere and recalculates to the same cents.

Judges from outside the project: the IronCalc and Formualizer engines, openpyxl as a reader, and
LibreOffice where it is installed.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

import ironcalc
import openpyxl
import pytest

from tests.figures.small_yard import ALL_GOOD, AS_OF, NOT_SEEN, mm, search, seen, small_catalogue
from workbench.domain.boat import Boat
from workbench.domain.ledger import LineChange, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Fee, Settings, Tax, TaxBand
from workbench.domain.span import Ends, Shape, Span
from workbench.edits import boats, costing, searching
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment
from workbench.reports.workbook import write_workbook

TAXES = (
    Tax("sales tax", (TaxBand(Decimal(0), Decimal("6.25")), TaxBand(Decimal(15_000), Decimal(4)))),
    Tax("county", (TaxBand(Decimal(0), Decimal(1)),), cap=Decimal(50)),
)
FEES = (
    Fee("survey", "survey", Span(Decimal(500), Decimal(700), Decimal(1200), Ends.ONE_IN_TEN)),
    Fee("broker", "broker", percent=Decimal("1.5")),
    Fee("way", "the way home", per_nautical_mile=Decimal("3.33")),
)
SECRETS = ("Do not show hurry", "ring 555", "77123.45")


def project() -> Project:
    """A search with everything that a total can hold: quotes, own work, wear, the unseen, fees."""
    readings = {
        **ALL_GOOD,
        "bearing": seen(play=mm("0.77")),
        "seacocks": seen(state="bad", number=Quantity(Decimal(3), "count")),
        "rigging": NOT_SEEN,
    }
    settings = Settings(
        as_of=AS_OF,
        taxes=TAXES,
        fees=FEES,
        budget=Decimal("77123.45"),
        own_rate=Decimal("12.34"),
    )
    return search(
        readings,
        settings=settings,
        more=[
            lambda p: costing.put_quote(
                p,
                "ann",
                Quote("", "Wharf", Money(Decimal("701.11"), "USD"), ("seacocks/renew/work",)),
            ),
            lambda p: costing.change_line(p, "ann", "seal/clean/work", LineChange(own_work=True)),
            lambda p: costing.put_own_line(
                p,
                "ann",
                OwnLine(
                    "",
                    '=HYPERLINK("http://x")',
                    Span(Decimal("10.01"), Decimal("20.02"), Decimal("40.04")),
                    chance=Decimal("0.5"),
                    shape=Shape.TRIANGLE,
                ),
            ),
            lambda p: boats.add_boat(
                p, Boat("", "Bea <&>", year=1990, private_note=SECRETS[0], contact=SECRETS[1])
            ),
            lambda p: boats.set_dimension(
                p, "ann", "loa", Quantity(Decimal("9.87"), "m"), "Length"
            ),
        ],
    )


@pytest.fixture(scope="module")
def assessment() -> Assessment:
    return assess(project(), small_catalogue())


@pytest.fixture(scope="module")
def book(assessment: Assessment, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_workbook(assessment, tmp_path_factory.mktemp("book") / "search.xlsx")


def expected(assessment: Assessment) -> dict[str, tuple[Decimal, ...]]:
    """By boat: purchase, deferred, allowance, work, cost to ready."""
    return {
        boat.id: (
            boat.purchase.total if boat.purchase else Decimal(0),
            boat.deferred.mean,
            boat.allowance.mean,
            boat.work.mean,
            boat.cost_to_ready.mean,
        )
        for boat in assessment.boats.values()
    }


TOTAL_COLUMNS = (4, 5, 7, 8, 9)


def by_ironcalc(path: Path, *changes: tuple[str, int, int, str]) -> dict[str, tuple[Decimal, ...]]:
    """The totals as IronCalc comes to them, after changes (sheet, row, column, text)."""
    model: Any = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    sheets = [one["name"] for one in model.get_worksheets_properties()]
    for sheet, row, column, text in changes:
        model.set_user_input(sheets.index(sheet), row, column, text)
    model.evaluate()
    totals = sheets.index("Totals")

    def number(row: int, column: int) -> Decimal:
        shown = model.get_formatted_cell_value(totals, row, column)
        return Decimal(shown.replace(",", "").replace("$", "") or "0")

    found: dict[str, tuple[Decimal, ...]] = {}
    row = 2
    while name := model.get_formatted_cell_value(totals, row, 1):
        found[name] = tuple(number(row, column) for column in TOTAL_COLUMNS)
        row += 1
    return found


def test_ironcalc_recalculates_every_total_to_the_programs_cents(
    assessment: Assessment, book: Path
) -> None:
    assert by_ironcalc(book) == expected(assessment)


def test_formualizer_finds_every_stored_value_right_and_no_error(book: Path) -> None:
    command = Path(sys.executable).parent / "formualizer"
    done = subprocess.run(
        [command, "recalc", book, "--check", "--json"], capture_output=True, text=True, check=False
    )
    said = json.loads(done.stdout)

    assert said["status"] == "current", said["message"]
    assert said["formula_cells"] > 30
    assert (said["cache_cells_changed"], said["error_cells"]) == (0, 0)
    assert said["unknown_functions"] == []


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_libreoffice_recalculates_every_total_to_the_programs_cents(
    assessment: Assessment, book: Path, tmp_path: Path
) -> None:
    """Stored values are stripped first, because LibreOffice trusts them when they are there."""
    bare = tmp_path / "bare.xlsx"
    openpyxl.load_workbook(book).save(bare)
    profile = (tmp_path / "profile").as_uri()
    command = ["soffice", f"-env:UserInstallation={profile}", "--headless", "--convert-to"]
    command += ["xlsx:Calc MS Excel 2007 XML", "--outdir", str(tmp_path / "out"), str(bare)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    sheet = openpyxl.load_workbook(tmp_path / "out" / "bare.xlsx", data_only=True)["Totals"]
    found = {
        row[0].value: tuple(Decimal(f"{row[at - 1].value:.2f}") for at in TOTAL_COLUMNS)
        for row in sheet.iter_rows(min_row=2)
        if row[0].value
    }

    assert found == expected(assessment)


def test_after_a_rate_is_changed_the_totals_are_those_of_the_program(book: Path) -> None:
    """The mechanic's hour from 100 to 131.37, in the workbook and in the program."""
    changed = searching.change_settings(
        project(), "Rates", rates=project().settings.rates.set("mechanic", Decimal("131.37"))
    )
    after = assess(apply(project(), changed)[0], small_catalogue())

    found = by_ironcalc(book, ("Rates", 2, 2, "131.37"))

    assert found == expected(after)
    assert found != by_ironcalc(book)


def test_a_viewer_that_does_not_calculate_shows_every_figure(
    assessment: Assessment, book: Path
) -> None:
    shown = openpyxl.load_workbook(book, data_only=True)
    formulas = openpyxl.load_workbook(book)
    blank = [
        f"{sheet.title}!{cell.coordinate}"
        for sheet in formulas
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f" and shown[sheet.title][cell.coordinate].value is None
    ]

    assert blank == []
    assert shown["Totals"]["I2"].value == float(assessment.boats["ann"].cost_to_ready.mean)


def test_what_a_user_typed_is_never_a_formula(book: Path) -> None:
    sheet = openpyxl.load_workbook(book)["Lines"]
    cells = [cell for row in sheet.iter_rows() for cell in row if "HYPERLINK" in str(cell.value)]

    assert [cell.data_type for cell in cells] == ["s"]
    assert cells[0].value == '=HYPERLINK("http://x")'
    assert cells[0].quotePrefix


def test_heads_stay_in_sight_and_tables_and_names_are_there(book: Path) -> None:
    loaded = openpyxl.load_workbook(book)

    assert loaded["Lines"].freeze_panes == "A2"
    assert list(loaded["Lines"].tables) == ["LinesTable"]
    assert {"CostToReady", "DeferredMaintenance", "Asking"} <= set(loaded.defined_names)
    assert loaded["Totals"].print_area
    assert loaded["Totals"].column_dimensions["B"].width > 20


def test_the_buyers_secrets_are_in_no_byte_unless_asked_for(
    assessment: Assessment, book: Path, tmp_path: Path
) -> None:
    private = write_workbook(assessment, tmp_path / "private.xlsx", private=True)

    def text(path: Path) -> str:
        with zipfile.ZipFile(path) as parts:
            return "".join(parts.read(name).decode("utf-8", "replace") for name in parts.namelist())

    open_text, private_text = text(book), text(private)
    walk = str(assessment.boats["ann"].offer.walk_away)
    for secret in (*SECRETS, walk, "For you alone"):
        assert secret not in open_text
    for secret in (*SECRETS[:2], "For you alone"):
        assert secret in private_text


def test_the_file_says_nothing_of_who_made_it_or_where(book: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(book) as parts:
        everything = b"".join(parts.read(name) for name in parts.namelist())
    loaded = openpyxl.load_workbook(book)

    assert not loaded.properties.creator
    assert not loaded.properties.lastModifiedBy
    assert str(tmp_path.parent).encode() not in everything
    assert b"externalLink" not in everything


def test_the_same_search_gives_the_same_bytes(assessment: Assessment, tmp_path: Path) -> None:
    first = write_workbook(assessment, tmp_path / "one.xlsx").read_bytes()

    assert write_workbook(assessment, tmp_path / "two.xlsx").read_bytes() == first
