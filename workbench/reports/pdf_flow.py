"""From the blocks of a document to what reportlab puts on pages.

Every block becomes a short run of flowables. What belongs together stays together: a heading goes
with the start of what follows it, a finding with its photo, a check with its fields. Nothing here
knows what a sheet is about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import singledispatch
from itertools import groupby
from typing import Any

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether
from reportlab.platypus import PageBreak as NewPage
from reportlab.platypus import Table as Cells

from workbench.domain.record import dataclass

from .document import (
    Block,
    Caution,
    Cautions,
    CostBars,
    Curves,
    Drawing,
    Fact,
    Facts,
    Finding,
    Form,
    Heading,
    KeyFigures,
    PageBreak,
    Photos,
    Points,
    Prose,
    Table,
    TitleBlock,
    Together,
    Tone,
    TwoColumns,
)
from .pdf_answers import high
from .pdf_base import GUTTER, MM, Command, Gap, RuleLine, cells_in, span
from .pdf_charts import CostBarsDrawing, CurvesDrawing
from .pdf_drawings import LineDrawing
from .pdf_forms import Checks, form
from .pdf_marks import LargeFigure, Plank, RangeBarDrawing
from .pdf_photos import photo_row
from .pdf_tables import grid, start_height
from .pdf_text import ACCENT, INK, LINE, numbered, prose
from .photos import Darkroom

_LEAST_AFTER_HEADING = 34.0
_LONG_TEXT = 2_500
_SHORT_TABLE = 0.5
"""A table below this share of a page stays on one page with its heading."""
_MOST_KEPT_TOGETHER = 0.6
"""Blocks higher than this share of a page may split: keeping them whole would leave holes."""


@dataclass(frozen=True, slots=True)
class Setting:
    """Where blocks are set: the width and height of a page's frame, and the photos."""

    width: float
    height: float
    darkroom: Darkroom


class _RoomFor(CondPageBreak):
    """A new page unless there is room for so much; takes up no space of its own."""

    _SPACETRANSFER = True


class Kept(KeepTogether):
    """Flowables that stay on one page."""

    def __init__(self, content: list[Flowable]) -> None:
        super().__init__(content)
        self.content = content


def story(blocks: Sequence[Block], setting: Setting) -> list[Flowable]:
    """All blocks in order; a heading and its cautions bring the start of the next to their page."""
    made: list[Flowable] = []
    waiting: list[Flowable] = []
    runs = list(_runs(blocks, setting))
    for place, (block, run) in enumerate(runs):
        if isinstance(block, Heading):
            waiting += run
            continue
        if waiting:
            before = float(waiting[0].getSpaceBefore())
            need = before + _height(waiting, setting) + _start(run, setting)
            after = runs[place + 1][1][:1] if place + 1 < len(runs) else []
            if isinstance(block, Cautions) or any(isinstance(one, Checks) for one in after):
                need += _start(after, setting)
            made.append(_RoomFor(min(need, setting.height - 1)))
            made += waiting
            waiting = []
        made += run
    return made + waiting


def _runs(blocks: Sequence[Block], setting: Setting) -> Iterator[tuple[Block, list[Flowable]]]:
    """Every block with what is put on pages for it; checks that follow each other fill pages."""
    for _, group in groupby(blocks, lambda block: isinstance(block, Form)):
        run = list(group)
        forms = [block for block in run if isinstance(block, Form)]
        checks = [form(one, setting.width) for one in forms]
        if forms and all(high(one, setting.width) < setting.height for one in checks):
            yield run[0], [Checks(checks)]
        else:
            yield from ((block, _flow(block, setting)) for block in run)


def height_of(blocks: Sequence[Block], setting: Setting) -> float:
    """How high some blocks are when they are set on one endless page [pt]."""
    return _height(story(blocks, setting), setting)


def _height(flowables: Sequence[Flowable], setting: Setting) -> float:
    """Heights and the spaces between, as a frame adds them up."""
    total, after = 0.0, 0.0
    for number, one in enumerate(flowables):
        if isinstance(one, CondPageBreak | NewPage):
            continue
        if isinstance(one, Kept | Checks):
            total += _height(_loose([one]), setting)
            continue
        _, high = one.wrap(setting.width, 1e6)
        before = float(one.getSpaceBefore()) if number else 0.0
        total += max(before - after, 0.0) + float(high) + float(one.getSpaceAfter())
        after = float(one.getSpaceAfter())
    return total


