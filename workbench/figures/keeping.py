"""What keeping each boat costs: in the first year, and in every year after.

Mooring, insurance, haul-out and an upkeep share are the buyer's own figures from the settings: an
amount, an amount for each metre of length, a share of the price. A loan is repaid by level monthly
payments on its share of the price; its schedule is in whole cents and the last payment clears the
rest. All amounts but the loan's are at today's prices.

Work that is planned is no part of it: what must be done before sailing belongs to the cost to
ready, and what falls due within five years stands beside it as a yearly average. An upkeep share
that is meant to pay for such work counts it a second time; the settings say what it is meant for.
"""

from __future__ import annotations

from decimal import Decimal

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.boat import Boat
from workbench.domain.money import cents, decimals_of
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings, YearlyCost

from .assessment import Assessment, BoatAssessment
from .finance import LoanSchedule, loan_schedule

_ZERO = Decimal(0)
_YEARS_OF_LATER_WORK = 5
_HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class KeepingPart:
    """One yearly cost.

    Attributes
    ----------
    amount
        A year, at today's prices, in the project's currency.
    how
        How it is reckoned, as a sentence.
    missing
        What is not known and left out of it; empty when nothing is.
    """

    id: str
    label: str
    amount: Decimal
    how: str
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Keeping:
    """What keeping one boat costs.

    Attributes
    ----------
    price
        The price that shares are taken of; None when none is known.
    parts
        The yearly costs without the loan.
    yearly
        Their sum.
    loan
        All payments of the loan; None without one.
    first_year
        The yearly costs and the first twelve payments.
    later_work_yearly
        Work planned within five years, spread evenly; not in the other figures.
    """

    boat: str
    currency: str
    price: Decimal | None
    parts: tuple[KeepingPart, ...]
    yearly: Decimal
    loan: LoanSchedule | None
    first_year: Decimal
    later_work_yearly: Decimal

    def in_year(self, year: int) -> Decimal:
        """Yearly costs and what is paid on the loan in a year; the first is 1."""
        return self.yearly + (self.loan.paid_in_year(year) if self.loan else _ZERO)

    def over(self, years: int) -> Decimal:
        """The sum over the first years."""
        return sum((self.in_year(year) for year in range(1, years + 1)), _ZERO)

    @property
    def missing(self) -> tuple[str, ...]:
        """What is not known and so left out, as sentences."""
        return tuple(part.missing for part in self.parts if part.missing)


def keeping_of(
    boat: BoatAssessment,
    settings: Settings,
    price: Decimal | None = None,
    wording: Wording = ENGLISH_WORDING,
) -> Keeping:
    """What keeping a boat costs, at a price or else at what is asked for her."""
    paid = boat.asking if price is None else price
    particulars = boat.candidate.boat
    parts = tuple(_part(one, particulars, paid, settings, wording) for one in settings.yearly_costs)
    yearly = sum((part.amount for part in parts), _ZERO)
    loan = loan_of(settings, paid)
    return Keeping(
        boat=boat.id,
        currency=settings.currency,
        price=paid,
        parts=parts,
        yearly=yearly,
        loan=loan,
        first_year=yearly + (loan.paid_in_year(1) if loan else _ZERO),
        later_work_yearly=cents(boat.later_work / _YEARS_OF_LATER_WORK, settings.currency),
    )


def keeping_by_boat(assessment: Assessment) -> dict[str, Keeping]:
    """What keeping each boat costs, at her asking price, by her id."""
    settings, wording = assessment.project.settings, assessment.catalogue.wording
    return {
        boat_id: keeping_of(boat, settings, None, wording)
        for boat_id, boat in assessment.boats.items()
    }


def loan_of(settings: Settings, price: Decimal | None) -> LoanSchedule | None:
    """The loan's payments at a price; None without a loan or a price."""
    loan = settings.loan
    if loan is None or price is None or loan.months <= 0 or loan.share_of_price <= 0:
        return None
    digits = decimals_of(settings.currency)
    principal = cents(price * loan.share_of_price, settings.currency)
    return loan_schedule(
        principal, loan.yearly_percent / _HUNDRED, loan.months, minor_digits=digits
    )


def _part(
    cost: YearlyCost, boat: Boat, price: Decimal | None, settings: Settings, wording: Wording
) -> KeepingPart:
    amount, how, missing = cost.amount, [], []
    if cost.amount:
        how.append(wording.say("{amount:,f} a year", amount=cost.amount))
    if cost.per_metre:
        length = boat.dimensions.get("loa")
        each = wording.say("{amount:,f} a metre of length overall", amount=cost.per_metre)
        how.append(each)
        if length is None:
            text = wording.say("{what}: her length is not known.", what=cost.label)
            missing.append(text)
        else:
            amount += cost.per_metre * Decimal(repr(length.value("m")))
    if cost.percent_of_price:
        share = wording.say("{percent:f} % of the price", percent=cost.percent_of_price)
        how.append(share)
        if price is None:
            missing.append(wording.say("{what}: her price is not known.", what=cost.label))
        else:
            amount += price * cost.percent_of_price / _HUNDRED
    shown = cents(amount, settings.currency)
    return KeepingPart(cost.id, cost.label, shown, " + ".join(how), " ".join(missing))
