"""The grid, the colours of the grades, and what everything drawn on paper has in common.

A page is a 12-column grid with 18 mm margins and 4 mm between columns. Lengths are points
(1/72 inch) unless a name says otherwise. Colours are those of the window on light ground; what a
colour says is always said by a shape or a word too, so a black-and-white print loses nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeAlias

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from workbench.domain.vocabulary import Grade

from .pdf_text import FONT

MM: float = mm
MARGIN = 18 * MM
GUTTER = 4 * MM
COLUMNS = 12

GRADE_COLOURS = {
    Grade.SOUND: HexColor("#0B6CA1"),
    Grade.WORN: HexColor("#8A6D00"),
    Grade.DUE: HexColor("#A33A00"),
    Grade.UNSAFE: HexColor("#7A1452"),
    Grade.UNSEEN: HexColor("#6A6E75"),
    Grade.ABSENT: HexColor("#A4A9AE"),
}


Command: TypeAlias = tuple[Any, ...]
"""A line of a grid's style: what, from cell, to cell, how."""


class Measured(Table):
    """A table that reckons its rows' heights once for a width, however often it is asked."""

    _reckoned_for: float | None = None
    _size: tuple[float, float] = (0.0, 0.0)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """The size at a width."""
        if self._reckoned_for != width:
            self._size = super().wrap(width, height)
            self._reckoned_for = width
        return self._size

    def reckon_again(self) -> None:
        """Forget the size: the rows were changed."""
        self._reckoned_for = None


def cells_in(
    rows: Sequence[Sequence[Any]],
    widths: Sequence[float],
    style: Sequence[Command],
    *,
    before: float = 0,
    after: float = 0,
    **options: Any,
) -> Table:
    """Cells in rows, flush left; every cell's own font is the program's, so no other is named."""
    font = ("FONT", (0, 0), (-1, -1), FONT, 8)
    return Measured(
        [list(row) for row in rows],
        colWidths=list(widths),
        style=[font, *style],
        hAlign="LEFT",
        spaceBefore=before,
        spaceAfter=after,
        longTableOptimize=0,  # all rows at once, because the heights are kept
        **options,
    )


def span(columns: float, width: float) -> float:
    """Width of so many columns of a grid that is `width` wide, with the gutters between them."""
    one = (width - (COLUMNS - 1) * GUTTER) / COLUMNS
    return columns * one + (columns - 1) * GUTTER


class Drawn(Flowable):
    """Something drawn: `height_for` says how high it is at a width, `paint` draws it there."""

    canv: Any

    def height_for(self, width: float) -> float:
        """Height at `width`."""
        raise NotImplementedError

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Draw from the lower left corner."""
        raise NotImplementedError

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the whole width."""
        del height
        self.width, self.height = width, self.height_for(width)
        return self.width, self.height

    def split(self, width: float, height: float) -> list[Flowable]:
        """What is drawn is never split."""
        del width, height
        return []

    def draw(self) -> None:
        """Draw where the page put it."""
        self.canv.saveState()
        self.paint(self.canv, self.width, self.height)
        self.canv.restoreState()


class Gap(Drawn):
    """Empty space of a height."""

    def __init__(self, height: float) -> None:
        super().__init__()
        self.space = height

    def height_for(self, width: float) -> float:
        """As given."""
        del width
        return self.space

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Nothing."""


class RuleLine(Drawn):
    """A line across the whole width, with space before and after it."""

    def __init__(self, colour: Any, thickness: float, before: float = 0, after: float = 0) -> None:
        super().__init__()
        self.colour, self.thickness, self.before, self.after = colour, thickness, before, after

    def height_for(self, width: float) -> float:
        """The line and the space round it."""
        del width
        return self.before + self.thickness + self.after

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """The line."""
        canvas.setFillColor(self.colour)
        canvas.rect(0, self.after, width, self.thickness, stroke=0, fill=1)
