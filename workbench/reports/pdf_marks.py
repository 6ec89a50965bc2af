"""Grade planks and range bars as vectors.

A grade is a small plank of 14 x 8 units with corners of 2: whole when sound, notched when worn,
split when due, with its right half fallen when unsafe, a dashed outline when nobody saw, a
hairline when it is not fitted. The shape says it before the colour does.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from workbench.domain.vocabulary import Grade

from .document import RangeBar
from .pdf_base import GRADE_COLOURS, Drawn
from .pdf_text import ACCENT, BOLD, INK, LINE, QUIET, fitted, plain, width_of

UNITS_WIDE, UNITS_HIGH, FALL = 14.0, 8.0, 3.0
_CORNER, _LEAN, _HALF_GAP = 2.0, 0.9, 1.0
_FIGURE_SIZE, _BESIDE_SIZE = 15.5, 7.6
_CURVE = 0.5523 * _CORNER  # a quarter circle by one cubic curve


def paint_plank(canvas: Any, grade: Grade, x: float, top: float, unit: float) -> None:
    """Draw a mark with its upper left corner at (x, top), `unit` points to a unit."""
    canvas.saveState()
    canvas.translate(x, top - UNITS_HIGH * unit)
    canvas.scale(unit, unit)
    colour = GRADE_COLOURS[grade]
    canvas.setFillColor(colour)
    canvas.setStrokeColor(colour)
    if grade is Grade.ABSENT:
        canvas.rect(0, UNITS_HIGH / 2 - 0.4, UNITS_WIDE, 0.8, stroke=0, fill=1)
    elif grade is Grade.UNSEEN:
        canvas.setLineWidth(1.1)
        canvas.setDash([2.0, 1.3])
        canvas.roundRect(0.55, 0.55, UNITS_WIDE - 1.1, UNITS_HIGH - 1.1, 1.7, stroke=1, fill=0)
    else:
        _paint_solid(canvas, grade)
    canvas.restoreState()


def _paint_solid(canvas: Any, grade: Grade) -> None:
    if grade is Grade.SOUND:
        canvas.roundRect(0, 0, UNITS_WIDE, UNITS_HIGH, _CORNER, stroke=0, fill=1)
    elif grade is Grade.WORN:
        canvas.drawPath(_notched(canvas), stroke=0, fill=1)
    else:
        canvas.drawPath(_left_half(canvas), stroke=0, fill=1)
        if grade is Grade.UNSAFE:
            canvas.translate(UNITS_WIDE - 3.9, UNITS_HIGH - FALL - 4.0)
            canvas.rotate(-14)
            canvas.translate(3.5 - UNITS_WIDE, -4.0)
        canvas.drawPath(_right_half(canvas), stroke=0, fill=1)


def _notched(canvas: Any) -> Any:
    path = canvas.beginPath()
    path.moveTo(_CORNER, 0)
    for x, y in ((4.4, 0), (5.8, 3.8), (8.2, 3.8), (9.6, 0), (UNITS_WIDE - _CORNER, 0)):
        path.lineTo(x, y)
    _right_side(path)
    path.lineTo(_CORNER, UNITS_HIGH)
    _left_side(path)
    path.close()
    return path


def _left_half(canvas: Any) -> Any:
    middle = UNITS_WIDE / 2
    path = canvas.beginPath()
    path.moveTo(_CORNER, 0)
    path.lineTo(middle - _HALF_GAP - _LEAN, 0)
    path.lineTo(middle - _HALF_GAP + _LEAN, UNITS_HIGH)
    path.lineTo(_CORNER, UNITS_HIGH)
    _left_side(path)
    path.close()
    return path


def _right_half(canvas: Any) -> Any:
    middle = UNITS_WIDE / 2
    path = canvas.beginPath()
    path.moveTo(middle + _HALF_GAP - _LEAN, 0)
    path.lineTo(UNITS_WIDE - _CORNER, 0)
    _right_side(path)
    path.lineTo(middle + _HALF_GAP + _LEAN, UNITS_HIGH)
    path.close()
    return path


def _right_side(path: Any) -> None:
    """From the lower right corner's start round to the upper right corner's end."""
    wide, high, corner, back = UNITS_WIDE, UNITS_HIGH, _CORNER, _CORNER - _CURVE
    path.curveTo(wide - back, 0, wide, back, wide, corner)
    path.lineTo(wide, high - corner)
    path.curveTo(wide, high - back, wide - back, high, wide - corner, high)


def _left_side(path: Any) -> None:
    """From the upper left corner's start round to the lower left corner's end."""
    high, corner, back = UNITS_HIGH, _CORNER, _CORNER - _CURVE
    path.curveTo(back, high, 0, high - back, 0, high - corner)
    path.lineTo(0, corner)
    path.curveTo(0, back, back, 0, corner, 0)


class Plank(Drawn):
    """A grade's mark in a line of text `leading` high."""

    def __init__(self, grade: Grade, leading: float = 10.8, unit: float = 0.92) -> None:
        super().__init__()
        self.grade, self.leading, self.unit = grade, leading, unit

    def height_for(self, width: float) -> float:
        """The line's height, so that the mark stands beside the first line of text."""
        del width
        return self.leading

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """The mark in the middle of the line; what falls reaches below it."""
        top = height - (self.leading - UNITS_HIGH * self.unit) / 2 - 0.4
        paint_plank(canvas, self.grade, 0, top, self.unit)


