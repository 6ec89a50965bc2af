"""A tree of two levels: groups at the top, entries below; adapters fill it and keep nothing else.

A group or entry is a key and the painted row. `take` compares what was shown with what is there now
and announces little: rows that changed in place, rows that came or went between those that stayed,
and a reset only where whole groups came, went or moved. So a view keeps its place while one types.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from workbench.domain.record import dataclass
from workbench.window.widgets.row_delegate import ROW_ROLE, RowParts

Index = QModelIndex | QPersistentModelIndex
KEY_ROLE = int(Qt.ItemDataRole.UserRole) + 3
"""Role under which an entry answers its key; groups answer an empty one."""
_NOWHERE = QModelIndex()
_TOP = 0xFFFFFFFF


@dataclass(frozen=True, slots=True)
class Entry:
    """One row below a group."""

    key: str
    parts: RowParts


@dataclass(frozen=True, slots=True)
class Group:
    """One row at the top, with the entries below it."""

    key: str
    row: RowParts
    entries: tuple[Entry, ...]


class TwoLevelModel(QAbstractItemModel):
    """Groups and entries of painted rows.

    Roles: DisplayRole the title, `ROW_ROLE` the painted row, `KEY_ROLE` the key of an entry,
    AccessibleTextRole the row in words.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._groups: list[Group] = []

    @property
    def groups(self) -> Sequence[Group]:
        """What is shown."""
        return self._groups

    def take(self, groups: Sequence[Group]) -> None:
        """Show other groups with a small change."""
        if [one.key for one in groups] != [one.key for one in self._groups]:
            self.beginResetModel()
            self._groups = list(groups)
            self.endResetModel()
            return
        for row, (old, new) in enumerate(zip(self._groups, groups, strict=True)):
            if old is not new and old != new:
                self._change(row, old, new)

    def _change(self, row: int, old: Group, new: Group) -> None:
        """Go from one group to another of the same key."""
        parent = self.index(row, 0)
        before, after = old.entries, new.entries
        start, end = _kept_at_both_ends(before, after)
        gone, come = len(before) - start - end, len(after) - start - end
        if gone:
            self.beginRemoveRows(parent, start, start + gone - 1)
            kept = (*before[:start], *before[start + gone :])
            self._groups[row] = dataclasses.replace(old, entries=kept)
            self.endRemoveRows()
        if come:
            self.beginInsertRows(parent, start, start + come - 1)
            self._groups[row] = new
            self.endInsertRows()
        self._groups[row] = new
        if old.row != new.row:
            self.dataChanged.emit(parent, parent)
        stayed = ((n, n) for n in range(start))
        followed = ((len(before) - n, len(after) - n) for n in range(end, 0, -1))
        for was, now in (*stayed, *followed):
            if before[was] is not after[now] and before[was] != after[now]:
                changed = self.index(now, 0, parent)
                self.dataChanged.emit(changed, changed)

    def index(self, row: int, column: int, parent: Index = _NOWHERE) -> QModelIndex:
        """The index of a group, or of an entry below its group."""
        if column != 0 or row < 0:
            return QModelIndex()
        if not parent.isValid():
            return self.createIndex(row, 0, _TOP) if row < len(self._groups) else QModelIndex()
        if parent.internalId() != _TOP or row >= len(self._groups[parent.row()].entries):
            return QModelIndex()
        return self.createIndex(row, 0, parent.row())

    def parent(self, index: Index = _NOWHERE) -> QModelIndex:  # type: ignore[override]
        """The group of an entry."""
        if not index.isValid() or index.internalId() == _TOP:
            return QModelIndex()
        return self.createIndex(index.internalId(), 0, _TOP)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many groups, or entries of a group."""
        if not parent.isValid():
            return len(self._groups)
        if parent.internalId() == _TOP and parent.column() == 0:
            return len(self._groups[parent.row()].entries)
        return 0

    def columnCount(self, _parent: Index = _NOWHERE) -> int:
        """One column: the delegate paints the whole row."""
        return 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one row shows."""
        if not index.isValid():
            return None
        key, parts = self._row(index)
        if role == ROW_ROLE:
            return parts
        if role == KEY_ROLE:
            return key
        if role == Qt.ItemDataRole.DisplayRole:
            return parts.title
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return parts.spoken()
        return None

    def _row(self, index: Index) -> tuple[str, RowParts]:
        if index.internalId() == _TOP:
            return "", self._groups[index.row()].row
        entry = self._groups[index.internalId()].entries[index.row()]
        return entry.key, entry.parts

    def index_of(self, key: str) -> QModelIndex:
        """The index of an entry; invalid when it is not shown."""
        for row, group in enumerate(self._groups):
            for place, entry in enumerate(group.entries):
                if entry.key == key:
                    return self.index(place, 0, self.index(row, 0))
        return QModelIndex()

    def shown_keys(self) -> list[str]:
        """The keys of all entries shown, in order."""
        return [entry.key for group in self._groups for entry in group.entries]


def _kept_at_both_ends(before: Sequence[Entry], after: Sequence[Entry]) -> tuple[int, int]:
    """How many keys stayed from the beginning, and how many of the rest up to the end."""
    most = min(len(before), len(after))
    start = 0
    while start < most and before[start].key == after[start].key:
        start += 1
    end = 0
    while end < most - start and before[-1 - end].key == after[-1 - end].key:
        end += 1
    return start, end
