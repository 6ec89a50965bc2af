"""The records of the price book: hours by trade, materials, how they scale, what an hour costs."""

from __future__ import annotations

from decimal import Decimal

from workbench.domain.frozen import FrozenMap
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.span import Span

from .basics import Source


@dataclass(frozen=True, slots=True)
class Labour:
    """Hours of one trade."""

    trade: str
    hours: Span


@dataclass(frozen=True, slots=True)
class Scale:
    """How a price grows with the boat: times (dimension / reference) to the power.

    Attributes
    ----------
    of
        `all`, `labour` or `materials`.
    """

    dimension: str
    reference: Quantity
    power: Decimal
    of: str


@dataclass(frozen=True, slots=True)
class PriceItem:
    """One entry of the price book: hours by trade and materials, in the book's currency.

    Attributes
    ----------
    once
        Done once for a boat however many findings ask for it (a new engine, new rigging).
    """

    id: str
    title: str
    labour: tuple[Labour, ...]
    materials: Span
    scales: tuple[Scale, ...]
    unit: str
    source: Source
    once: bool = False
    note: str = ""
    book: str = ""


@dataclass(frozen=True, slots=True)
class Trade:
    """A trade and the price of its hour.

    Attributes
    ----------
    licensed
        A layperson must not do this work in the buyer's stead.
    """

    id: str
    label: str
    rate: Span
    licensed: bool
    source: Source


@dataclass(frozen=True, slots=True)
class PriceBook:
    """All prices, in one currency, for a region, on a day."""

    currency: str
    region: str
    dated: str
    items: FrozenMap[str, PriceItem]
    trades: FrozenMap[str, Trade]
