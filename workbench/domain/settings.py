"""What holds for the whole search: currency, budget, rates, taxes, fees, how figures are made."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from workbench.domain.record import dataclass

from .frozen import FrozenMap
from .quantity import Quantity
from .span import Ends, Span


@dataclass(frozen=True, slots=True)
class ExchangeRate:
    """One unit of `currency` is worth `rate` units of the project's currency, on a day."""

    currency: str
    rate: Decimal
    on: date | None = None
    source: str = ""
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class TaxBand:
    """The part of the price above `above` bears `percent`."""

    above: Decimal
    percent: Decimal
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Tax:
    """A tax on the price, in the project's currency.

    Attributes
    ----------
    bands
        In ascending order; a single band above 0 is a flat rate.
    minimum_base
        The price is taken as at least this.
    cap
        The tax is never more than this; None for no cap.
    """

    label: str
    bands: tuple[TaxBand, ...]
    minimum_base: Decimal = Decimal(0)
    cap: Decimal | None = None
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Fee:
    """A cost of buying that is no repair: a fixed amount, a share of the price, or per distance.

    `only` names the boats it holds for; empty for all.
    """

    id: str
    label: str
    amount: Span = Span(Decimal(0), Decimal(0), Decimal(0), Ends.LIMITS)
    percent: Decimal = Decimal(0)
    per_nautical_mile: Decimal = Decimal(0)
    only: tuple[str, ...] = ()
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Loan:
    """Money borrowed to buy, repaid by level monthly payments."""

    share_of_price: Decimal = Decimal(0)
    yearly_percent: Decimal = Decimal(0)
    months: int = 0
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class YearlyCost:
    """A cost of keeping the boat for a year: an amount, an amount per metre, a share of price."""

    id: str
    label: str
    amount: Decimal = Decimal(0)
    per_metre: Decimal = Decimal(0)
    percent_of_price: Decimal = Decimal(0)
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class MustHave:
    """A limit the buyer will not give way on, on one particular."""

    dimension: str
    at_least: Quantity | None = None
    at_most: Quantity | None = None
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Settings:
    """What the buyer settled for the whole search.

    Attributes
    ----------
    currency
        ISO 4217 code in which everything is added up.
    as_of
        The day the figures hold for; ages are reckoned to it.
    budget
        All the buyer can spend to have a boat ready; None when not settled.
    confidence
        Chance of staying inside the budget that caps a price, between 0.5 and 0.99.
    own_rate
        What an hour of the buyer's own work is worth to them.
    own_hours_factor
        How many hours the buyer takes for a tradesman's one.
    rates
        Price of an hour by trade, over the price book's.
    price_level
        The yards' price level here against the price book's (1 is the same).
    spreads
        Spread (share, one standard deviation) of the shared drivers by id: `yard`, `parts`,
        `own`, `optimism`, `exchange`.
    asked_to_sold
        What boats sell for as a share of what is asked.
    value_rates
        How prices of comparables are adjusted, as shares of a price: `per-metre`, `per-year-of-age`
        (negative), `per-condition-step`, `equipment-share`, `per-year-of-date`.
    discount_percent
        Real yearly rate for work that lies years ahead.
    """

    currency: str = "USD"
    units: str = "metric"
    as_of: date | None = None
    budget: Decimal | None = None
    confidence: Decimal = Decimal("0.8")
    own_rate: Decimal = Decimal(0)
    own_hours_factor: Decimal = Decimal("1.6")
    rates: FrozenMap[str, Decimal] = FrozenMap()
    price_level: Decimal = Decimal(1)
    spreads: FrozenMap[str, Decimal] = FrozenMap()
    exchange: tuple[ExchangeRate, ...] = ()
    taxes: tuple[Tax, ...] = ()
    fees: tuple[Fee, ...] = ()
    loan: Loan | None = None
    yearly_costs: tuple[YearlyCost, ...] = ()
    must_haves: tuple[MustHave, ...] = ()
    asked_to_sold: Span = Span(Decimal("0.85"), Decimal("0.92"), Decimal(1), Ends.ONE_IN_TEN)
    value_rates: FrozenMap[str, Decimal] = FrozenMap()
    discount_percent: Decimal = Decimal(3)
    look_fees: FrozenMap[str, Decimal] = FrozenMap()
    seed: int = 1
    draws: int = 20_000
    extra: FrozenMap[str, object] = FrozenMap()
