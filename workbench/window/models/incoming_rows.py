"""What a file would change, and what is wrong with it, as rows of plain text.

The rows are handed in whole; the model only shows them. Every cell has its whole text as a tooltip.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from workbench.domain.problem import Problem, Severity
from workbench.reports.incoming.preview import Change
from workbench.window.texts import tr

Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()
TextRow = tuple[str, ...]
_LONGEST_SHOWN = 200


def change_rows(changes: Sequence[Change]) -> tuple[TextRow, ...]:
    """A row for each change: where, what, old, new, cell."""
    return tuple((one.where, one.what, one.old, one.new, one.at) for one in changes)


def problem_rows(problems: Sequence[Problem]) -> tuple[TextRow, ...]:
    """A row for each problem: where, what is wrong, what to do; notices say that they are ones."""
    return tuple(
        (
            one.where,
            one.message if one.severity is not Severity.NOTICE else _as_notice(one.message),
            one.remedy,
        )
        for one in problems
    )


def _as_notice(message: str) -> str:
    return tr("Note: {words}").format(words=message)


class TextRows(QAbstractTableModel):
    """Rows of text under headings.

    Roles: the display role has the text on one line, the tooltip role the whole of it.
    """

    def __init__(self, heads: Sequence[str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._heads = tuple(heads)
        self._rows: tuple[TextRow, ...] = ()

    def set_rows(self, rows: Sequence[TextRow]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """As many as were handed in."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        """As many as there are headings."""
        return 0 if parent.isValid() else len(self._heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The text of a cell."""
        if not index.isValid():
            return None
        text = self._rows[index.row()][index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return " ".join(text.split())[:_LONGEST_SHOWN]
        return text if role == Qt.ItemDataRole.ToolTipRole else None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """The headings."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self._heads[section]
        return None
