"""What every chart has: room for its axes, words for its whole, and a tip for each of its marks.

A chart is painted by hand with the window's palette. Its marks can be pointed at, walked through
with the arrow keys once the chart has the focus, and chosen by a click or Enter. Its summary is
read out in place of the picture.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetricsF,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.palette import Palette
from workbench.window.texts import tr
from workbench.window.widgets.chart_axis import Axis
from workbench.window.widgets.painting import paint_focus_ring, paint_hairline
from workbench.window.widgets.surroundings import font_of, palette_of, qcolor, scale_of

Show = Callable[[float], str]
"""Writes a value of an axis."""

REACH = 8.0
"""How near the pointer must come to a mark [device-independent pixels]."""

SERIES = ("accent", "due", "worn", "unsafe", "sound", "quiet")
"""Roles of the palette for several lines of one chart, each with a dash of its own."""

DASHES: tuple[tuple[float, ...], ...] = ((), (6, 3), (2, 2), (8, 3, 2, 3), (12, 4), (1, 3))


@dataclass(frozen=True, slots=True)
class Mark:
    """Something of a chart that can be pointed at: where it lies, what it stands for, its words."""

    place: QRectF
    key: object
    words: str


def series_pen(place: int, palette: Palette, width: float = 2.0) -> QPen:
    """Return the pen of one line of several: colour and dash differ, so either would do."""
    pen = QPen(qcolor(str(getattr(palette, SERIES[place % len(SERIES)]))), width)
    dash = DASHES[place % len(DASHES)]
    if dash:
        pen.setDashPattern([part / width for part in dash])
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen


class Chart(QWidget):
    """The common part of all charts; a chart overrides `marks_in` and `paint_plot`.

    Parameters
    ----------
    name
        Accessible name.
    nothing
        Sentence shown while there is nothing to draw.

    Signals
    -------
    mark_chosen(key)
        A mark was clicked, or chosen with Enter.
    """

    mark_chosen = Signal(object)

    def __init__(self, name: str, *, nothing: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._nothing = nothing or tr("Nothing to draw yet.")
        self._marks: tuple[Mark, ...] = ()
        self._walked: int | None = None
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    # what a chart says of itself

    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return True

    def summary(self) -> str:
        """The chart in a sentence or two, read out in place of the picture."""
        return ""

    def plot_rect(self) -> QRectF:
        """Where the marks lie, inside the axes."""
        return QRectF(self.rect()).adjusted(4, 4, -4, -4)

    def marks_in(self, plot: QRectF) -> tuple[Mark, ...]:
        """Return the marks laid out in the plot."""
        del plot
        return ()

    def paint_plot(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        """Paint axes and marks."""

    def mark_at(self, key: object) -> Mark | None:
        """Return the mark of a key as it lies now, or None."""
        return next((mark for mark in self.marks() if mark.key == key), None)

    def marks(self) -> tuple[Mark, ...]:
        """Return all marks as they lie now."""
        return () if self.is_empty() else self.marks_in(self.plot_rect())

    def refresh(self) -> None:
        """Say the chart anew and paint it, after its data changed."""
        self._walked = None
        self.setAccessibleDescription(self._nothing if self.is_empty() else self.summary())
        self.updateGeometry()
        self.update()

    # painting

    def small_height(self) -> float:
        """Height of a line of small type [device-independent pixels]."""
        return QFontMetricsF(font_of(self, TypeRole.SMALL)).height()

    def small_width(self, text: str) -> float:
        """Width of small type [device-independent pixels]."""
        return QFontMetricsF(font_of(self, TypeRole.SMALL)).horizontalAdvance(text)

    def sizeHint(self) -> QSize:
        """A picture that reads well."""
        return QSize(480, round(260 * scale_of(self)))

    def minimumSizeHint(self) -> QSize:
        """The least that still tells something."""
        return QSize(220, round(120 * scale_of(self)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the chart, the mark under the keys, and the focus ring."""
        palette = palette_of(self)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setFont(font_of(self, TypeRole.SMALL))
            if self.is_empty():
                painter.setPen(qcolor(palette.quiet))
                flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
                room = QRectF(self.rect()).adjusted(8, 8, -8, -8)
                painter.drawText(room, int(flags | Qt.TextFlag.TextWordWrap), self._nothing)
            else:
                self.paint_plot(painter, self.plot_rect(), palette)
                self._paint_walked(painter, palette)
            if self.hasFocus():
                paint_focus_ring(painter, QRectF(self.rect()), palette)

    def _paint_walked(self, painter: QPainter, palette: Palette) -> None:
        marks = self.marks()
        if self._walked is not None and self._walked < len(marks) and self.hasFocus():
            place = marks[self._walked].place.adjusted(-3, -3, 3, 3)
            paint_focus_ring(painter, place, palette, 3)

    def paint_axis_below(
        self, painter: QPainter, plot: QRectF, axis: Axis, show: Show, palette: Palette
    ) -> None:
        """Paint hairlines at the ticks and their figures below the plot."""
        for tick in axis.ticks:
            x = round(plot.left() + axis.share(tick) * plot.width())
            paint_hairline(painter, QPointF(x, plot.top()), QPointF(x, plot.bottom()), palette.line)
            self._write_centred(painter, QPointF(x, plot.bottom() + 3), show(tick), palette)

    def _write_centred(self, painter: QPainter, top: QPointF, text: str, palette: Palette) -> None:
        width = self.small_width(text)
        left = min(max(top.x() - width / 2, 0.0), self.width() - width)
        painter.setPen(qcolor(palette.quiet))
        metrics = QFontMetricsF(font_of(self, TypeRole.SMALL))
        painter.drawText(QPointF(left, top.y() + metrics.ascent()), text)

    def paint_axis_beside(
        self, painter: QPainter, plot: QRectF, axis: Axis, show: Show, palette: Palette
    ) -> None:
        """Paint hairlines at the ticks and their figures at the left of the plot."""
        metrics = QFontMetricsF(font_of(self, TypeRole.SMALL))
        for tick in axis.ticks:
            y = round(plot.bottom() - axis.share(tick) * plot.height())
            paint_hairline(painter, QPointF(plot.left(), y), QPointF(plot.right(), y), palette.line)
            text = show(tick)
            painter.setPen(qcolor(palette.quiet))
            left = plot.left() - 6 - metrics.horizontalAdvance(text)
            painter.drawText(QPointF(left, y + metrics.ascent() / 2 - 1), text)

    # pointing and walking

    def _nearest(self, point: QPointF) -> Mark | None:
        """Return the mark under a point, or the nearest within reach."""
        best: tuple[float, Mark] | None = None
        for mark in self.marks():
            if mark.place.contains(point):
                away = 0.0
            else:
                dx = max(mark.place.left() - point.x(), 0, point.x() - mark.place.right())
                dy = max(mark.place.top() - point.y(), 0, point.y() - mark.place.bottom())
                away = (dx * dx + dy * dy) ** 0.5
            if away <= REACH and (best is None or away < best[0]):
                best = (away, mark)
        return best[1] if best is not None else None

    def event(self, event: QEvent) -> bool:
        """Show the words of the mark under the pointer."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            mark = self._nearest(QPointF(event.pos()))
            if mark is not None:
                QToolTip.showText(event.globalPos(), mark.words, self, mark.place.toRect())
            else:
                QToolTip.hideText()
            return True
        return super().event(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn the pointer into a hand over a mark."""
        over = self._nearest(event.position()) is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor)
        super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Choose the mark that was clicked."""
        mark = self._nearest(event.position())
        if mark is not None and event.button() == Qt.MouseButton.LeftButton:
            self.mark_chosen.emit(mark.key)
        super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk through the marks with the arrows; choose with Enter."""
        forward = {Qt.Key.Key_Right, Qt.Key.Key_Down}
        back = {Qt.Key.Key_Left, Qt.Key.Key_Up}
        marks = self.marks()
        if marks and event.key() in forward | back:
            step = 1 if event.key() in forward else -1
            start = -1 if self._walked is None and step > 0 else (self._walked or 0)
            self._walked = (start + step) % len(marks)
            self._tell(marks[self._walked])
        elif marks and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            if self._walked is not None:
                self.mark_chosen.emit(marks[self._walked].key)
        else:
            super().keyPressEvent(event)

    def _tell(self, mark: Mark) -> None:
        self.setAccessibleDescription(mark.words)
        below = mark.place.bottomLeft().toPoint() + QPoint(0, 4)
        QToolTip.showText(self.mapToGlobal(below), mark.words, self)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Forget the walk."""
        self._walked = None
        self.setAccessibleDescription(self._nothing if self.is_empty() else self.summary())
        super().focusOutEvent(event)
        self.update()