def _start(run: Sequence[Flowable], setting: Setting) -> float:
    """The height of what of a run must stand right below its heading."""
    if not run:
        return 0.0
    first = run[0]
    if isinstance(first, Checks):
        return first.least(setting.width)
    if isinstance(first, Kept):
        whole = _height(first.content, setting)
        return whole if whole < setting.height * _MOST_KEPT_TOGETHER else _LEAST_AFTER_HEADING
    if isinstance(first, Cells):
        _, whole = first.wrap(setting.width, 1e6)
        return whole if whole < setting.height * _SHORT_TABLE else start_height(first)
    _, high = first.wrap(setting.width, 1e6)
    return min(float(high), _LEAST_AFTER_HEADING)


def _kept(given: list[Flowable], setting: Setting) -> list[Flowable]:
    """The run on one page, or as it comes where it is too high for that."""
    run = _loose(given)
    if _height(run, setting) > setting.height * _MOST_KEPT_TOGETHER:
        return given
    return [Kept(run)]


def _loose(run: Sequence[Flowable]) -> list[Flowable]:
    """A run without the ties inside it: one that is kept whole needs none, and breaks on them."""
    made: list[Flowable] = []
    for one in run:
        if isinstance(one, Kept):
            made += _loose(one.content)
        elif isinstance(one, Checks):
            made += [part for check in one.checks for part in check]
        elif not isinstance(one, _RoomFor):
            made.append(one)
    return made


@singledispatch
def _flow(block: Block, setting: Setting) -> list[Flowable]:
    raise TypeError(f"no way to set {type(block).__name__}")


@_flow.register
def _(block: TitleBlock, setting: Setting) -> list[Flowable]:
    made: list[Flowable] = list(prose(block.above, "above"))
    made += prose(block.title, "title", outline=0)
    made += prose(block.below, "below")
    return [*made, RuleLine(ACCENT, 2.2, before=6, after=10)]


@_flow.register
def _(block: Heading, setting: Setting) -> list[Flowable]:
    level = block.level if block.outline else None
    return list(prose(block.text, f"heading-{block.level}", outline=level))


@_flow.register
def _(block: Prose, setting: Setting) -> list[Flowable]:
    role = {Tone.BODY: "body", Tone.QUIET: "quiet", Tone.SMALL: "small"}[block.tone]
    return list(prose(block.text, role, block.lead))


@_flow.register
def _(block: Points, setting: Setting) -> list[Flowable]:
    made: list[Flowable] = []
    for number, item in enumerate(block.items, 1):
        made += numbered(item, "point", f"{number}." if block.numbered else "–")
    return made


@_flow.register
def _(block: KeyFigures, setting: Setting) -> list[Flowable]:
    count = len(block.items)
    place = (setting.width - (count - 1) * GUTTER) / count
    cells = [
        [*prose(item.label, "figure-label"), LargeFigure(item.figure, item.beside)]
        for item in block.items
    ]
    style = [
        *_BARE,
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 5),
    ]
    row: list[Any] = []
    widths: list[float] = []
    for number, cell in enumerate(cells):
        if number:
            row.append([])
            widths.append(GUTTER)
        style.append(("LINEABOVE", (2 * number, 0), (2 * number, 0), 0.9, INK))
        row.append(cell)
        widths.append(place)
    return [cells_in([row], widths, style, after=10)]


_BARE: list[Command] = [
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]


@_flow.register
def _(block: Table, setting: Setting) -> list[Flowable]:
    return [grid(block, setting.width, setting.height)]


@_flow.register
def _(block: Photos, setting: Setting) -> list[Flowable]:
    return photo_row(block.items, block.across, setting.width, setting.darkroom)


@_flow.register
def _(block: Caution, setting: Setting) -> list[Flowable]:
    words = prose(block.text, "caution", block.title)
    return [boxed(list(words), setting.width)]


@_flow.register
def _(block: Cautions, setting: Setting) -> list[Flowable]:
    words: list[Flowable] = []
    for one in block.items:
        words += [*prose(one.text, "caution", one.title), Gap(2.5)]
    return [boxed(words[:-1], setting.width)] if words else []


def boxed(content: list[Flowable], width: float) -> Flowable:
    """Content in a ruled box."""
    style = [
        ("BOX", (0, 0), (-1, -1), 0.9, INK),
        ("LEFTPADDING", (0, 0), (-1, -1), 9),
        ("RIGHTPADDING", (0, 0), (-1, -1), 9),
        ("TOPPADDING", (0, 0), (-1, -1), 6),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 7),
    ]
    return cells_in([[content]], [width], style, before=6, after=8)


@_flow.register
def _(block: Drawing, setting: Setting) -> list[Flowable]:
    made: list[Flowable] = [LineDrawing(block.name, block.width_mm * MM)]
    return _kept([*made, *prose(block.caption, "caption")], setting)


@_flow.register
def _(block: CostBars, setting: Setting) -> list[Flowable]:
    return [CostBarsDrawing(block), Gap(6)]


