"""Points with a band: what others asked against age or length, and where this boat would lie."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.palette import Palette
from workbench.window.texts import tr
from workbench.window.widgets.chart_axis import axis_for
from workbench.window.widgets.chart_base import Chart, Mark, Show
from workbench.window.widgets.surroundings import font_of, qcolor


@dataclass(frozen=True, slots=True)
class Point:
    """One point: `own` is the boat in question, `faint` one that is left out of the reckoning."""

    key: object
    label: str
    x: float
    y: float
    own: bool = False
    faint: bool = False


@dataclass(frozen=True, slots=True)
class BandPoint:
    """The band at one place: its middle line and its two edges."""

    x: float
    low: float
    middle: float
    high: float


class ScatterChart(Chart):
    """Points over a band.

    Parameters
    ----------
    show_x, show_y
        Write the values of the two axes.
    name_x, name_y
        What stands on the axes, with the unit, such as 'built in' and 'asked, USD'.
    """

    def __init__(
        self,
        show_x: Show,
        show_y: Show,
        *,
        name_x: str,
        name_y: str,
        name: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(name or f"{name_y}, {name_x}", parent=parent)
        self._show_x, self._show_y = show_x, show_y
        self._name_x, self._name_y = name_x, name_y
        self._points: tuple[Point, ...] = ()
        self._band: tuple[BandPoint, ...] = ()
        self._axis_x = self._axis_y = axis_for(())

    def set_points(self, points: Sequence[Point], band: Sequence[BandPoint] = ()) -> None:
        """Draw other points; the band's places rise from left to right."""
        self._points, self._band = tuple(points), tuple(band)
        self._axis_x = axis_for((*(p.x for p in points), *(b.x for b in band)), from_zero=False)
        heights = [*(p.y for p in points), *(b.high for b in band), *(b.low for b in band)]
        self._axis_y = axis_for(heights)
        self.refresh()

    def is_empty(self) -> bool:
        """Whether there is no point."""
        return not self._points

    def summary(self) -> str:
        """Count the points and say where the boat in question lies."""
        others = sum(not point.own for point in self._points)
        said = [f"{others} {tr('boats to compare with.')}"]
        said += [
            f"{point.label}: {self._name_x} {self._show_x(point.x)}, "
            f"{self._name_y} {self._show_y(point.y)}."
            for point in self._points
            if point.own
        ]
        return " ".join(said)

    def plot_rect(self) -> QRectF:
        """Room at the left and below for figures, above for the name of the upright axis."""
        left = max(self.small_width(self._show_y(tick)) for tick in self._axis_y.ticks) + 16
        line = self.small_height()
        return QRectF(left, line + 14, self.width() - left - 20, self.height() - 3 * line - 26)

    def _at(self, plot: QRectF, x: float, y: float) -> QPointF:
        return QPointF(
            plot.left() + self._axis_x.share(x) * plot.width(),
            plot.bottom() - self._axis_y.share(y) * plot.height(),
        )

    def marks_in(self, plot: QRectF) -> tuple[Mark, ...]:
        """One mark for each point."""
        marks: list[Mark] = []
        for point in self._points:
            centre = self._at(plot, point.x, point.y)
            words = (
                f"{point.label}\n{self._name_x} {self._show_x(point.x)}\n"
                f"{self._name_y} {self._show_y(point.y)}"
            )
            marks.append(Mark(QRectF(centre.x() - 5, centre.y() - 5, 10, 10), point.key, words))
        return tuple(marks)

    def paint_plot(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        """Paint axes with their names, the band, then the points."""
        self.paint_axis_beside(painter, plot, self._axis_y, self._show_y, palette)
        self.paint_axis_below(painter, plot, self._axis_x, self._show_x, palette)
        metrics = QFontMetricsF(font_of(self, TypeRole.SMALL))
        painter.setPen(qcolor(palette.quiet))
        painter.drawText(QPointF(8, 6 + metrics.ascent()), self._name_y)
        below = plot.bottom() + 5 + 2 * metrics.height() - metrics.descent()
        right = plot.right() - metrics.horizontalAdvance(self._name_x)
        painter.drawText(QPointF(right, below), self._name_x)
        self._paint_band(painter, plot, palette)
        for point in sorted(self._points, key=lambda point: point.own):
            self._paint_point(painter, plot, point, palette)

    def _paint_band(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        if len(self._band) < 2:
            return
        upper = [self._at(plot, place.x, place.high) for place in self._band]
        lower = [self._at(plot, place.x, place.low) for place in reversed(self._band)]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(qcolor(palette.accent, 0.13))
        painter.drawPolygon(QPolygonF(upper + lower))
        painter.setPen(QPen(qcolor(palette.accent), 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        middle = [self._at(plot, place.x, place.middle) for place in self._band]
        painter.drawPolyline(QPolygonF(middle))

    def _paint_point(self, painter: QPainter, plot: QRectF, point: Point, palette: Palette) -> None:
        """Others are rings, the boat in question a filled diamond with her name."""
        centre = self._at(plot, point.x, point.y)
        if not point.own:
            ink = palette.tint(palette.quiet, 0.5) if point.faint else palette.quiet
            pen = QPen(qcolor(ink), 1.5)
            if point.faint:
                pen.setDashPattern([1.6, 1.4])
            painter.setPen(pen)
            painter.setBrush(qcolor(palette.panel))
            painter.drawEllipse(centre, 4, 4)
            return
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(qcolor(palette.due))
        x, y = centre.x(), centre.y()
        corners = [QPointF(x, y - 6), QPointF(x + 6, y), QPointF(x, y + 6), QPointF(x - 6, y)]
        painter.drawPolygon(QPolygonF(corners))
        self._write_name(painter, plot, centre, point.label, palette)

    def _write_name(
        self, painter: QPainter, plot: QRectF, centre: QPointF, name: str, palette: Palette
    ) -> None:
        """Write a name beside a point, with a rim of the ground so that lines do not cross it."""
        width = self.small_width(name)
        fits = centre.x() + 9 + width < plot.right()
        left = centre.x() + 9 if fits else centre.x() - 9 - width
        path = QPainterPath()
        path.addText(QPointF(left, centre.y() - 7), font_of(self, TypeRole.SMALL), name)
        painter.strokePath(path, QPen(qcolor(palette.panel, 0.85), 4))
        painter.setPen(qcolor(palette.text))
        painter.drawText(QPointF(left, centre.y() - 7), name)
