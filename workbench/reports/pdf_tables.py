"""Tables on paper: heads that repeat, figures flush right, no stranded first or last row.

A table splits between rows. Its head never stands without two rows below it and its last row never
stands alone; a single row that is taller than a page is split inside, because nothing else can be
done with it.
"""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Flowable

from .document import Cell, Column, Kind, Row, Table, Weight
from .pdf_base import MM, Command, Drawn, cells_in
from .pdf_marks import Plank, RangeBarDrawing
from .pdf_text import INK, LINE, PANEL, prose

_MARK_WIDE = 8.2 * MM
_TICK_WIDE = 8 * MM
_PAD = 5.0
LONGEST_CELL = 4_000


class TickBox(Drawn):
    """A box to tick, large enough for cold fingers."""

    def __init__(self, side: float = 11.0) -> None:
        super().__init__()
        self.side = side

    def height_for(self, width: float) -> float:
        """The box."""
        del width
        return self.side

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """An open square."""
        del width
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.rect(0.5, 0, height - 1, height - 1, stroke=1, fill=0)


def grid(table: Table, width: float, page_height: float) -> Any:
    """A table `width` wide, ready to be put on pages with room for `page_height`."""
    widths = _widths(table.columns, width)
    data = [_head(table.columns), *(_cells(row, table.columns) for row in table.rows)]
    style = [*_base_style(table), *_row_styles(table)]
    last = len(data) - 1
    if last >= 2:
        style.append(("NOSPLIT", (0, 0), (-1, 2)))
    if last >= 3:
        style.append(("NOSPLIT", (0, last - 1), (-1, last)))
    made: Any = cells_in(data, widths, style, after=6, repeatRows=1)
    if table.row_height_mm:
        _stretch(made, table.row_height_mm * MM, width)
    made.wrap(width, 1e6)
    if max(made._rowHeights) > page_height - made._rowHeights[0]:
        return cells_in(data, widths, style, after=6, repeatRows=1, splitInRow=1)
    return made


def _stretch(made: Any, least: float, width: float) -> None:
    """Give every body row at least a height to write in."""
    made.wrap(width, 1e6)
    heights = [made._rowHeights[0], *(max(one, least) for one in made._rowHeights[1:])]
    # Both lists: the library takes given heights from the one and splits by the other.
    made._argH, made._rowHeights = heights, list(heights)
    made.reckon_again()


def start_height(made: Any) -> float:
    """The height of what must stand together at a table's start: its head and two rows."""
    return float(sum(made._rowHeights[:3]))


def _widths(columns: tuple[Column, ...], width: float) -> list[float]:
    fixed = {Kind.MARK: _MARK_WIDE, Kind.TICK: _TICK_WIDE}
    taken = sum(fixed.get(column.kind, 0.0) for column in columns)
    shares = sum(column.share for column in columns if column.kind not in fixed)
    return [
        fixed[column.kind]
        if column.kind in fixed
        else (width - taken) * column.share / (shares or 1)
        for column in columns
    ]


def _head(columns: tuple[Column, ...]) -> list[list[Flowable]]:
    return [
        list(prose(column.title, "head-right" if column.kind is Kind.FIGURE else "head"))
        for column in columns
    ]


def _cells(row: Row, columns: tuple[Column, ...]) -> list[list[Flowable]]:
    bold = row.weight is not Weight.PLAIN
    return [_cell(cell, column.kind, bold) for cell, column in zip(row.cells, columns, strict=True)]


def _cell(cell: Cell, kind: Kind, bold: bool) -> list[Flowable]:
    right = "-right" if kind is Kind.FIGURE else ""
    weight = "-bold" if bold or cell.bold else ""
    made: list[Flowable] = []
    if cell.grade is not None:
        made.append(Plank(cell.grade))
    if kind is Kind.TICK and not bold:
        made.append(TickBox())
    made += prose(cell.text[:LONGEST_CELL], f"cell{right}{weight}")
    made += prose(cell.small[:LONGEST_CELL], f"cell-small{right}")
    if cell.bar is not None:
        made.append(RangeBarDrawing(cell.bar))
    return made


def _base_style(table: Table) -> list[Command]:
    gap = 2.6 if table.dense else 4.6
    style: list[Command] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), _PAD),
        ("TOPPADDING", (0, 0), (-1, -1), gap),
        ("BOTTOMPADDING", (0, 0), (-1, -1), gap),
        ("TOPPADDING", (0, 0), (-1, 0), 1),
        ("BOTTOMPADDING", (0, 0), (-1, 0), 3.5),
        ("LINEBELOW", (0, 0), (-1, 0), 0.9, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.5, LINE),
    ]
    for number, column in enumerate(table.columns):
        follows = table.columns[number + 1].kind if number + 1 < len(table.columns) else None
        if column.kind is Kind.FIGURE:
            pad = 11.0 if follows is Kind.TEXT else _PAD + 2 if follows else 0.0
            style.append(("RIGHTPADDING", (number, 0), (number, -1), pad))
        if column.kind is Kind.BLANK:
            style.append(("LINEBEFORE", (number, 1), (number, -1), 0.5, LINE))
    return style


def _row_styles(table: Table) -> list[Command]:
    style: list[Command] = []
    for number, row in enumerate(table.rows, 1):
        if row.weight is Weight.TOTAL:
            style.append(("LINEABOVE", (0, number), (-1, number), 0.9, INK))
            style.append(("LINEBELOW", (0, number), (-1, number), 0, LINE))
        elif row.weight is Weight.GROUP:
            style.append(("SPAN", (0, number), (-1, number)))
            style.append(("BACKGROUND", (0, number), (-1, number), PANEL))
            style.append(("LEFTPADDING", (0, number), (0, number), 4))
            if number < len(table.rows):
                style.append(("NOSPLIT", (0, number), (-1, number + 1)))
    return style
