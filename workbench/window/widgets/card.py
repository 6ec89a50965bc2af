"""A card that can be chosen, such as one boat of the shortlist; what lies on it is the caller's."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QFrame, QSizePolicy, QVBoxLayout, QWidget

from workbench.window.texts import tr
from workbench.window.widgets.surroundings import SPACE_TIGHT, redress


class Card(QFrame):
    """A sheet with rounded corners; the chosen one of several has an accent outline.

    Parameters
    ----------
    key
        By which the caller knows the card.
    name
        Accessible name, such as the boat's.

    Signals
    -------
    chosen(key)
        The card was clicked, or chosen with Enter or Space.
    """

    chosen = Signal(object)

    def __init__(self, key: object, *, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.key = key
        self._chosen = False
        self.setProperty("surface", "card")
        self.setProperty("chosen", "false")
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(12, 10, 12, 10)
        self.column.setSpacing(SPACE_TIGHT)

    @property
    def is_chosen(self) -> bool:
        """Whether this is the chosen card."""
        return self._chosen

    def set_chosen(self, *, chosen: bool) -> None:
        """Mark the card as the chosen one or not, without announcing it."""
        if chosen == self._chosen:
            return
        self._chosen = chosen
        self.setProperty("chosen", "true" if chosen else "false")
        self.setAccessibleDescription(tr("chosen") if chosen else "")
        redress(self)

    def minimumSizeHint(self) -> QSize:
        """As narrow as its contents can be."""
        return self.column.minimumSize()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Choose the card where the pointer is let go on it."""
        if event.button() == Qt.MouseButton.LeftButton and self.rect().contains(
            event.position().toPoint()
        ):
            self.chosen.emit(self.key)
        super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose with Enter or Space."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}:
            self.chosen.emit(self.key)
        else:
            super().keyPressEvent(event)
