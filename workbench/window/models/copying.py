"""A table as text for a spreadsheet: tabs between cells, a line for each row, heads first.

A text that a spreadsheet would take for a formula gets an apostrophe before it, because titles and
notes are typed by people and copied from advertisements.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QAbstractItemModel, QModelIndex, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import QTableView, QTreeView

from workbench.window.widgets.row_delegate import ROW_ROLE, RowParts

_SIGNS, _FORMULA = ("+", "-"), ("=", "@")


def plain_cell(value: object) -> str:
    """One cell as text: no tabs or line ends in it, and nothing that would be run as a formula."""
    text = " ".join(str(value if value is not None else "").split())
    runs = text.startswith(_SIGNS) and not text[1:2].isdigit()
    return f"'{text}" if runs or text.startswith(_FORMULA) else text


def table_as_text(
    model: QAbstractItemModel, rows: Iterable[int] | None = None, columns: Iterable[int] = ()
) -> str:
    """Heads, then rows, of a model; all rows and all columns unless some are named.

    Names of rows stand in the first column where the model's rows have names of their own.
    """
    shown = list(columns) or list(range(model.columnCount()))
    chosen = list(rows) if rows is not None else list(range(model.rowCount()))
    named = any(_row_name(model, row) for row in chosen)
    heads = [_head(model, column) for column in shown]
    lines = [["", *heads] if named else heads]
    for row in chosen:
        cells = [plain_cell(model.index(row, column).data()) for column in shown]
        lines.append([_row_name(model, row), *cells] if named else cells)
    return "\n".join("\t".join(line) for line in lines)


def _head(model: QAbstractItemModel, column: int) -> str:
    return plain_cell(model.headerData(column, Qt.Orientation.Horizontal))


def _row_name(model: QAbstractItemModel, row: int) -> str:
    name = model.headerData(row, Qt.Orientation.Vertical)
    return plain_cell(name) if isinstance(name, str) else ""


def chosen_text(view: QTableView) -> str:
    """The chosen cells with their heads; the whole table where no more than one is chosen."""
    model = view.model()
    chosen: list[QModelIndex] = list(view.selectionModel().selectedIndexes())
    rows = sorted({index.row() for index in chosen})
    columns = sorted({index.column() for index in chosen})
    if len(rows) <= 1 and len(columns) <= 1:
        return table_as_text(model)
    return table_as_text(model, rows, columns)


def copy_table(view: QTableView) -> str:
    """Put what is chosen of a table on the clipboard and answer it."""
    text = chosen_text(view)
    QGuiApplication.clipboard().setText(text)
    return text


def let_copy(view: QTableView) -> QShortcut:
    """Let the copy key of the system copy from a table while it has the focus."""
    shortcut = QShortcut(QKeySequence.StandardKey.Copy, view)
    shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
    shortcut.activated.connect(lambda: copy_table(view))
    return shortcut


def tree_as_text(view: QTreeView, heads: Sequence[str]) -> str:
    """The chosen rows of a tree of two levels, each with its group first; all rows for one or none.

    A row is written by its parts: group, title, grade, what stands below or beside it, figure.
    """
    model = view.model()
    picked = [
        index for index in view.selectionModel().selectedIndexes() if index.parent().isValid()
    ]
    lines = [list(heads)]
    for row in range(model.rowCount()):
        group = model.index(row, 0)
        for place in range(model.rowCount(group)):
            index = model.index(place, 0, group)
            if len(picked) > 1 and index not in picked:
                continue
            lines.append(_tree_row(group, index))
    return "\n".join("\t".join(line) for line in lines)


def _tree_row(group: QModelIndex, index: QModelIndex) -> list[str]:
    parts = index.data(ROW_ROLE)
    if not isinstance(parts, RowParts):
        return [plain_cell(group.data()), plain_cell(index.data()), "", "", ""]
    beside = parts.sub_line or parts.beside
    cells = (group.data(), parts.title, parts.grade, beside, parts.figure)
    return [plain_cell(cell) for cell in cells]


def let_copy_tree(view: QTreeView, heads: Sequence[str]) -> QShortcut:
    """Let the copy key of the system copy from a tree while it has the focus."""
    shortcut = QShortcut(QKeySequence.StandardKey.Copy, view)
    shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
    shortcut.activated.connect(
        lambda: QGuiApplication.clipboard().setText(tree_as_text(view, heads))
    )
    return shortcut
