"""Records of the boat that is looked at, as a table that is edited in place.

What a table shows and how its records are put back is told by `Records`; everything else is the
same for prices asked, for what is worth money, and for what else is kept as a row of records.
Roles: DisplayRole the text, EditRole the text as typed. What cannot be read is refused with a
sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from workbench.domain.problem import EntryError
from workbench.domain.project import Candidate, Project
from workbench.edits.edit import Edit
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr

Index = QModelIndex | QPersistentModelIndex
Record = TypeVar("Record")
_NOWHERE = QModelIndex()


@dataclass(frozen=True)
class RecordColumn(Generic[Record]):
    """One column: its head, what it shows, the text as typed, and how a text is read into it."""

    title: Callable[[], str]
    show: Callable[[Record], str]
    typed: Callable[[Record], str]
    read: Callable[[Record, str], Record]
    figure: bool = False


@dataclass(frozen=True)
class Records(Generic[Record]):
    """What a table is about: its columns, where its records are, and the edit that puts them."""

    columns: Sequence[RecordColumn[Record]]
    get: Callable[[Candidate], tuple[Record, ...]]
    put: Callable[[Project, str, tuple[Record, ...]], Edit]


class RecordTable(QAbstractTableModel, Generic[Record]):
    """The records of one kind of the boat that is looked at, in their own order.

    Signals
    -------
    refused(sentence)
        What was typed cannot be; empty once a change was made.
    """

    refused = Signal(str)

    def __init__(
        self, session: Session, kind: Records[Record], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._kind = kind
        self._boat = ""
        self._records: tuple[Record, ...] = ()
        session.changed.connect(self._follow)
        session.boat_selected.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        candidate = self._session.candidate
        boat = candidate.boat.id if candidate is not None else ""
        records = self._kind.get(candidate) if candidate is not None else ()
        if boat == self._boat and records == self._records:
            return
        same = boat == self._boat and len(records) == len(self._records)
        if not same:
            self.beginResetModel()
        before, self._boat, self._records = self._records, boat, records
        if not same:
            self.endResetModel()
            return
        for number, (old, new) in enumerate(zip(before, records, strict=True)):
            if old != new:
                last = self.index(number, self.columnCount() - 1)
                self.dataChanged.emit(self.index(number, 0), last)

    # --- Reading ---

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many records there are."""
        return 0 if parent.isValid() else len(self._records)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """What is told of each."""
        return 0 if parent.isValid() else len(self._kind.columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        one, column = self._records[index.row()], self._kind.columns[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(column.figure)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{column.title()}: {column.show(one) or tr('empty')}"
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return column.show(one)
        return column.typed(one) if role == Qt.ItemDataRole.EditRole else None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Names of the columns."""
        if orientation == Qt.Orientation.Vertical or not 0 <= section < self.columnCount():
            return None
        column = self._kind.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title()
        return _side(column.figure) if role == Qt.ItemDataRole.TextAlignmentRole else None

    # --- Changing ---

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Everything can be changed."""
        made = super().flags(index)
        if not index.isValid() or self._session.read_only:
            return made
        return made | Qt.ItemFlag.ItemIsEditable

    def refusal(self, index: Index, text: str) -> str:
        """Why a text cannot stand in a cell; empty when it can."""
        try:
            self._kind.columns[index.column()].read(self._records[index.row()], text)
        except EntryError as error:
            return said(str(error))
        return ""

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Change one field by an edit."""
        if not index.isValid() or role != Qt.ItemDataRole.EditRole:
            return False
        number = index.row()
        try:
            changed = self._kind.columns[index.column()].read(self._records[number], str(value))
        except EntryError as error:
            self.refused.emit(said(str(error)))
            return False
        if changed == self._records[number]:
            return True
        return not self._put((*self._records[:number], changed, *self._records[number + 1 :]))

    def add(self, record: Record) -> str:
        """Put one more record last; a sentence if it is refused."""
        return self._put((*self._records, record))

    def remove(self, number: int) -> None:
        """Take a record away."""
        if 0 <= number < len(self._records):
            self._put((*self._records[:number], *self._records[number + 1 :]))

    def _put(self, records: tuple[Record, ...]) -> str:
        boat = self._boat
        refused = self._session.attempt(lambda project: self._kind.put(project, boat, records))
        self.refused.emit(refused)
        return refused


def _side(figure: bool) -> int:
    side = Qt.AlignmentFlag.AlignRight if figure else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)
