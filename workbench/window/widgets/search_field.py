"""A field to find things with: announces what is sought once the typing rests for a moment."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLineEdit, QWidget

from workbench.window.texts import tr
from workbench.window.widgets.surroundings import palette_of, qcolor, scale_of

REST_MS = 150
"""How long the typing rests before the search starts [ms]."""


class SearchField(QLineEdit):
    """A line edit with a lens, a clear button, and a pause before it searches.

    Signals
    -------
    searched(text)
        The words sought, without blanks at the ends; '' when the field was cleared.
    left_downwards()
        The Down key: the focus should go to the results.
    """

    searched = Signal(str)
    left_downwards = Signal()

    def __init__(self, placeholder: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setPlaceholderText(placeholder or tr("Find anything"))
        self.setAccessibleName(self.placeholderText())
        self.setClearButtonEnabled(True)
        self._announced = ""
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._announce)
        self.textChanged.connect(self._on_text_changed)
        self.returnPressed.connect(self._announce)

    def _on_text_changed(self, text: str) -> None:
        if text:
            self._rest.start()
        else:
            self._announce()

    def _announce(self) -> None:
        self._rest.stop()
        sought = self.text().strip()
        if sought != self._announced:
            self._announced = sought
            self.searched.emit(sought)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Clear on Esc, leave downwards on Down."""
        if event.key() == Qt.Key.Key_Escape and self.text():
            self.clear()
        elif event.key() == Qt.Key.Key_Down:
            self._announce()
            self.left_downwards.emit()
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        """Keep room for the lens as the text grows."""
        if event.type() in {QEvent.Type.Polish, QEvent.Type.FontChange}:
            self.setTextMargins(round(20 * scale_of(self)), 0, 0, 0)
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the field, then the lens."""
        super().paintEvent(event)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(qcolor(palette_of(self).quiet), 1.4))
            painter.translate(8, self.height() / 2)
            painter.scale(scale_of(self), scale_of(self))
            painter.drawEllipse(QRectF(1.5, -5.5, 8, 8))
            painter.drawLine(QPointF(8.6, 1.6), QPointF(12, 5))
