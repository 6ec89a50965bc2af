"""What an empty page says: what belongs here, and the one next step."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from workbench.window.widgets.boat_silhouette import BoatSilhouette, BoatSketch
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    show_part,
)


class EmptyState(QWidget):
    """A sentence or two and one button, in the upper third of the page.

    Parameters
    ----------
    title
        What belongs here, in a few words.
    sentence
        What it is for and how it comes here.
    next_step
        Words of the one button; '' shows none.
    sketch
        A boat to draw above the words; None draws none.

    Signals
    -------
    next_step_requested()
        The button was pressed.
    """

    next_step_requested = Signal()

    def __init__(
        self,
        title: str,
        sentence: str,
        next_step: str = "",
        *,
        sketch: BoatSketch | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._title = label(title, "heading", wrap=True)
        self._sentence = label(sentence, "quiet", wrap=True)
        self.button = button(next_step, "primary")
        self.button.clicked.connect(self.next_step_requested)
        show_part(self.button, shown=bool(next_step))
        column = QVBoxLayout()
        column.setSpacing(SPACE_RELATED)
        if sketch is not None:
            column.addWidget(BoatSilhouette(sketch, height=84), 0, Qt.AlignmentFlag.AlignLeft)
            column.addSpacing(SPACE_GROUPS)
        column.addWidget(self._title)
        column.addWidget(self._sentence)
        column.addSpacing(SPACE_RELATED)
        column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(SPACE_PAGE, SPACE_PAGE, SPACE_PAGE, SPACE_PAGE)
        whole.addStretch(1)
        middle = QHBoxLayout()
        middle.addStretch(1)
        middle.addLayout(column, 4)
        middle.addStretch(1)
        whole.addLayout(middle)
        whole.addStretch(2)
        self.setFocusProxy(self.button)
        self.set_words(title, sentence)

    def set_words(self, title: str, sentence: str) -> None:
        """Say something else."""
        self._title.setText(title)
        self._sentence.setText(sentence)
        self.setAccessibleName(title)
        self.setAccessibleDescription(sentence)
