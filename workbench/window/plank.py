"""The grade mark: a small plank whose shape says the grade before its colour does.

A sound plank is whole; a worn one has a notch in its lower edge; one that is due is split in two;
of an unsafe one the right half has fallen; what nobody saw is a dashed outline; what is not fitted
is a hairline. The mark is 14 x 8 units with corners of 2, and 3 more units below for what falls.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from workbench.window.palette import GRADES, Palette
from workbench.window.texts import tr

UNITS_WIDE = 14.0
UNITS_HIGH = 8.0
CORNER = 2.0
GAP = 2.0
FALL = 3.0


def grade_word(grade: str) -> str:
    """Return the grade's word in the language of the window."""
    return tr("absent") if grade == "absent" else tr(grade)


def mark_size(height: float) -> tuple[float, float]:
    """Width and height of a mark whose plank is `height` high, room for the fall included."""
    unit = height / UNITS_HIGH
    return UNITS_WIDE * unit, (UNITS_HIGH + FALL) * unit


def _plank() -> QPainterPath:
    path = QPainterPath()
    path.addRoundedRect(QRectF(0, 0, UNITS_WIDE, UNITS_HIGH), CORNER, CORNER)
    return path


def _notched() -> QPainterPath:
    notch = QPainterPath()
    corners = [QPointF(4.2, 8.5), QPointF(5.8, 4.2), QPointF(8.2, 4.2), QPointF(9.8, 8.5)]
    notch.addPolygon(QPolygonF(corners))
    notch.closeSubpath()
    return _plank().subtracted(notch)


def _halves() -> tuple[QPainterPath, QPainterPath]:
    """Cut the plank askew, leaving a gap of two units, so that it reads as broken, not as two."""
    middle, lean = UNITS_WIDE / 2, 0.9
    crack = QPainterPath()
    corners = [
        QPointF(middle - GAP / 2 + lean, -1),
        QPointF(middle + GAP / 2 + lean, -1),
        QPointF(middle + GAP / 2 - lean, UNITS_HIGH + 1),
        QPointF(middle - GAP / 2 - lean, UNITS_HIGH + 1),
    ]
    crack.addPolygon(QPolygonF(corners))
    crack.closeSubpath()
    rest = _plank().subtracted(crack)
    left, right = QPainterPath(), QPainterPath()
    left.addRect(QRectF(-1, -1, middle + 1, UNITS_HIGH + 2))
    right.addRect(QRectF(middle, -1, middle + 1, UNITS_HIGH + 2))
    return rest.intersected(left.subtracted(crack)), rest.intersected(right.subtracted(crack))


_WHOLE = _plank()
_NOTCHED = _notched()
_LEFT, _RIGHT = _halves()


def _paint_shape(painter: QPainter, grade: str, colour: QColor) -> None:
    """Draw the mark in units, the origin at the upper left of the plank."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    if grade == "sound":
        painter.drawPath(_WHOLE)
    elif grade == "worn":
        painter.drawPath(_NOTCHED)
    elif grade in {"due", "unsafe"}:
        painter.drawPath(_LEFT)
        if grade == "unsafe":
            painter.translate(UNITS_WIDE - 3.9, FALL + 4.0)
            painter.rotate(14)
            painter.translate(3.5 - UNITS_WIDE, -4.0)
        painter.drawPath(_RIGHT)
    elif grade == "unseen":
        pen = QPen(colour, 1.1)
        pen.setDashPattern([2.0, 1.3])
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(
            QRectF(0.55, 0.55, UNITS_WIDE - 1.1, UNITS_HIGH - 1.1), CORNER - 0.3, CORNER - 0.3
        )
    else:
        painter.drawRect(QRectF(0, UNITS_HIGH / 2 - 0.4, UNITS_WIDE, 0.8))


def paint_grade(painter: QPainter, rect: QRectF, grade: str, palette: Palette) -> None:
    """Paint the mark of a grade as large as fits, in the middle of a rectangle.

    Parameters
    ----------
    rect
        Where the mark may lie; the plank keeps its proportions, the fallen half may reach below.
    grade
        One of `GRADES`.

    Raises
    ------
    KeyError
        For a word that is no grade.
    """
    colour = QColor(palette.grade(grade))
    unit = min(rect.width() / UNITS_WIDE, rect.height() / UNITS_HIGH)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(
        rect.center().x() - UNITS_WIDE * unit / 2, rect.center().y() - UNITS_HIGH * unit / 2
    )
    painter.scale(unit, unit)
    _paint_shape(painter, grade, colour)
    painter.restore()


def grade_pixmap(grade: str, palette: Palette, size: QSize, ratio: float = 1.0) -> QPixmap:
    """Return a transparent picture of a mark, `size` in device-independent pixels."""
    pixmap = QPixmap(size * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    with QPainter(pixmap) as painter:
        width = float(size.width())
        height = min(float(size.height()), width * UNITS_HIGH / UNITS_WIDE)
        paint_grade(painter, QRectF(0, (size.height() - height) / 2, width, height), grade, palette)
    return pixmap


def grade_icon(grade: str, palette: Palette, size: int = 16) -> QIcon:
    """Return an icon of a mark, sharp at one to three pixels per unit of the screen."""
    icon = QIcon()
    for ratio in (1.0, 2.0, 3.0):
        icon.addPixmap(grade_pixmap(grade, palette, QSize(size, size), ratio))
    return icon


__all__ = ["GRADES", "grade_icon", "grade_pixmap", "grade_word", "mark_size", "paint_grade"]
