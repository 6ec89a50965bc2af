"""Tables, trees and lists set up as the notebook has them: quiet heads, 28-pixel rows, no grid."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QListView, QTableView, QTreeView

from workbench.window.texts import tr
from workbench.window.widgets.surroundings import row_height


class _RowKeeper(QObject):
    """Keeps the row height of a table when the text scale changes."""

    def __init__(self, table: QTableView) -> None:
        super().__init__(table)
        self._table = table
        table.installEventFilter(self)
        self.fit()

    def fit(self) -> None:
        """Set the height of every row."""
        rows = self._table.verticalHeader()
        rows.setMinimumSectionSize(12)
        rows.setDefaultSectionSize(row_height(self._table))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow changes of font and style."""
        if watched is self._table and event.type() in {
            QEvent.Type.FontChange,
            QEvent.Type.StyleChange,
        }:
            self.fit()
        return super().eventFilter(watched, event)


def set_up_table(table: QTableView, *, name: str, stretch_column: int = 0) -> None:
    """Give a table its look: rows of one height, no grid, whole rows chosen, one column stretched.

    Parameters
    ----------
    name
        Accessible name.
    stretch_column
        The column that takes the spare width; the others fit their contents. The model must be set
        already.
    """
    table.setAccessibleName(name)
    table.setShowGrid(False)
    table.setWordWrap(False)
    table.setAlternatingRowColors(False)
    table.setCornerButtonEnabled(False)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    table.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    table.setTabKeyNavigation(False)
    table.verticalHeader().hide()
    table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
    head = table.horizontalHeader()
    head.setAccessibleName(tr("Columns"))
    head.setHighlightSections(False)
    head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    head.setStretchLastSection(False)
    head.setResizeContentsPrecision(60)
    head.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    if 0 <= stretch_column < head.count():
        head.setSectionResizeMode(stretch_column, QHeaderView.ResizeMode.Stretch)
    _RowKeeper(table)


def set_up_tree(tree: QTreeView, *, name: str, uniform: bool = True) -> None:
    """Give a tree its look: no head, rows of one height unless told otherwise, slim indent."""
    tree.setAccessibleName(name)
    tree.setHeaderHidden(True)
    tree.setUniformRowHeights(uniform)
    tree.setIndentation(18)
    tree.setExpandsOnDoubleClick(True)
    tree.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    tree.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)


class _Relayout(QObject):
    """Lays a list out anew once its style is known.

    A list that is filled before it is first shown would keep rows as high as they were without the
    style sheet.
    """

    def __init__(self, view: QListView) -> None:
        super().__init__(view)
        self._view = view
        view.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the first polishing."""
        if watched is self._view and event.type() == QEvent.Type.Polish:
            self._view.scheduleDelayedItemsLayout()
        return super().eventFilter(watched, event)


def set_up_list(view: QListView, *, name: str) -> None:
    """Give a list its look: rows of one height, scrolled by the pixel."""
    view.setAccessibleName(name)
    view.setUniformItemSizes(True)
    view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    _Relayout(view)
