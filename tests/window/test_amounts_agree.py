"""One boat's amounts are the same on paper, in the workbook, in the window and on the command line.

Each says them to its own rounding: the command line and the workbook in cents, the sheets in whole
units, the window estimates to tens and hundreds. Judges from outside the project read the files:
pypdf and pdfminer the sheets, openpyxl the stored values of the workbook, IronCalc and Formualizer
what it comes to when it is calculated again.
"""

from __future__ import annotations

import dataclasses
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import ironcalc
import openpyxl
import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QApplication

from tests.reports.invented import read_text, read_text_again
from tests.window.working import SAMPLE, open_sample, rest, settle
from workbench.catalogue.loading import load
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment
from workbench.figures.comparison import compare
from workbench.reports.export import export_sheets
from workbench.store.folder import open_project
from workbench.window.main_window import MainWindow
from workbench.window.models.claims_table import ASKED, TITLE, ClaimsModel
from workbench.window.models.offer_reading import read_prices
from workbench.window.models.side_by_side_rows import matrix_of
from workbench.window.models.totals import totals_of

BOATS = ("marigold-rae", "saltmarsh-penny", "old-barnaby", "linden-lea")
NAMES_A_PRICE = ("marigold-rae",)
"""The others are to be settled first: their claims come off whatever is agreed."""
READERS = (read_text, read_text_again)
ON = date(2026, 5, 20)
TOTALS = {"asking": 3, "deferred": 5, "allowance": 7, "ready": 9, "claim": 12}
"""Columns of the workbook's totals, from 1."""


@dataclasses.dataclass(frozen=True)
class Told:
    """What `totals --json` says of a boat, in cents: the reference of every other place."""

    name: str
    amounts: dict[str, Decimal]


@dataclasses.dataclass(frozen=True)
class Places:
    """The sample's figures, its files on disk, and its command line's words."""

    assessment: Assessment
    offers: dict[str, tuple[str, ...]]
    comparison: tuple[str, ...]
    book: Path
    told: dict[str, Told]


@pytest.fixture(scope="module")
def places(tmp_path_factory: pytest.TempPathFactory) -> Places:
    out = tmp_path_factory.mktemp("sheets")
    assessment = assess(open_project(SAMPLE).project, load())
    sheets = ("offer", "comparison", "workbook")
    made = export_sheets(assessment, SAMPLE, out, sheets, BOATS, on=ON)
    offers = {
        boat: next(one for one in made if one.name.endswith(f"Offer support, {name}.pdf"))
        for boat, name in ((one, assessment.boats[one].candidate.boat.name) for one in BOATS)
    }
    comparison = next(one for one in made if one.name.endswith("Comparison.pdf"))
    return Places(
        assessment,
        {boat: tuple(read(path) for read in READERS) for boat, path in offers.items()},
        tuple(read(comparison) for read in READERS),
        next(one for one in made if one.suffix == ".xlsx"),
        _told(),
    )


