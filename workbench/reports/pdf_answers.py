"""Where to write: open boxes large enough for cold fingers, boxes to tick, and what stands by them.

A number has a long box with its unit and limits beside it; choices are boxes with their words; what
was not seen is ticked on a line of its own, with room for why and for a note. The same boxes hold
fields where a form is filled in on a screen (`Field.tip`).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from reportlab.lib.utils import simpleSplit
from reportlab.platypus import Flowable

from .document import Field, FieldKind
from .pdf_base import MM, Command, Drawn, Gap, cells_in
from .pdf_text import FONT, INK, QUIET, Printed, fitted, plain, prose, width_of
from .pdf_widgets import Ask, Spot

_LABEL_WIDE = 33 * MM
_BOX_WIDE = 36 * MM
_BOX_HIGH = 7.4 * MM
_TYPED_HIGH = 6.2 * MM
_TYPED_LINES_HIGH = 10.4 * MM
_CHOICE_HIGH = 6.1 * MM
_LINE = 10.0
_BOX = 4.4 * MM
_SIZE = 8.2
_SMALL = 7.6
_SMALLER = 6.6
_TINY = 5.8
_NOTE_HIGH = 8.4 * MM
_LEAST_WORDS = 20 * MM
"""Below this width a unit and its limits do not stand beside a box."""
_LEAST_NOTE = 40 * MM
"""A box for a note that would be shorter than this gets a line of its own."""
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
        wide = min(width - beside, _BOX_WIDE) if self.unit else width
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
            foot = height - top - _BOX - 0.9 * MM
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
        self.high = _TYPED_HIGH if field.tip else _NOTE_HIGH
        self.side = _BOX if field.tip else 10.0

    def _is_short(self, width: float) -> bool:
        """Whether the box for a note has to go below the squares to be long enough."""
        squares = sum(self.side + 12 + width_of(choice, FONT, _SMALL) for choice in self.choices)
        return width - squares < _LEAST_NOTE

    def height_for(self, width: float) -> float:
        """One box, what is written on a screen below it, and the squares where they are above."""
        above = self.side + 5 if self._is_short(width) else 0.0
        return above + self.high + (12 if self.why is not None else 2)

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Small open squares with words, then the note's box."""
        side = self.side
        is_short = self._is_short(width)
        x, foot = 0.0, height - (side + 3 if is_short else self.high)
        room = side + 2 if is_short else self.high
        canvas.setStrokeColor(INK)
        canvas.setFont(FONT, _SMALL)
        for number, choice in enumerate(self.choices):
            canvas.setLineWidth(0.8)
            below = foot + (room - 1 - side) / 2
            canvas.rect(x + 0.5, below, side, side, stroke=1, fill=0)
            canvas.setFillColor(INK)
            canvas.drawString(x + side + 4, below + side / 2 - 2.6, choice)
            if self.field.tip:
                _ask_to_tick(canvas, self.field, number, x + 0.5, below)
            x += side + 4 + width_of(choice, FONT, _SMALL) + 8
        if is_short:
            x, foot = 0.0, foot - 2 - self.high
        canvas.setLineWidth(0.8)
        canvas.rect(x, foot, width - x - 1, self.high - 1, stroke=1, fill=0)
        canvas.setFillColor(QUIET)
        if self.why is None:
            # In the corner of the box: it is read once and written over afterwards.
            canvas.setFont(FONT, _TINY)
            canvas.drawString(x + 2.5, foot + self.high - 8, "why, note, photo number")
        else:
            canvas.setFont(FONT, _SMALLER)
            canvas.drawString(x, foot - 7.5, self.why.label)
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


def answers(fields: Sequence[Field], width: float) -> list[Flowable]:
    """Where all fields of one check are written, one below the other."""
    why = next((field for field in fields if field.kind is FieldKind.WHY), None)
    return [part for field in fields for part in _answer(field, width, why)]


def high(column: Sequence[Flowable], width: float) -> float:
    """How high a column is [pt]."""
    return sum(float(part.wrap(width, 1e6)[1]) for part in column)


def _answer(field: Field, width: float, why: Field | None) -> list[Flowable]:
    """A label with its answer beside it, or below it where that takes less room."""
    if field.kind is FieldKind.SIGHT:
        return [Gap(2), SightLine(field, why)]
    if field.kind is FieldKind.WHY:
        return []  # it stands on the line of what was not seen
    if field.kind is FieldKind.MARK:
        return [FormMark(field)]
    help_words = list(prose(field.help, "form-hint"))
    is_long = bool(field.tip) and len(field.choices) > _MOST_BOXES
    if field.kind is FieldKind.CHOICE and not is_long:
        return _choice(field, help_words, width)
    wide = min(_LABEL_WIDE, width * 0.36)
    room = width - wide
    if field.tip or not field.unit or room - _BOX_WIDE < _LEAST_WORDS:
        return [_beside(field.label, [AnswerBox(field), *help_words], wide, width)]
    return [_number(field, help_words, wide, width)]


def _choice(field: Field, help_words: list[Printed], width: float) -> list[Flowable]:
    label = list(prose(field.label, "form-label"))
    below: list[Flowable] = [*label, *help_words, Choices(field), Gap(1.5)]
    if help_words:
        return below
    beside = [_beside(field.label, [Choices(field)], _LABEL_WIDE, width), Gap(1.5)]
    return beside if high(beside, width) < high(below, width) else below


def _beside(label: str, answer: list[Flowable], wide: float, width: float) -> Flowable:
    """A label and its answer, whose first lines stand level."""
    return cells_in([[prose(label, "form-label"), answer]], [wide, width - wide], _ROW)


def _number(field: Field, help_words: list[Printed], wide: float, width: float) -> Flowable:
    """A label, a box, and the unit with its limits beside that; below it where they are many."""
    room = width - wide - _BOX_WIDE
    box = AnswerBox(dataclasses.replace(field, unit=""))
    words = [*prose(field.unit, "form-unit"), *help_words]
    if high(words, room - 4) > box.high + high(help_words, width - wide):
        return _beside(field.label, [AnswerBox(field), *help_words], wide, width)
    cells = [[prose(field.label, "form-label"), [box], words]]
    return cells_in(cells, [wide, _BOX_WIDE, room], _ROW)


_ROW: list[Command] = [
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (0, -1), 4),
    ("RIGHTPADDING", (1, 0), (1, -1), 0),
    ("LEFTPADDING", (2, 0), (2, -1), 4),
    ("RIGHTPADDING", (2, 0), (2, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0.5),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ("TOPPADDING", (0, 0), (0, -1), 5),
    ("TOPPADDING", (2, 0), (2, -1), 2),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]
