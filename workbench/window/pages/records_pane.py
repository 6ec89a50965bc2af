"""A short table of a boat's records with a line below it to enter one more."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QTableView, QVBoxLayout, QWidget

from workbench.window.models.copying import let_copy
from workbench.window.models.record_table import Records, RecordTable
from workbench.window.pages.cell_editing import CellEditing
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_RELATED
from workbench.window.widgets.tables import set_up_table

_MOST_HIGH = 220
"""Most height of the table [device-independent pixels]."""
Record = TypeVar("Record")


class RecordsPane(QWidget, Generic[Record]):
    """Records in a table as high as they are, and the fields to enter another.

    Parameters
    ----------
    name
        Accessible name of the table.
    fields
        What is typed for another record, from left to right; the first that stretches is named.
    stretch_column
        The column of the table that takes the spare width.

    Signals
    -------
    add_requested()
        The button was pressed: the fields hold another record.
    """

    add_requested = Signal()

    def __init__(
        self,
        session: Session,
        kind: Records[Record],
        *,
        name: str,
        fields: Sequence[QWidget],
        stretch_column: int,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.model: RecordTable[Record] = RecordTable(session, kind, self)
        self.view = QTableView()
        self.view.setModel(self.model)
        set_up_table(self.view, name=name, stretch_column=stretch_column)
        self.view.setFrameShape(QTableView.Shape.NoFrame)
        self.view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.view.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.view.setItemDelegate(CellEditing(self.view, self.model.refusal))
        let_copy(self.view)
        self.add_button = button(tr("Add"))
        self.remove_button = button(tr("Remove"), "link", tip=tr("Take the chosen row off (Del)"))
        self.problem = label("", "problem", wrap=True)
        self._lay_out(fields)
        self._connect()
        self._fit()

    def _lay_out(self, fields: Sequence[QWidget]) -> None:
        entry = QHBoxLayout()
        entry.setSpacing(SPACE_RELATED)
        for field in fields:
            entry.addWidget(field, 0, Qt.AlignmentFlag.AlignTop)
        entry.setStretch(len(fields) - 1, 1)
        entry.addWidget(self.add_button, 0, Qt.AlignmentFlag.AlignTop)
        entry.addWidget(self.remove_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(self.view)
        column.addWidget(self.problem)
        column.addLayout(entry)
        self.problem.hide()

    def _connect(self) -> None:
        self.add_button.clicked.connect(lambda _=False: self.add_requested.emit())
        self.remove_button.clicked.connect(lambda _=False: self.remove())
        shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Delete), self.view)
        shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
        shortcut.activated.connect(self.remove)
        self.model.refused.connect(self.say)
        self.model.modelReset.connect(self._fit)

    def remove(self) -> None:
        """Take the chosen record away."""
        row = self.view.currentIndex().row()
        if row < 0:
            self.say(tr("Choose a row in the table first."))
            return
        self.model.remove(row)

    def say(self, sentence: str) -> None:
        """Show why something was refused; nothing for ''."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def _fit(self) -> None:
        """Be as high as the rows; many of them scroll."""
        some = self.model.rowCount() > 0
        self.view.setVisible(some)
        self.remove_button.setVisible(some)
        rows = sum(self.view.rowHeight(number) for number in range(self.model.rowCount()))
        high = rows + self.view.horizontalHeader().sizeHint().height() + 4
        self.view.setFixedHeight(min(high, _MOST_HIGH))
