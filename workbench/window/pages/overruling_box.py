"""Setting a grade by one's own judgement: a reason first, then the grade."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from workbench.domain.vocabulary import Grade
from workbench.window import formatting
from workbench.window.texts import tr
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.surroundings import SPACE_RELATED

_GRADES = (Grade.SOUND, Grade.WORN, Grade.DUE, Grade.UNSAFE, Grade.ABSENT)


class OverrulingBox(QWidget):
    """The two fields of an overruling; hidden until it is asked for.

    Signals
    -------
    decided(grade, reason)
        A grade was chosen.
    """

    decided = Signal(object, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.reason = QLineEdit()
        self.reason.setPlaceholderText(tr("Why the rule does not hold here"))
        self.reason.setAccessibleName(tr("Reason for overruling"))
        self.grade = ChoiceRow(
            [(grade.value, formatting.grade_word(grade)) for grade in _GRADES],
            name=tr("Grade by your own judgement"),
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(self.reason)
        column.addWidget(self.grade)
        self.grade.chosen.connect(self._on_chosen)
        self.hide()

    def _on_chosen(self, key: object) -> None:
        if key is not None:
            self.decided.emit(Grade(str(key)), self.reason.text())

    def take_back(self, *, clear: bool) -> None:
        """No grade is chosen any more; with `clear` the reason goes and the box closes."""
        self.grade.set_choice(None)
        if clear:
            self.reason.clear()
            self.hide()
