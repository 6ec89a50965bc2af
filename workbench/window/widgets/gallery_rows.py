"""Samples of trees, ledgers and tables, with invented lines, for the gallery."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QTableView, QTreeView, QWidget

from workbench.window.widgets.gallery_layout import column
from workbench.window.widgets.range_bar import Range
from workbench.window.widgets.row_delegate import ROW_ROLE, RowDelegate, RowParts
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.tables import set_up_table, set_up_tree

LEDGER_ROWS = (
    RowParts("New stern bearing", "", "price book", figure="980", span=Range(740, 980, 1450)),
    RowParts(
        "Re-order propeller nuts, new split pin",
        "",
        "price book",
        figure="60",
        span=Range(60, 60, 60),
    ),
    RowParts(
        "Renew two seacocks, galley and heads",
        "",
        "quote, Wharf Lane yard, 3 May",
        figure="1,140",
        span=Range(1140, 1140, 1140),
    ),
    RowParts(
        "Haul out and stand ashore, once for 3 lines",
        "",
        "yard list",
        figure="420",
        span=Range(420, 420, 420),
        quiet=True,
    ),
)


def ledger() -> QWidget:
    """Rows of a ledger with their ranges."""
    model = QStandardItemModel()
    for parts in LEDGER_ROWS:
        item = QStandardItem(parts.title)
        placed = RowParts(
            parts.title,
            parts.grade,
            parts.sub_line,
            "",
            parts.figure,
            parts.span,
            (0, 1600),
            "due",
            quiet=parts.quiet,
        )
        item.setData(placed, ROW_ROLE)
        model.appendRow(item)
    tree = QTreeView()
    tree.setRootIsDecorated(False)
    set_up_tree(tree, name="Ledger")
    tree.setModel(model)
    model.setParent(tree)
    tree.setItemDelegate(RowDelegate(tree, ruled=True))
    tree.setMinimumHeight(200)
    return column(SectionHeader("Before launching", beside="2,600"), tree)


_CHECKS = (
    ("Standing and surroundings", "sound", "4 of 4", ()),
    (
        "Running gear",
        "due",
        "11 of 14",
        (
            ("Propeller", "sound", "turns freely, edges whole"),
            ("Propeller nuts", "worn", "thin nut outermost"),
            ("Stern bearing play", "due", "1.0 mm, knocks"),
            ("Water feed to bearing", "unseen", "under paint"),
        ),
    ),
    ("Mast and standing rigging", "unsafe", "8 of 12", ()),
    ("Gas, water, heads", "unseen", "2 of 8", ()),
)


def checks() -> QWidget:
    """A tree of checks with their marks."""
    model = QStandardItemModel()
    for title, grade, beside, inside in _CHECKS:
        group = QStandardItem(title)
        group.setData(RowParts(title, grade, beside=beside, strong=True), ROW_ROLE)
        for words, mark, found in inside:
            item = QStandardItem(words)
            item.setData(RowParts(words, mark, beside=found), ROW_ROLE)
            group.appendRow(item)
        model.appendRow(group)
    tree = QTreeView()
    set_up_tree(tree, name="Checks")
    tree.setModel(model)
    model.setParent(tree)
    tree.setItemDelegate(RowDelegate(tree))
    tree.expandAll()
    tree.setCurrentIndex(model.index(2, 0, model.index(1, 0)))
    tree.setMinimumHeight(260)
    return column(tree)


def table() -> QWidget:
    """A table with a quiet head and hairlines."""
    model = QStandardItemModel(4, 3)
    model.setHorizontalHeaderLabels(["Line", "Low to high", "Likely"])
    lines = (
        ("New stern bearing", "740 to 1,450", "980"),
        ("Two seacocks", "quote", "1,140"),
        ("Re-bed two chainplates", "380 to 1,150", "620"),
        ("Lower shrouds", "650 to 1,300", "870"),
    )
    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    for at, texts in enumerate(lines):
        for place, text in enumerate(texts):
            item = QStandardItem(text)
            if place:
                item.setTextAlignment(right)
            model.setItem(at, place, item)
    for place in (1, 2):
        model.setHeaderData(
            place, Qt.Orientation.Horizontal, int(right), Qt.ItemDataRole.TextAlignmentRole
        )
    view = QTableView()
    view.setModel(model)
    model.setParent(view)
    set_up_table(view, name="Lines")
    view.selectRow(1)
    view.setMinimumHeight(190)
    return column(view)


ROW_SAMPLES: dict[str, Callable[[], QWidget]] = {
    "ledger": ledger,
    "checks": checks,
    "table": table,
}
"""Name of a sample -> function that makes it."""
