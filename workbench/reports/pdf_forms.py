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
from .pdf_widgets import Ask, Spot

_LABEL_WIDE = 33 * MM
_BOX_HIGH = 7.6 * MM
_TYPED_HIGH = 6.2 * MM
_TYPED_LINES_HIGH = 10.4 * MM
_CHOICE_HIGH = 6.6 * MM
_LINE = 10.0
_BOX = 4.4 * MM
_SIZE = 8.2
_SMALL = 7.6
_MOST_BOXES = 8
"""Of more choices than this one is taken from a list, where the form is filled in on a screen."""


class AnswerBox(Drawn):
    """A long open box with its unit at the right end."""

    def __init__(self, field: Field) -> None:
        super().__init__()
        self.field = field
        self.unit = plain(field.unit)
        self.high = _BOX_HIGH
        if field.tip:
            self.high = _TYPED_LINES_HIGH if field.kind is FieldKind.LINES else _TYPED_HIGH

    def height_for(self, width: float) -> float:
        """The box and a little room below it."""
        del width
        return self.high + 2

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Box and unit."""
        foot = height - self.high
        beside = min(width_of(self.unit, FONT, _SIZE) + 5, width - 20 * MM) if self.unit else 0.0
        wide = min(width - beside, 36 * MM) if self.unit else width
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.8)
        canvas.rect(0.5, foot, wide - 1, self.high - 1, stroke=1, fill=0)
        canvas.setFillColor(QUIET)
        canvas.setFont(FONT, _SIZE)
        base = foot + self.high / 2 - 3.3
        if self.unit:
            canvas.drawString(wide + 4, base, fitted(self.unit, FONT, _SIZE, width - wide - 4))
        if self.field.tip:
            _ask(canvas, self.field, (0.5, foot, wide - 1, self.high - 1))


def _ask(canvas: Any, field: Field, box: tuple[float, float, float, float]) -> None:
    """Let a box that is drawn from `left`, `foot`, `wide`, `high` be filled in on a screen."""
    left, foot, wide, high = box
    ask = {FieldKind.LINES: Ask.LINES, FieldKind.CHOICE: Ask.LIST}.get(field.kind, Ask.LINE)
    options = tuple(zip(field.values, field.choices, strict=True)) if ask is Ask.LIST else ()
    place = (left + _INSIDE, foot + _INSIDE, wide - 2 * _INSIDE, high - 2 * _INSIDE)
    canvas.add_spot(Spot(ask, field.id, field.tip, *place, options=options))


_INSIDE = 0.6
"""From the line round a box to the field in it."""


def _ask_to_tick(canvas: Any, field: Field, number: int, left: float, foot: float) -> None:
    """Let the box of one choice be ticked on a screen; it has its corner at `left`, `foot`."""
    words = " ".join(plain(field.choices[number]).split())
    canvas.add_spot(
        Spot(
            Ask.TICK,
            field.id,
            f"{field.tip} {words}",
            left + _INSIDE,
            foot + _INSIDE,
            _BOX - 2 * _INSIDE,
            _BOX - 2 * _INSIDE,
            group_tip=f"{field.tip.rstrip(':')}.",
            value=field.values[number],
        )
    )


class Choices(Drawn):
    """Boxes with their words, as many to a line as fit; long words go on below."""

    def __init__(self, field: Field) -> None:
        super().__init__()
        self.field = field
        self.choices = [" ".join(plain(choice).split()) for choice in field.choices]

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
        for place, (x, top, lines) in enumerate(self._places(width)[0]):
            foot = height - top - _BOX - 1.2 * MM
            canvas.rect(x + 0.5, foot, _BOX, _BOX, stroke=1, fill=0)
            for number, line in enumerate(lines):
                base = foot + _BOX / 2 - _SIZE * 0.36 - number * _LINE
                canvas.drawString(x + _BOX + 5, base, line)
            if self.field.tip:
                _ask_to_tick(canvas, self.field, place, x + 0.5, foot)


class SightLine(Drawn):
    """Boxes for what was not seen, and a long one for a note, on one line.

    On a screen the long box asks why it could not be seen, which is a field of its own.
    """

    def __init__(self, field: Field, why: Field | None) -> None:
        super().__init__()
        self.field, self.why = field, why
        self.choices = [plain(choice) for choice in field.choices]
        self.high = _TYPED_HIGH if field.tip else _BOX_HIGH

    def height_for(self, width: float) -> float:
        """One box and the words below it."""
        del width
        return self.high + 12

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Small open squares with words, then the note's box."""
        side = _BOX if self.field.tip else 10.0
        x, foot = 0.0, height - self.high
        canvas.setStrokeColor(INK)
        canvas.setFont(FONT, _SMALL)
        for number, choice in enumerate(self.choices):
            canvas.setLineWidth(0.8)
            below = foot + (self.high - 1 - side) / 2
            canvas.rect(x + 0.5, below, side, side, stroke=1, fill=0)
            canvas.setFillColor(INK)
            canvas.drawString(x + side + 4, below + side / 2 - 2.6, choice)
            if self.field.tip:
                _ask_to_tick(canvas, self.field, number, x + 0.5, below)
            x += side + 4 + width_of(choice, FONT, _SMALL) + 8
        canvas.rect(x, foot, width - x - 1, self.high - 1, stroke=1, fill=0)
        canvas.setFillColor(QUIET)
        canvas.setFont(FONT, 6.6)
        words = self.why.label if self.why is not None else "why, note, photo number"
        canvas.drawString(x, foot - 7.5, words)
        if self.why is not None:
            _ask(canvas, self.why, (x, foot, width - x - 1, self.high - 1))


