"""Fields under each other with their labels, hints, and each error at its own field."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QDateTimeEdit,
    QGridLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.record import dataclass
from workbench.window.widgets.labels import label
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, show_part


@dataclass(frozen=True, slots=True)
class _FormRow:
    """The parts of one row."""

    label: QLabel
    field: QWidget
    hint: QLabel
    problem: QLabel


def set_up_spin_box(box: QAbstractSpinBox) -> None:
    """Keep the figure of a spin box off its border, where style sheets cannot reach."""
    inner = box.findChild(QLineEdit)
    if inner is not None and not (isinstance(box, QDateTimeEdit) and box.calendarPopup()):
        inner.setTextMargins(5, 0, 0, 0)


class Form(QWidget):
    """Rows of label and field; a hint and a problem stand below the field they belong to.

    Parameters
    ----------
    labels_above
        Put labels above the fields, for narrow places and cold hands.
    """

    def __init__(self, *, labels_above: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._above = labels_above
        self._rows: dict[str, _FormRow] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(SPACE_GROUPS)
        self._grid.setVerticalSpacing(SPACE_RELATED)
        self._grid.setColumnStretch(1, 1)

    def add_section(self, title: str) -> SectionHeader:
        """Begin a group of rows."""
        header = SectionHeader(title)
        if self._rows:
            self._grid.setRowMinimumHeight(self._grid.rowCount(), SPACE_RELATED)
        self._grid.addWidget(header, self._grid.rowCount(), 0, 1, 2)
        return header

    def add_row(self, key: str, words: str, field: QWidget, *, hint: str = "") -> QWidget:
        """Add a field with its label and return the field.

        Raises
        ------
        ValueError
            Where the key is taken.
        """
        if key in self._rows:
            message = f"the form has a row {key!r} already"
            raise ValueError(message)
        row = _FormRow(
            label(words, "quiet"),
            field,
            label(hint, "small", wrap=True),
            label("", "problem", wrap=True),
        )
        self._rows[key] = row
        show_part(row.hint, shown=bool(hint))
        row.problem.hide()
        self._name(row, words)
        self._place(row)
        return field

    def _name(self, row: _FormRow, words: str) -> None:
        field = row.field
        if isinstance(field, QAbstractSpinBox):
            set_up_spin_box(field)
        row.label.setBuddy(field.focusProxy() or field)
        if isinstance(field, ParsedField):
            field.set_name(words)
        elif not field.accessibleName():
            field.setAccessibleName(words)
        if row.hint.text() and not field.accessibleDescription():
            field.setAccessibleDescription(row.hint.text())

    def _place(self, row: _FormRow) -> None:
        below = QVBoxLayout()
        below.setSpacing(2)
        below.addWidget(row.field)
        below.addWidget(row.problem)
        below.addWidget(row.hint)
        at = self._grid.rowCount()
        if self._above:
            self._grid.addWidget(row.label, at, 0, 1, 2)
            self._grid.addLayout(below, at + 1, 0, 1, 2)
        else:
            top = Qt.AlignmentFlag.AlignTop
            row.label.setContentsMargins(0, 5, 0, 0)
            self._grid.addWidget(row.label, at, 0, top)
            self._grid.addLayout(below, at, 1, top)

    def field(self, key: str) -> QWidget:
        """Return the field of a row.

        Raises
        ------
        KeyError
            Where no row has this key.
        """
        return self._rows[key].field

    def set_row_visible(self, key: str, *, visible: bool) -> None:
        """Show or hide a row; a problem comes back with it."""
        row = self._rows[key]
        row.label.setVisible(visible)
        row.field.setVisible(visible)
        row.hint.setVisible(visible and bool(row.hint.text()))
        row.problem.setVisible(visible and bool(row.problem.text()))

    def set_problem(self, key: str, sentence: str) -> None:
        """Show a problem at its field, or take it away with ''."""
        row = self._rows[key]
        if isinstance(row.field, ParsedField):
            row.field.set_problem(sentence)
            return
        row.problem.setText(sentence)
        row.problem.setVisible(bool(sentence))
        row.field.setAccessibleDescription(sentence or row.hint.text())

    def problem(self, key: str) -> str:
        """Return the problem shown at a field; '' for none."""
        row = self._rows[key]
        if isinstance(row.field, ParsedField):
            return row.field.problem()
        return row.problem.text()

    def set_problems(self, problems: dict[str, str]) -> None:
        """Show these problems and no others; keys without a row are let pass."""
        for key in self._rows:
            self.set_problem(key, problems.get(key, ""))

    def focus_first_problem(self) -> bool:
        """Put the focus into the first field with a problem; False where there is none."""
        for key, row in self._rows.items():
            if self.problem(key):
                row.field.setFocus(Qt.FocusReason.OtherFocusReason)
                return True
        return False
