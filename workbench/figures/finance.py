"""What a boat costs over time: loans, dated work in today's money, and the yearly cost of keeping.

Rates are fractions per period (0.075 / 12 is 7.5 % a year, monthly). Amounts are stated as positive
numbers: a loan of 200,000 has a positive payment; the text says who pays whom. Statistics and
solvers use floats; money that is shown is ``decimal.Decimal``.

Cents policy. Every amount that is shown is rounded half up to the currency's minor unit
(`round_money`), part by part, and a total is the sum of its shown parts, so parts always add up.
A loan schedule comes in two forms: `CentsPolicy.EXACT` carries 34 digits and rounds only what is
printed; `CentsPolicy.ROUNDED` pays whole cents each month and lets the last payment clear the
rest, as a lender does. The two differ by a few cents and the schedule says which one it is.

    >>> round(level_payment(200_000, 0.075 / 12, 180), 2)
    1854.02

It does not know the catalogue, the project or any market rate: every rate comes from the caller.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Context, Decimal, localcontext
from enum import Enum
from itertools import pairwise

from workbench.domain.record import dataclass

_DIGITS = 34
_ZERO = Decimal(0)


def round_money(amount: Decimal, minor_digits: int = 2) -> Decimal:
    """Round `amount` half up (as spreadsheets do) to a currency's minor unit (2 digits: cents)."""
    return amount.quantize(
        Decimal(1).scaleb(-minor_digits),
        rounding=ROUND_HALF_UP,
        context=Context(prec=_DIGITS),
    )


# --- Level payments, term, saving ------------------------------------------------------------


def _check_periods(periods: float) -> None:
    if periods <= 0:
        raise ValueError(f"the number of periods must be above zero, not {periods}")


def _check_rate(rate: float) -> None:
    if rate <= -1:
        raise ValueError(f"a rate of {rate} loses everything in one period")


def level_payment(principal: float, rate: float, periods: int) -> float:
    """Payment per period that clears `principal` in `periods` at `rate` per period.

    Formula ``P r / (1 - (1 + r)^-n)``; ``P / n`` when the rate is zero.
    """
    _check_periods(periods)
    _check_rate(rate)
    return principal / upv(rate, periods)


def periods_to_repay(principal: float, payment: float, rate: float) -> float:
    """Number of periods (not a whole number) until `payment` has cleared `principal`.

    Raises
    ------
    ValueError
        When the payment does not even cover the interest.
    """
    if rate == 0:
        return principal / payment
    if payment <= principal * rate:
        raise ValueError(
            f"a payment of {payment} does not cover the interest of {principal * rate}"
        )
    return -math.log1p(-principal * rate / payment) / math.log1p(rate)


def future_value(now: float, per_period: float, rate: float, periods: int) -> float:
    """What `now` and `per_period` (paid at each period's end) have grown to."""
    _check_periods(periods)
    _check_rate(rate)
    growth = (1 + rate) ** periods
    return now * growth + per_period * upv(rate, periods) * growth


def present_value(later: float, per_period: float, rate: float, periods: int) -> float:
    """Today's worth of `later` at the end and `per_period` at the end of each period."""
    return later * spv(rate, periods) + per_period * upv(rate, periods)


# --- Six discount factors, named as in ASTM E917 and NIST Handbook 135 ---------------------------


def spv(rate: float, periods: float) -> float:
    """Single present value factor: today's worth of 1 paid after `periods`."""
    _check_rate(rate)
    return float((1 + rate) ** -periods)


def upv(rate: float, periods: float) -> float:
    """Uniform present value factor: today's worth of 1 paid at the end of every period."""
    _check_rate(rate)
    if rate == 0:
        return float(periods)
    return -math.expm1(-periods * math.log1p(rate)) / rate


def spv_star(rate: float, escalation: float, periods: float) -> float:
    """Single present value of a price that is 1 today and escalates until it is paid."""
    _check_rate(rate)
    return float(((1 + escalation) / (1 + rate)) ** periods)


def upv_star(rate: float, escalation: float, periods: float) -> float:
    """Uniform present value of a yearly price that is 1 today and escalates every period.

    ``((1+e)/(d-e)) (1 - ((1+e)/(1+d))^n)``; the limit ``n`` when escalation equals the rate.
    """
    _check_rate(rate)
    if escalation == rate:
        return float(periods)
    ratio = math.log1p(escalation) - math.log1p(rate)
    return -(1 + escalation) / (rate - escalation) * math.expm1(periods * ratio)


