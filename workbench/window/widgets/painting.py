"""Small strokes that several widgets share: focus ring, hairline, text cut or wrapped."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from workbench.window.palette import Palette
from workbench.window.widgets.surroundings import RADIUS, qcolor

LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


def paint_focus_ring(
    painter: QPainter, rect: QRectF, palette: Palette, radius: float = RADIUS
) -> None:
    """Draw the two-pixel ring of the keyboard focus just inside a rectangle."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(qcolor(palette.accent), 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(rect.adjusted(1, 1, -1, -1), radius, radius)
    painter.restore()


def paint_hairline(painter: QPainter, start: QPointF, end: QPointF, colour: str) -> None:
    """Draw a line one pixel wide, sharp because it lies on the pixel."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    painter.setPen(QPen(qcolor(colour), 1.0))
    painter.drawLine(start, end)
    painter.restore()


def paint_text(
    painter: QPainter,
    rect: QRectF,
    text: str,
    font: QFont,
    colour: str,
    *,
    alignment: Qt.AlignmentFlag = LEFT,
) -> None:
    """Write one line into a rectangle, cut at the right with an ellipsis where it does not fit."""
    painter.setFont(font)
    painter.setPen(qcolor(colour))
    metrics = QFontMetricsF(font)
    fitting = metrics.elidedText(text, Qt.TextElideMode.ElideRight, rect.width() + 0.5)
    painter.drawText(rect, int(alignment | Qt.TextFlag.TextSingleLine), fitting)


def text_width(text: str, font: QFont) -> float:
    """Width of one line of text [device-independent pixels]."""
    return QFontMetricsF(font).horizontalAdvance(text)


def wrapped_height(text: str, font: QFont, width: float) -> float:
    """Height of text wrapped at a width [device-independent pixels]; 0 for no text."""
    if not text:
        return 0.0
    room = QRectF(0, 0, max(width, 1.0), 1e6)
    flags = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)
    return QFontMetricsF(font).boundingRect(room, flags, text).height()


def paint_wrapped(painter: QPainter, rect: QRectF, text: str, font: QFont, colour: str) -> None:
    """Write text into a rectangle from its upper left, wrapped at its width."""
    painter.setFont(font)
    painter.setPen(qcolor(colour))
    flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
    painter.drawText(rect, int(flags), text)