@_flow.register
def _(block: Curves, setting: Setting) -> list[Flowable]:
    return [CurvesDrawing(block), Gap(6)]


@_flow.register
def _(block: Form, setting: Setting) -> list[Flowable]:
    return [Kept(form(block, setting.width))]


@_flow.register
def _(block: TwoColumns, setting: Setting) -> list[Flowable]:
    half = Setting(span(6, setting.width), setting.height, setting.darkroom)
    cells = [[story(block.left, half), story(block.right, half)]]
    style = [*_BARE, ("RIGHTPADDING", (0, 0), (0, 0), GUTTER), ("RIGHTPADDING", (1, 0), (1, 0), 0)]
    widths = [half.width + GUTTER, half.width]
    return [cells_in(cells, widths, style, after=2)]


@_flow.register
def _(block: Together, setting: Setting) -> list[Flowable]:
    return _kept(story(block.blocks, setting), setting)


@_flow.register
def _(block: PageBreak, setting: Setting) -> list[Flowable]:
    return [NewPage()]


@_flow.register
def _(block: Facts, setting: Setting) -> list[Flowable]:
    return [part for fact in block.items for part in (_fact(fact, setting.width), Gap(2.5))]


@_flow.register
def _(block: Finding, setting: Setting) -> list[Flowable]:
    head = _finding_head(block, setting.width)
    words_wide = span(8, setting.width) if _has_side(block) else setting.width
    long = sum(len(fact.text) for fact in block.facts) > _LONG_TEXT
    if long or not _has_side(block):
        return [*_unsided(block, head, setting), *_side_below(block, setting), Gap(7)]
    words = [_fact(fact, words_wide) for fact in block.facts]
    side = _side(block, setting)
    style = [*_BARE, ("RIGHTPADDING", (0, 0), (0, 0), GUTTER), ("RIGHTPADDING", (1, 0), (1, 0), 0)]
    widths = [words_wide + GUTTER, setting.width - words_wide - GUTTER]
    body_grid = cells_in([[words, side]], widths, style)
    more = block.photos[1:]
    rest = photo_row(more, 3, setting.width, setting.darkroom) if more else []
    return [*_kept([head, body_grid], setting), *rest, Gap(7)]


def _unsided(block: Finding, head: Flowable, setting: Setting) -> list[Flowable]:
    """A finding over the whole width; what is too long to stand beside its label flows freely."""
    body: list[Flowable] = []
    for fact in block.facts:
        if len(fact.text) < _LONG_TEXT:
            body.append(_fact(fact, setting.width))
        else:
            body += prose(fact.text, "body", fact.label)
    if len(body) <= len(block.facts):
        return _kept([head, *body], setting)
    return [*_kept([head, *body[:2]], setting), *body[2:]]


def _has_side(block: Finding) -> bool:
    return bool(block.photos or block.drawing)


def _side(block: Finding, setting: Setting) -> list[Flowable]:
    """The first photo, or the drawing, beside a finding's words."""
    wide = span(4, setting.width)
    if block.photos:
        return photo_row(block.photos[:1], 1, wide, setting.darkroom)
    return [LineDrawing(block.drawing, wide)]


def _side_below(block: Finding, setting: Setting) -> list[Flowable]:
    """Photos below a finding whose words are too long to stand beside them."""
    if block.photos:
        return photo_row(block.photos, 3, setting.width, setting.darkroom)
    return []


def _finding_head(block: Finding, width: float) -> Flowable:
    """A rule, the mark, the title, and a figure at the right."""
    mark: list[Flowable] = [Plank(block.grade, 12.5, 1.05)] if block.grade else []
    title = list(prose(block.title, "finding", outline=2))
    figure: list[Flowable] = list(prose(block.figure, "finding-figure"))
    left, right = 9 * MM if mark else 0.1, 52 * MM if figure else 0.1
    style = [
        *_BARE,
        ("LINEABOVE", (0, 0), (-1, 0), 0.6, LINE),
        ("TOPPADDING", (0, 0), (-1, -1), 6),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ]
    cells: list[Any] = [mark, title, figure]
    return cells_in([cells], [left, width - left - right, right], style)


def _fact(fact: Fact, width: float) -> Flowable:
    """A label at the left and its words beside it."""
    label = 27 * MM
    words: list[Flowable] = list(prose(fact.text, "fact"))
    if fact.bar is not None:
        words.append(RangeBarDrawing(fact.bar, 60 * MM))
    cells = [[list(prose(fact.label, "fact-label")), words]]
    style = [*_BARE, ("RIGHTPADDING", (0, 0), (-1, -1), 4)]
    return cells_in(cells, [label, width - label], style, splitInRow=1)
