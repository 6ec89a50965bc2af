"""A range as a bar beside its number: pale from low to high, a dot at the likely value.

`paint_range_bar` serves delegates as well, which paint hundreds of rows; `RangeBar` is the widget.
All bars of a column share one axis, so that lengths can be compared down the page.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.domain.record import dataclass
from workbench.window.palette import Palette
from workbench.window.texts import tr
from workbench.window.widgets.surroundings import palette_of, qcolor, row_height


@dataclass(frozen=True, slots=True)
class Range:
    """Low, likely and high of one figure, in the unit of its axis."""

    low: float
    likely: float
    high: float


def place_on_axis(value: float, axis: tuple[float, float], rect: QRectF) -> float:
    """Horizontal place of a value on an axis laid along a rectangle, held inside it."""
    low, high = axis
    share = (value - low) / (high - low) if high > low else 0.0
    return rect.left() + rect.width() * min(max(share, 0.0), 1.0)


def paint_range_bar(
    painter: QPainter,
    rect: QRectF,
    span: Range,
    axis: tuple[float, float],
    *,
    colour: str,
    palette: Palette,
    ground: str = "",
) -> None:
    """Paint the bar of a range in the vertical middle of a rectangle.

    Parameters
    ----------
    axis
        Values at the left and right edge.
    colour
        Colour of the dot, '#RRGGBB'; the bar is a tint of it.
    ground
        Colour the bar lies on; the panel where '' is given.
    """
    thick = rect.height() * (0.3 if rect.height() < 20 else 0.21)
    dot = thick * 0.62
    inner = rect.adjusted(dot, 0, -dot, 0)
    left, right = (place_on_axis(value, axis, inner) for value in (span.low, span.high))
    middle = rect.center().y()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    if right - left > 1.0:
        painter.setBrush(qcolor(palette.tint(colour, 0.34) if not ground else colour, 1.0))
        if ground:
            painter.setBrush(qcolor(colour, 0.34))
        bar = QRectF(left, middle - thick / 2, right - left, thick)
        painter.drawRoundedRect(bar, thick / 2, thick / 2)
    painter.setBrush(qcolor(colour))
    painter.drawEllipse(QPointF(place_on_axis(span.likely, axis, inner), middle), dot, dot)
    painter.restore()


class RangeBar(QWidget):
    """The bar of one range.

    Parameters
    ----------
    span, axis
        The range, and the values at the left and right edge; None shows nothing.
    role
        Colour by role of the palette: 'due', 'worn', 'quiet', 'accent' ...
    words
        The range in words, for reading out and as tooltip, such as '740 to 1,450'.
    """

    def __init__(
        self,
        span: Range | None = None,
        axis: tuple[float, float] = (0.0, 1.0),
        *,
        role: str = "quiet",
        words: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.set_range(span, axis, role=role, words=words)

    def set_range(
        self,
        span: Range | None,
        axis: tuple[float, float],
        *,
        role: str = "quiet",
        words: str = "",
    ) -> None:
        """Show another range."""
        self._span, self._axis, self._role = span, axis, role
        self.setAccessibleName(f"{tr('range')} {words}" if words else tr("range"))
        self.setToolTip(words)
        self.update()

    def sizeHint(self) -> QSize:
        """As high as a row."""
        return QSize(80, row_height(self))

    def minimumSizeHint(self) -> QSize:
        """Still readable as a range."""
        return QSize(40, 12)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the bar."""
        if self._span is None:
            return
        palette = palette_of(self)
        with QPainter(self) as painter:
            paint_range_bar(
                painter,
                QRectF(self.rect()),
                self._span,
                self._axis,
                colour=str(getattr(palette, self._role)),
                palette=palette,
            )
