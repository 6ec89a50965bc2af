"""What stands behind an offer, ready to be shown: ladder, two forms of it, and what could fail.

`read_prices` is quick; `read_drops` figures the boat anew for each thing that nobody saw, taken as
found, and belongs beside the window. Everything here but the two forms is for the buyer alone.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from workbench.domain.money import cents, decimals_of
from workbench.domain.problem import Problem
from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.catalogue.wording import Wording
    from workbench.figures.assessment import Assessment, BoatAssessment
    from workbench.figures.bargaining import OfferStep

MOST_DROPS = 6


@dataclass(frozen=True, slots=True)
class Forms:
    """Two ways to settle, and what they come to for the buyer.

    Attributes
    ----------
    lower, with_work
        The two prices as the sheet states them: as she lies, and with the work done.
    jobs
        How many claimed lines the second price takes in.
    saved
        What the buyer's expected bill falls by once those jobs are done.
    equal
        The price with the work done at which both cost the buyer the same, tax and fees paid;
        None where none is.
    """

    lower: Decimal
    with_work: Decimal
    jobs: int
    saved: Decimal
    equal: Decimal | None


@dataclass(frozen=True, slots=True)
class PriceReading:
    """The prices of one boat.

    Attributes
    ----------
    ladder
        From opening to walk-away; empty where there is no walk-away price.
    forms
        None where no price can be named, or nothing is claimed whole.
    notices
        What to know before the sheet leaves the house; never on it.
    """

    boat: str
    ladder: tuple[OfferStep, ...]
    forms: Forms | None
    notices: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Drop:
    """By how much the walk-away price falls if something uncertain turns out to be due.

    `amount` is None where no price would be left; `why` says what would bind the price then.
    """

    check: str
    title: str
    grade: str
    chance: float
    amount: Decimal | None
    why: str


def read_prices(assessment: Assessment, boat_id: str, on: date) -> PriceReading:
    """Ladder, forms and notices of one boat."""
    from workbench.reports.handing_out import before_offer  # noqa: PLC0415 - when a page asks

    boat = assessment.boats[boat_id]
    notices = before_offer(boat, assessment.catalogue, on)
    return PriceReading(
        boat_id, _ladder(boat, assessment.catalogue.wording), _forms(assessment, boat, on), notices
    )


def _ladder(boat: BoatAssessment, wording: Wording) -> tuple[OfferStep, ...]:
    from workbench.figures.bargaining import offer_ladder  # noqa: PLC0415 - numpy comes with it

    offer = boat.offer
    if offer.opening is None or offer.target is None or offer.walk_away is None:
        return ()
    basis = tr("your opening") if offer.opening_is_own else tr("suggested opening")
    return offer_ladder(
        offer.opening,
        offer.target,
        offer.walk_away,
        opening_basis=basis,
        minor_digits=decimals_of(boat.currency),
        wording=wording,
    )


def _forms(assessment: Assessment, boat: BoatAssessment, on: date) -> Forms | None:
    from workbench.reports.offer_view import offer_view  # noqa: PLC0415 - when a page asks

    view = offer_view(boat, assessment.catalogue, on)
    whole = {one.key for one in view.items if one.claimed_whole}
    if view.lower_price is None or view.price_with_work is None or not whole:
        return None
    saved = _saved(boat, whole)
    equal = _equal_price(assessment.project, boat, view.lower_price, saved)
    return Forms(view.lower_price, view.price_with_work, len(whole), saved, equal)


def _saved(boat: BoatAssessment, claims: set[str]) -> Decimal:
    """What the expected bill falls by if all these claimed jobs are not needed any more."""
    from workbench.figures.line_shares import columns_of  # noqa: PLC0415 - numpy comes with it
    from workbench.figures.sharing import expected_cost  # noqa: PLC0415 - numpy comes with it

    jobs = {line.job for one in boat.claim.lines if one.key in claims for line in one.lines}
    columns = columns_of(boat)
    left = columns.chances.copy()
    for place, key in enumerate(columns.keys):
        if key in jobs:
            left[place] = 0.0
    now = expected_cost(columns.work, columns.own, columns.chances)
    return cents(now - expected_cost(columns.work, columns.own, left), boat.currency)


def _equal_price(
    project: Project, boat: BoatAssessment, lower: Decimal, saved: Decimal
) -> Decimal | None:
    """The price with the work done that costs the buyer as much as `lower` without it."""
    from workbench.figures.purchase import terms_for  # noqa: PLC0415 - numpy comes with it
    from workbench.figures.taxes import highest_price_within, total_on  # noqa: PLC0415

    terms = terms_for(project.settings, boat.candidate.boat)
    return highest_price_within(total_on(lower, terms) + saved, terms)


# --- What could fail ---


def read_drops(assessment: Assessment, boat_id: str) -> tuple[Drop, ...]:
    """The uncertain things that weigh most, each with what its failing does to the walk-away price.

    What would not move the price is left out.
    """
    from workbench.figures.if_found import if_found  # noqa: PLC0415 - numpy comes with it

    boat = assessment.boats[boat_id]
    if boat.offer.walk_away is None:
        return ()
    return tuple(
        Drop(one.check, one.title, _grade(boat, one.check), one.chance, one.drop, one.why)
        for one in if_found(assessment, boat_id, MOST_DROPS)
        if one.drop != 0
    )


def _grade(boat: BoatAssessment, check: str) -> str:
    finding = boat.finding(check)
    return finding.grade.value if finding is not None else ""
