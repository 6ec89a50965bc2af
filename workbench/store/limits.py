"""Which numbers a field may hold: what stands in a file beyond them is kept and not counted with.

A search may come from a stranger, or from a text editor. A price below nought, a rate of nought, a
chance of 200 % or a billion draws would make every figure wrong, or make none at all; so such a
number is a fault of its field, like one that is no number. The limits are those of the edits, or
wider: whatever the program itself lets a person enter is read again.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.inspection import Reading
from workbench.domain.ledger import ClaimChoice, Ledger, LineChange, OfferMade, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Comparable, PriceOverride
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.settings import (
    ExchangeRate,
    Fee,
    Loan,
    Settings,
    Tax,
    TaxBand,
    YearlyCost,
)
from workbench.domain.span import Span

MOST = Decimal(10) ** 9


@dataclass(frozen=True, slots=True)
class Limit:
    """The lowest and highest number that a field may hold, and of what it has to be a multiple.

    Attributes
    ----------
    above
        Whether the lowest itself is left out.
    finest
        What is nearer to nought than this, without being nought, cannot be.
    """

    low: Decimal
    high: Decimal = MOST
    above: bool = False
    step: int = 1
    finest: Decimal = Decimal(0)

    def fault(self, value: Any) -> str:
        """What is wrong with a value, as a sentence; empty when nothing is."""
        for number in _numbers(value):
            if number < self.low or number > self.high or (self.above and number == self.low):
                return f"{number:f} cannot be; it lies {self._words()}."
            if number and abs(number) < self.finest:
                return f"{number} cannot be; it is too near to 0."
            if self.step > 1 and number % self.step:
                return f"{number:f} cannot be; it is a multiple of {self.step}."
        return ""

    def _words(self) -> str:
        if self.high == MOST:
            return f"above {self.low:f}" if self.above else f"at {self.low:f} or above"
        return f"between {self.low:f} and {self.high:f}"


def _numbers(value: Any) -> tuple[Decimal, ...]:
    if isinstance(value, Span):
        return (value.low, value.high)
    if isinstance(value, Money):
        return (value.amount,)
    if isinstance(value, Quantity):
        return (value.number,)
    if value is None or isinstance(value, str):
        return ()  # a choice, or words, in place of a number
    return (Decimal(value),)


def _between(low: str, high: str) -> Limit:
    return Limit(Decimal(low), Decimal(high))


_NOT_NEGATIVE = Limit(Decimal(0))
_SIZE = Limit(Decimal(0), finest=Decimal("1e-9"))
_MEASURED = Limit(-MOST, finest=Decimal("1e-9"))
_ABOVE_NOUGHT = Limit(Decimal(0), above=True)
_SHARE = _between("0", "1")
_PERCENT = _between("0", "100")
_RANDOM = Limit(Decimal(0), Decimal(2**63))

LIMITS: Mapping[tuple[type, str], Limit] = {
    (AskingPrice, "price"): _NOT_NEGATIVE,
    (Boat, "dimensions"): _SIZE,
    (Boat, "distance"): _SIZE,
    (Boat, "stream"): _RANDOM,
    (ClaimChoice, "amount"): _NOT_NEGATIVE,
    (Comparable, "condition"): _between("-2", "2"),
    (Comparable, "price"): _ABOVE_NOUGHT,
    (ExchangeRate, "rate"): _between("0.000001", "1000000"),
    (Fee, "amount"): _NOT_NEGATIVE,
    (Fee, "per_nautical_mile"): _NOT_NEGATIVE,
    (Fee, "percent"): _PERCENT,
    (Ledger, "opening"): _NOT_NEGATIVE,
    (LineChange, "chance"): _SHARE,
    (LineChange, "count"): _NOT_NEGATIVE,
    (LineChange, "hours"): _NOT_NEGATIVE,
    (LineChange, "materials"): _NOT_NEGATIVE,
    (LineChange, "rates"): _ABOVE_NOUGHT,
    (Loan, "months"): _between("0", "1200"),
    (Loan, "share_of_price"): _SHARE,
    (Loan, "yearly_percent"): _PERCENT,
    (OfferMade, "counter"): _NOT_NEGATIVE,
    (OfferMade, "price"): _NOT_NEGATIVE,
    (OwnLine, "chance"): _SHARE,
    (OwnLine, "claim_share"): _SHARE,
    (OwnLine, "cost"): _NOT_NEGATIVE,
    (PriceOverride, "hours"): _NOT_NEGATIVE,
    (PriceOverride, "materials"): _NOT_NEGATIVE,
    (Quote, "amount"): _NOT_NEGATIVE,
    (Reading, "values"): _MEASURED,
    (Settings, "asked_to_sold"): _between("0.05", "5"),
    (Settings, "budget"): _NOT_NEGATIVE,
    (Settings, "confidence"): _between("0.5", "0.99"),
    (Settings, "discount_percent"): _between("-50", "100"),
    (Settings, "draws"): Limit(Decimal(1_200), Decimal(65_400), step=200),
    (Settings, "look_fees"): _NOT_NEGATIVE,
    (Settings, "own_hours_factor"): _ABOVE_NOUGHT,
    (Settings, "own_rate"): _NOT_NEGATIVE,
    (Settings, "price_level"): _ABOVE_NOUGHT,
    (Settings, "rates"): _ABOVE_NOUGHT,
    (Settings, "seed"): _RANDOM,
    (Settings, "spreads"): _between("0", "10"),
    (Settings, "value_rates"): _between("-10", "10"),
    (Tax, "cap"): _NOT_NEGATIVE,
    (Tax, "minimum_base"): _NOT_NEGATIVE,
    (TaxBand, "above"): _NOT_NEGATIVE,
    (TaxBand, "percent"): _PERCENT,
    (YearlyCost, "amount"): _NOT_NEGATIVE,
    (YearlyCost, "per_metre"): _NOT_NEGATIVE,
    (YearlyCost, "percent_of_price"): _PERCENT,
}
"""By record and field; in a mapping it holds for every entry."""
