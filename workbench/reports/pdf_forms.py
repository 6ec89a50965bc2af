"""Checks to be filled in by hand: boxes large enough for cold fingers, steps, hazards, a drawing.

Each check is one block that stays on a page: its title with a box to tick and the minutes, the
hazards at this very place in a ruled strip, the steps beside the drawing, and its fields. Choices
are boxes with their words; a number has a long box with its unit.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable

from .document import Field, FieldKind, Form
from .pdf_base import GUTTER, MM, Drawn, Gap, cells_in, span
from .pdf_drawings import LineDrawing
from .pdf_tables import TickBox
from .pdf_text import BOLD, FONT, INK, LINE, QUIET, fitted, numbered, plain, prose, width_of

_LABEL_WIDE = 46 * MM
_BOX_HIGH = 8 * MM
_CHOICE_HIGH = 8.4 * MM
_BOX = 4.6 * MM
_SIZE = 8.6


class AnswerBox(Drawn):
    """A long open box with its unit at the right end and a word of help below."""

    def __init__(self, field: Field) -> None:
        super().__init__()
        self.field = field

    def height_for(self, width: float) -> float:
        """The box and the help."""
        del width
        return _BOX_HIGH + (10 if self.field.help else 3)

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Box, unit, help."""
        foot = height - _BOX_HIGH
        wide = min(width, 62 * MM) if self.field.unit else width
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.8)
        canvas.rect(0.5, foot, wide - 1, _BOX_HIGH - 1, stroke=1, fill=0)
        canvas.setFillColor(QUIET)
        if self.field.unit:
            canvas.setFont(FONT, _SIZE)
            canvas.drawString(wide + 4, foot + 7.5, plain(self.field.unit))
        canvas.setFont(FONT, 7)
        canvas.drawString(0, foot - 8, fitted(self.field.help, FONT, 7, width))


class Choices(Drawn):
    """Boxes with their words, as many to a line as fit."""

    def __init__(self, choices: Sequence[str]) -> None:
        super().__init__()
        self.choices = [plain(choice) for choice in choices]

    def _places(self, width: float) -> list[tuple[float, int, str]]:
        """Left edge, line and words of every choice."""
        made: list[tuple[float, int, str]] = []
        x, line = 0.0, 0
        for choice in self.choices:
            words = fitted(choice, FONT, _SIZE, width - _BOX - 6)
            wide = _BOX + 5 + width_of(words, FONT, _SIZE) + 12
            if x and x + wide - 12 > width:
                x, line = 0.0, line + 1
            made.append((x, line, words))
            x += wide
        return made

    def height_for(self, width: float) -> float:
        """As many lines as the choices need."""
        lines = max((line for _, line, _ in self._places(width)), default=0) + 1
        return lines * _CHOICE_HIGH

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Open squares and words."""
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.setFont(FONT, _SIZE)
        canvas.setFillColor(INK)
        for x, line, words in self._places(width):
            foot = height - line * _CHOICE_HIGH - _BOX - 1.5 * MM
            canvas.rect(x + 0.5, foot, _BOX, _BOX, stroke=1, fill=0)
            canvas.drawString(x + _BOX + 5, foot + _BOX / 2 - _SIZE * 0.36, words)


class HazardStrip(Drawn):
    """Short words for the dangers at this place, each after a triangle with a stroke."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__()
        self.words = [plain(one) for one in words]

    def _lines(self, width: float) -> list[list[tuple[float, str]]]:
        lines: list[list[tuple[float, str]]] = [[]]
        x = 0.0
        for word in self.words:
            wide = 15 + width_of(word, BOLD, 7.4) + 12
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
    """One check as a block to be filled in."""
    made: list[Flowable] = [_head(block, width)]
    if block.hazards:
        made.append(HazardStrip(block.hazards))
    made += _steps(block, width)
    made += [_field(field, width) for field in block.fields]
    return [*made, Gap(8)]


def _head(block: Form, width: float) -> Flowable:
    style = [
        ("LINEABOVE", (0, 0), (-1, 0), 0.6, LINE),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 6),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    box, right = 8 * MM, 30 * MM
    cells = [
        [TickBox(13), prose(block.title, "form-title"), prose(block.beside, "cell-small-right")]
    ]
    return cells_in(cells, [box, width - box - right, right], style)


def _steps(block: Form, width: float) -> list[Flowable]:
    """The steps, with the drawing at their right where there is one."""
    words: list[Flowable] = []
    for number, step in enumerate(block.steps, 1):
        words += numbered(step, "form-step", str(number))
    words += prose(block.hint, "quiet")
    if not block.drawing:
        return [*words, Gap(2)]
    left = span(7, width)
    right = width - left - GUTTER
    style = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (0, 0), GUTTER),
        ("RIGHTPADDING", (1, 0), (1, 0), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    cells = [[words, [LineDrawing(block.drawing, right)]]]
    return [cells_in(cells, [left + GUTTER, right], style)]


def _field(field: Field, width: float) -> Flowable:
    answer: Flowable = (
        Choices(field.choices) if field.kind is FieldKind.CHOICE else AnswerBox(field)
    )
    style = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("TOPPADDING", (0, 0), (0, -1), 6),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    cells = [[prose(field.label, "form-label"), answer]]
    return cells_in(cells, [_LABEL_WIDE, width - _LABEL_WIDE], style)
