"""Says when a window has been painted for the first time, so that slow work may begin behind it.

    FirstPaint(part, then)

`part` is any widget of the window that is certainly shown. What is not needed for the first picture
(figures, the watch on the folder, autosave) begins then: work that runs beside the window takes the
interpreter in turns with it, and would otherwise make the first picture late.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QWidget


class FirstPaint(QObject):
    """Calls `then` once, in the turn of the event loop after `part` was first painted."""

    def __init__(self, part: QWidget, then: Callable[[], None]) -> None:
        super().__init__(part)
        self._part, self._then = part, then
        part.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Wait for the first painting; nothing is held back."""
        if event.type() == QEvent.Type.Paint and watched is self._part:
            self._part.removeEventFilter(self)
            QTimer.singleShot(0, self, self._then)
        return False
