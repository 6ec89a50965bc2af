"""Paragraphs of the offer sheet in the buyer's own words, each with what the program would say."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QHBoxLayout, QPlainTextEdit, QVBoxLayout, QWidget

from workbench.edits.costing import set_wording
from workbench.window.models.sheet_words import Paragraph
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT


class ParagraphField(QWidget):
    """One paragraph to be put in other words.

    Signals
    -------
    words_entered(text)
        Other words; '' for the program's own.
    """

    words_entered = Signal(str)

    def __init__(self, paragraph: Paragraph, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.paragraph = paragraph
        self.edit = QPlainTextEdit()
        what = said(paragraph.what)
        self.edit.setAccessibleName(what)
        self.edit.setTabChangesFocus(True)
        self.edit.installEventFilter(self)
        self.own = label(tr("your words"), "small")
        self.reset_button = button(tr("Back to the program's words"), "link")
        self.reset_button.clicked.connect(lambda _=False: self.words_entered.emit(""))
        head = QHBoxLayout()
        head.setSpacing(SPACE_RELATED)
        self.title = label(what[:1].upper() + what[1:], "quiet", wrap=True)
        self.title.setBuddy(self.edit)
        head.addWidget(self.title, 1)
        head.addWidget(self.own)
        head.addWidget(self.reset_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addLayout(head)
        column.addWidget(self.edit)
        self.show_paragraph(paragraph)

    def show_paragraph(self, paragraph: Paragraph) -> None:
        """Show other words, unless the user is typing."""
        self.paragraph = paragraph
        self.own.setVisible(bool(paragraph.own))
        self.reset_button.setVisible(bool(paragraph.own))
        self.edit.setPlaceholderText(tr("Nothing stands there without it."))
        shown = paragraph.own or paragraph.usual
        if not self.edit.hasFocus() and self.edit.toPlainText() != shown:
            self.edit.setPlainText(shown)
        lines = min(sum(len(line) // 54 + 1 for line in shown.split("\n")) + 1, 9)
        self.edit.setFixedHeight(self.edit.fontMetrics().lineSpacing() * max(lines, 2) + 14)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the words when the focus leaves for another field."""
        passing = {Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason}
        if (
            watched is self.edit
            and isinstance(event, QFocusEvent)
            and event.type() == QEvent.Type.FocusOut
            and event.reason() not in passing
        ):
            self.commit()
        return super().eventFilter(watched, event)

    def commit(self) -> None:
        """Announce the words where they differ from those that stand there."""
        text = self.edit.toPlainText().strip()
        own = "" if text == self.paragraph.usual else text
        if own != self.paragraph.own:
            self.words_entered.emit(own)


class OfferWords(QWidget):
    """All paragraphs that can be put in other words."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.fields: dict[str, ParagraphField] = {}
        self.problem = label("", "problem", wrap=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(SPACE_GROUPS)
        self._column.addWidget(SectionHeader(tr("Words on the sheet")))
        self._column.addWidget(
            label(
                tr(
                    "Sums, tables and the box that says what the sheet is stay as they are. "
                    "Nothing of your budget or your limit belongs here."
                ),
                "quiet",
                wrap=True,
            )
        )
        self._column.addWidget(self.problem)
        self._column.addStretch(1)
        self.problem.hide()

    def show_paragraphs(self, paragraphs: tuple[Paragraph, ...]) -> None:
        """Show the paragraphs of another boat, or the same with other words."""
        if list(self.fields) != [one.id for one in paragraphs]:
            for field in self.fields.values():
                self._column.removeWidget(field)
                field.deleteLater()
            self.fields = {}
            for one in paragraphs:
                field = ParagraphField(one)
                field.words_entered.connect(lambda text, key=one.id: self._on_words(key, text))
                self._column.insertWidget(self._column.count() - 1, field)
                self.fields[one.id] = field
            return
        for one in paragraphs:
            self.fields[one.id].show_paragraph(one)

    def _on_words(self, key: str, text: str) -> None:
        boat = self._session.boat_id
        refused = self._session.attempt(
            lambda project: set_wording(project, boat, key, text or None)
        )
        self.problem.setText(refused)
        self.problem.setVisible(bool(refused))