class RangeBarDrawing(Drawn):
    """A range on a scale from nothing to the most of all ranges that are compared."""

    def __init__(self, bar: RangeBar, most_wide: float = 1e6) -> None:
        super().__init__()
        self.bar, self.most_wide = bar, most_wide

    def height_for(self, width: float) -> float:
        """As high as a line of small text."""
        del width
        return 8.0

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """A hairline for the scale, a band for the range, a tick for the likely cost."""
        wide, middle = min(width, self.most_wide), height / 2 - 0.5
        low, likely, high = (
            wide * _share(amount, self.bar.most)
            for amount in (self.bar.low, self.bar.likely, self.bar.high)
        )
        canvas.setLineWidth(0.5)
        canvas.setStrokeColor(LINE)
        canvas.line(0, middle, wide, middle)
        canvas.setFillColor(ACCENT)
        canvas.roundRect(low, middle - 1.4, max(high - low, 1.2), 2.8, 0.6, stroke=0, fill=1)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.1)
        canvas.line(likely, middle - 3.4, likely, middle + 3.4)


def _share(amount: Decimal, most: Decimal) -> float:
    return float(min(max(amount / most, Decimal(0)), Decimal(1))) if most > 0 else 0.0


class LargeFigure(Drawn):
    """A figure that is to be seen first, with a few quiet words at its right."""

    def __init__(self, figure: str, beside: str) -> None:
        super().__init__()
        self.figure, self.beside = figure, beside

    def _fits(self, width: float) -> bool:
        """Whether the words stand beside the figure rather than below it."""
        figure = width_of(plain(self.figure), BOLD, _FIGURE_SIZE)
        return figure + 7 + width_of(plain(self.beside), BOLD, _BESIDE_SIZE) <= width

    def height_for(self, width: float) -> float:
        """One line, or two where the words need their own."""
        return 21.0 if self._fits(width) or not self.beside else 32.0

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """The figure in ink, the words in the quiet colour."""
        base = height - 16
        figure = fitted(self.figure, BOLD, _FIGURE_SIZE, width)
        canvas.setFillColor(INK)
        canvas.setFont(BOLD, _FIGURE_SIZE)
        canvas.drawString(0, base, figure)
        canvas.setFillColor(QUIET)
        canvas.setFont(BOLD, _BESIDE_SIZE)
        beside = fitted(self.beside, BOLD, _BESIDE_SIZE, width)
        if self._fits(width):
            canvas.drawString(width_of(figure, BOLD, _FIGURE_SIZE) + 7, base, beside)
        else:
            canvas.drawString(0, base - 12, beside)
