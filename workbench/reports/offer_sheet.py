"""The offer-support sheet, for the seller's eyes: a summary that stands alone, then the findings.

It says what was found, what it takes, what the seller is asked to carry and why, what is ordinary
wear and not claimed, what could not be seen, two ways to settle of equal worth, and what the sheet
is not. It is built from an `OfferView` and nothing else.

Paragraphs named in `WORDING` can be put in other words before export (`set_wording`); sums, tables
and the box that says what the sheet is cannot.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from workbench.domain.record import dataclass

from .document import (
    Block,
    Caution,
    Cell,
    Column,
    Document,
    Heading,
    KeyFigure,
    KeyFigures,
    Kind,
    PageBreak,
    Photo,
    Photos,
    Prose,
    Row,
    Table,
    TitleBlock,
    Tone,
    TwoColumns,
    Weight,
)
from .offer_pages import WHAT_IT_IS, cost_words, end, findings
from .offer_view import OfferItem, OfferView
from .parts import photo_of
from .views import Seen
from .words import (
    clipped,
    counted,
    day,
    days,
    listed,
    lower,
    percent,
    price,
    sentence,
    whole,
)

WORDING = {
    "intro": "the paragraph below the three figures",
    "lower-price": "the first way to settle: a lower price",
    "work-done": "the second way to settle: the work done",
    "wear": "what is ordinary wear and not claimed",
    "unseen": "what could not be seen and becomes a condition",
    "conditions": "the conditions and dates at the end",
    "closing": "a last paragraph of the buyer's own; nothing stands there without it",
}
"""Ids of the paragraphs that the buyer can put in other words, and what they are."""

_ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Summary:
    """How much the first page shows: so many rows, and photos or none."""

    rows: int
    photos: bool
    unseen: int = 8


def offer_document(view: OfferView, fits: Callable[[Sequence[Block]], bool]) -> Document:
    """The whole sheet; `fits` says whether some blocks fit on the first page."""
    return Document(
        title=f"{view.boat}: inspection and repair budget in support of an offer",
        subject="Offer support",
        foot=f"{view.boat}, offer support, {day(view.on)}",
        blocks=(*_fitting_summary(view, fits), PageBreak(), *findings(view), *end(view)),
    )


def _fitting_summary(view: OfferView, fits: Callable[[Sequence[Block]], bool]) -> tuple[Block, ...]:
    """The fullest summary that fits on one page."""
    most = len(view.items)
    shapes = [Summary(most, photos=True), Summary(most, photos=False)]
    shapes += [
        Summary(rows, photos=False, unseen=unseen)
        for rows in range(min(most, 14), 1, -1)
        for unseen in (8, 4)
    ]
    for shape in shapes:
        blocks = summary(view, shape)
        if fits(blocks):
            return blocks
    return summary(view, Summary(1, photos=False, unseen=2))


def summary(view: OfferView, shape: Summary) -> tuple[Block, ...]:
    """The first page."""
    photos = _summary_photos(view) if shape.photos else ()
    return (
        _title(view),
        _key_figures(view),
        Prose(view.wording.get("intro") or _intro(view), id="intro"),
        Heading("What was found, and what it takes"),
        _table(view, shape.rows),
        *_shared_words(view),
        *([Photos(photos, across=4)] if photos else []),
        *_settling(view),
        *_unseen_summary(view, shape.unseen),
        Caution("What this sheet is.", WHAT_IT_IS),
    )


def _title(view: OfferView) -> TitleBlock:
    lies = f", lying at {view.lies_at}" if view.lies_at else ""
    looked = f", looked over on {days(view.looked_on)}" if view.looked_on else ""
    above = "Inspection and repair budget in support of an offer"
    return TitleBlock(above, view.boat, f"{view.words}{lies}{looked}")


def _key_figures(view: OfferView) -> KeyFigures:
    asking = price(view.asking, view.currency) if view.asking is not None else "not stated"
    low, likely, high = _sums(view.items)
    spread = f"{whole(low)} to {whole(high)}" if high > low else ""
    return KeyFigures(
        (
            KeyFigure("Asking price", asking),
            KeyFigure("Work listed below, likely cost", whole(likely), spread),
            KeyFigure("We ask the seller to carry", price(view.claim_total, view.currency)),
        )
    )


def _sums(items: Sequence[OfferItem]) -> tuple[Decimal, Decimal, Decimal]:
    return (
        sum((one.low for one in items), _ZERO),
        sum((one.likely for one in items), _ZERO),
        sum((one.high for one in items), _ZERO),
    )


def _intro(view: OfferView) -> str:
    sound = f", {view.found_sound} of them found sound" if view.found_sound else ""
    return (
        f"We looked at {counted(view.looked, 'thing')} on her{sound}. The items below are due now "
        "or beyond ordinary wear for her age. Costs are estimates with their range unless a quote "
        f"is named. All sums in {view.currency}."
    )


_COLUMNS = (
    Column("", Kind.MARK),
    Column("Where and what", share=4.3),
    Column("Work", share=2.7),
    Column("Cost", Kind.FIGURE, 2.25),
    Column("Claimed", Kind.FIGURE, 1.4),
    Column("Share, and why", share=2.6),
)


def _table(view: OfferView, most: int) -> Table:
    """The claims, the smaller ones in one row where there is no room, and their sums."""
    shown, rest = view.items[:most], view.items[most:]
    rows = [_item_row(one, view.currency) for one in shown]
    if rest:
        rows.append(_rest_row(rest, view.currency))
    rows.append(_sum_row(view))
    return Table(_COLUMNS, tuple(rows), dense=len(rows) > 8)


def _item_row(item: OfferItem, currency: str) -> Row:
    found = item.seen
    reading = clipped(found.reading or found.part, 80) if found else ""
    return Row(
        (
            Cell(grade=item.grade),
            Cell(clipped(item.title, 60), reading, bold=True),
            Cell(clipped(listed(item.work), 50)),
            Cell(*cost_words(item)),
            Cell(price(item.claimed, currency), bold=True),
            Cell(small=clipped(_share_words(item), 60)),
        )
    )


def _share_words(item: OfferItem) -> str:
    """How much of the work is asked for, and why."""
    why = (item.wording or item.why).rstrip(".")
    if item.claimed == 0:
        return f"none: {lower(why)}"
    if item.claimed_whole:
        return f"all: {lower(why)}"
    reason = why.partition(": ")[2] if why[:1].isdigit() else why
    return f"{percent(item.share)}: {lower(reason)}"


def _rest_row(rest: Sequence[OfferItem], currency: str) -> Row:
    low, likely, high = _sums(rest)
    claimed = sum((one.claimed for one in rest), _ZERO)
    return Row(
        (
            Cell(),
            Cell(f"{counted(len(rest), 'further finding')}", "on the pages that follow", bold=True),
            Cell(),
            Cell(whole(likely), f"{whole(low)} to {whole(high)}" if high > low else ""),
            Cell(price(claimed, currency), bold=True),
            Cell(small="each with its reason there"),
        )
    )


def _shared_words(view: OfferView) -> tuple[Block, ...]:
    """Which work is done once for several of the jobs."""
    if not view.shared:
        return ()
    parts = [f"{lower(one.title)} ({counted(one.jobs, 'job')})" for one in view.shared]
    words = clipped(f"Charged once and inside the above: {'; '.join(parts)}.", 330)
    return (Prose(words, Tone.QUIET),)


def _sum_row(view: OfferView) -> Row:
    low, likely, high = _sums(view.items)
    return Row(
        (
            Cell(),
            Cell("All of it"),
            Cell(),
            Cell(whole(likely), f"{whole(low)} to {whole(high)}" if high > low else ""),
            Cell(price(view.claim_total, view.currency)),
            Cell(),
        ),
        Weight.TOTAL,
    )


def _summary_photos(view: OfferView) -> tuple[Photo, ...]:
    """The first photo of each of the first four findings that have one."""
    firsts = [one.seen.photos[0] for one in view.items if one.seen and one.seen.photos]
    return tuple(map(photo_of, firsts[:4]))


def _settling(view: OfferView) -> tuple[Block, ...]:
    """Two ways to settle of equal worth; one where nothing is claimed whole."""
    if not view.items and view.opening is None:
        return ()
    if view.lower_price is None and view.asking is not None and view.asking <= view.claim_total:
        return (Heading("How we propose to settle"), Prose(_talk_words(view, view.asking)))
    own = view.wording.get
    first = own("lower-price") or _lower_price_words(view)
    in_whole = sum(1 for one in view.items if one.claimed_whole)
    if not in_whole:
        return (Heading("How we propose to settle"), Prose(first, id="lower-price"))
    second = own("work-done") or _work_done_words(view, in_whole)
    return (
        Heading("Two ways to settle, of equal worth to us"),
        TwoColumns(
            (Prose("", lead="A lower price"), Prose(first, id="lower-price")),
            (Prose("", lead="The work done"), Prose(second, id="work-done")),
        ),
    )


def _lower_price_words(view: OfferView) -> str:
    """The first way: what is paid for her as she lies, or what comes off."""
    if view.lower_price is None:
        asked = price(view.claim_total, view.currency)
        what = f"{asked} off the price that is agreed"
    else:
        what = price(view.lower_price, view.currency)
    return f"{what} for the boat as she lies, subject to the conditions below."


def _talk_words(view: OfferView, asking: Decimal) -> str:
    return (
        f"The work listed comes to {price(view.claim_total, view.currency)} against an asking "
        f"price of {price(asking, view.currency)}. We would like to talk before we name a price."
    )


def _work_done_words(view: OfferView, jobs: int) -> str:
    """The second way: the same with the wholly claimed work done by the seller."""
    with_work = view.price_with_work
    if with_work is None:
        partly = view.claim_total - view.claimed_whole
        off = f" less {price(partly, view.currency)}" if partly else ""
        what = f"The price that is agreed{off}"
    else:
        what = price(with_work, view.currency)
    lines = counted(jobs, "line")
    which = f"the {lines} claimed in full" if jobs < len(view.items) else f"the {lines} above"
    return (
        f"{what} with {which} done by a yard of the seller's choice and seen by our surveyor "
        "before handing over."
    )


def _unseen_summary(view: OfferView, most: int) -> tuple[Block, ...]:
    if not view.unseen and "unseen" not in view.wording:
        return ()
    return (
        Heading("What could not be seen, and becomes a condition"),
        Prose(view.wording.get("unseen") or _unseen_words(view, most), id="unseen"),
    )


def _unseen_words(view: OfferView, most: int) -> str:
    named = [_unseen_name(one) for one in view.unseen[:most]]
    left = len(view.unseen) - len(named)
    parts = [*named, f"{left} more that are listed at the end"] if left else named
    return (
        f"{sentence(listed(parts))} To be seen by a surveyor or the trade concerned, at the "
        "buyer's cost, before the sale is final."
    )


def _unseen_name(one: Seen) -> str:
    reason = f" ({clipped(lower(one.why_unseen.rstrip('.')), 40)})" if one.why_unseen else ""
    return f"{lower(one.title)}{reason}"
