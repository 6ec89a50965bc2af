"""How the low and high of a line are meant: passed one time in ten, or never; a curve, or straight.

People who think of the ends as the worst that can happen name ranges that are too narrow, so the
usual reading is that each end is passed one time in ten (Teigen and Jorgensen 2005).
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QWidget

from workbench.domain.frozen import FrozenMap
from workbench.domain.ledger import LineChange
from workbench.domain.problem import EntryError
from workbench.domain.span import Ends, Shape, Span
from workbench.window import formatting
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import marked, tr
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.surroundings import SPACE_RELATED

if TYPE_CHECKING:
    from workbench.figures.assessment import Line

LIMITS = {
    Ends.ONE_IN_TEN: marked("one time in ten below, one in ten above"),
    Ends.LIMITS: marked("never below, never above"),
}
SHAPES = {
    Shape.PERT: marked("a curve between (PERT)"),
    Shape.TRIANGLE: marked("straight between (triangle)"),
}


class RangeReading(QWidget):
    """Two choices: what the ends mean, and for a whole job what lies between them.

    Signals
    -------
    ends_chosen(Ends)
        The ends are meant in another way.
    shape_chosen(Shape)
        Another shape lies between them.
    """

    ends_chosen = Signal(object)
    shape_chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.ends = _choice(LIMITS, tr("How low and high are meant"))
        self.ends.setToolTip(
            tr(
                "Ranges meant as the worst that can happen turn out too narrow; the price book's "
                "are passed one time in ten on each side. Choosing here rereads your own ranges of "
                "this line."
            )
        )
        self.shape = _choice(SHAPES, tr("What lies between low and high"))
        row = FlowLayout(self, spacing=SPACE_RELATED)
        row.addWidget(self.ends)
        row.addWidget(self.shape)
        self.ends.activated.connect(lambda _: self.ends_chosen.emit(self.ends.currentData()))
        self.shape.activated.connect(lambda _: self.shape_chosen.emit(self.shape.currentData()))

    def show_reading(self, ends: Ends, shape: Shape | None) -> None:
        """Show what holds; without a shape, which a line of the price book has none of its own."""
        self.ends.setCurrentIndex(self.ends.findData(ends))
        self.shape.setVisible(shape is not None)
        if shape is not None:
            self.shape.setCurrentIndex(self.shape.findData(shape))

    def chosen_ends(self) -> Ends:
        """How the next range that is typed will be read."""
        ends = self.ends.currentData()
        return ends if isinstance(ends, Ends) else Ends.ONE_IN_TEN


def _choice(words: dict[Ends, str] | dict[Shape, str], name: str) -> QComboBox:
    box = QComboBox()
    box.setAccessibleName(name)
    for one, text in words.items():
        box.addItem(tr(text), one)
    return box


# --- Ranges of a line ---


def own_spans(line: Line, change: LineChange) -> tuple[Span, ...]:
    """The ranges of a line that are the buyer's own."""
    if line.own is not None:
        return (line.own.cost,)
    own = tuple(change.hours.values())
    return own if change.materials is None else (*own, change.materials)


def ends_of(spans: tuple[Span, ...]) -> Ends | None:
    """What the ends of the first range mean that is one; None where none is."""
    return next((one.ends for one in spans if not one.certain), None)


def reread(change: LineChange, ends: Ends) -> dict[str, object]:
    """The fields of a change with its ranges read in another way."""
    hours = {trade: dataclasses.replace(span, ends=ends) for trade, span in change.hours.items()}
    own = change.materials
    return {
        "hours": FrozenMap(hours),
        "materials": None if own is None else dataclasses.replace(own, ends=ends),
    }


def too_narrow_words(session: Session, line: Line) -> str:
    """What the figures say of ranges of the line that claim more than they can carry."""
    figures = session.boat
    found = [one for one in figures.problems if one.key == line.key] if figures else []
    return "\n".join(f"{said(one.message)} {said(one.remedy)}" for one in found)


# --- Numbers of a line ---


def read_positive(text: str) -> Decimal | None:
    """A number of 0 or more; None for nothing.

    Raises
    ------
    EntryError
        With the sentence for the field.
    """
    if not text.strip():
        return None
    number = formatting.read_number(text.replace("%", ""))
    if number < 0:
        raise EntryError(tr("This cannot be below zero."))
    return number


def shown_number(value: object) -> str:
    """A number as its field shows it."""
    if not isinstance(value, Decimal):
        return ""
    text = f"{round(value, 2).normalize():f}"
    return text.replace(".", formatting.decimal_mark())
