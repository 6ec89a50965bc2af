"""Trades and dimensions by the words of the catalogue, where a record holds only their id."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .model import Catalogue


def trade_words(catalogue: Catalogue, trade: str) -> str:
    """A trade as people call it; its id in plain words where the price book has none of it."""
    known = catalogue.prices.trades.get(trade)
    return known.label if known is not None else trade.replace("-", " ")


def dimension_words(catalogue: Catalogue, dimension: str) -> str:
    """A dimension as it stands within a sentence."""
    known = catalogue.dimensions.get(dimension)
    if known is None:
        return dimension.replace("-", " ")
    return catalogue.wording.within(known.label)


def fact_words(catalogue: Catalogue, fact: str, choice: str) -> str:
    """A fit-out fact and what it is, as it stands within a sentence: 'keel long keel'."""
    known = catalogue.facts[fact]
    labels = {one.id: one.label for one in known.choices}
    return f"{catalogue.wording.within(known.label)} {labels.get(choice, choice)}"