def nominal_rate(real: float, inflation: float) -> float:
    """Rate in money of the day from a real rate and inflation: ``(1+r)(1+i) - 1``."""
    return (1 + real) * (1 + inflation) - 1


def real_rate(nominal: float, inflation: float) -> float:
    """Real rate from a rate in money of the day and inflation."""
    return (1 + nominal) / (1 + inflation) - 1


def inflate(amount: float, inflation: float, years: float) -> float:
    """Price after `years` of a thing that costs `amount` today."""
    return float(amount * (1 + inflation) ** years)


def straight_line_year(cost: float, left_over: float, life_years: float, months: int = 12) -> float:
    """Straight-line loss of worth in a year of which `months` are owned."""
    _check_periods(life_years)
    return (cost - left_over) / life_years * months / 12


# --- Net present value and internal rate ---------------------------------------------------------


def npv(rate: float, flows: Sequence[float]) -> float:
    """Net present value; ``flows[0]`` falls today and is not discounted.

    Spreadsheet programs discount the first flow as well; theirs is this divided by ``1 + rate``.
    """
    _check_rate(rate)
    return math.fsum(flow * (1 + rate) ** -period for period, flow in enumerate(flows))


def irr(flows: Sequence[float]) -> float:
    """Rate per period at which the flows are worth nothing today.

    Raises
    ------
    ValueError
        When the flows change sign more than once (several rates may answer) or never.
    """
    signs = [flow > 0 for flow in flows if flow != 0]
    changes = sum(a != b for a, b in pairwise(signs))
    if changes != 1:
        raise ValueError(f"the flows change sign {changes} times; one change is needed")
    return _bisect_rate(flows)


def _worth_at(factor: float, flows: Sequence[float]) -> float:
    return math.fsum(flow * factor**period for period, flow in enumerate(flows))


def _bisect_rate(flows: Sequence[float]) -> float:
    """Bisect on the discount factor 1 / (1 + rate); it is 1 at a rate of zero."""
    first_sign = next(flow > 0 for flow in flows if flow != 0)

    def before_root(factor: float) -> bool:
        return (_worth_at(factor, flows) > 0) == first_sign

    low = high = 1.0
    while before_root(high):
        low, high = high, high * 1.1
    while not before_root(low):
        low, high = low / 2, low
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if before_root(middle) else (low, middle)
    return 2 / (low + high) - 1


def loan_rate(principal: float, payment: float, periods: int) -> float:
    """Rate per period of a loan of `principal` repaid by `periods` level payments."""
    _check_periods(periods)
    return irr([-principal, *[payment] * periods])


# --- Work that falls due later --------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class DatedWork:
    """One job: what it costs at today's prices and how many years from now it is done."""

    name: str
    cost: float
    years_from_now: float


def recurring_years(every_years: float, within_years: float) -> tuple[float, ...]:
    """Years at which a job recurs inside a period of analysis.

    A job falling exactly on the last day is left out: nothing of it would be used (our
    convention; it must be the same for every boat that is compared).
    """
    _check_periods(every_years)
    count = math.ceil(round(within_years / every_years, 9)) - 1
    return tuple(every_years * (index + 1) for index in range(max(count, 0)))


def present_value_of_work(
    work: Sequence[DatedWork], rate: float, *, escalation: float = 0.0
) -> float:
    """Today's worth of jobs done later; `rate` and `escalation` both real or both nominal."""
    return math.fsum(job.cost * spv_star(rate, escalation, job.years_from_now) for job in work)


# --- Loan schedule --------------------------------------------------------------------------------


class CentsPolicy(Enum):
    """How a loan schedule treats fractions of the minor unit."""

    EXACT = "exact: 34 digits carried, only printed figures are rounded"
    ROUNDED = "rounded: whole minor units each month, the last payment clears the rest"


@dataclass(frozen=True, slots=True)
class LoanRow:
    """One payment: its interest and principal parts and the balance after it."""

    number: int
    payment: Decimal
    interest: Decimal
    principal: Decimal
    balance: Decimal


