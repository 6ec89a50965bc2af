"""What a price really costs to pay: sales tax, surtax, caps, minimum base, fees and delivery.

A `TaxRule` has marginal bands, a minimum base (a state's book value, say), a surtax on a first
slice of the price and a cap on tax and surtax together. `total_on` is exact in ``Decimal`` and
never falls when the price rises, so `highest_price_within` can find, by bisection over whole
minor units, the highest price whose total stays inside a budget.

Cents policy: tax, surtax and each fee are rounded half up on their own; the total is the sum
of what is shown. Where a cap binds, the taxable amount is *truncated* and the exempt amount is the
remainder, so that the two always add up to the price (Florida Department of Revenue, Tax
Information Publication 10A01-07, 22 June 2010, prints 17,950.00 / .06 as 299,166.66).

Tax law differs by place and changes: rates here are the user's, and a tax office has the last word.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_DOWN, Decimal

from workbench.catalogue.wording import marked
from workbench.domain.record import dataclass
from workbench.figures.finance import round_money

PRICE, DELIVERY = marked("price"), marked("delivery")
"""Names of the parts of a purchase that the buyer did not name."""
_ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Band:
    """A slice of the base taxed at one rate; `up_to` None means without an upper limit."""

    up_to: Decimal | None
    rate: Decimal


@dataclass(frozen=True, slots=True)
class TaxRule:
    """A tax on the purchase price.

    `bands` are marginal and ordered; the last has no upper limit. `minimum_base` is the least
    amount that is taxed whatever was paid. `surtax_rate` is taken on the first `surtax_slice` of
    the base (None: the whole base). `cap` limits tax and surtax together (None: no cap).
    """

    name: str
    bands: tuple[Band, ...]
    minimum_base: Decimal = _ZERO
    surtax_rate: Decimal = _ZERO
    surtax_slice: Decimal | None = None
    cap: Decimal | None = None

    def __post_init__(self) -> None:
        limits = [band.up_to for band in self.bands]
        if not limits or limits[-1] is not None or None in limits[:-1]:
            raise ValueError(f"{self.name}: the last band, and only that, has no upper limit")
        edges = [limit for limit in limits if limit is not None]
        if any(low >= high for low, high in zip([_ZERO, *edges], edges, strict=False)):
            raise ValueError(f"{self.name}: band limits must rise from above zero")
        if any(band.rate < 0 for band in self.bands) or self.surtax_rate < 0:
            raise ValueError(f"{self.name}: rates must not be negative")


def flat_tax(name: str, rate: Decimal, *, minimum_base: Decimal = _ZERO) -> TaxRule:
    """Make a tax of one rate on the whole price."""
    return TaxRule(name, (Band(None, rate),), minimum_base=minimum_base)


@dataclass(frozen=True, slots=True)
class TaxResult:
    """One tax on one price. `tax` is without the surtax; taxable + exempt = base."""

    name: str
    base: Decimal
    tax: Decimal
    surtax: Decimal
    taxable: Decimal
    exempt: Decimal
    capped: bool

    @property
    def total(self) -> Decimal:
        """Tax and surtax together."""
        return self.tax + self.surtax


def _tax_on_base(bands: Sequence[Band], base: Decimal) -> Decimal:
    tax, lower = _ZERO, _ZERO
    for band in bands:
        upper = base if band.up_to is None else min(base, band.up_to)
        tax += max(upper - lower, _ZERO) * band.rate
        lower = upper
    return tax


def _base_for_tax(bands: Sequence[Band], tax: Decimal) -> Decimal:
    """Part of the base that a given tax answers for; the bands walked backwards."""
    base, lower, left = _ZERO, _ZERO, tax
    for band in bands:
        whole = None if band.up_to is None else (band.up_to - lower) * band.rate
        if whole is None or left <= whole:
            return base + (left / band.rate if band.rate else _ZERO)
        left -= whole
        base = lower = band.up_to or lower
    return base


def tax_on(price: Decimal, rule: TaxRule, minor_digits: int = 2) -> TaxResult:
    """Tax and surtax on a price, with the taxable and exempt parts of the base."""
    if price < 0:
        raise ValueError(f"a price must not be negative: {price}")
    base = max(price, rule.minimum_base)
    slice_ = base if rule.surtax_slice is None else min(base, rule.surtax_slice)
    surtax = round_money(slice_ * rule.surtax_rate, minor_digits)
    tax = round_money(_tax_on_base(rule.bands, base), minor_digits)
    if rule.cap is None or tax + surtax <= rule.cap:
        return TaxResult(rule.name, base, tax, surtax, base, _ZERO, capped=False)
    surtax = min(surtax, rule.cap)
    tax = rule.cap - surtax
    unit = Decimal(1).scaleb(-minor_digits)
    taxable = _base_for_tax(rule.bands, tax).quantize(unit, rounding=ROUND_DOWN)
    return TaxResult(rule.name, base, tax, surtax, taxable, base - taxable, capped=True)


@dataclass(frozen=True, slots=True)
class Fee:
    """A fixed amount plus a share of the price (broker, title, registration, transfer)."""

    name: str
    fixed: Decimal = _ZERO
    share_of_price: Decimal = _ZERO

    def __post_init__(self) -> None:
        if self.fixed < 0 or self.share_of_price < 0:
            raise ValueError(f"{self.name}: a fee must not be negative")

    def on(self, price: Decimal, minor_digits: int = 2) -> Decimal:
        """Amount of the fee on a price."""
        return round_money(self.fixed + self.share_of_price * price, minor_digits)


@dataclass(frozen=True, slots=True)
class Delivery:
    """Bringing the boat home: loading and permits once, and a rate per unit of distance.

    `distance` and `per_distance` share one unit, named in `unit` ("km", "nautical mile").
    """

    distance: Decimal
    per_distance: Decimal
    unit: str
    fixed: Decimal = _ZERO
    minimum: Decimal = _ZERO

    def __post_init__(self) -> None:
        if min(self.distance, self.per_distance, self.fixed, self.minimum) < 0:
            raise ValueError("a delivery's distance and prices must not be negative")

    def cost(self, minor_digits: int = 2) -> Decimal:
        """Fixed part plus distance part, not below the carrier's minimum."""
        return round_money(
            max(self.fixed + self.distance * self.per_distance, self.minimum), minor_digits
        )


