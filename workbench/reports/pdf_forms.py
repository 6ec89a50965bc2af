"""Checks to be filled in by hand: boxes large enough for cold fingers, steps, hazards, a drawing.

Each check is one block that stays on a page: its title with a box to tick, the hazards at this very
place, the minutes and tools; below it what to do at the left, with a drawing, and where to write at
the right. Choices are boxes with their words; a number has a long box with its unit.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.lib.utils import simpleSplit
from reportlab.platypus import Flowable

from .document import Field, FieldKind, Form
from .pdf_base import GUTTER, MM, Drawn, Gap, cells_in, span
from .pdf_drawings import LineDrawing
from .pdf_tables import TickBox
from .pdf_text import BOLD, FONT, INK, LINE, QUIET, fitted, numbered, plain, prose, width_of

_LABEL_WIDE = 33 * MM
_BOX_HIGH = 7.6 * MM
_CHOICE_HIGH = 6.6 * MM
_LINE = 10.0
_BOX = 4.4 * MM
_SIZE = 8.2
_SMALL = 7.6


class AnswerBox(Drawn):
    """A long open box with its unit at the right end."""

    def __init__(self, unit: str) -> None:
        super().__init__()
        self.unit = plain(unit)

    def height_for(self, width: float) -> float:
        """The box and a little room below it."""
        del width
        return _BOX_HIGH + 2

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Box and unit."""
        foot = height - _BOX_HIGH
        wide = min(width, 36 * MM) if self.unit else width
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.8)
        canvas.rect(0.5, foot, wide - 1, _BOX_HIGH - 1, stroke=1, fill=0)
        canvas.setFillColor(QUIET)
        canvas.setFont(FONT, _SIZE)
        canvas.drawString(wide + 4, foot + 7.5, fitted(self.unit, FONT, _SIZE, width - wide))


class Choices(Drawn):
    """Boxes with their words, as many to a line as fit; long words go on below."""

    def __init__(self, choices: Sequence[str]) -> None:
        super().__init__()
        self.choices = [" ".join(plain(choice).split()) for choice in choices]

    def _places(self, width: float) -> tuple[list[tuple[float, float, list[str]]], float]:
        """Left edge, distance from the top and lines of words of every choice; and the height."""
        made: list[tuple[float, float, list[str]]] = []
        x, top, high = 0.0, 0.0, _CHOICE_HIGH
        room = width - _BOX - 5
        for choice in self.choices:
            lines = simpleSplit(choice, FONT, _SIZE, room) or [""]
            wide = _BOX + 5 + max(width_of(line, FONT, _SIZE) for line in lines)
            if x and x + wide > width:
                x, top, high = 0.0, top + high, _CHOICE_HIGH
            made.append((x, top, lines))
            high = max(high, _CHOICE_HIGH + (len(lines) - 1) * _LINE)
            x += wide + 11
        return made, top + high

    def height_for(self, width: float) -> float:
        """As much as the choices need."""
        return self._places(width)[1]

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Open squares and words."""
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.setFont(FONT, _SIZE)
        canvas.setFillColor(INK)
        for x, top, lines in self._places(width)[0]:
            foot = height - top - _BOX - 1.2 * MM
            canvas.rect(x + 0.5, foot, _BOX, _BOX, stroke=1, fill=0)
            for number, line in enumerate(lines):
                base = foot + _BOX / 2 - _SIZE * 0.36 - number * _LINE
                canvas.drawString(x + _BOX + 5, base, line)


class SightLine(Drawn):
    """Boxes for what was not seen, and a long one for a note, on one line."""

    def __init__(self, choices: Sequence[str]) -> None:
        super().__init__()
        self.choices = [plain(choice) for choice in choices]

    def height_for(self, width: float) -> float:
        """One box and the words below it."""
        del width
        return _BOX_HIGH + 12

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Small open squares with words, then the note's box."""
        x, foot = 0.0, height - _BOX_HIGH
        canvas.setStrokeColor(INK)
        canvas.setFont(FONT, _SMALL)
        for choice in self.choices:
            canvas.setLineWidth(0.8)
            canvas.rect(x + 0.5, foot + 6, 10, 10, stroke=1, fill=0)
            canvas.setFillColor(INK)
            canvas.drawString(x + 14, foot + 8.4, choice)
            x += 14 + width_of(choice, FONT, _SMALL) + 8
        canvas.rect(x, foot, width - x - 1, _BOX_HIGH - 1, stroke=1, fill=0)
        canvas.setFillColor(QUIET)
        canvas.setFont(FONT, 6.6)
        canvas.drawString(x, foot - 7.5, "why, note, photo number")


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
    """One check as a block to be filled in: what to do at the left, where to write at the right."""
    left = span(5, width)
    right = width - left - GUTTER
    words: list[Flowable] = []
    for number, step in enumerate(block.steps, 1):
        words += numbered(step, "form-step", str(number))
    if block.hint:
        words += [Gap(1.5), *prose(block.hint, "form-hint")]
    answers = [part for field in block.fields for part in _field(field, right)]
    if block.drawing:
        # It stands in the column that is shorter without it.
        shorter = words if _high(words, left) <= _high(answers, right) else answers
        shorter += [Gap(3), LineDrawing(block.drawing, left * 0.86)]
    style = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (0, 0), GUTTER),
        ("RIGHTPADDING", (1, 0), (1, 0), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    body = cells_in([[words, answers]], [left + GUTTER, right], style)
    return [_head(block, width), body, Gap(4)]


def _high(column: Sequence[Flowable], width: float) -> float:
    return sum(float(part.wrap(width, 1e6)[1]) for part in column)


def _head(block: Form, width: float) -> Flowable:
    """A box to tick, the title with the hazards below it, minutes and tools at the right."""
    style = [
        ("LINEABOVE", (0, 0), (-1, 0), 0.6, LINE),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    box, right = 8 * MM, 52 * MM
    title: list[Flowable] = list(prose(block.title, "form-title", outline=2))
    if block.hazards:
        title.append(HazardStrip(block.hazards))
    cells = [[TickBox(13), title, prose(block.beside, "cell-small-right")]]
    return cells_in(cells, [box, width - box - right, right], style)


def _field(field: Field, width: float) -> list[Flowable]:
    """A label with its answer beside it; choices have the whole width below their label."""
    if field.kind is FieldKind.SIGHT:
        return [Gap(2), SightLine(field.choices)]
    help_words = list(prose(field.help, "form-hint"))
    if field.kind is FieldKind.CHOICE:
        return [*prose(field.label, "form-label"), *help_words, Choices(field.choices), Gap(1.5)]
    style = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 0.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("TOPPADDING", (0, 0), (0, -1), 5),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    cells = [[prose(field.label, "form-label"), [AnswerBox(field.unit), *help_words]]]
    return [cells_in(cells, [_LABEL_WIDE, width - _LABEL_WIDE], style)]