class FormMark(Drawn):
    """What a form says to whoever reads it again; nothing is seen of it."""

    def __init__(self, field: Field) -> None:
        super().__init__()
        self.field = field

    def height_for(self, width: float) -> float:
        """None."""
        del width
        return 0.0

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """A hidden field."""
        del width, height
        for value in self.field.values:
            canvas.add_spot(Spot(Ask.MARK, self.field.id, self.field.tip, value=value))


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
    why = next((field for field in block.fields if field.kind is FieldKind.WHY), None)
    answers = [part for field in block.fields for part in _field(field, right, why)]
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
    is_typed = any(field.tip for field in block.fields)
    box, right = 0.1 if is_typed else 8 * MM, 52 * MM
    title: list[Flowable] = list(prose(block.title, "form-title", outline=2))
    if block.hazards:
        title.append(HazardStrip(block.hazards))
    # On a screen nobody ticks off a title: what is filled in shows.
    tick: list[Flowable] = [] if is_typed else [TickBox(13)]
    cells = [[tick, title, prose(block.beside, "cell-small-right")]]
    return cells_in(cells, [box, width - box - right, right], style)


def _field(field: Field, width: float, why: Field | None) -> list[Flowable]:
    """A label with its answer beside it; choices have the whole width below their label."""
    if field.kind is FieldKind.SIGHT:
        return [Gap(2), SightLine(field, why)]
    if field.kind is FieldKind.WHY:
        return []  # it stands on the line of what was not seen
    if field.kind is FieldKind.MARK:
        return [FormMark(field)]
    help_words = list(prose(field.help, "form-hint"))
    is_long = bool(field.tip) and len(field.choices) > _MOST_BOXES
    if field.kind is FieldKind.CHOICE and not is_long:
        return [*prose(field.label, "form-label"), *help_words, Choices(field), Gap(1.5)]
    style = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (0, -1), 4),
        ("RIGHTPADDING", (1, 0), (1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 0.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("TOPPADDING", (0, 0), (0, -1), 5),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    cells = [[prose(field.label, "form-label"), [AnswerBox(field), *help_words]]]
    return [cells_in(cells, [_LABEL_WIDE, width - _LABEL_WIDE], style)]
