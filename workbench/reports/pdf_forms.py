"""Checks to be filled in by hand: what to do, where to write, hazards, a drawing.

Each check is one block that stays on a page: its title with a box to tick, the hazards at this very
place, the minutes and tools; below it what to do at the left, with a drawing, and where to write at
the right (`pdf_answers`). Two small checks stand beside each other where that saves paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Any

from reportlab.platypus import Flowable

from .document import Form
from .pdf_answers import answers, high
from .pdf_base import GUTTER, MM, Command, Drawn, Gap, cells_in, span
from .pdf_drawings import LineDrawing
from .pdf_tables import TickBox
from .pdf_text import BOLD, INK, LINE, fitted, numbered, plain, prose, width_of

_SPLITS = (5.0, 6.0)
"""How many of the twelve columns the steps may take; the lower block of them is set."""
_TITLE_SIZE = 10
_WARNING = 15.0
"""The width of a warning sign with the space after it [pt]."""
_ROUNDING = 0.01
_LOOK_AHEAD = 7
"""From so many checks those are chosen that fill what is left of a page."""


class HazardStrip(Drawn):
    """Short words for the dangers at this place, each after a triangle with a stroke."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__()
        self.words = [plain(one) for one in words]

    @property
    def wide(self) -> float:
        """The width of all words on one line [pt]."""
        return sum(_WARNING + width_of(word, BOLD, 7.4) + 12 for word in self.words)

    def _lines(self, width: float) -> list[list[tuple[float, str]]]:
        lines: list[list[tuple[float, str]]] = [[]]
        x = 0.0
        for word in self.words:
            wide = _WARNING + width_of(word, BOLD, 7.4) + 12
            if x and x + wide > width:
                lines.append([])
                x = 0.0
            lines[-1].append((x, fitted(word, BOLD, 7.4, width - 16)))
            x += wide
        return lines

    def height_for(self, width: float) -> float:
        """As many lines as the words need."""
        return 12.5 * len(self._lines(width)) + 2

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Triangles and words."""
        canvas.setFont(BOLD, 7.4)
        for number, line in enumerate(self._lines(width)):
            foot = height - 12.5 * number - 10.5
            for x, word in line:
                _paint_warning(canvas, x, foot)
                canvas.setFillColor(INK)
                canvas.setFont(BOLD, 7.4)
                canvas.drawString(x + 14, foot + 1, word)


def _paint_warning(canvas: Any, x: float, foot: float) -> None:
    path = canvas.beginPath()
    path.moveTo(x + 0.5, foot - 0.5)
    path.lineTo(x + 10.5, foot - 0.5)
    path.lineTo(x + 5.5, foot + 8.3)
    path.close()
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.9)
    canvas.setLineJoin(1)
    canvas.drawPath(path, stroke=1, fill=0)
    canvas.setFillColor(INK)
    canvas.rect(x + 5.05, foot + 2.6, 0.9, 3.1, stroke=0, fill=1)
    canvas.circle(x + 5.5, foot + 1.2, 0.6, stroke=0, fill=1)


def form(block: Form, width: float) -> list[Flowable]:
    """One check as a block to be filled in: what to do at the left, where to write at the right."""
    bodies = [_body(block, span(columns, width), width) for columns in _SPLITS]
    body = min(bodies, key=lambda one: high(one, width))
    return [_head(block, width), *body, Gap(4)]


class Checks(Flowable):
    """Checks of one place, each whole, which fill the pages as well as they can.

    What is left of a page takes those of the next few checks that fill it best, in their order.
    They are all at the same place, so no step is walked twice; and none waits for long, because
    the first that is left begins the next page.
    """

    def __init__(self, checks: Sequence[list[Flowable]]) -> None:
        super().__init__()
        self.checks = list(checks)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """More than there is: this is always split into its checks."""
        return width, height + 1

    def least(self, width: float) -> float:
        """The least height that takes one of the next few checks."""
        return min(high(one, width) for one in self.checks[:_LOOK_AHEAD]) + _ROUNDING

    def split(self, width: float, height: float) -> list[Flowable]:
        """The checks that fill this place best, and the others together; none where none fits."""
        heights = [high(one, width) + _ROUNDING for one in self.checks]
        chosen = filling(heights[:_LOOK_AHEAD], height)
        here = [part for place in chosen for part in self.checks[place]]
        rest = [one for place, one in enumerate(self.checks) if place not in chosen]
        return [*here, Checks(rest)] if here and rest else here


def filling(heights: Sequence[float], room: float) -> tuple[int, ...]:
    """The places of those heights that fill the room best, in order.

    The first is among them where it fits, and of two ways that fill alike the earlier is taken.
    """
    best, most = (), 0.0
    must = (0,) if heights and heights[0] <= room else ()
    places = range(len(must), len(heights))
    for count in range(len(places) + 1):
        for others in combinations(places, count):
            whole = sum(heights[place] for place in (*must, *others))
            if most < whole <= room:
                best, most = (*must, *others), whole
    return best


def _steps(block: Form) -> list[Flowable]:
    return [
        part
        for number, step in enumerate(block.steps, 1)
        for part in numbered(step, "form-step", str(number))
    ]


def _hint(block: Form) -> list[Flowable]:
    return [Gap(1.5), *prose(block.hint, "form-hint")] if block.hint else []


def _body(block: Form, left: float, width: float) -> list[Flowable]:
    """Steps in `left` of the width and answers beside them; drawing and hint where there is room.

    The drawing stands in the column that is shorter without it; the hint below the steps, or
    across below both where the steps reach further down than the answers.
    """
    right = width - left - GUTTER
    words, written = _steps(block), answers(block.fields, right)
    reach, other = high(words, left), high(written, right)
    hint = _hint(block)
    if block.drawing:
        drawing = [Gap(3), LineDrawing(block.drawing, span(5, width) * 0.86)]
        if reach <= other:
            words += drawing
            reach += high(drawing, left)
        else:
            written += drawing
            other += high(drawing, right)
    below: list[Flowable] = []
    if max(reach + high(hint, left), other) <= max(reach, other) + high(hint, width):
        words += hint
    else:
        below = hint
    style = [*_BARE, ("RIGHTPADDING", (0, 0), (0, 0), GUTTER), ("TOPPADDING", (0, 0), (-1, -1), 2)]
    # Only what is higher than a page is ever split.
    body = cells_in([[words, written]], [left + GUTTER, right], style, splitInRow=1)
    return [body, *below, Gap(3)]


_BARE: list[Command] = [
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]


def _head(block: Form, width: float) -> Flowable:
    """A box to tick, the title with the hazards below it, minutes and tools at the right."""
    style = [
        *_BARE,
        ("LINEABOVE", (0, 0), (-1, 0), 0.6, LINE),
        ("TOPPADDING", (0, 0), (-1, -1), 5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]
    is_typed = any(field.tip for field in block.fields)
    box, right = 0.1 if is_typed else 8 * MM, min(52 * MM, width * 0.3)
    title: list[Flowable] = list(prose(block.title, "form-title", outline=2))
    if block.hazards:
        title = _with_hazards(title, block, width - box - right)
    # On a screen nobody ticks off a title: what is filled in shows.
    tick: list[Flowable] = [] if is_typed else [TickBox(13)]
    cells = [[tick, title, prose(block.beside, "cell-small-right")]]
    return cells_in(cells, [box, width - box - right, right], style)


def _with_hazards(title: list[Flowable], block: Form, width: float) -> list[Flowable]:
    """The dangers on the line of the title where they fit there, or below it."""
    strip = HazardStrip(block.hazards)
    beside = width_of(plain(block.title), BOLD, _TITLE_SIZE) + 5 * MM
    if strip.wide > width - beside:
        return [*title, strip]
    return [cells_in([[title, [Gap(0.8), strip]]], [beside, width - beside], _BARE)]
