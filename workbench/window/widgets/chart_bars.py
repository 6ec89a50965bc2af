"""Boats under each other as cost bars on one axis, and a tornado of what moves a figure most."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.palette import Palette
from workbench.window.texts import tr
from workbench.window.widgets.chart_axis import Axis, axis_for
from workbench.window.widgets.chart_base import Chart, Mark, Show
from workbench.window.widgets.cost_bar import CostParts, describe_cost, paint_cost_bar
from workbench.window.widgets.painting import RIGHT, paint_text
from workbench.window.widgets.surroundings import font_of, qcolor, row_height, scale_of


@dataclass(frozen=True, slots=True)
class CostRow:
    """One boat of the chart: by what it is found again, her name, and the parts of her cost."""

    key: object
    label: str
    parts: CostParts


@dataclass(frozen=True, slots=True)
class TornadoRow:
    """One thing that moves a figure: the figure when it is low and when it is high.

    `low_words` and `high_words` say what low and high mean, such as 'yard rate 60'.
    """

    key: object
    label: str
    low: float
    high: float
    low_words: str = ""
    high_words: str = ""

    def swing(self) -> float:
        """How far the figure moves."""
        return abs(self.high - self.low)


class _RowsChart(Chart):
    """Rows with labels at the left and one axis below."""

    def __init__(self, name: str, show: Show, *, parent: QWidget | None = None) -> None:
        super().__init__(name, parent=parent)
        self._show = show

    def labels(self) -> tuple[str, ...]:
        """Return the words at the left of the rows."""
        return ()

    def row_room(self) -> float:
        """Height of one row [device-independent pixels]."""
        return row_height(self) * 1.2

    def is_empty(self) -> bool:
        """Whether there is no row."""
        return not self.labels()

    def label_width(self) -> float:
        """Width of the labels, at most a third of the chart."""
        metrics = QFontMetricsF(font_of(self, TypeRole.BODY))
        widest = max((metrics.horizontalAdvance(text) for text in self.labels()), default=0.0)
        return min(widest + 14, self.width() * 0.36)

    def plot_rect(self) -> QRectF:
        """The rows, without labels and axis figures."""
        room = QRectF(self.rect()).adjusted(8, 6, -24, 0)
        below = self.small_height() + 8
        height = min(len(self.labels()) * self.row_room(), room.height() - below)
        left = self.label_width()
        return QRectF(room.left() + left, room.top(), room.width() - left, height)

    def row_rect(self, plot: QRectF, place: int) -> QRectF:
        """Return the rectangle of one row."""
        height = plot.height() / max(len(self.labels()), 1)
        return QRectF(plot.left(), plot.top() + place * height, plot.width(), height)

    def paint_labels(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        """Write the labels of all rows."""
        width = self.label_width() - 10
        for place, text in enumerate(self.labels()):
            line = self.row_rect(plot, place)
            beside = QRectF(plot.left() - width - 10, line.top(), width, line.height())
            paint_text(painter, beside, text, font_of(self, TypeRole.BODY), palette.text)

    def sizeHint(self) -> QSize:
        """As high as its rows."""
        height = len(self.labels()) * self.row_room() + self.small_height() + 14
        return QSize(480, round(max(height, 80)))

    def minimumSizeHint(self) -> QSize:
        """As high as its rows, and still readable."""
        return QSize(240, self.sizeHint().height())


class CostChart(_RowsChart):
    """Boats as cost bars under each other, comparable along one axis.

    Parameters
    ----------
    show
        Writes an amount as the project writes money.
    """

    def __init__(self, show: Show, *, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(name or tr("Cost to ready, boat by boat"), show, parent=parent)
        self._rows: tuple[CostRow, ...] = ()
        self._axis = axis_for(())

    def set_rows(self, rows: Sequence[CostRow]) -> None:
        """Draw other boats."""
        self._rows = tuple(rows)
        self._axis = axis_for(row.parts.reach() for row in rows)
        self.refresh()

    def labels(self) -> tuple[str, ...]:
        """Return the boats' names."""
        return tuple(row.label for row in self._rows)

    def summary(self) -> str:
        """Name the boats with their totals."""
        said = (f"{row.label} {self._show(row.parts.total())}" for row in self._rows)
        return f"{tr('Price and work together:')} {'; '.join(said)}."

    def marks_in(self, plot: QRectF) -> tuple[Mark, ...]:
        """One mark for each boat, her whole row."""
        return tuple(
            Mark(
                self.row_rect(plot, place),
                row.key,
                f"{row.label}\n{describe_cost(row.parts, self._show)}",
            )
            for place, row in enumerate(self._rows)
        )

    def paint_plot(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        """Paint axis, names and bars."""
        self.paint_axis_below(painter, plot, self._axis, self._show, palette)
        self.paint_labels(painter, plot, palette)
        for place, row in enumerate(self._rows):
            line = self.row_rect(plot, place)
            paint_cost_bar(painter, line, row.parts, self._axis.high, palette, scale=scale_of(self))


class TornadoChart(_RowsChart):
    """What moves a figure most, widest first, around the figure as it stands.

    Parameters
    ----------
    show
        Writes a value of the axis.
    """

    def __init__(self, show: Show, *, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(name or tr("What moves the figure most"), show, parent=parent)
        self._rows: tuple[TornadoRow, ...] = ()
        self._base = 0.0
        self._axis: Axis = axis_for(())

    def set_rows(self, rows: Sequence[TornadoRow], base: float) -> None:
        """Draw other rows around the figure `base`; they are put widest first."""
        self._rows = tuple(sorted(rows, key=lambda row: -row.swing()))
        self._base = base
        ends = [end for row in rows for end in (row.low, row.high)]
        self._axis = axis_for([*ends, base], from_zero=False, most=4)
        self.refresh()

    def labels(self) -> tuple[str, ...]:
        """Return what moves the figure."""
        return tuple(row.label for row in self._rows)

    def summary(self) -> str:
        """Say the figure and the three widest swings."""
        said = (
            f"{row.label} {self._show(row.low)} {tr('to')} {self._show(row.high)}"
            for row in self._rows[:3]
        )
        return f"{tr('Around')} {self._show(self._base)}: {'; '.join(said)}."

    def _x(self, plot: QRectF, value: float) -> float:
        return plot.left() + self._axis.share(value) * plot.width()

    def _bar(self, plot: QRectF, place: int) -> QRectF:
        row, line = self._rows[place], self.row_rect(plot, place)
        left, right = sorted((self._x(plot, row.low), self._x(plot, row.high)))
        thick = line.height() * 0.42
        return QRectF(left, line.center().y() - thick / 2, max(right - left, 2.0), thick)

    def marks_in(self, plot: QRectF) -> tuple[Mark, ...]:
        """One mark for each row, its bar."""
        return tuple(
            Mark(
                self._bar(plot, place),
                row.key,
                "\n".join(
                    (
                        row.label,
                        f"{self._show(row.low)} {row.low_words}".strip(),
                        f"{self._show(row.high)} {row.high_words}".strip(),
                    )
                ),
            )
            for place, row in enumerate(self._rows)
        )

    def paint_plot(self, painter: QPainter, plot: QRectF, palette: Palette) -> None:
        """Paint axis, labels, bars in two tints, and the line of the figure as it stands."""
        self.paint_axis_below(painter, plot, self._axis, self._show, palette)
        self.paint_labels(painter, plot, palette)
        middle = self._x(plot, self._base)
        for place, row in enumerate(self._rows):
            bar = self._bar(plot, place)
            self._paint_halves(painter, bar, middle, palette)
            self._write_ends(painter, bar, row, palette)
        painter.setPen(QPen(qcolor(palette.text), 1.2))
        x = round(middle) + 0.5
        painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))

    @staticmethod
    def _paint_halves(painter: QPainter, bar: QRectF, middle: float, palette: Palette) -> None:
        """Paint what lowers the figure in a tint, what raises it in full colour."""
        painter.setPen(Qt.PenStyle.NoPen)
        split = min(max(middle, bar.left()), bar.right())
        lower = QRectF(bar.left(), bar.top(), split - bar.left(), bar.height())
        upper = QRectF(split, bar.top(), bar.right() - split, bar.height())
        painter.fillRect(lower, qcolor(palette.tint(palette.accent, 0.45)))
        painter.fillRect(upper, qcolor(palette.accent))

    def _write_ends(
        self, painter: QPainter, bar: QRectF, row: TornadoRow, palette: Palette
    ) -> None:
        """Write what each end stands for beside it, where there is room."""
        lower, upper = (row.low_words, row.high_words)
        if row.low > row.high:
            lower, upper = upper, lower
        font = font_of(self, TypeRole.SMALL)
        plot = self.plot_rect()
        line = QRectF(plot.left(), bar.top() - 4, plot.width(), bar.height() + 8)
        before = QRectF(line.left(), line.top(), bar.left() - 5 - line.left(), line.height())
        after = QRectF(bar.right() + 5, line.top(), line.right() - bar.right() - 5, line.height())
        if self.small_width(lower) <= before.width():
            paint_text(painter, before, lower, font, palette.quiet, alignment=RIGHT)
        inside = QRectF(bar.left(), line.top(), bar.width() - 6, line.height())
        if self.small_width(upper) <= after.width():
            paint_text(painter, after, upper, font, palette.quiet)
        elif self.small_width(upper) <= bar.width() * 0.6:
            paint_text(painter, inside, upper, font, palette.on_accent, alignment=RIGHT)
