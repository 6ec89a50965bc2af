"""Cost bars and chance curves as vectors, legible without colour.

Every bar has one order: the price asked as an accent outline, taxes and fees hatched lightly, work
before launching full, work of the first season striped, the allowance for the unseen as a dashed
outline, a whisker from P50 to P80, and the budget as a thin line across all bars with its figure.
Curves are told apart by their dashes and by a number at their upper end.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from workbench.domain.vocabulary import Grade

from .document import CostBar, CostBars, Curves
from .pdf_base import GRADE_COLOURS, MM, Drawn
from .pdf_text import ACCENT, BOLD, FONT, INK, LINE, PANEL, QUIET, WHITE, fitted, width_of
from .words import whole

_LABEL = 30 * MM
_BAR_HIGH, _BAR_STEP = 11.0, 25.0
_SMALL = 7.2
_HALF_FIGURE = 20.0
"""Room at the right end of an axis for half of its last figure."""
_DASHES: tuple[tuple[float, ...], ...] = ((), (5, 2), (1.4, 1.6), (7, 2, 1.4, 2), (3, 1.2))


def nice_step(most: float, steps: int = 6) -> float:
    """A round distance between about `steps` gridlines up to `most`: 1, 2 or 5 times a power."""
    if most <= 0:
        return 1.0
    rough = most / steps
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * times for times in (1, 2, 5, 10) if power * times >= rough - 1e-9)


class _Axis:
    """A horizontal axis of money from nothing, or from a round amount, to a round amount."""

    def __init__(self, low: float, high: float, left: float, wide: float, steps: int) -> None:
        high = max(high, low + max(abs(low) * 0.01, 1.0))  # a cost without spread has an axis too
        self.step = nice_step(high - low, steps)
        self.low = math.floor(low / self.step) * self.step
        self.high = math.ceil(high / self.step - 1e-9) * self.step
        self.left, self.wide = left, wide

    def x(self, amount: float) -> float:
        """Where an amount lies."""
        return self.left + (amount - self.low) / (self.high - self.low) * self.wide

    def ticks(self) -> list[float]:
        """The amounts with a gridline."""
        count = round((self.high - self.low) / self.step)
        return [self.low + number * self.step for number in range(count + 1)]

    def paint(self, canvas: Any, foot: float, top: float) -> None:
        """Gridlines with their amounts below."""
        canvas.setLineWidth(0.4)
        canvas.setStrokeColor(LINE)
        canvas.setFillColor(QUIET)
        canvas.setFont(FONT, _SMALL)
        for amount in self.ticks():
            canvas.line(self.x(amount), foot, self.x(amount), top)
            canvas.drawCentredString(self.x(amount), foot - 9.5, whole(amount))


def _paint_budget(canvas: Any, axis: _Axis, budget: Decimal, foot: float, top: float) -> None:
    x = axis.x(float(budget))
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.9)
    canvas.line(x, foot, x, top + 3)
    canvas.setFillColor(INK)
    canvas.setFont(BOLD, _SMALL)
    text = f"budget {whole(budget)}"
    half = width_of(text, BOLD, _SMALL) / 2
    canvas.drawCentredString(min(x, axis.left + axis.wide - half), top + 5.5, text)


class CostBarsDrawing(Drawn):
    """All boats' bars on one axis, a legend above."""

    def __init__(self, chart: CostBars) -> None:
        super().__init__()
        self.chart = chart

    def height_for(self, width: float) -> float:
        """Legend, bars, axis."""
        del width
        return 36 + _BAR_STEP * len(self.chart.bars) + 16

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Legend, gridlines, bars, budget."""
        _paint_legend(canvas, height - 9, width)
        top, foot = height - 34, 16.0
        amounts = [_right_end(bar) for bar in self.chart.bars]
        if self.chart.budget is not None:
            amounts.append(float(self.chart.budget))
        axis = _Axis(0, max(amounts, default=1.0) or 1.0, _LABEL, width - _LABEL - _HALF_FIGURE, 8)
        axis.paint(canvas, foot, top)
        for number, bar in enumerate(self.chart.bars):
            y = top - _BAR_STEP * number - (_BAR_STEP + _BAR_HIGH) / 2
            canvas.setFillColor(INK)
            canvas.setFont(BOLD, 8)
            label = fitted(bar.label, BOLD, 8, _LABEL - 8)
            canvas.drawRightString(_LABEL - 7, y + 3, label)
            _paint_bar(canvas, bar, axis, y)
        if self.chart.budget is not None:
            _paint_budget(canvas, axis, self.chart.budget, foot, top)


def _right_end(bar: CostBar) -> float:
    parts = (bar.asking or Decimal(0), bar.fees, *_works(bar))
    return float(max(sum(parts, Decimal(0)), bar.p80))


def _works(bar: CostBar) -> tuple[Decimal, Decimal, Decimal]:
    return bar.before_launching, bar.first_season, bar.allowance


def _paint_bar(canvas: Any, bar: CostBar, axis: _Axis, y: float) -> None:
    at = 0.0
    parts = (("asking", bar.asking or Decimal(0)), ("fees", bar.fees))
    works = zip(("launch", "season", "unseen"), _works(bar), strict=True)
    for kind, amount in (*parts, *works):
        left, right = axis.x(at), axis.x(at + float(amount))
        if right - left > 0.3:
            _paint_part(canvas, kind, left, y, right - left, _BAR_HIGH)
        at += float(amount)
    low, high, middle = axis.x(float(bar.p50)), axis.x(float(bar.p80)), y - 3.2
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.0)
    canvas.setDash([])
    canvas.line(low, middle, high, middle)
    for end in (low, high):
        canvas.line(end, middle - 2.2, end, middle + 2.2)


def _paint_part(canvas: Any, kind: str, x: float, y: float, wide: float, high: float) -> None:
    """One part of a bar; its pattern says which, its colour says it again."""
    canvas.saveState()
    due, worn, unseen = (GRADE_COLOURS[one] for one in (Grade.DUE, Grade.WORN, Grade.UNSEEN))
    canvas.setLineWidth(0.9)
    if kind == "asking":
        canvas.setStrokeColor(ACCENT)
        canvas.setFillColor(WHITE)
        canvas.rect(x + 0.45, y + 0.45, wide - 0.9, high - 0.9, stroke=1, fill=1)
    elif kind == "fees":
        canvas.setFillColor(PANEL)
        canvas.setStrokeColor(QUIET)
        canvas.setLineWidth(0.5)
        canvas.rect(x, y, wide, high, stroke=1, fill=1)
    elif kind == "launch":
        canvas.setFillColor(due)
        canvas.rect(x, y, wide, high, stroke=0, fill=1)
    elif kind == "season":
        _paint_stripes(canvas, worn, x, y, wide, high)
    else:
        canvas.setStrokeColor(unseen)
        canvas.setFillColor(WHITE)
        canvas.setDash([2.2, 1.5])
        canvas.rect(x + 0.45, y + 0.45, wide - 0.9, high - 0.9, stroke=1, fill=1)
    canvas.restoreState()


def _paint_stripes(canvas: Any, colour: Any, x: float, y: float, wide: float, high: float) -> None:
    clip = canvas.beginPath()
    clip.rect(x, y, wide, high)
    canvas.clipPath(clip, stroke=0, fill=0)
    canvas.setFillColor(WHITE)
    canvas.rect(x, y, wide, high, stroke=0, fill=1)
    canvas.setStrokeColor(colour)
    canvas.setLineWidth(1.6)
    start = x - high
    while start < x + wide:
        canvas.line(start, y, start + high, y + high)
        start += 3.0
    canvas.setLineWidth(1.0)
    canvas.rect(x + 0.5, y + 0.5, wide - 1, high - 1, stroke=1, fill=0)


_LEGEND = (
    ("asking", "price asked"),
    ("fees", "taxes and fees"),
    ("launch", "before launching"),
    ("season", "first season"),
    ("unseen", "allowance for the unseen"),
)


def _paint_legend(canvas: Any, y: float, width: float) -> None:
    x = 0.0
    canvas.setFont(FONT, _SMALL)
    for kind, words in _LEGEND:
        _paint_part(canvas, kind, x, y, 13, 7)
        canvas.setFillColor(QUIET)
        canvas.drawString(x + 17, y + 1.2, words)
        x += 17 + width_of(words, FONT, _SMALL) + 13
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.0)
    canvas.line(x, y + 3.5, x + 13, y + 3.5)
    for end in (x, x + 13):
        canvas.line(end, y + 1.3, end, y + 5.7)
    canvas.setFillColor(QUIET)
    words = "P50 to P80"
    canvas.drawString(x + 17, y + 1.2, fitted(words, FONT, _SMALL, max(width - x - 17, 20)))


class CurvesDrawing(Drawn):
    """Chance curves on one pair of axes, each with its number and dashes, and a legend below."""

    def __init__(self, chart: Curves) -> None:
        super().__init__()
        self.chart = chart

    def height_for(self, width: float) -> float:
        """Twice as wide as high, and the legend."""
        return min(width * 0.44, 66 * MM) + 30 + 12 * self._legend_rows(width)

    def _legend_rows(self, width: float) -> int:
        return math.ceil(len(self.chart.curves) / self._legend_across(width))

    def _legend_across(self, width: float) -> int:
        return max(1, int(width // (52 * MM)))

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Gridlines, curves, budget, legend."""
        foot, top = 18.0 + 12 * self._legend_rows(width), height - 15
        xs = [x for curve in self.chart.curves for x, _ in curve.points]
        budget = [float(self.chart.budget)] if self.chart.budget is not None else []
        axis = _Axis(
            min(xs + budget, default=0),
            max(xs + budget, default=1),
            30,
            width - 30 - _HALF_FIGURE,
            7,
        )
        axis.paint(canvas, foot, top)
        _paint_chances(canvas, axis, foot, top)
        for number, curve in enumerate(self.chart.curves):
            _set_dash(canvas, number)
            _paint_curve(canvas, [(axis.x(x), foot + y * (top - foot)) for x, y in curve.points])
            self._paint_number(canvas, number, axis, foot, top)
        canvas.setDash([])
        if self.chart.budget is not None:
            _paint_budget(canvas, axis, self.chart.budget, foot, top)
        self._paint_legend(canvas, width, foot - 26)

    def _paint_number(self, canvas: Any, number: int, axis: _Axis, foot: float, top: float) -> None:
        """The curve's number on it, each a little higher so that they do not meet."""
        points = self.chart.curves[number].points
        chance = 0.28 + 0.55 * (number + 0.5) / len(self.chart.curves)
        x = next((x for x, share in points if share >= chance), points[-1][0] if points else 0.0)
        _paint_badge(canvas, str(number + 1), axis.x(x), foot + chance * (top - foot))

    def _paint_legend(self, canvas: Any, width: float, y: float) -> None:
        across = self._legend_across(width)
        place = width / across
        for number, curve in enumerate(self.chart.curves):
            x, row = number % across * place, y - 12 * (number // across)
            _set_dash(canvas, number)
            canvas.line(x, row + 2.5, x + 22, row + 2.5)
            canvas.setDash([])
            _paint_badge(canvas, str(number + 1), x + 11, row + 2.5)
            canvas.setFillColor(INK)
            canvas.setFont(FONT, _SMALL)
            canvas.drawString(x + 27, row, fitted(curve.label, FONT, _SMALL, place - 32))


def _paint_chances(canvas: Any, axis: _Axis, foot: float, top: float) -> None:
    canvas.setFont(FONT, _SMALL)
    for percent in (0, 20, 50, 80, 100):
        y = foot + percent / 100 * (top - foot)
        canvas.setStrokeColor(LINE if percent not in (50, 80) else QUIET)
        canvas.setLineWidth(0.4)
        canvas.line(axis.left, y, axis.left + axis.wide, y)
        canvas.setFillColor(QUIET)
        canvas.drawRightString(axis.left - 4, y - 2.5, f"{percent} %")


def _set_dash(canvas: Any, number: int) -> None:
    canvas.setStrokeColor(ACCENT if number % 2 == 0 else INK)
    canvas.setLineWidth(1.5)
    canvas.setDash(list(_DASHES[number % len(_DASHES)]))


def _paint_curve(canvas: Any, points: Sequence[tuple[float, float]]) -> None:
    if not points:
        return
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    canvas.drawPath(path, stroke=1, fill=0)


def _paint_badge(canvas: Any, text: str, x: float, y: float) -> None:
    canvas.saveState()
    canvas.setDash([])
    canvas.setStrokeColor(INK)
    canvas.setFillColor(WHITE)
    canvas.setLineWidth(0.7)
    canvas.circle(x, y, 4.6, stroke=1, fill=1)
    canvas.setFillColor(INK)
    canvas.setFont(BOLD, 6.4)
    canvas.drawCentredString(x, y - 2.3, text)
    canvas.restoreState()
