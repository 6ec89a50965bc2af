"""A short list of rows that is as high as its rows: ladder, drops, adjustments."""

from __future__ import annotations

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)
from PySide6.QtWidgets import QListView, QWidget

from workbench.window.widgets.row_delegate import ROW_ROLE, RowDelegate, RowParts
from workbench.window.widgets.tables import set_up_list

KEY_ROLE = int(Qt.ItemDataRole.UserRole) + 1
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


class PartsModel(QAbstractListModel):
    """Rows of `RowParts`; `KEY_ROLE` answers the key of each."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[RowParts, ...] = ()
        self._keys: tuple[str, ...] = ()

    def take(self, rows: tuple[RowParts, ...], keys: tuple[str, ...] = ()) -> None:
        """Show other rows; keys are as many as rows, or none."""
        known = keys or ("",) * len(rows)
        if rows == self._rows and known == self._keys:
            return
        if len(rows) == len(self._rows):
            self._rows, self._keys = rows, known
            if rows:
                self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
            return
        self.beginResetModel()
        self._rows, self._keys = rows, known
        self.endResetModel()

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one row shows."""
        if not index.isValid():
            return None
        parts = self._rows[index.row()]
        if role == ROW_ROLE:
            return parts
        if role == KEY_ROLE:
            return self._keys[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return parts.title
        return parts.spoken() if role == Qt.ItemDataRole.AccessibleTextRole else None


class PartsList(QListView):
    """Shows a `PartsModel` without a scroll bar of its own."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self.parts = PartsModel()
        super().__init__(parent)
        self.parts.setParent(self)
        self.setModel(self.parts)
        self._delegate = RowDelegate(self, ruled=True)
        self.setItemDelegate(self._delegate)
        set_up_list(self, name=name)
        self.setUniformItemSizes(False)
        self.setFrameShape(QListView.Shape.NoFrame)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def take(self, rows: tuple[RowParts, ...], keys: tuple[str, ...] = ()) -> None:
        """Show other rows."""
        self.parts.take(rows, keys)
        self.fit()

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the text."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self.fit()

    def fit(self) -> None:
        """Be as high as the rows."""
        high = sum(self.sizeHintForRow(number) for number in range(self.parts.rowCount()))
        self.setFixedHeight(high + 4)
        self.setVisible(high > 0)
