"""A document as plain text: what every block says, in order, for tests and for reading aloud.

    # heading        ## smaller heading        [due] a grade mark        | a | table | row |

Nothing that a block says is left out, so two documents with the same text say the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import singledispatch

from .document import (
    Block,
    Caution,
    Cautions,
    Cell,
    CostBars,
    Curves,
    Document,
    Drawing,
    Facts,
    Finding,
    Form,
    Heading,
    KeyFigures,
    PageBreak,
    Photo,
    Photos,
    Points,
    Prose,
    Row,
    Table,
    TitleBlock,
    Together,
    TwoColumns,
)


def as_text(document: Document) -> str:
    """The whole document as lines of text."""
    lines = [f"title: {document.title}", f"subject: {document.subject}", f"foot: {document.foot}"]
    for block in document.blocks:
        lines.append("")
        lines += _lines(block)
    return "\n".join(lines) + "\n"


@singledispatch
def _lines(block: Block) -> Iterator[str]:
    raise TypeError(f"no text for {type(block).__name__}")


@_lines.register
def _(block: TitleBlock) -> Iterator[str]:
    yield block.above
    yield f"= {block.title} ="
    if block.below:
        yield block.below


@_lines.register
def _(block: Heading) -> Iterator[str]:
    yield f"{'#' * block.level} {block.text}"


@_lines.register
def _(block: Prose) -> Iterator[str]:
    yield f"{block.lead} {block.text}".strip()


@_lines.register
def _(block: Points) -> Iterator[str]:
    for number, item in enumerate(block.items, 1):
        yield f"{number}. {item}" if block.numbered else f"- {item}"


@_lines.register
def _(block: KeyFigures) -> Iterator[str]:
    for item in block.items:
        yield f"{item.label}: {item.figure} {item.beside}".rstrip()


@_lines.register
def _(block: Table) -> Iterator[str]:
    yield _row_text(Row(tuple(Cell(column.title) for column in block.columns)))
    for row in block.rows:
        yield _row_text(row)


def _row_text(row: Row) -> str:
    return "| " + " | ".join(_cell_text(cell) for cell in row.cells) + " |"


def _cell_text(cell: Cell) -> str:
    mark = f"[{cell.grade.value}]" if cell.grade else ""
    return " ".join(part for part in (mark, cell.text, cell.small) if part)


@_lines.register
def _(block: Photos) -> Iterator[str]:
    yield from map(_photo_text, block.items)


def _photo_text(photo: Photo) -> str:
    rings = f", {len(photo.marks)} marked" if photo.marks else ""
    return f"(photo: {photo.caption}{rings})"


@_lines.register
def _(block: Facts) -> Iterator[str]:
    yield from (f"{fact.label}: {fact.text}" for fact in block.items)


@_lines.register
def _(block: Finding) -> Iterator[str]:
    mark = f"[{block.grade.value}] " if block.grade else ""
    yield f"{mark}{block.title} {block.figure}".rstrip()
    for fact in block.facts:
        yield f"  {fact.label}: {fact.text}"
    if block.drawing:
        yield f"  (drawing: {block.drawing})"
    yield from (f"  {_photo_text(photo)}" for photo in block.photos)


@_lines.register
def _(block: Caution) -> Iterator[str]:
    yield f"! {block.title} {block.text}"


@_lines.register
def _(block: Cautions) -> Iterator[str]:
    yield from (f"! {one.title} {one.text}" for one in block.items)


@_lines.register
def _(block: Drawing) -> Iterator[str]:
    yield f"(drawing: {block.name} {block.caption}".rstrip() + ")"


@_lines.register
def _(block: CostBars) -> Iterator[str]:
    yield f"(bars in {block.currency}, budget {block.budget})"
    for bar in block.bars:
        yield (
            f"  {bar.label}: price {bar.asking}, fees {bar.fees}, before launching "
            f"{bar.before_launching}, first season {bar.first_season}, unseen {bar.allowance}, "
            f"P50 {bar.p50}, P80 {bar.p80}"
        )


@_lines.register
def _(block: Curves) -> Iterator[str]:
    yield f"(chance curves in {block.currency}, budget {block.budget})"
    for curve in block.curves:
        yield f"  {curve.label}: {len(curve.points)} points"


@_lines.register
def _(block: Form) -> Iterator[str]:
    yield f"[ ] {block.title} {block.beside}".rstrip()
    yield from (f"  ! {hazard}" for hazard in block.hazards)
    yield from (f"  {number}. {step}" for number, step in enumerate(block.steps, 1))
    if block.hint:
        yield f"  {block.hint}"
    for field in block.fields:
        choices = " / ".join(field.choices)
        parts = (f"{field.label}:", choices or "____", field.unit, field.help)
        yield "  " + " ".join(part for part in parts if part)
        if field.tip:
            yield "    " + " ".join((f"({field.id}: {field.tip})", *field.values))
    if block.drawing:
        yield f"  (drawing: {block.drawing})"


@_lines.register
def _(block: TwoColumns) -> Iterator[str]:
    for side in (block.left, block.right):
        for one in side:
            yield from _lines(one)


@_lines.register
def _(block: Together) -> Iterator[str]:
    for one in block.blocks:
        yield from _lines(one)


@_lines.register
def _(block: PageBreak) -> Iterator[str]:
    yield "-- page --"
