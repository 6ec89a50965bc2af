"""The comparables as a table that is edited in place; every change is an edit of the search.

Roles: DisplayRole the text, EditRole the text as typed, CheckStateRole whether she is used,
ToolTipRole why she is left out or what an adjustment rests on, `ID_ROLE` the id. What cannot be
read is refused: `setData` answers False and `refused` carries the sentence.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable, Project
from workbench.edits.edit import Edit, apply
from workbench.edits.searching import put_comparable, remove_comparable
from workbench.window import formatting
from workbench.window.models.anchor_reading import AnchorReading
from workbench.window.models.comparable_fields import KINDS, Field, FieldKind, typed_text
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr

ID_ROLE = int(Qt.ItemDataRole.UserRole) + 1
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
COLUMN = {kind.field: place for place, kind in enumerate(KINDS)}


def together(project: Project, makers: Sequence[Callable[[Project], Edit]], label: str) -> Edit:
    """Several edits as one step, each made on what the one before it left."""
    made = Edit(label, ())
    for make in makers:
        edit = make(project)
        project, _ = apply(project, edit)
        made = made.then(edit, label)
    return made


class ComparablesModel(QAbstractTableModel):
    """The comparables of the search, in the order in which they were entered.

    Signals
    -------
    refused(sentence)
        What was typed cannot be; empty once a change was made.
    """

    refused = Signal(str)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: tuple[Comparable, ...] = session.project.comparables
        self._reading: AnchorReading | None = None
        session.changed.connect(self._follow)

    # --- Following the search ---

    def _follow(self) -> None:
        now = self._session.project.comparables
        before = self._rows
        if now is before:
            return
        if [one.id for one in now] == [one.id for one in before]:
            self._rows = now
            for number, (old, new) in enumerate(zip(before, now, strict=True)):
                if old != new:
                    self.dataChanged.emit(self.index(number, 0), self._last(number))
            return
        self.beginResetModel()
        self._rows = now
        self.endResetModel()

    def _last(self, number: int) -> QModelIndex:
        return self.index(number, len(KINDS) - 1)

    def take(self, reading: AnchorReading | None) -> None:
        """Show what another reading of the comparables says of each."""
        self._reading = reading
        if self._rows:
            place = COLUMN[Field.ADJUSTED]
            self.dataChanged.emit(self.index(0, place), self.index(len(self._rows) - 1, place))

    def comparable(self, number: int) -> Comparable | None:
        """One comparable; None where there is none."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def number_of(self, comparable_id: str) -> int:
        """The row of a comparable; -1 when it is gone."""
        ids = [one.id for one in self._rows]
        return ids.index(comparable_id) if comparable_id in ids else -1

    # --- Reading ---

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many comparables there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """What is told of each."""
        return 0 if parent.isValid() else len(KINDS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        one, kind = self._rows[index.row()], KINDS[index.column()]
        if role == ID_ROLE:
            return one.id
        if kind.field is Field.USED and role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if one.used else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.EditRole and kind.read is not None:
            return typed_text(one, kind.field)
        return self._shown(one, kind, role)

    def _shown(self, one: Comparable, kind: FieldKind, role: int) -> object:
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(one, kind)
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._tip(one, kind) or None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(kind)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            shown = self.text(one, kind) or tr("empty")
            return f"{one.title}, {kind.title()}: {shown}"
        return None

    def text(self, one: Comparable, kind: FieldKind) -> str:
        """What stands in a cell; a dash where a price cannot be adjusted."""
        if kind.field is Field.USED:
            return ""
        if kind.field is not Field.ADJUSTED:
            return kind.show(one)
        adjusted = self._reading.adjusted.get(one.id) if self._reading is not None else None
        if adjusted is None:
            return "–" if self._reading is not None else ""
        return formatting.estimate(adjusted.adjusted) + (" !" if adjusted.flagged else "")

    def _tip(self, one: Comparable, kind: FieldKind) -> str:
        if kind.field is not Field.ADJUSTED or self._reading is None:
            return kind.tip() if kind.field is Field.USED else self.text(one, kind)
        if one.id in self._reading.left_out:
            return self._reading.left_out[one.id]
        adjusted = self._reading.adjusted.get(one.id)
        if adjusted is None:
            return self._reading.why_none
        return "\n".join(adjusted.flags(self._session.catalogue.wording))

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Names of the columns, with what they mean."""
        if orientation == Qt.Orientation.Vertical or not 0 <= section < len(KINDS):
            return None
        kind = KINDS[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return kind.title()
        if role == Qt.ItemDataRole.ToolTipRole:
            return kind.tip() or None
        return _side(kind) if role == Qt.ItemDataRole.TextAlignmentRole else None

    # --- Changing ---

    def flags(self, index: Index) -> Qt.ItemFlag:
        """All but the adjusted price can be changed."""
        made = super().flags(index)
        if not index.isValid() or self._session.read_only:
            return made
        kind = KINDS[index.column()]
        if kind.field is Field.USED:
            return made | Qt.ItemFlag.ItemIsUserCheckable
        return made | Qt.ItemFlag.ItemIsEditable if kind.read is not None else made

    def refusal(self, index: Index, text: str) -> str:
        """Why a text cannot stand in a cell; empty when it can."""
        try:
            self._read(index, text)
        except EntryError as error:
            return said(str(error))
        return ""

    def _read(self, index: Index, text: str) -> Comparable:
        one, kind = self._rows[index.row()], KINDS[index.column()]
        if kind.read is None:
            raise EntryError(tr("This is figured and cannot be typed."))
        return kind.read(one, text, self._session.project.settings)

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Change one field by an edit."""
        if not index.isValid():
            return False
        one = self._rows[index.row()]
        if role == Qt.ItemDataRole.CheckStateRole and KINDS[index.column()].field is Field.USED:
            used = Qt.CheckState(value) == Qt.CheckState.Checked
            return self._put(dataclasses.replace(one, used=used))
        if role != Qt.ItemDataRole.EditRole:
            return False
        try:
            changed = self._read(index, str(value))
        except EntryError as error:
            self.refused.emit(said(str(error)))
            return False
        return changed == one or self._put(changed)

    def _put(self, changed: Comparable) -> bool:
        refused = self._session.attempt(lambda project: put_comparable(project, changed))
        self.refused.emit(refused)
        return not refused

    def remove(self, numbers: Sequence[int]) -> None:
        """Take comparables away in one step that can be undone."""
        ids = [self._rows[number].id for number in numbers if 0 <= number < len(self._rows)]
        if not ids:
            return
        label = tr("Remove {n} comparables").format(n=len(ids))

        def make(project: Project) -> Edit:
            if len(ids) == 1:
                return remove_comparable(project, ids[0])
            steps = [lambda now, key=key: remove_comparable(now, key) for key in ids]
            return together(project, steps, label)

        self.refused.emit(self._session.attempt(make))

    def add(self, added: Sequence[Comparable]) -> str:
        """Add comparables in one step; the sentence where one is refused."""
        label = tr("Add {n} comparables").format(n=len(added))

        def make(project: Project) -> Edit:
            if len(added) == 1:
                return put_comparable(project, added[0])
            steps = [lambda now, one=one: put_comparable(now, one) for one in added]
            return together(project, steps, label)

        return self._session.attempt(make)


def _side(kind: FieldKind) -> int:
    side = Qt.AlignmentFlag.AlignRight if kind.figure else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)
