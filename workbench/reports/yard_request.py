"""The request for a quote: the work grouped by what must be done first, with blanks to fill in.

Access work stands in a table of its own and is priced once, however many jobs it serves. No
estimate is printed, so the yard's price is its own.
"""

from __future__ import annotations

from .document import (
    Block,
    Caution,
    Cell,
    Column,
    Document,
    Heading,
    Kind,
    Points,
    Prose,
    Row,
    Table,
    TitleBlock,
    Together,
)
from .parts import she_is
from .words import WHEN_WORDS, clipped, counted, day
from .yard_view import YardGroup, YardJob, YardView

_INTRO = (
    "We may buy this boat and ask for your price for the work below, done at your yard. Please "
    "fill in hours, parts and price for each line, or one price for several with a note which. "
    "Work that must be done first stands once, at the start: please price it once."
)
_POINTS = (
    "Say whether tax is in your prices, and until when they hold.",
    "Say what you would do otherwise, and what you would have to see first.",
    "Nothing is to be opened, moved or done on her yet: she is not ours, and her owner decides.",
    "Gas, mains electrics and structural work follow the local code and your own licences.",
)
_WHAT_IT_IS = (
    "A request for a price, no order. What was found are notes of a buyer, no survey: the yard's "
    "own judgement comes first."
)


def request_document(view: YardView) -> Document:
    """The request for one boat."""
    lies = f", lying at {view.lies_at}" if view.lies_at else ""
    title = TitleBlock("Request for a quote", view.boat, f"{view.words}{lies}")
    blocks: tuple[Block, ...] = (title, Prose(_INTRO), _yard_box(), she_is(view.particulars))
    body = (*_access(view), *_groups(view), *_end(view)) if view.groups else _nothing()
    return Document(
        title=f"{view.boat}: request for a quote",
        subject="Request for a quote",
        foot=f"{view.boat}, request for a quote, {day(view.on)}",
        blocks=(*blocks, *body),
    )


def _nothing() -> tuple[Block, ...]:
    return (Prose("There is no work on her that waits for a price."),)


def _yard_box() -> Table:
    """Where the yard puts its name and date."""
    columns = tuple(
        Column(title, Kind.BLANK, share)
        for title, share in (("Yard or trade", 5), ("Name", 4), ("Date", 2), ("Valid until", 2))
    )
    return Table(columns, (Row((Cell(),) * 4),), row_height_mm=10)


_BLANKS = (
    Column("Hours", Kind.BLANK, 1.3),
    Column("Parts", Kind.BLANK, 1.6),
    Column("Price", Kind.BLANK, 1.8),
)


def _access(view: YardView) -> tuple[Block, ...]:
    if not view.access:
        return ()
    columns = (
        Column("No.", share=0.8),
        Column("Work", share=5),
        Column("Serves", share=2),
        *_BLANKS,
    )
    rows = tuple(
        Row(
            (
                Cell(one.number),
                Cell(one.title, bold=True),
                Cell(counted(one.serves, "job")),
                *_blanks(),
            )
        )
        for one in view.access
    )
    return (Heading("To be done first, priced once"), Table(columns, rows, row_height_mm=9))


def _blanks() -> tuple[Cell, Cell, Cell]:
    return (Cell(), Cell(), Cell())


def _groups(view: YardView) -> tuple[Block, ...]:
    blocks: list[Block] = [Heading("The work")]
    for group in view.groups:
        blocks.append(Heading(f"{group.number}. {group.title} ({WHEN_WORDS[group.when]})", 2))
        blocks.append(_group_table(group))
    return tuple(blocks)


def _group_table(group: YardGroup) -> Table:
    columns = (
        Column("No.", share=0.8),
        Column("Work", share=4),
        Column("What we saw", share=3),
        *_BLANKS,
    )
    return Table(columns, tuple(map(_job_row, group.jobs)), row_height_mm=11)


def _job_row(job: YardJob) -> Row:
    many = f"{job.how_many} x " if job.how_many else ""
    return Row(
        (
            Cell(job.number),
            Cell(job.title, f"{many}{job.work}" if job.work else many.strip(), bold=True),
            Cell(small=clipped(job.seen, 120)),
            *_blanks(),
        )
    )


def _end(view: YardView) -> tuple[Block, ...]:
    columns = (
        Column(f"Sum in {view.currency}, with tax / without", share=6),
        Column("Weeks from order", Kind.BLANK, 3),
        Column("Sum", Kind.BLANK, 3),
    )
    total = Table(columns, (Row((Cell("All of the above"), Cell(), Cell())),), row_height_mm=11)
    return (
        Together((Heading("All together"), total)),
        Together((Heading("Please note", 2), Points(_POINTS))),
        Prose("Thank you for your time."),
        Caution("What this sheet is.", _WHAT_IT_IS),
    )