@dataclass(frozen=True, slots=True)
class PurchaseTerms:
    """Everything that is paid on top of a price."""

    taxes: tuple[TaxRule, ...] = ()
    fees: tuple[Fee, ...] = ()
    delivery: Delivery | None = None
    minor_digits: int = 2


@dataclass(frozen=True, slots=True)
class PurchaseTotal:
    """A price and all that is paid on top of it; the parts add up to the total."""

    price: Decimal
    taxes: tuple[TaxResult, ...]
    fees: tuple[tuple[str, Decimal], ...]
    delivery: Decimal

    @property
    def parts(self) -> tuple[tuple[str, Decimal], ...]:
        """Name and amount of each part, in the order they are shown."""
        rows = [(PRICE, self.price)]
        for result in self.taxes:
            rows.append((result.name, result.tax))
            if result.surtax:
                rows.append((f"{result.name}, surtax", result.surtax))
        rows.extend(self.fees)
        if self.delivery:
            rows.append((DELIVERY, self.delivery))
        return tuple(rows)

    @property
    def total(self) -> Decimal:
        """Sum of the parts."""
        return sum((amount for _, amount in self.parts), _ZERO)


def purchase_total(price: Decimal, terms: PurchaseTerms) -> PurchaseTotal:
    """Price, taxes, fees and delivery, part by part."""
    digits = terms.minor_digits
    return PurchaseTotal(
        round_money(price, digits),
        tuple(tax_on(price, rule, digits) for rule in terms.taxes),
        tuple((fee.name, fee.on(price, digits)) for fee in terms.fees),
        terms.delivery.cost(digits) if terms.delivery else _ZERO,
    )


def total_on(price: Decimal, terms: PurchaseTerms) -> Decimal:
    """All that is paid for a boat bought at `price`, before any work on her."""
    return purchase_total(price, terms).total


def highest_price_within(money: Decimal, terms: PurchaseTerms) -> Decimal | None:
    """Highest price, in whole minor units, whose `total_on` does not exceed `money`.

    None when not even a boat given away would stay inside it.
    """
    unit = Decimal(1).scaleb(-terms.minor_digits)
    if total_on(_ZERO, terms) > money:
        return None
    low, high = 0, int(money / unit) + 1
    while high - low > 1:
        middle = (low + high) // 2
        if total_on(middle * unit, terms) <= money:
            low = middle
        else:
            high = middle
    return low * unit
