"""A comparable adjusted to the boat it is held against: the terms of sale first, then the boat.

An asking price becomes a selling price and an old price today's; then length, age, condition and
equipment are made the subject's. A better boat comes down, a worse one goes up. Prices are floats
of one currency, lengths metres, ages years.
"""

from __future__ import annotations

from enum import Enum

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.record import dataclass

NET_GUIDE = 0.15
GROSS_GUIDE = 0.25
"""Customary guide limits for adjustments (withdrawn by the US agency in 2014): flags, not rules."""


class PriceKind(Enum):
    """Whether a price was paid or only asked."""

    SOLD = "sold"
    ASKED = "asked"


@dataclass(frozen=True, slots=True)
class Features:
    """What prices are adjusted for.

    `condition` counts steps on one scale for all boats (0 ordinary, +1 better); `equipment` is the
    money value of extra equipment.
    """

    length_m: float
    age_years: float
    condition: float = 0.0
    equipment: float = 0.0


@dataclass(frozen=True, slots=True)
class Comparable:
    """One boat sold or advertised; `years_ago` is when."""

    name: str
    price: float
    kind: PriceKind
    features: Features
    years_ago: float = 0.0

    def __post_init__(self) -> None:
        if not self.price > 0:
            raise ValueError(f"{self.name}: a price must be above zero, not {self.price}")


@dataclass(frozen=True, slots=True)
class AskedToSold:
    """Selling price as a share of the asking price: the user's belief, with its range."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.likely <= self.high:
            raise ValueError("the asked-to-sold factor needs 0 < low <= likely <= high")


@dataclass(frozen=True, slots=True)
class Rates:
    """The user's adjustment rates; shares are fractions of the comparable's price.

    `per_year_of_age` is what a year less of age is worth. `per_year_of_date` is the yearly rise of
    prices (negative: they fell). `equipment_share` is the part of equipment's value that a price
    carries.
    """

    per_metre: float
    per_year_of_age: float
    per_condition_step: float
    equipment_share: float
    per_year_of_date: float
    asked_to_sold: AskedToSold


@dataclass(frozen=True, slots=True)
class AdjustmentLine:
    """One step from a comparable's price towards the subject."""

    name: str
    amount: float


@dataclass(frozen=True, slots=True)
class AdjustedComparable:
    """A comparable with its adjustments; net and gross are shares of the price after sale terms."""

    comparable: Comparable
    lines: tuple[AdjustmentLine, ...]
    after_sale_terms: float
    adjusted: float
    net_share: float
    gross_share: float

    @property
    def superior(self) -> bool:
        """Whether the comparable is the better boat, so that its price came down."""
        return self.net_share < 0

    @property
    def flagged(self) -> bool:
        """Whether an adjustment is large enough to doubt that the boats compare."""
        return abs(self.net_share) > NET_GUIDE or self.gross_share > GROSS_GUIDE

    def flags(self, wording: Wording = ENGLISH_WORDING) -> tuple[str, ...]:
        """The adjustments that are large enough to doubt that the boats compare."""
        told = []
        if abs(self.net_share) > NET_GUIDE:
            text = wording.say(
                "net adjustment {share:+.0%} exceeds {guide:.0%}",
                share=self.net_share,
                guide=NET_GUIDE,
            )
            told.append(text)
        if self.gross_share > GROSS_GUIDE:
            text = wording.say(
                "gross adjustment {share:.0%} exceeds {guide:.0%}",
                share=self.gross_share,
                guide=GROSS_GUIDE,
            )
            told.append(text)
        return tuple(told)


def adjust(
    comparable: Comparable, subject: Features, rates: Rates, factor: float | None = None
) -> AdjustedComparable:
    """Adjust one comparable to the subject; `factor` overrides the likely asked-to-sold factor."""
    sale = _sale_lines(comparable, rates, factor)
    price = comparable.price + sum(line.amount for line in sale)
    boat = _boat_lines(price, comparable.features, subject, rates)
    net = sum(line.amount for line in boat)
    gross = sum(abs(line.amount) for line in boat)
    return AdjustedComparable(
        comparable, (*sale, *boat), price, price + net, net / price, gross / price
    )


def _sale_lines(
    comparable: Comparable, rates: Rates, factor: float | None
) -> tuple[AdjustmentLine, ...]:
    asked = comparable.kind is PriceKind.ASKED
    share = (rates.asked_to_sold.likely if factor is None else factor) if asked else 1.0
    sold = comparable.price * share
    rise = (1 + rates.per_year_of_date) ** comparable.years_ago - 1
    return (
        AdjustmentLine("asked to sold", sold - comparable.price),
        AdjustmentLine("date", sold * rise),
    )


def _boat_lines(
    price: float, own: Features, subject: Features, rates: Rates
) -> tuple[AdjustmentLine, ...]:
    condition = subject.condition - own.condition
    equipment = subject.equipment - own.equipment
    return (
        AdjustmentLine("length", price * rates.per_metre * (subject.length_m - own.length_m)),
        AdjustmentLine("age", price * rates.per_year_of_age * (own.age_years - subject.age_years)),
        AdjustmentLine("condition", price * rates.per_condition_step * condition),
        AdjustmentLine("equipment", rates.equipment_share * equipment),
    )
