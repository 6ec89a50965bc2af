"""What a boat would cost as one bar, always in the same order.

The price asked (accent outline), work before launching (the colour of due), first season (worn),
allowance for the unseen (dashed outline); below it the whisker from P50 to P80 of the whole, and
the budget as a thin upright line with its figure. All bars of a list share `maximum`.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.palette import Palette
from workbench.window.texts import tr
from workbench.window.widgets.surroundings import font_of, palette_of, qcolor, scale_of


@dataclass(frozen=True, slots=True)
class CostParts:
    """The parts of one bar, in whole units of the project's currency, for drawing only.

    Attributes
    ----------
    asked, before_launching, first_season, allowance
        Lengths of the four parts.
    p50, p80
        The whole that is not exceeded one time in two, and four times in five; None draws none.
    budget
        Place of the budget line; None draws none.
    """

    asked: float
    before_launching: float = 0.0
    first_season: float = 0.0
    allowance: float = 0.0
    p50: float | None = None
    p80: float | None = None
    budget: float | None = None

    def total(self) -> float:
        """The four parts together."""
        return self.asked + self.before_launching + self.first_season + self.allowance

    def reach(self) -> float:
        """The farthest value drawn; the greatest of a list is the list's `maximum`."""
        return max(self.total(), self.p80 or 0.0, self.budget or 0.0, 1.0)


def _paint_parts(
    painter: QPainter, bar: QRectF, parts: CostParts, unit: float, palette: Palette
) -> None:
    left = bar.left()
    asked = QRectF(left, bar.top(), max(parts.asked * unit, 2.0), bar.height())
    painter.setPen(QPen(qcolor(palette.accent), 1.2))
    painter.setBrush(qcolor(palette.accent, 0.13))
    painter.drawRoundedRect(asked.adjusted(0.6, 0.6, -0.6, -0.6), 2.2, 2.2)
    left = asked.right()
    painter.setPen(Qt.PenStyle.NoPen)
    for amount, colour in (
        (parts.before_launching, palette.due),
        (parts.first_season, palette.worn),
    ):
        width = amount * unit
        painter.fillRect(QRectF(left, bar.top(), width, bar.height()), qcolor(colour))
        left += width
    width = parts.allowance * unit
    if width > 1.5:
        pen = QPen(qcolor(palette.unseen), 1.1)
        pen.setDashPattern([2.6, 1.9])
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        dashed = QRectF(left + 0.6, bar.top() + 0.6, width - 1.2, bar.height() - 1.2)
        painter.drawRoundedRect(dashed, 1.5, 1.5)


def _paint_whisker(
    painter: QPainter, left: float, right: float, middle: float, palette: Palette
) -> None:
    painter.setPen(QPen(qcolor(palette.text), 1.2))
    right = max(right, left + 2)
    painter.drawLine(QPointF(left, middle), QPointF(right, middle))
    for end in (left, right):
        painter.drawLine(QPointF(end, middle - 2.6), QPointF(end, middle + 2.6))


def _paint_budget(
    painter: QPainter,
    rect: QRectF,
    place: float,
    palette: Palette,
    figure: tuple[str, QFont] | None,
) -> None:
    pen = QPen(qcolor(palette.text), 1.0)
    pen.setDashPattern([1.0, 2.0])
    painter.setPen(pen)
    top = rect.top()
    if figure is not None:
        text, font = figure
        metrics = QFontMetricsF(font)
        width = metrics.horizontalAdvance(text)
        left = min(max(place - width / 2, rect.left()), rect.right() - width)
        painter.setFont(font)
        painter.drawText(QPointF(left, top + metrics.ascent()), text)
        top += metrics.height()
    x = round(place) + 0.5
    painter.drawLine(QPointF(x, top), QPointF(x, rect.bottom()))


