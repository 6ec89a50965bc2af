"""One comparable held against the boat: her price, each adjustment, and what it comes to."""

from __future__ import annotations

from workbench.domain.project import Comparable
from workbench.window import formatting
from workbench.window.models.anchor_reading import AnchorReading
from workbench.window.models.comparable_fields import asked_word
from workbench.window.texts import tr
from workbench.window.widgets.row_delegate import RowParts

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.comparables import AdjustedComparable


def line_words() -> dict[str, str]:
    """Each adjustment in words."""
    return {
        "asked to sold": tr("asked, not sold"),
        "date": tr("since then"),
        "length": tr("length"),
        "age": tr("age"),
        "condition": tr("condition"),
        "equipment": tr("equipment"),
    }


def signed(amount: float) -> str:
    """An adjustment with its sign; nothing is a plain 0."""
    text = formatting.whole(amount)
    return f"+{text}" if amount > 0 else text


def rows_of(one: Comparable, reading: AnchorReading) -> tuple[RowParts, ...]:
    """The rows for one comparable."""
    adjusted = reading.adjusted.get(one.id)
    if adjusted is None:
        return ()
    words = line_words()
    start = adjusted.comparable.price
    rows = [
        RowParts(
            tr("Price {asked}").format(asked=asked_word(one.asked)),
            figure=formatting.whole(start),
        )
    ]
    rows += [
        RowParts(words.get(line.name, line.name), figure=signed(line.amount))
        for line in adjusted.lines
        if abs(line.amount) >= 0.5
    ]
    rows.append(
        RowParts(tr("Says of her"), figure=formatting.estimate(adjusted.adjusted), strong=True)
    )
    return tuple(rows)


def shares_words(adjusted: AdjustedComparable) -> str:
    """Net and gross adjustment, and whether they are large."""
    said = tr("Net {net}, gross {gross} of the price as sold.").format(
        net=_signed_share(adjusted.net_share), gross=formatting.percent(adjusted.gross_share)
    )
    if not adjusted.flagged:
        return said
    return f"{said} {tr('That is much: she may be too different to compare.')}"


def _signed_share(share: float) -> str:
    text = formatting.percent(share)
    return f"+{text}" if share > 0 else text
