"""From price-book tables to records, faults noted on the way."""

from __future__ import annotations

from decimal import Decimal

from workbench.domain.quantity import Quantity

from .building import source
from .prices import Labour, PriceItem, Scale, Trade
from .reading import Table


def trade(table: Table) -> Trade:
    """A trade and its hour."""
    made = Trade(
        table.id(),
        table.words("label"),
        table.span("rate"),
        table.flag("licensed", default=False),
        source(table.table("source", required=True)),
    )
    table.nothing_else()
    return made


def price_item(table: Table, book: str) -> PriceItem:
    """An entry of the price book."""
    made = PriceItem(
        id=table.id(),
        title=table.words("title"),
        labour=tuple(
            Labour(one.text("trade"), one.span("hours")) for one in table.tables("labour")
        ),
        materials=table.span("materials"),
        scales=tuple(_scale(one) for one in table.tables("scale")),
        unit=table.words("unit", "job"),
        source=source(table.table("source", required=True)),
        once=table.flag("once", default=False),
        note=table.words("note", ""),
        book=book,
    )
    table.nothing_else()
    return made


def _scale(table: Table) -> Scale:
    by = table.text("by")
    reference = table.quantity(table.raw("reference"), "reference")
    made = Scale(
        by,
        reference or Quantity(Decimal(1), "count"),
        table.decimal("power", "1"),
        table.choice("of", ("all", "labour", "materials"), "all"),
    )
    table.nothing_else()
    return made
