"""Fields of one row of a list in the settings: typed values, words, and choices, as one kind."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QComboBox, QLineEdit, QWidget

from workbench.window.entries import amount_text, number_text, read_amount, read_percent
from workbench.window.pages.settings_section import fitted_combo
from workbench.window.widgets.parsed_field import Parse, ParsedField, Show


class Cell(QObject):
    """One field of a row.

    Signals
    -------
    entered(value)
        The user gave another value; None for an emptied field.
    """

    entered = Signal(object)

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.widget = widget

    def value(self) -> object:
        """What stands in the field; None for nothing."""
        raise NotImplementedError

    def put(self, value: object) -> None:
        """Show a value without announcing it."""
        raise NotImplementedError

    def problem(self) -> str:
        """What is wrong with what was typed."""
        return ""

    def set_name(self, name: str) -> None:
        """Give the field its accessible name."""
        self.widget.setAccessibleName(name)


class ParsedCell(Cell):
    """A value that is typed."""

    def __init__(self, parse: Parse, show: Show, *, unit: str = "", characters: int = 7) -> None:
        self._field = ParsedField(parse, show, unit=unit, characters=characters)
        super().__init__(self._field)
        # The sentence stands below the whole row, where there is room for it.
        self._field.sentence_label().setMaximumHeight(0)
        self._field.value_entered.connect(self.entered)

    def value(self) -> object:
        """What was last committed."""
        return self._field.value()

    def put(self, value: object) -> None:
        """Show a value unless something unreadable stands there."""
        if self._field.value() != value and not self._field.problem():
            self._field.set_value(value)

    def problem(self) -> str:
        """What is wrong with what was typed."""
        return self._field.problem()

    def set_name(self, name: str) -> None:
        """Give the field its accessible name."""
        self._field.set_name(name)

    def on_problem(self, tell: Callable[[str], None]) -> None:
        """Tell of every problem and of its end."""
        self._field.problem_changed.connect(tell)


class TextCell(Cell):
    """A line of words."""

    def __init__(self, placeholder: str = "") -> None:
        self._line = QLineEdit()
        self._line.setPlaceholderText(placeholder)
        self._line.setMinimumWidth(150)
        super().__init__(self._line)
        self._line.editingFinished.connect(self._on_finished)

    def _on_finished(self) -> None:
        if self._line.isModified():
            self._line.setModified(False)
            self.entered.emit(self.value())

    def value(self) -> object:
        """The words; None where there are none."""
        return self._line.text().strip() or None

    def put(self, value: object) -> None:
        """Show words unless others are being typed."""
        text = value if isinstance(value, str) else ""
        if not self._line.isModified() and self._line.text() != text:
            self._line.setText(text)
            self._line.setCursorPosition(0)


class ChoiceCell(Cell):
    """One of several."""

    def __init__(self, choices: Sequence[tuple[object, str]], letters: int = 14) -> None:
        self._box = fitted_combo(QComboBox(), letters)
        super().__init__(self._box)
        for key, words in choices:
            self._box.addItem(words, key)
        self._box.activated.connect(lambda _: self.entered.emit(self.value()))

    def value(self) -> object:
        """The key of the choice."""
        chosen: object = self._box.currentData()
        return chosen

    def put(self, value: object) -> None:
        """Show a choice; a key that is not offered is added as it is."""
        place = self._box.findData(value)
        if place < 0 and value is not None:
            self._box.addItem(str(value), value)
            place = self._box.count() - 1
        self._box.setCurrentIndex(place)


def amount_cell() -> ParsedCell:
    """A sum of money."""
    return ParsedCell(read_amount, amount_text, characters=6)


def percent_cell() -> ParsedCell:
    """A percentage, 0 to 100."""
    return ParsedCell(read_percent, number_text, characters=4)
