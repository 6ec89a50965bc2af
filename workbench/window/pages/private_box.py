"""A frame around what is for the buyer alone: a dashed outline and words, never colour alone."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from workbench.window.texts import tr
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import (
    RADIUS,
    SPACE_GROUPS,
    SPACE_RELATED,
    SPACE_TIGHT,
    palette_of,
    qcolor,
)


def private_mark() -> QLabel:
    """The words that mark a private figure."""
    made = label(tr("for you alone"), "problem")
    made.setToolTip(tr("Never on a sheet that is handed over. Mind who looks over your shoulder."))
    return made


class PrivateBox(QFrame):
    """Figures that never belong on a page that is handed over.

    Parameters
    ----------
    title
        What the figures are.
    """

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.mark = private_mark()
        self.setAccessibleName(f"{title}, {tr('for you alone')}")
        head = QHBoxLayout()
        head.setSpacing(SPACE_RELATED)
        head.addWidget(label(title, "strong"))
        head.addStretch(1)
        head.addWidget(self.mark)
        self.inner = QVBoxLayout(self)
        self.inner.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        self.inner.setSpacing(SPACE_TIGHT)
        self.inner.addLayout(head)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the ground and the dashed outline."""
        palette = palette_of(self)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            pen = QPen(qcolor(palette.due), 1.2)
            pen.setDashPattern([5.0, 3.0])
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            painter.setBrush(qcolor(palette.panel))
            rect = QRectF(self.rect()).adjusted(0.8, 0.8, -0.8, -0.8)
            painter.drawRoundedRect(rect, RADIUS, RADIUS)