def paint_cost_bar(
    painter: QPainter,
    rect: QRectF,
    parts: CostParts,
    maximum: float,
    palette: Palette,
    *,
    budget_figure: tuple[str, QFont] | None = None,
    scale: float = 1.0,
) -> None:
    """Paint a cost bar into a rectangle about 24 high; 16 is the least.

    Parameters
    ----------
    maximum
        Value at the right edge, shared by all bars that are compared.
    budget_figure
        Text and font of the budget's figure, written above the bar; None writes none.
    scale
        Text scale around the bar; the bar grows with it.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    unit = (rect.width() - 1) / max(maximum, 1.0)
    room = rect
    if budget_figure is not None:
        room = rect.adjusted(0, QFontMetricsF(budget_figure[1]).height(), 0, 0)
    thick = min(11.0 * scale, room.height() * 0.46)
    below = 5.0 * scale
    top = room.top() + (room.height() - thick - below - 3 * scale) / 2
    bar = QRectF(rect.left(), top, rect.width(), thick)
    _paint_parts(painter, bar, parts, unit, palette)
    if parts.p50 is not None and parts.p80 is not None:
        left, right = (rect.left() + value * unit for value in (parts.p50, parts.p80))
        _paint_whisker(painter, left, right, bar.bottom() + below, palette)
    if parts.budget is not None:
        place = rect.left() + parts.budget * unit
        _paint_budget(painter, rect, place, palette, budget_figure)
    painter.restore()


def describe_cost(parts: CostParts, show: Callable[[float], str]) -> str:
    """Say the whole bar in words, part by part, one to a line."""
    lines = [
        (tr("Price asked"), parts.asked),
        (tr("Work before launching"), parts.before_launching),
        (tr("First season"), parts.first_season),
        (tr("Allowance for the unseen"), parts.allowance),
        (tr("One chance in two to stay under"), parts.p50),
        (tr("Four chances in five to stay under"), parts.p80),
        (tr("Budget"), parts.budget),
    ]
    return "\n".join(f"{words} {show(amount)}" for words, amount in lines if amount is not None)


class CostBar(QWidget):
    """The cost bar of one boat.

    Parameters
    ----------
    show
        Writes an amount as the project writes money.
    parts, maximum
        What to draw, and the value at the right edge; without `maximum` the bar fills its width.
    with_figure
        Whether the budget's figure is written above its line.
    """

    def __init__(
        self,
        show: Callable[[float], str],
        parts: CostParts | None = None,
        *,
        maximum: float | None = None,
        with_figure: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._show = show
        self._with_figure = with_figure
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.set_parts(parts, maximum)

    def set_parts(self, parts: CostParts | None, maximum: float | None = None) -> None:
        """Draw another boat's parts; None draws nothing."""
        self._parts = parts
        self._maximum = maximum
        words = describe_cost(parts, self._show) if parts is not None else ""
        self.setToolTip(words)
        self.setAccessibleName(tr("Cost to ready"))
        self.setAccessibleDescription(words.replace("\n", "; "))
        self.update()

    def _has_figure(self) -> bool:
        return self._with_figure and self._parts is not None and self._parts.budget is not None

    def sizeHint(self) -> QSize:
        """Bar, whisker, and a line of small figures where the budget's is written."""
        extra = QFontMetricsF(font_of(self, TypeRole.SMALL)).height() if self._with_figure else 0
        return QSize(180, round(26 * scale_of(self) + extra))

    def minimumSizeHint(self) -> QSize:
        """Half the width still tells the parts apart."""
        return QSize(90, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the bar."""
        if self._parts is None:
            return
        figure = None
        if self._has_figure() and self._parts.budget is not None:
            figure = (self._show(self._parts.budget), font_of(self, TypeRole.SMALL))
        maximum = self._maximum if self._maximum is not None else self._parts.reach()
        with QPainter(self) as painter:
            paint_cost_bar(
                painter,
                QRectF(self.rect()),
                self._parts,
                maximum,
                palette_of(self),
                budget_figure=figure,
                scale=scale_of(self),
            )
