"""The questions that a file leaves open, each with answers to choose from or a line to write."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLineEdit, QWidget

from workbench.window.texts import tr
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_TIGHT

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.reports.incoming.preview import Question


_WORDS_WIDE = 320


class FileQuestions(QWidget):
    """Questions one below the other; answered ones stay, so that an answer can be changed.

    Those that the file answers by itself show that answer and may be left as they are.

    Signals
    -------
    answered()
        An answer was given or changed.
    """

    answered = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: dict[str, QComboBox | QLineEdit] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(SPACE_GROUPS)
        self._grid.setVerticalSpacing(SPACE_TIGHT)
        self._grid.setColumnStretch(2, 1)
        self.hide()

    def answers(self) -> dict[str, str]:
        """What was answered, by the keys of the questions."""
        said = {key: _said(field) for key, field in self.fields.items()}
        return {key: words for key, words in said.items() if words}

    def clear(self) -> None:
        """Take all questions away, for another file."""
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        self.fields.clear()
        self.hide()

    def add(self, questions: Sequence[Question]) -> None:
        """Show questions that are not shown yet, and put the keyboard into the first of them."""
        new = [one for one in questions if one.key not in self.fields]
        for question in new:
            self._add(question)
        self.setVisible(bool(self.fields))
        asked = [one for one in new if not one.now]
        if asked:
            self.fields[asked[0].key].setFocus()

    def _add(self, question: Question) -> None:
        words = label(question.text, wrap=True)
        words.setMinimumWidth(_WORDS_WIDE)
        field = self._field(question)
        field.setAccessibleName(question.text)
        words.setBuddy(field)
        row = self._grid.rowCount()
        self._grid.addWidget(words, row, 0)
        self._grid.addWidget(field, row, 1)
        self.fields[question.key] = field

    def _field(self, question: Question) -> QComboBox | QLineEdit:
        if not question.choices:
            line = QLineEdit()
            line.setPlaceholderText(tr("Write, then Return"))
            line.editingFinished.connect(self._on_answered)
            return line
        box = QComboBox()
        box.addItem(tr("choose"), "")
        for choice in question.choices:
            box.addItem(choice.words, choice.value)
        if question.now:
            box.removeItem(0)
            box.setCurrentIndex(box.findData(question.now))
        box.activated.connect(lambda _: self._on_answered())
        return box

    def _on_answered(self) -> None:
        self.answered.emit()


def _said(field: QComboBox | QLineEdit) -> str:
    if isinstance(field, QLineEdit):
        return field.text().strip()
    return str(field.currentData() or "")
