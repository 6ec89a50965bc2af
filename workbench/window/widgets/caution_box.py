"""A caution in a ruled box at the very place where it matters: a bar of ink, bold first words."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy, QVBoxLayout, QWidget

from workbench.window.texts import tr
from workbench.window.widgets.surroundings import palette_of, qcolor, show_part


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


class CautionBox(QFrame):
    """One caution, wrapped at the width it has.

    Parameters
    ----------
    text
        The caution in full sentences; '' hides the box.
    lead
        The bold words before it.
    """

    def __init__(self, text: str = "", *, lead: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lead = lead or tr("Take care.")
        self._label = QLabel()
        self._label.setWordWrap(True)
        self._label.setTextFormat(Qt.TextFormat.RichText)
        self._label.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 8, 12, 8)
        column.addWidget(self._label)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_text(text)

    def set_text(self, text: str) -> None:
        """Show another caution; '' hides the box."""
        self._label.setText(f"<b>{_escaped(self._lead)}</b> {_escaped(text)}")
        whole = f"{self._lead} {text}"
        self._label.setAccessibleName(whole)
        self.setAccessibleName(whole)
        show_part(self, shown=bool(text))

    def sizeHint(self) -> QSize:
        """A line length that reads well; the height follows from the width."""
        width = 28 * self.fontMetrics().averageCharWidth()
        return QSize(width, self.heightForWidth(width))

    def changeEvent(self, event: QEvent) -> None:
        """Repaint when the appearance changes."""
        super().changeEvent(event)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint ground, rule and bar."""
        palette = palette_of(self)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            rect = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
            painter.setBrush(qcolor(palette.caution))
            painter.setPen(QPen(qcolor(palette.caution_line), 1.0))
            painter.drawRoundedRect(rect, 2, 2)
            painter.fillRect(QRectF(0, 0, 3, self.height()), qcolor(palette.text))
