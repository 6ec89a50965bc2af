"""S-curves: for each boat the chance to stay under a sum, with the budget as an upright line."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QWidget

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.palette import Palette
from workbench.window.texts import tr
from workbench.window.widgets.chart_axis import Axis, axis_for
from workbench.window.widgets.chart_base import Chart, Mark, Show, series_pen
from workbench.window.widgets.surroundings import font_of, qcolor

CHANCES = Axis(0.0, 1.0, (0.0, 0.2, 0.5, 0.8, 1.0))


@dataclass(frozen=True, slots=True)
class Curve:
    """One boat: her name, and pairs of (sum, chance to stay at or under it), rising in both."""

    key: object
    label: str
    points: tuple[tuple[float, float], ...]

    def chance_under(self, amount: float) -> float:
        """Chance to stay at or under a sum, read off the curve between its points, 0 to 1."""
        before: tuple[float, float] | None = None
        for x, chance in self.points:
            if x >= amount:
                if before is None:
                    return chance if x == amount else 0.0
                share = (amount - before[0]) / (x - before[0]) if x > before[0] else 1.0
                return before[1] + share * (chance - before[1])
            before = (x, chance)
        return before[1] if before is not None else 0.0

    def amount_at(self, chance: float) -> float:
        """Sum that is kept with a chance, read off the curve between its points."""
        before = self.points[0]
        for x, reached in self.points:
            if reached >= chance:
                rise = reached - before[1]
                share = (chance - before[1]) / rise if rise > 0 else 1.0
                return before[0] + share * (x - before[0])
            before = (x, reached)
        return self.points[-1][0]


def percent(chance: float) -> str:
    """Write a chance as whole hundredths."""
    return f"{chance * 100:.0f} %"


class CurvesChart(Chart):
    """Chances to stay under a sum, boat by boat.

    Parameters
    ----------
    show
        Writes an amount as the project writes money.
    """

    def __init__(self, show: Show, *, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(name or tr("Chance to stay under a sum"), parent=parent)
        self._show = show
        self._curves: tuple[Curve, ...] = ()
        self._budget: float | None = None
        self._axis = axis_for(())

    def set_curves(self, curves: Sequence[Curve], budget: float | None = None) -> None:
        """Draw other curves; a curve without points is left out."""
        self._curves = tuple(curve for curve in curves if curve.points)
        self._budget = budget
        sums = [x for curve in self._curves for x, _chance in curve.points]
        if budget is not None:
            sums.append(budget)
        self._axis = axis_for(sums, from_zero=False)
        self.refresh()

    def is_empty(self) -> bool:
        """Whether there is no curve."""
        return not self._curves

    def summary(self) -> str:
        """Say each boat's chance inside the budget, or her middle sum where there is none."""
        if self._budget is None:
            said = (f"{curve.label} {self._show(curve.amount_at(0.5))}" for curve in self._curves)
            return f"{tr('One chance in two to stay under:')} {'; '.join(said)}."
        said = (
            f"{curve.label} {percent(curve.chance_under(self._budget))}" for curve in self._curves
        )
        lead = tr("Chance to stay under the budget of")
        return f"{lead} {self._show(self._budget)}: {'; '.join(said)}."

    def plot_rect(self) -> QRectF:
        """Room at the left for chances, below for sums, above for the names of the lines."""
        left = self.small_width("100 %") + 18
        lines = self.small_height() * self._legend_lines(self.width() - left - 26) + 8
        below = self.small_height() + 8
        return QRectF(left, 6 + lines, self.width() - left - 26, self.height() - 12 - lines - below)

    def _legend_widths(self) -> tuple[float, ...]:
        return tuple(self.small_width(curve.label) + 44 for curve in self._curves)

    def _legend_lines(self, room: float) -> int:
        lines, left = 1, 0.0
        for width in self._legend_widths():
            if left > 0 and left + width > room:
                lines, left = lines + 1, 0.0
            left += width
        return lines

    def _point(self, plot: QRectF, x: float, chance: float) -> QPointF:
        return QPointF(
            plot.left() + self._axis.share(x) * plot.width(),
            plot.bottom() - CHANCES.share(chance) * plot.height(),
        )

    def marks_in(self, plot: QRectF) -> tuple[Mark, ...]:
        """Marks at one chance in two and four in five of each curve."""
        marks: list[Mark] = []
        for curve in self._curves:
            for chance in (0.5, 0.8):
                amount = curve.amount_at(chance)
                point = self._point(plot, amount, chance)
                place = QRectF(point.x() - 4, point.y() - 4, 8, 8)
                words = (
                    f"{curve.label}\n{percent(chance)} {tr('to stay under')} {self._show(amount)}"
                )
                marks.append(Mark(place, curve.key, words))
        return tuple(marks)

    def paint_plot(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        """Paint axes, names, budget and curves."""
        self.paint_axis_below(painter, plot, self._axis, self._show, palette)
        self.paint_axis_beside(painter, plot, CHANCES, percent, palette)
        self._paint_legend(painter, plot, palette)
        self._paint_budget(painter, plot, palette)
        for place, curve in enumerate(self._curves):
            path = QPainterPath(self._point(plot, *curve.points[0]))
            for x, chance in curve.points[1:]:
                path.lineTo(self._point(plot, x, chance))
            painter.setPen(series_pen(place, palette))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(path)
            painter.setBrush(qcolor(palette.panel))
            painter.setPen(QPen(series_pen(place, palette).color(), 1.6))
            for chance in (0.5, 0.8):
                painter.drawEllipse(self._point(plot, curve.amount_at(chance), chance), 3, 3)

    def _paint_legend(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        metrics = QFontMetricsF(font_of(self, TypeRole.SMALL))
        left, top = plot.left(), 4.0
        for place, (curve, width) in enumerate(
            zip(self._curves, self._legend_widths(), strict=True)
        ):
            if left > plot.left() and left + width > plot.right() + 1:
                left, top = plot.left(), top + metrics.height()
            middle = top + metrics.height() / 2
            painter.setPen(series_pen(place, palette))
            painter.drawLine(QPointF(left, middle), QPointF(left + 22, middle))
            painter.setPen(qcolor(palette.text))
            painter.drawText(QPointF(left + 28, top + metrics.ascent()), curve.label)
            left += width

    def _paint_budget(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        if self._budget is None:
            return
        x = round(plot.left() + self._axis.share(self._budget) * plot.width()) + 0.5
        pen = QPen(qcolor(palette.text), 1.2)
        pen.setDashPattern([1.0, 2.0])
        painter.setPen(pen)
        painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
        words = f"{tr('budget')} {self._show(self._budget)}"
        width = self.small_width(words)
        left = x + 5 if x + 5 + width < plot.right() else x - 5 - width
        painter.setPen(qcolor(palette.text))
        painter.drawText(QPointF(left, plot.bottom() - 6), words)
