"""A line edit that reads a value with the caller's parser and says at once what it cannot read.

Enter or leaving the field commits; Esc brings back the last value. What cannot be read stays as it
was typed, with one sentence below it that says what is wrong, and nothing is announced. The quiet
text beside the field shows the value converted ('= 39 thousandths of an inch') while one types.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from workbench.window.said import said
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_RELATED, redress, set_role

Parse = Callable[[str], object]
"""Text as typed -> value. Raises ValueError whose text is the sentence to show."""

Show = Callable[[object], str]
"""Value -> text as it stands in the field, or beside it."""


class ParsedField(QWidget):
    """One value typed as text.

    Parameters
    ----------
    parse, show
        The caller's reading and writing of a value.
    unit
        Written quietly after the field, such as 'mm'; '' for none.
    convert
        Value -> the same in another unit, shown quietly; '' shows nothing.
    name
        Accessible name; the label of a form sets it as well.
    placeholder
        What stands in the empty field.
    characters
        About how many characters the field shows.

    Signals
    -------
    value_entered(value)
        A new value was committed; None when the field was emptied.
    text_edited(text)
        Every change of the text by the user.
    problem_changed(sentence)
        The sentence below the field; '' when all is well again.
    """

    value_entered = Signal(object)
    text_edited = Signal(str)
    problem_changed = Signal(str)

    def __init__(
        self,
        parse: Parse,
        show: Show,
        *,
        unit: str = "",
        convert: Show | None = None,
        name: str = "",
        placeholder: str = "",
        characters: int = 10,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._parse, self._show, self._convert = parse, show, convert
        self._value: object = None
        self._problem = ""
        self._characters = characters
        self.line_edit = QLineEdit()
        self.line_edit.setPlaceholderText(placeholder)
        self.line_edit.installEventFilter(self)
        self.line_edit.textEdited.connect(self._on_text_edited)
        self.line_edit.returnPressed.connect(self.commit)
        self._unit = label(unit, "quiet")
        self._converted = label("", "small")
        self._sentence = label("", "problem", wrap=True)
        self._lay_out()
        self.set_name(name)
        self.setFocusProxy(self.line_edit)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(SPACE_RELATED)
        row.addWidget(self.line_edit)
        row.addWidget(self._unit)
        row.addWidget(self._converted)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(row)
        column.addWidget(self._sentence)
        # Only now: a part that belongs to nothing yet would be shown as a window of its own.
        self._unit.setVisible(bool(self._unit.text()))
        self._converted.hide()
        self._sentence.hide()
        self._fit_width()

    def _fit_width(self) -> None:
        digits = self.line_edit.fontMetrics().horizontalAdvance("0" * self._characters)
        self.line_edit.setFixedWidth(digits + 24)

    def changeEvent(self, event: QEvent) -> None:
        """Keep the width of the field to its characters when the font changes."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._fit_width()

    # what the caller sets and reads

    def set_name(self, name: str) -> None:
        """Give the field its accessible name."""
        self.line_edit.setAccessibleName(name)

    def set_unit(self, unit: str) -> None:
        """Write another unit after the field."""
        self._unit.setText(unit)
        self._unit.setVisible(bool(unit))

    def set_large(self) -> None:
        """Write larger, where the field is the answer of the page."""
        set_role(self.line_edit, "large")
        self._fit_width()

    def set_read_only(self, *, read_only: bool) -> None:
        """Let the value be read but not typed."""
        self.line_edit.setReadOnly(read_only)

    def value(self) -> object:
        """Return the last value committed or set; None where there is none."""
        return self._value

    def set_value(self, value: object) -> None:
        """Show a value without announcing it; None empties the field."""
        self._value = value
        self.line_edit.setText("" if value is None else self._show(value))
        self._show_converted(value)
        self.set_problem("")

    def problem(self) -> str:
        """Return the sentence below the field; '' when all is well."""
        return self._problem

    def set_problem(self, sentence: str) -> None:
        """Show a sentence below the field, or take it away with ''."""
        if sentence == self._problem:
            return
        self._problem = sentence
        self._sentence.setText(sentence)
        self._sentence.setVisible(bool(sentence))
        self.line_edit.setProperty("wrong", "true" if sentence else "false")
        self.line_edit.setAccessibleDescription(sentence)
        redress(self.line_edit)
        self.problem_changed.emit(sentence)

    def sentence_label(self) -> QLabel:
        """Return the label below the field, for a form that places it elsewhere."""
        return self._sentence

    # what the user does

    def commit(self) -> bool:
        """Read the text; announce the value if it is a new one. False where it cannot be read."""
        text = self.line_edit.text().strip()
        try:
            value = self._parse(text) if text else None
        except ValueError as error:
            self.set_problem(said(str(error)))
            return False
        changed = value != self._value
        self.set_value(value)
        if changed:
            self.value_entered.emit(value)
        return True

    def revert(self) -> None:
        """Bring back the last value."""
        self.set_value(self._value)
        self.line_edit.selectAll()

    def _on_text_edited(self, text: str) -> None:
        self.set_problem("")
        self._show_converted(self._readable(text))
        self.text_edited.emit(text)

    def _readable(self, text: str) -> object:
        """Value of a text half typed, or None while it cannot be read yet."""
        try:
            return self._parse(text.strip()) if text.strip() else None
        except ValueError:
            return None

    def _show_converted(self, value: object) -> None:
        text = self._convert(value) if self._convert is not None and value is not None else ""
        self._converted.setText(text)
        self._converted.setVisible(bool(text))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Bring back the last value on Esc; commit when the focus leaves for another field."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() == Qt.Key.Key_Escape and self._differs():
                self.revert()
                return True
        elif isinstance(event, QFocusEvent) and event.type() == QEvent.Type.FocusOut:
            passing = {Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason}
            if event.reason() not in passing and self._differs():
                self.commit()
        return super().eventFilter(watched, event)

    def _differs(self) -> bool:
        """Whether what stands in the field is not what was last committed."""
        shown = "" if self._value is None else self._show(self._value)
        return self.line_edit.text() != shown
