"""Rows of trees and lists, and tables in the window's dress."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QHelpEvent, QImage, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import (
    QApplication,
    QHeaderView,
    QListWidget,
    QTableView,
    QToolTip,
    QTreeView,
    QWidget,
)
from pytestqt.qtbot import QtBot

from tests.window.widgets.acting import holds, near
from workbench.window.palette import LIGHT
from workbench.window.theme import Theme
from workbench.window.widgets.range_bar import Range
from workbench.window.widgets.row_delegate import ROW_ROLE, RowDelegate, RowParts
from workbench.window.widgets.surroundings import Density, set_density
from workbench.window.widgets.tables import set_up_list, set_up_table, set_up_tree

Put = Callable[[QWidget], QWidget]


def tree_of(rows: tuple[RowParts, ...], *, ruled: bool = False) -> QTreeView:
    model = QStandardItemModel()
    for row in rows:
        item = QStandardItem(row.title)
        item.setData(row, ROW_ROLE)
        model.appendRow(item)
    tree = QTreeView()
    set_up_tree(tree, name="Ledger", uniform=False)
    tree.setRootIsDecorated(False)
    tree.setModel(model)
    model.setParent(tree)
    tree.setItemDelegate(RowDelegate(tree, ruled=ruled))
    tree.resize(480, 300)
    return tree


def row_picture(tree: QTreeView, place: int) -> QImage:
    rect = tree.visualRect(tree.model().index(place, 0))
    return tree.viewport().grab(rect).toImage()


def test_a_row_of_one_line_is_a_row_high_and_two_lines_are_higher(put: Put) -> None:
    tree = tree_of((RowParts("Propeller", "sound"), RowParts("New bearing", sub_line="price book")))
    put(tree)

    heights = [tree.visualRect(tree.model().index(place, 0)).height() for place in range(2)]

    assert heights[0] == 28
    assert heights[1] > 34


def test_rows_are_higher_for_cold_hands(put: Put) -> None:
    tree = tree_of((RowParts("Propeller", "sound"),))
    put(tree)

    set_density(tree, Density.COLD_HANDS)
    QApplication.processEvents()

    assert tree.visualRect(tree.model().index(0, 0)).height() == 36


def test_a_row_shows_its_mark_in_front_and_its_range_before_the_figure(put: Put) -> None:
    row = RowParts(
        "New stern bearing",
        "worn",
        figure="980",
        span=Range(740, 980, 1450),
        axis=(0, 1600),
        colour="due",
    )
    tree = tree_of((row,))
    put(tree)

    image = row_picture(tree, 0)
    assert holds(image.copy(0, 0, 30, 28), LIGHT.worn, 4)
    assert holds(image.copy(300, 0, 130, 28), LIGHT.due, 4)
    assert not holds(image.copy(30, 0, 200, 28), LIGHT.due, 4)


def test_a_quiet_row_is_written_and_drawn_quietly(put: Put) -> None:
    row = RowParts(
        "Haul out", figure="420", span=Range(420, 420, 420), axis=(0, 900), colour="due", quiet=True
    )
    tree = tree_of((row,))
    put(tree)

    image = row_picture(tree, 0)
    assert not holds(image, LIGHT.due, 4)
    assert holds(image, LIGHT.quiet, 4)


def test_the_chosen_row_has_the_selections_ground_and_an_accent_bar(put: Put) -> None:
    tree = tree_of((RowParts("Propeller"), RowParts("Shaft"), RowParts("Seal", lit=True)))
    put(tree)
    tree.setCurrentIndex(tree.model().index(1, 0))

    chosen, other, lit = row_picture(tree, 1), row_picture(tree, 0), row_picture(tree, 2)
    assert chosen.pixelColor(1, 14).name().upper() == LIGHT.accent
    assert chosen.pixelColor(200, 5).name().upper() == LIGHT.selection
    assert other.pixelColor(200, 5).name().upper() == LIGHT.panel
    assert lit.pixelColor(200, 5).name().upper() == LIGHT.selection
    assert lit.pixelColor(1, 14).name().upper() == LIGHT.selection


def test_a_ruled_row_ends_in_a_hairline(put: Put) -> None:
    tree = tree_of((RowParts("Propeller"), RowParts("Shaft")), ruled=True)
    put(tree)

    image = row_picture(tree, 0)
    below = [image.pixelColor(300, y) for y in range(image.height() - 2, image.height())]
    assert any(near(colour, LIGHT.line, 3) for colour in below)


def test_a_title_too_long_is_cut_before_the_figure(put: Put) -> None:
    long = RowParts("Haul out, wash off and stand ashore for the survey " * 3, figure="1,140")
    tree = tree_of((long,))
    put(tree)

    gap = row_picture(tree, 0).copy(395, 0, 10, 28)
    assert not holds(gap, LIGHT.text, 60)


def test_a_row_can_be_said_in_one_line() -> None:
    row = RowParts("Stern bearing play", "due", beside="1.0 mm, knocks")

    assert row.spoken() == "Stern bearing play, due, 1.0 mm, knocks"


def test_an_item_without_parts_shows_its_text(put: Put) -> None:
    tree = tree_of(())
    model = tree.model()
    assert isinstance(model, QStandardItemModel)
    model.appendRow(QStandardItem("plain"))
    put(tree)

    assert holds(row_picture(tree, 0), LIGHT.text, 60)


def words_from(image: QImage, left: int) -> bool:
    """Whether anything is written in the right part of a row, from a place onwards."""
    return holds(image.copy(left, 0, image.width() - left, image.height()), LIGHT.quiet, 60)


def test_the_quiet_words_give_way_to_the_title(put: Put) -> None:
    title = "Stern bearing play, by hand"
    wide = tree_of((RowParts(title, beside="1.0 mm of play and a knock at every stroke, 9 May"),))
    put(wide)
    wide.resize(330, 100)

    title_end = 10 + wide.fontMetrics().horizontalAdvance(title)
    image = row_picture(wide, 0)
    assert holds(image.copy(title_end - 12, 0, 10, 28), LIGHT.text, 60)
    assert words_from(image, title_end + 6)


@pytest.mark.qt_log_ignore(r"This plugin does not support raise\(\)")
def test_a_row_tells_all_of_itself_where_the_pointer_rests(put: Put) -> None:
    tree = tree_of((RowParts("Stern bearing play", "due", beside="1.0 mm, knocks"),))
    put(tree)
    place = tree.visualRect(tree.model().index(0, 0)).center()

    resting = QHelpEvent(QEvent.Type.ToolTip, place, tree.viewport().mapToGlobal(place))
    QApplication.sendEvent(tree.viewport(), resting)

    assert QToolTip.text() == "Stern bearing play, due, 1.0 mm, knocks"
    QToolTip.hideText()


def test_a_list_filled_before_it_is_shown_has_rows_of_full_height(put: Put, qtbot: QtBot) -> None:
    page = QWidget()
    rows = QListWidget(page)
    set_up_list(rows, name="Boats")
    rows.addItems(["Marigold Rae", "Old Barnaby"])
    rows.setCurrentRow(1)
    put(page)

    def chosen_ground() -> list[int]:
        image = rows.viewport().grab().toImage()
        x = image.width() - 4
        heights = range(image.height())
        return [y for y in heights if image.pixelColor(x, y).name().upper() == LIGHT.selection]

    qtbot.waitUntil(lambda: chosen_ground()[:1] == [28])
    assert len(chosen_ground()) == 28


@pytest.fixture
def table(put: Put) -> QTableView:
    model = QStandardItemModel(3, 3)
    model.setHorizontalHeaderLabels(["Line", "Low to high", "Likely"])
    for row in range(3):
        for column in range(3):
            model.setItem(row, column, QStandardItem(f"{row}, {column}"))
    view = QTableView()
    view.setModel(model)
    model.setParent(view)
    set_up_table(view, name="Lines of the ledger")
    view.resize(500, 200)
    put(view)
    return view


def test_a_table_has_rows_of_one_height_and_stretches_its_words(table: QTableView) -> None:
    assert [table.rowHeight(row) for row in range(3)] == [28, 28, 28]
    head = table.horizontalHeader()
    assert head.sectionResizeMode(0) == QHeaderView.ResizeMode.Stretch
    assert head.length() == table.viewport().width()
    assert table.accessibleName() == "Lines of the ledger"
    assert not table.tabKeyNavigation()


def test_a_tables_rows_grow_with_the_text(table: QTableView, theme: Theme) -> None:
    theme.set_text_scale(2.0)

    assert table.rowHeight(0) == 56


def test_whole_rows_are_chosen(table: QTableView) -> None:
    table.selectRow(1)

    image = table.viewport().grab().toImage()
    assert image.pixelColor(490, 28 + 5).name().upper() == LIGHT.selection
    assert image.pixelColor(490, 5).name().upper() == LIGHT.panel
    assert table.focusPolicy() == Qt.FocusPolicy.StrongFocus
