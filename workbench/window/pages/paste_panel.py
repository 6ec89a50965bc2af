"""A pasted table before it is taken in: what each column is taken for, rows that give nothing."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from workbench.domain.project import Comparable
from workbench.window.models.comparable_fields import BY_FIELD, Field
from workbench.window.models.pasted_comparables import (
    TYPED,
    comparables_of,
    read_pasted,
    with_field,
)
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT

_MOST_PROBLEMS = 4


class PastePanel(QWidget):
    """What was pasted, to be looked over and added.

    Signals
    -------
    add_requested(comparables)
        The user wants these comparables.
    closed()
        The user is done with what was pasted.
    """

    add_requested = Signal(object)
    closed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._pasted = read_pasted("")
        self._made: tuple[Comparable, ...] = ()
        self.boxes: list[QComboBox] = []
        self.said = label("", "strong", wrap=True)
        self.problems = label("", "problem", wrap=True)
        self.add_button = button("", "primary")
        self.leave_button = button(tr("Leave it"), "quiet")
        ground = surface("card")
        inner = QVBoxLayout(ground)
        inner.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        inner.setSpacing(SPACE_RELATED)
        head = QHBoxLayout()
        head.addWidget(self.said, 1)
        head.addWidget(self.leave_button)
        head.addWidget(self.add_button)
        inner.addLayout(head)
        self._columns = QWidget()
        self._flow = FlowLayout(self._columns, spacing=SPACE_GROUPS, line_spacing=SPACE_RELATED)
        inner.addWidget(self._columns)
        inner.addWidget(self.problems)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(ground)
        self.add_button.clicked.connect(lambda _=False: self.add_requested.emit(self._made))
        self.leave_button.clicked.connect(lambda _=False: self.closed.emit())

    def show_text(self, text: str) -> bool:
        """Take a pasted text apart; False where there is nothing in it."""
        self._pasted = read_pasted(text)
        if not self._pasted.rows:
            return False
        self._build_columns()
        self._reckon()
        return True

    def _build_columns(self) -> None:
        for box in self.boxes:
            parent = box.parentWidget()
            if parent is not None:
                self._flow.removeWidget(parent)
                parent.deleteLater()
        self.boxes = []
        for place in range(len(self._pasted.fields)):
            self._flow.addWidget(self._column_part(place))
        self._columns.updateGeometry()

    def _column_part(self, place: int) -> QWidget:
        part = QWidget()
        inner = QVBoxLayout(part)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(SPACE_TIGHT)
        heads = self._pasted.heads
        sample = heads[place] if heads else self._pasted.rows[0][place]
        words = label(sample[:24] or "–", "small")
        words.setToolTip(sample)
        box = QComboBox()
        box.setAccessibleName(tr("The column {name} is").format(name=sample))
        box.addItem(tr("let pass"), None)
        for field in TYPED:
            box.addItem(BY_FIELD[field].title(), field)
        box.setCurrentIndex(max(box.findData(self._pasted.fields[place]), 0))
        box.activated.connect(lambda _, place=place: self._on_chosen(place))
        inner.addWidget(words, 0, Qt.AlignmentFlag.AlignLeft)
        inner.addWidget(box)
        self.boxes.append(box)
        return part

    def _on_chosen(self, place: int) -> None:
        field = self.boxes[place].currentData()
        self._pasted = with_field(self._pasted, place, field if isinstance(field, Field) else None)
        for box, taken in zip(self.boxes, self._pasted.fields, strict=True):
            box.setCurrentIndex(max(box.findData(taken), 0))
        self._reckon()

    def _reckon(self) -> None:
        self._made, wrong = comparables_of(self._pasted, self._session.project.settings)
        count = len(self._made)
        read = tr("{n} of {all} rows can be read.").format(n=count, all=len(self._pasted.rows))
        order = "" if self._pasted.heads else tr("No heads were known: look the columns over.")
        self.said.setText(f"{read} {order}".strip())
        lines = [
            tr("Row {n}: {why}").format(n=one.number, why=one.sentence)
            for one in wrong[:_MOST_PROBLEMS]
        ]
        if len(wrong) > _MOST_PROBLEMS:
            lines.append(tr("and {n} rows more").format(n=len(wrong) - _MOST_PROBLEMS))
        self.problems.setText("\n".join(lines))
        self.problems.setVisible(bool(lines))
        words = tr("Add 1 comparable") if count == 1 else tr("Add {n} comparables")
        self.add_button.setText(words.format(n=count))
        self.add_button.setEnabled(count > 0)