def _told() -> dict[str, Told]:
    """What the command line prints, read from its own output in a process of its own."""
    command = [sys.executable, "-m", "workbench", "totals", str(SAMPLE), "--json"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    return {
        one["id"]: Told(
            one["name"],
            {
                "asking": Decimal(one["asking_price"]),
                "deferred": Decimal(one["deferred_maintenance"]["mean"]),
                "allowance": Decimal(one["allowance"]["mean"]),
                "ready": Decimal(one["cost_to_ready"]["mean"]),
                "claim": Decimal(one["claim"]),
                "opening": Decimal(one["offer"]["opening"]),
            },
        )
        for one in json.loads(done.stdout)
    }


def numbers(text: str) -> list[Decimal]:
    """All amounts of a text in order."""
    return [Decimal(one.replace(",", "")) for one in re.findall(r"\d[\d,]*(?:\.\d+)?", text)]


def in_whole(amount: Decimal) -> Decimal:
    return amount.quantize(Decimal(1), ROUND_HALF_UP)


def step_of(amount: Decimal) -> Decimal:
    """To what the window rounds an estimate of this size."""
    return Decimal(1 if amount < 100 else 10 if amount < 10_000 else 100)


# --- The workbook ---


def test_the_workbooks_stored_totals_are_those_of_the_command_line(places: Places) -> None:
    sheet = openpyxl.load_workbook(places.book, data_only=True)["Totals"]
    stored = {
        str(row[0].value): {
            what: Decimal(str(row[column - 1].value)).quantize(Decimal("0.01"))
            for what, column in TOTALS.items()
        }
        for row in sheet.iter_rows(min_row=2)
    }

    assert stored == {boat: _without(told, "opening") for boat, told in places.told.items()}


def _without(told: Told, left_out: str) -> dict[str, Decimal]:
    return {what: amount for what, amount in told.amounts.items() if what != left_out}


def test_ironcalc_comes_to_the_totals_of_the_command_line(places: Places) -> None:
    model: Any = ironcalc.load_from_xlsx(str(places.book), "en", "UTC", "en")
    sheets = [one["name"] for one in model.get_worksheets_properties()]
    model.evaluate()
    totals = sheets.index("Totals")

    for row in range(2, 2 + len(BOATS)):
        told = places.told[model.get_formatted_cell_value(totals, row, 1)]
        for what, column in TOTALS.items():
            shown = model.get_formatted_cell_value(totals, row, column)
            assert numbers(shown) == [told.amounts[what]], (told.name, what)


def test_formualizer_finds_the_workbooks_stored_values_right(places: Places) -> None:
    command = Path(sys.executable).parent / "formualizer"
    done = subprocess.run(
        [command, "recalc", places.book, "--check", "--json"],
        capture_output=True,
        text=True,
        check=False,
    )
    said = json.loads(done.stdout)

    assert (said["cache_cells_changed"], said["error_cells"]) == (0, 0), said


# --- The sheets ---


@pytest.mark.parametrize("reader", range(len(READERS)))
def test_the_comparison_shows_the_amounts_of_the_command_line(places: Places, reader: int) -> None:
    """Each row has one amount for each boat; the order of the boats is that of its head."""
    text = numbers(places.comparison[reader])
    for told in places.told.values():
        for what in ("asking", "deferred", "allowance", "ready", "claim"):
            assert in_whole(told.amounts[what]) in text, (told.name, what)


@pytest.mark.parametrize("reader", range(len(READERS)))
@pytest.mark.parametrize("boat", BOATS)
def test_the_offer_sheet_states_the_asking_price_the_claims_and_their_sum(
    places: Places, boat: str, reader: int
) -> None:
    text = places.offers[boat][reader]
    told = places.told[boat].amounts
    claimed = [one.amount for one in places.assessment.boats[boat].claim.lines if one.amount]

    assert {told["asking"], told["claim"], *claimed} <= set(numbers(text))
    assert sum(claimed) == told["claim"]
    printed = re.findall(r"([\d,.]+) claimed\b", text)
    findings = [amount for one in printed for amount in numbers(one)]
    assert sorted(findings) == sorted(claimed)


LABELS = {
    "asking": "Price asked",
    "allowance": "Allowance for the unseen",
    "ready": "Cost to ready, mean",
    "claim": "Claims",
}


@pytest.mark.parametrize("what", sorted(LABELS))
def test_each_amount_of_the_comparison_stands_in_its_row_below_its_boat(
    places: Places, what: str
) -> None:
    """By the first reader, which reads a table along its rows."""
    order = [one.boat.id for one in compare(places.assessment).standings]
    after = places.comparison[0].partition(LABELS[what])[2]

    wanted = [in_whole(places.told[boat].amounts[what]) for boat in order]
    assert numbers(after)[: len(order)] == wanted


# --- The window ---


@pytest.fixture(scope="module")
def window(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[MainWindow]:
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English))
    made = open_sample(qapp, tmp_path_factory.mktemp("window"))
    made.show()  # its figures are made once it is seen
    rest(50)
    settle(made)
    yield made
    made.session.background.finish()
    made.session.close()
    made.deleteLater()
    rest(1)
    QLocale.setDefault(before)


@pytest.mark.parametrize("boat", BOATS)
def test_the_window_shows_the_command_lines_amounts_to_its_rounding(
    places: Places, window: MainWindow, boat: str
) -> None:
    assessment = window.session.assessment
    assert assessment is not None
    told = places.told[boat].amounts
    matrix = matrix_of(compare(assessment), assessment.catalogue, assessment.project)
    column = next(place for place, one in enumerate(matrix.columns) if one.boat == boat)
    rows = {one.key: numbers(one.cells[column].text) for one in matrix.rows if one.cells}
    foot = {one.key: numbers(one.amount) for one in totals_of(assessment.boats[boat])}

    assert rows["asking"] == [told["asking"]]
    for what in ("deferred", "allowance", "ready"):
        for shown in (rows[what], foot[what]):
            (amount,) = shown
            assert abs(amount - told[what]) <= step_of(told[what]) / 2, what


@pytest.mark.parametrize("boat", BOATS)
def test_the_window_asks_for_what_the_sheet_asks_for(
    places: Places, window: MainWindow, boat: str
) -> None:
    window.session.select_boat(boat)
    settle(window)
    model = ClaimsModel(window.session)
    rows = range(model.rowCount())
    asked = {
        str(model.index(row, TITLE).data()): numbers(str(model.index(row, ASKED).data()))[0]
        for row in rows
        if model.index(row, 0).data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Checked
    }
    put = [amount for amount in asked.values() if amount]

    assert sum(put) == places.told[boat].amounts["claim"]
    for text in places.offers[boat]:
        findings = [
            amount for one in re.findall(r"([\d,.]+) claimed\b", text) for amount in numbers(one)
        ]
        assert sorted(findings) == sorted(put)


@pytest.mark.parametrize("boat", BOATS)
def test_both_settlement_prices_are_the_same_in_the_window_and_on_the_sheet(
    places: Places, window: MainWindow, boat: str
) -> None:
    assessment = window.session.assessment
    assert assessment is not None
    forms = read_prices(assessment, boat, ON).forms
    assert forms is not None or boat not in NAMES_A_PRICE
    for text in places.offers[boat]:
        words = " ".join(text.split())
        stated = re.search(r"([\d,.]+) for the boat as she lies", words)
        if forms is None:
            assert stated is None or "the price that is agreed" in words
            continue
        assert stated is not None
        assert numbers(stated[1]) == [forms.lower]
        assert forms.with_work in numbers(words)
        assert forms.lower == places.told[boat].amounts["opening"]
