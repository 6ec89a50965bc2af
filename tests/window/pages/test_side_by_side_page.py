"""The comparison page: its matrix, what is lit in it, what is copied, and where clicks lead."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Builder, MakeSession, Show, dollars, metres
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.settings import Loan, MustHave, YearlyCost
from workbench.edits.boats import add_boat, archive_boat, set_asking_price
from workbench.edits.searching import change_settings
from workbench.figures.comparison import compare
from workbench.figures.finance import loan_schedule
from workbench.window.formatting import estimate, whole
from workbench.window.models.copying import plain_cell, table_as_text
from workbench.window.models.ranking import gap_swings
from workbench.window.models.side_by_side_cells import (
    Better,
    Cell,
    Column,
    Lit,
    Matrix,
    Row,
    lit_cells,
)
from workbench.window.models.side_by_side_model import SideBySideModel
from workbench.window.pages.side_by_side_page import SideBySidePage
from workbench.window.session import Session

Watch = QAbstractItemModelTester.FailureReportingMode.Fatal


@pytest.fixture
def page(session: Session, show: Show, qtbot: QtBot) -> SideBySidePage:
    made = SideBySidePage(session)
    show(made)
    qtbot.waitUntil(lambda: made.model.columnCount() > 0, timeout=20_000)
    return made


def row_of(model: SideBySideModel, key: str) -> Row:
    return next(row for row in model.matrix.rows if row.key == key)


def texts(model: SideBySideModel, key: str) -> list[str]:
    return [cell.text for cell in row_of(model, key).cells]


# --- The matrix ---


def test_boats_stand_least_expected_cost_first(page: SideBySidePage) -> None:
    values = [cell.value for cell in row_of(page.model, "ready").cells]

    assert [one.name for one in page.model.matrix.columns] == [
        "Cold Comfort",
        "Amber Tide",
        "Brown Heron",
    ]
    assert values == sorted(cast("list[float]", values))


def test_the_asking_prices_are_those_of_the_boats(page: SideBySidePage) -> None:
    assert texts(page.model, "asking") == ["16,400", "24,500", "29,800"]


def test_the_cheapest_and_the_dearest_are_lit_by_word_and_not_by_colour_alone(
    page: SideBySidePage,
) -> None:
    cells = row_of(page.model, "asking").cells
    spoken = page.model.index(1, 0).data(Qt.ItemDataRole.AccessibleTextRole)

    assert [cell.lit for cell in cells] == [Lit.BEST, Lit.NOT, Lit.WORST]
    assert spoken == "Cold Comfort, Price asked, 16,400, best"


def test_a_row_in_which_all_boats_are_alike_lights_nothing(page: SideBySidePage) -> None:
    assert {cell.lit for cell in row_of(page.model, "must-haves").cells} == {Lit.NOT}


def test_the_worst_finding_of_a_system_leads_to_its_check(page: SideBySidePage) -> None:
    place = page.model.column_of("amber-tide")
    cell = row_of(page.model, "system/running-gear").cells[place]

    assert cell.text == "due: Stern bearing play"
    assert cell.check == "stern-bearing-play"


def test_chances_of_being_best_add_up_to_one(page: SideBySidePage) -> None:
    chances = [cell.value for cell in row_of(page.model, "best").cells]

    assert sum(cast("list[float]", chances)) == pytest.approx(1.0)


def test_a_missed_must_have_is_named_in_the_tip(
    filled: Builder, open_session: MakeSession, show: Show, qtbot: QtBot
) -> None:
    must = (MustHave("draft", at_most=metres("1.6 m")),)
    filled.do(change_settings(filled.project, "Must-haves", must_haves=must))
    page = SideBySidePage(open_session(filled.project))
    show(page)
    qtbot.waitUntil(lambda: page.model.columnCount() == 3, timeout=20_000)

    cell = row_of(page.model, "must-haves").cells[page.model.column_of("brown-heron")]

    assert cell.text == "1"
    assert cell.tip == "draft 1.7 m, wanted at most 1.6 m"


def test_a_design_ratio_that_lacks_a_size_says_which(page: SideBySidePage) -> None:
    cell = row_of(page.model, "ratio/hull speed").cells[0]

    assert cell.text == "–"
    assert cell.tip == "Needs waterline length."


def test_a_boat_that_is_put_away_leaves_the_matrix(
    page: SideBySidePage, session: Session, qtbot: QtBot
) -> None:
    session.apply(archive_boat(session.project, "brown-heron", archived=True))

    qtbot.waitUntil(lambda: page.model.columnCount() == 2, timeout=20_000)


def test_a_hidden_page_figures_nothing_until_it_is_shown(
    session: Session, show: Show, qtbot: QtBot
) -> None:
    page = SideBySidePage(session)
    page.figures.refresh()
    page.figures.finish()
    assert page.model.columnCount() == 0

    show(page)

    qtbot.waitUntil(lambda: page.model.columnCount() == 3, timeout=20_000)


def test_without_boats_the_page_says_what_to_do(no_boats: Session, show: Show) -> None:
    page = SideBySidePage(no_boats)
    show(page)

    assert page.stack.currentWidget() is page.empty
    assert page.empty.button.text() == "Go to the boats"


# --- Charts ---


def test_the_charts_show_every_boat_with_the_budget(page: SideBySidePage) -> None:
    assert page.costs.labels() == ("Cold Comfort", "Amber Tide", "Brown Heron")
    assert "60,000" in page.curves.summary()


def test_the_ranking_says_who_comes_first(page: SideBySidePage) -> None:
    assert page.ranking.text().startswith("Cold Comfort comes first")


def test_a_dearer_boat_moves_to_the_end(
    page: SideBySidePage, session: Session, qtbot: QtBot
) -> None:
    session.apply(set_asking_price(session.project, "amber-tide", dollars(500_000), None))
    qtbot.waitUntil(lambda: "500,000" in texts(page.model, "asking"), timeout=20_000)

    assert page.costs.labels()[-1] == "Amber Tide"


def test_a_boat_without_a_price_is_in_the_matrix_and_not_in_the_charts(
    filled: Builder, open_session: MakeSession, show: Show, qtbot: QtBot
) -> None:
    filled.do(add_boat(filled.project, Boat("", "Drab Gannet")))
    page = SideBySidePage(open_session(filled.project))
    show(page)
    qtbot.waitUntil(lambda: page.model.columnCount() == 4, timeout=20_000)

    assert page.model.matrix.columns[-1].name == "Drab Gannet"
    assert texts(page.model, "ready")[-1] == "–"
    assert "Drab Gannet" not in page.costs.labels()


def test_a_swing_moves_the_gap_to_the_best_other_boat(session: Session) -> None:
    assessment = session.assessment
    assert assessment is not None
    boats = {key: float(one.cost_to_ready.mean) for key, one in assessment.boats.items()}

    for swing in gap_swings(compare(assessment), most=25):
        others = [cost for key, cost in boats.items() if key != swing.boat]
        gap = boats[swing.boat] - min(others)
        counted = float(swing.line.counted)
        least = 0.0 if swing.line.part.allowed_for else swing.line.cost.lowest
        assert swing.low == pytest.approx(gap - counted + least, abs=0.02)
        assert swing.decides == (swing.low < 0 < swing.high)


def test_jobs_that_could_change_the_first_place_come_first(session: Session) -> None:
    assert session.assessment is not None
    decides = [one.decides for one in gap_swings(compare(session.assessment))]

    assert decides == sorted(decides, reverse=True)


def test_one_boat_alone_has_no_ranking(builder: Builder, open_session: MakeSession) -> None:
    boat = Boat("", "Only One", asking=(AskingPrice(dollars(9000)),))
    builder.do(add_boat(builder.project, boat))
    assessment = open_session(builder.project).assessment
    assert assessment is not None

    assert gap_swings(compare(assessment)) == ()


def test_a_bar_of_the_ranking_leads_into_its_check(
    page: SideBySidePage, session: Session, qtbot: QtBot
) -> None:
    key = str(page.tornado.marks()[0].key)

    with qtbot.waitSignal(page.check_requested) as told:
        page.tornado.mark_chosen.emit(key)

    assert key.startswith(f"{session.boat_id} {told.args[0]}/")


# --- What the user does ---


def test_a_click_on_a_name_looks_at_that_boat(page: SideBySidePage, session: Session) -> None:
    page.view.boat_names.sectionClicked.emit(page.model.column_of("brown-heron"))

    assert session.boat_id == "brown-heron"


def test_enter_on_a_finding_leads_into_its_check(
    page: SideBySidePage, session: Session, qtbot: QtBot
) -> None:
    number = page.model.matrix.rows.index(row_of(page.model, "system/running-gear"))
    index = page.model.index(number, page.model.column_of("amber-tide"))
    page.view.setFocus()
    page.view.setCurrentIndex(index)

    with qtbot.waitSignal(page.check_requested) as told:
        qtbot.keyClick(page.view, Qt.Key.Key_Return)

    assert told.args == ["stern-bearing-play"]
    assert session.boat_id == "amber-tide"


def test_the_copy_key_puts_the_whole_table_on_the_clipboard(
    page: SideBySidePage, qtbot: QtBot
) -> None:
    page.view.setFocus()

    qtbot.keyClick(page.view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)

    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t") == ["", "Cold Comfort", "Amber Tide", "Brown Heron"]
    assert "Price asked\t16,400\t24,500\t29,800" in lines


def test_copying_two_chosen_cells_copies_those_with_their_heads(page: SideBySidePage) -> None:
    text = table_as_text(page.model, [1], [0, 2])

    assert text == "\tCold Comfort\tBrown Heron\nPrice asked\t16,400\t29,800"


@pytest.mark.parametrize(
    ("typed", "copied"),
    [
        ("=1+1", "'=1+1"),
        ("@sum", "'@sum"),
        ("-870", "-870"),
        ("-cmd", "'-cmd"),
        ("two\tparts\nand more", "two parts and more"),
        (None, ""),
    ],
)
def test_what_a_spreadsheet_would_run_is_copied_as_text(typed: object, copied: str) -> None:
    assert plain_cell(typed) == copied


def test_everything_on_the_page_has_a_name_and_can_be_reached(page: SideBySidePage) -> None:
    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []


@pytest.mark.parametrize("size", [(1280, 680), (1440, 860)])
def test_ten_boats_fit_side_by_side(page: SideBySidePage, size: tuple[int, int]) -> None:
    columns = tuple(Column(str(place), f"Boat {place}", "9 m") for place in range(10))
    cells = tuple(Cell("101,800", float(place)) for place in range(10))
    page.model.take(Matrix(columns, (Row("asking", "Price asked", cells),)))
    cast("QWidget", page).resize(*size)
    page.view.fit()

    assert page.view.boat_names.length() <= page.view.viewport().width()


# --- The model ---


def test_the_model_keeps_the_rules_of_item_models(page: SideBySidePage, session: Session) -> None:
    tester = QAbstractItemModelTester(page.model, Watch)
    shown = page.model.matrix
    page.model.take(Matrix())
    page.model.take(shown)

    assert tester.model() is page.model
    assert page.model.columnCount(page.model.index(0, 0)) == 0


numbers = st.lists(st.none() | st.floats(0, 1e6), min_size=0, max_size=12)


@given(numbers)
def test_only_the_least_and_the_greatest_are_ever_lit(values: list[float | None]) -> None:
    cells = lit_cells([Cell(str(one), one) for one in values], Better.LOW)
    known = [one for one in values if one is not None]

    for cell in cells:
        if cell.lit is Lit.BEST:
            assert cell.value == min(known)
        if cell.lit is Lit.WORST:
            assert cell.value == max(known)
    if len(set(known)) > 1:
        assert {Lit.BEST, Lit.WORST} <= {cell.lit for cell in cells}


@st.composite
def matrices(draw: st.DrawFn) -> Matrix:
    boats = draw(st.lists(st.sampled_from("abcdefgh"), unique=True, max_size=4))
    rows = []
    if boats:
        for number in range(draw(st.integers(0, 4))):
            shown = draw(st.lists(st.text(max_size=4), min_size=len(boats), max_size=len(boats)))
            rows.append(Row(f"row {number}", f"Row {number}", tuple(Cell(one) for one in shown)))
    return Matrix(tuple(Column(one, one.upper(), "") for one in boats), tuple(rows))


@given(st.lists(matrices(), min_size=1, max_size=4))
def test_whatever_is_taken_over_is_what_is_shown(taken: list[Matrix]) -> None:
    model = SideBySideModel()
    tester = QAbstractItemModelTester(model, Watch)
    for matrix in taken:
        model.take(matrix)

        shown = [
            [
                model.index(row, column, QModelIndex()).data()
                for column in range(model.columnCount())
            ]
            for row in range(model.rowCount())
        ]
        assert shown == [[cell.text for cell in row.cells] for row in matrix.rows]
    assert tester.model() is model


def test_a_small_change_announces_only_the_cell_that_changed(qtbot: QtBot) -> None:
    model = SideBySideModel()
    columns = (Column("a", "A", ""), Column("b", "B", ""))
    model.take(Matrix(columns, (Row("x", "X", (Cell("1"), Cell("2"))),)))
    told: list[tuple[int, int]] = []
    model.dataChanged.connect(lambda top, _bottom: told.append((top.row(), top.column())))

    model.take(Matrix(columns, (Row("x", "X", (Cell("1"), Cell("3"))),)))

    assert told == [(0, 1)]


def test_the_budget_row_names_the_budget(page: SideBySidePage, session: Session) -> None:
    assert session.project.settings.budget == Decimal(60000)
    assert "60,000" in row_of(page.model, "inside").tip


def test_yearly_costs_from_the_settings_get_a_row(
    filled: Builder, open_session: MakeSession, show: Show, qtbot: QtBot
) -> None:
    costs = (YearlyCost("mooring", "Mooring", Decimal(900)),)
    filled.do(change_settings(filled.project, "Yearly costs", yearly_costs=costs))
    page = SideBySidePage(open_session(filled.project))
    show(page)
    qtbot.waitUntil(lambda: page.model.columnCount() == 3, timeout=20_000)

    assert texts(page.model, "keeping") == ["900", "900", "900"]
    assert texts(page.model, "keeping-five") == ["4,500", "4,500", "4,500"]


def test_a_loan_is_told_by_year_with_what_it_costs(
    filled: Builder, open_session: MakeSession, show: Show, qtbot: QtBot
) -> None:
    """Payments of each year as `finance.loan_schedule` has them; a year after the last is free."""
    loan = Loan(Decimal("0.5"), Decimal("8.24"), 12)
    filled.do(change_settings(filled.project, "Loan", loan=loan))
    page = SideBySidePage(open_session(filled.project))
    show(page)
    qtbot.waitUntil(lambda: page.model.columnCount() == 3, timeout=20_000)
    schedule = loan_schedule(Decimal(8_200), Decimal("0.0824"), 12)
    first, five = (row_of(page.model, key).cells[0] for key in ("keeping", "keeping-five"))

    assert first.value == five.value == float(schedule.total_paid)
    assert whole(schedule.total_interest) in first.tip
    assert "Year 2: 0" in five.tip


def test_later_work_stands_with_its_present_value(page: SideBySidePage, session: Session) -> None:
    assert session.assessment is not None
    for column, cell in zip(
        page.model.matrix.columns, row_of(page.model, "later").cells, strict=True
    ):
        boat = session.assessment.boats[column.boat]
        assert cell.value == float(boat.later_work)
        assert estimate(boat.later_work_now) in cell.tip
        assert "3 % a year" in cell.tip


def test_who_is_cheaper_at_every_chance_is_named(page: SideBySidePage, session: Session) -> None:
    """First-order dominance; a boat beaten at every level can never be beating her beater."""
    assert session.assessment is not None
    standings = compare(session.assessment).standings
    names = {one.boat.id: one.boat.candidate.boat.name for one in standings}
    tips = [cell.tip for cell in row_of(page.model, "beats").cells]

    assert any(one.beats for one in standings)
    for one, tip in zip(standings, tips, strict=True):
        assert tip == "\n".join(names[other] for other in one.beats)


def test_chances_of_being_the_dearest_add_up_to_one(page: SideBySidePage) -> None:
    chances = [cell.value for cell in row_of(page.model, "worst").cells]

    assert sum(cast("list[float]", chances)) == pytest.approx(1.0)


@pytest.mark.parametrize("page", ["side_by_side", "look_next", "anchors"])
def test_a_page_is_made_without_the_number_library(page: str) -> None:
    code = f"import workbench.window.pages.{page}_page, sys; assert 'numpy' not in sys.modules"

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stderr
