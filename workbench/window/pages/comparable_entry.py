"""A line to enter one comparable: title, price, asked or sold, year and length."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable
from workbench.window.models.comparable_fields import BY_FIELD, Field, blank
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_RELATED, scale_of

_ORDER = (Field.TITLE, Field.PRICE, Field.YEAR, Field.LENGTH)
_WIDE = {Field.PRICE: 100, Field.YEAR: 62, Field.LENGTH: 78}


class ComparableEntry(QWidget):
    """Enters one comparable; Enter in any field adds her.

    Signals
    -------
    add_requested(comparable)
        All of it could be read.
    """

    add_requested = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        self.lines: dict[Field, QLineEdit] = {}
        super().__init__(parent)
        self._session = session
        row = QHBoxLayout()
        row.setSpacing(SPACE_RELATED)
        hints = {
            Field.TITLE: tr("A boat that was sold or is advertised"),
            Field.PRICE: tr("price"),
            Field.YEAR: tr("year"),
            Field.LENGTH: tr("length"),
        }
        for field in _ORDER:
            line = QLineEdit()
            line.setPlaceholderText(hints[field])
            line.setAccessibleName(tr("New comparable: {what}").format(what=hints[field]))
            line.returnPressed.connect(self.commit)
            line.textEdited.connect(lambda _: self.say(""))
            self.lines[field] = line
            row.addWidget(line, 0 if field in _WIDE else 1)
        self.asked = QComboBox()
        self.asked.setAccessibleName(tr("New comparable: asked or sold"))
        choices = BY_FIELD[Field.ASKED].choices
        for typed, words in choices() if choices is not None else ():
            self.asked.addItem(words, typed)
        row.insertWidget(2, self.asked)
        self.add_button = button(tr("Add"), "primary")
        row.addWidget(self.add_button)
        self.problem = label("", "problem", wrap=True)
        self.problem.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(row)
        column.addWidget(self.problem)
        self.add_button.clicked.connect(lambda _=False: self.commit())
        self._fit()

    def _fit(self) -> None:
        for field, wide in _WIDE.items():
            if field not in self.lines:
                continue  # the fields are still being made
            self.lines[field].setFixedWidth(round(wide * scale_of(self)))

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the text."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange} and self.lines:
            self._fit()

    def commit(self) -> None:
        """Read the fields; the first that cannot be read gets the focus and its sentence."""
        settings = self._session.project.settings
        made: Comparable = blank(settings)
        for field in _ORDER:
            read = BY_FIELD[field].read
            if read is None:
                continue
            try:
                made = read(made, self.lines[field].text(), settings)
            except EntryError as error:
                self.say(said(str(error)), field)
                return
        read_asked = BY_FIELD[Field.ASKED].read
        if read_asked is not None:
            made = read_asked(made, str(self.asked.currentData()), settings)
        self.add_requested.emit(made)

    def say(self, sentence: str, field: Field | None = None) -> None:
        """Show a sentence below the fields, and mark the field it is about."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
        for one, line in self.lines.items():
            wrong = "true" if sentence and one is field else "false"
            if line.property("wrong") != wrong:
                line.setProperty("wrong", wrong)
                line.style().unpolish(line)
                line.style().polish(line)
            line.setAccessibleDescription(sentence if one is field else "")
        if field is not None and sentence:
            self.lines[field].setFocus(Qt.FocusReason.OtherFocusReason)

    def clear(self) -> None:
        """Make ready for the next one."""
        for line in self.lines.values():
            line.clear()
        self.say("")
        self.lines[Field.TITLE].setFocus(Qt.FocusReason.OtherFocusReason)