@dataclass(frozen=True, slots=True)
class LoanSchedule:
    """All payments of a loan, and the cents policy they were made under."""

    principal: Decimal
    yearly_rate: Decimal
    policy: CentsPolicy
    rows: tuple[LoanRow, ...]

    @property
    def total_interest(self) -> Decimal:
        """Sum of the interest parts."""
        return sum((row.interest for row in self.rows), _ZERO)

    @property
    def total_paid(self) -> Decimal:
        """Sum of the payments."""
        return sum((row.payment for row in self.rows), _ZERO)

    def paid_in_year(self, year: int) -> Decimal:
        """Sum of the payments of one year; year 1 holds payments 1 to 12."""
        first = 12 * (year - 1)
        return sum((row.payment for row in self.rows[first : first + 12]), _ZERO)


def _exact_payment(principal: Decimal, rate: Decimal, months: int) -> Decimal:
    if rate == 0:
        return principal / months
    return principal * rate / (1 - (1 + rate) ** -months)


def loan_schedule(
    principal: Decimal,
    yearly_rate: Decimal,
    months: int,
    policy: CentsPolicy = CentsPolicy.ROUNDED,
    minor_digits: int = 2,
) -> LoanSchedule:
    """Monthly level-payment schedule at a nominal yearly rate divided by twelve."""
    _check_periods(months)
    if principal < 0 or yearly_rate < 0:
        raise ValueError("a loan and its rate must not be negative")
    with localcontext(Context(prec=_DIGITS)):
        rows = _schedule_rows(principal, yearly_rate / 12, months, policy, minor_digits)
    return LoanSchedule(principal, yearly_rate, policy, rows)


def _schedule_rows(
    principal: Decimal, rate: Decimal, months: int, policy: CentsPolicy, minor_digits: int
) -> tuple[LoanRow, ...]:
    def kept(amount: Decimal) -> Decimal:
        return amount if policy is CentsPolicy.EXACT else round_money(amount, minor_digits)

    level, balance = kept(_exact_payment(principal, rate, months)), principal
    rows = []
    for number in range(1, months + 1):
        interest = kept(balance * rate)
        owed = balance + interest
        payment = owed if number == months else min(level, owed)
        balance = owed - payment
        rows.append(LoanRow(number, payment, interest, payment - interest, balance))
    return tuple(rows)


# --- Keeping the boat -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class KeepingTerms:
    """Yearly costs at today's prices; shares are fractions of the boat's worth.

    `haul_outs_per_year` may be a fraction (0.5: every second year). `inflation` is the yearly
    rise of every part but the loan.
    """

    mooring: Decimal
    insurance_share: Decimal
    insurance_minimum: Decimal
    haul_outs_per_year: Decimal
    haul_out_each: Decimal
    upkeep_share: Decimal
    inflation: Decimal = _ZERO


@dataclass(frozen=True, slots=True)
class KeepingYear:
    """What one year of keeping the boat costs, part by part; parts add up to the total."""

    year: int
    mooring: Decimal
    insurance: Decimal
    haul_out: Decimal
    upkeep: Decimal
    loan: Decimal

    @property
    def parts(self) -> tuple[tuple[str, Decimal], ...]:
        """Name and amount of each part, in the order they are shown."""
        return (
            ("mooring", self.mooring),
            ("insurance", self.insurance),
            ("haul-out", self.haul_out),
            ("upkeep", self.upkeep),
            ("loan", self.loan),
        )

    @property
    def total(self) -> Decimal:
        """Sum of the parts as shown."""
        return sum((amount for _, amount in self.parts), _ZERO)


def keeping_in_year(
    year: int,
    terms: KeepingTerms,
    worth: Decimal,
    loan: LoanSchedule | None = None,
    minor_digits: int = 2,
) -> KeepingYear:
    """Cost of keeping a boat of this `worth` in the given year (the first is 1)."""
    with localcontext(Context(prec=_DIGITS)):
        rise = (1 + terms.inflation) ** (year - 1)
        insurance = max(worth * terms.insurance_share, terms.insurance_minimum)
        amounts = (
            terms.mooring * rise,
            insurance * rise,
            terms.haul_outs_per_year * terms.haul_out_each * rise,
            worth * terms.upkeep_share * rise,
            loan.paid_in_year(year) if loan else _ZERO,
        )
    return KeepingYear(year, *(round_money(amount, minor_digits) for amount in amounts))


def keeping_by_year(
    years: int,
    terms: KeepingTerms,
    worth: Decimal,
    loan: LoanSchedule | None = None,
    minor_digits: int = 2,
) -> tuple[KeepingYear, ...]:
    """Cost of keeping for each of the first `years` years."""
    return tuple(
        keeping_in_year(year, terms, worth, loan, minor_digits) for year in range(1, years + 1)
    )
