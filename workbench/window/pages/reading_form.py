"""The fields of a reading: numbers with units as people write them, choices by one key.

Made for one hand on the keyboard: a digit answers a choice and goes on to the next field, Return
takes what was typed and goes on, and Return in the last field is done with the check.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLineEdit, QVBoxLayout, QWidget

from workbench.domain.inspection import Reading
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.window import formatting
from workbench.window.texts import tr
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.labels import label
from workbench.window.widgets.quantity_field import QuantityField
from workbench.window.widgets.surroundings import SPACE_RELATED, SPACE_TIGHT

if TYPE_CHECKING:
    from workbench.catalogue.model import Check, Entry

Field = QuantityField | ChoiceRow | QLineEdit


class ReadingForm(QWidget):
    """The fields of one check.

    Signals
    -------
    reading_entered(values)
        A dict of entry id to quantity, choice id or text; empty when all was taken out.
    problem_found(sentence)
        What is wrong with an entry; empty when it is right again.
    finished()
        Return was pressed in the last field.
    """

    reading_entered = Signal(object)
    problem_found = Signal(str)
    finished = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._check: Check | None = None
        self._fields: dict[str, Field] = {}
        self._holder: QWidget | None = None
        self.note = QLineEdit()
        self.note.setAccessibleName(tr("Why it could not be seen"))
        self.note.setPlaceholderText(tr("Why it could not be seen, then Return"))
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(SPACE_RELATED)
        self._column.addWidget(self.note)

    def set_check(self, check: Check) -> None:
        """Show the fields of another check, empty."""
        self._check = check
        if self._holder is not None:
            self._column.removeWidget(self._holder)
            self._holder.deleteLater()
        self._holder = QWidget()
        grid = QGridLayout(self._holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(SPACE_RELATED * 2)
        grid.setVerticalSpacing(SPACE_TIGHT)
        grid.setColumnStretch(1, 1)
        self._fields = {}
        row, column = 0, 0
        for entry in check.entries:
            words = label(entry.label, "small", wrap=True)
            words.setToolTip(entry.help or entry.label)
            field = self._field(entry)
            words.setBuddy(field)
            self._fields[entry.id] = field
            if column and not _is_narrow(entry):
                row, column = row + 1, 0
            grid.addWidget(_labelled(words, field), row, column, 1, 1 if _is_narrow(entry) else 2)
            column += 1 if _is_narrow(entry) else 2
            if column > 1:
                row, column = row + 1, 0
        self.note.clear()
        self.note.hide()
        self._column.insertWidget(0, self._holder)

    def _field(self, entry: Entry) -> Field:
        if entry.kind == "choice":
            row = ChoiceRow(
                [(one.id, one.label, one.help) for one in entry.choices],
                name=entry.label,
                large=True,
            )
            row.chosen.connect(self._on_entered)
            row.answered.connect(lambda: self._go_on_from(row, to_the_end=False))
            row.left.connect(lambda: self._go_on_from(row))
            return row
        if entry.kind == "text":
            line = QLineEdit()
            line.setAccessibleName(entry.label)
            line.editingFinished.connect(self._on_entered)
            line.returnPressed.connect(lambda: self._go_on_from(line))
            return line
        field = QuantityField(
            lambda text: read_entry(text, entry),
            lambda value: _shown(value, entry),
            unit="" if entry.kind == "year" else entry.unit,
            convert=lambda value: _other_unit(value, entry),
            name=entry.label,
            characters=8,
        )
        field.set_large()
        field.value_entered.connect(self._on_entered)
        field.problem_changed.connect(self.problem_found)
        field.line_edit.returnPressed.connect(lambda: self._go_on_from(field))
        return field

    def set_reading(self, reading: Reading | None) -> None:
        """Show a reading's values; nothing is announced."""
        if self._check is None:
            return
        for entry in self._check.entries:
            value = reading.values.get(entry.id) if reading is not None else None
            _put(self._fields[entry.id], value)

    def values(self) -> dict[str, Quantity | str]:
        """What stands in the fields."""
        made: dict[str, Quantity | str] = {}
        for name, field in self._fields.items():
            value = _value(field)
            if isinstance(value, Quantity) or (isinstance(value, str) and value):
                made[name] = value
        return made

    def focus_first(self) -> None:
        """Put the keyboard into the first field."""
        first = next(iter(self._fields.values()), None)
        if first is not None:
            first.setFocus()

    def _go_on_from(self, field: Field, *, to_the_end: bool = True) -> None:
        """Put the keyboard into the field after one that is in order; after the last, be done."""
        if isinstance(field, QuantityField) and field.problem():
            return
        fields = list(self._fields.values())
        place = fields.index(field) + 1
        if place < len(fields):
            fields[place].setFocus(Qt.FocusReason.TabFocusReason)
        elif to_the_end:
            self.finished.emit()

    def field(self, entry_id: str) -> Field:
        """The field of one entry."""
        return self._fields[entry_id]

    def _on_entered(self) -> None:
        self.reading_entered.emit(self.values())


def _is_narrow(entry: Entry) -> bool:
    """Whether two such fields stand side by side."""
    letters = sum(len(choice.label) + 4 for choice in entry.choices)
    return max(letters, len(entry.label)) <= 26


def _labelled(words: QWidget, field: QWidget) -> QWidget:
    """A field with its words above it, as one thing that flows."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(SPACE_TIGHT)
    column.addWidget(words)
    column.addWidget(field)
    return holder


def read_entry(text: str, entry: Entry) -> Quantity | None:
    """What was typed for an entry, held to its sensible limits; None for nothing.

    Raises
    ------
    EntryError
        With the sentence for the field.
    """
    if not text.strip():
        return None
    value = formatting.read_quantity(text, entry.unit or "count")
    number = value.exact(entry.unit or "count")
    unit = "" if entry.kind == "year" else f" {entry.unit}"
    if entry.low is not None and number < entry.low:
        raise EntryError(
            tr("That is less than {low}{unit}. Look at the unit.").format(low=entry.low, unit=unit)
        )
    if entry.high is not None and number > entry.high:
        raise EntryError(
            tr("That is more than {high}{unit}. Look at the unit.").format(
                high=entry.high, unit=unit
            )
        )
    return value


def _shown(value: object, entry: Entry) -> str:
    """A value as it was entered; its unit only where it is not the one beside the field."""
    if not isinstance(value, Quantity):
        return ""
    number = f"{value.number:f}".replace(".", formatting.decimal_mark())
    return number if value.unit == entry.unit else f"{number} {value.unit}"


def _other_unit(value: object, entry: Entry) -> str:
    """The same in the other unit: metric beside imperial and the other way round."""
    if not isinstance(value, Quantity) or entry.kind == "year":
        return ""
    other = entry.imperial_unit if value.unit == entry.unit else entry.unit
    return formatting.converted(value, other)


def _put(field: Field, value: Quantity | str | None) -> None:
    if isinstance(field, ChoiceRow):
        if field.choice() != value:
            field.set_choice(value)
    elif isinstance(field, QLineEdit):
        if not field.hasFocus() or not value:
            field.setText(value if isinstance(value, str) else "")
    elif field.value() != value:
        field.set_value(value)


def _value(field: Field) -> object:
    if isinstance(field, ChoiceRow):
        return field.choice()
    if isinstance(field, QLineEdit):
        return field.text().strip()
    return field.value()
