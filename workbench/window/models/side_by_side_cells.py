"""What the matrix of the comparison is made of: cells, rows and columns, and which cells stand out.

A row whose cells differ lights its best and its worst cell; rows without a better or a worse end
are never marked.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from enum import Enum

from workbench.domain.record import dataclass


class Lit(Enum):
    """How a cell stands out in its row."""

    NOT = "not"
    BEST = "best"
    WORST = "worst"


class Better(Enum):
    """Which end of a row is the better one."""

    LOW = "low"
    HIGH = "high"
    NEITHER = "neither"


@dataclass(frozen=True, slots=True)
class Cell:
    """One boat's entry of a row.

    Attributes
    ----------
    text
        What is written and copied.
    value
        By which the best and the worst are picked; None where it is not known.
    note
        Quiet words beside the figure.
    grade
        Mark before the words; empty for none.
    words
        Whether the cell holds words, which stand at the left, and not a figure.
    check
        The check it leads to; empty for none.
    """

    text: str
    value: float | None = None
    note: str = ""
    tip: str = ""
    grade: str = ""
    words: bool = False
    check: str = ""
    lit: Lit = Lit.NOT


@dataclass(frozen=True, slots=True)
class Row:
    """One row: a heading where it has no cells."""

    key: str
    title: str
    cells: tuple[Cell, ...] = ()
    tip: str = ""

    @property
    def heading(self) -> bool:
        """Whether it only heads the rows below it."""
        return not self.cells


@dataclass(frozen=True, slots=True)
class Column:
    """One boat of the matrix."""

    boat: str
    name: str
    about: str


@dataclass(frozen=True, slots=True)
class Matrix:
    """All boats that are not put away, least expected cost first."""

    columns: tuple[Column, ...] = ()
    rows: tuple[Row, ...] = ()


def lit_cells(cells: Sequence[Cell], better: Better) -> tuple[Cell, ...]:
    """The cells with the best and the worst marked; none where they do not differ."""
    known = [cell.value for cell in cells if cell.value is not None]
    if better is Better.NEITHER or len(known) < 2 or min(known) == max(known):
        return tuple(cells)
    low, high = min(known), max(known)
    best, worst = (low, high) if better is Better.LOW else (high, low)
    marks = {best: Lit.BEST, worst: Lit.WORST}

    def mark(cell: Cell) -> Cell:
        lit = Lit.NOT if cell.value is None else marks.get(cell.value, Lit.NOT)
        return dataclasses.replace(cell, lit=lit) if lit is not Lit.NOT else cell

    return tuple(mark(cell) for cell in cells)
