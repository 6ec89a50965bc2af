"""What the buyer should know before a sheet leaves the house: notices, never printed on it.

The offer-support sheet names a price. Where the buyer settled on none it follows from the asking
price and the claims, and may then lie above what the buyer will pay. The sheet must not tell.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from workbench.catalogue.model import Catalogue
from workbench.domain.problem import Problem, Severity
from workbench.domain.vocabulary import Grade
from workbench.figures.assessment import BoatAssessment

from .offer_sheet import WORDING
from .offer_view import offer_view
from .words import counted, price, whole

_LITTLE_SEEN = 0.5


def before_offer(boat: BoatAssessment, catalogue: Catalogue, on: date) -> tuple[Problem, ...]:
    """Notices on the offer-support sheet of one boat, as of a day."""
    view = offer_view(boat, catalogue, on)
    return (*_on_price(boat, view.lower_price), *_on_wording(boat), *_on_coverage(boat))


def _on_price(boat: BoatAssessment, offered: Decimal | None) -> list[Problem]:
    limit = boat.offer.walk_away
    if offered is None and boat.offer.held_down:
        message = "Asking price less claims is above your own limit, so the sheet names no price."
        return [_notice(boat, message, "Settle an opening price, or claim more.")]
    if offered is None:
        return [_notice(boat, "The sheet names no price.", "Settle an opening price.")]
    if limit is not None and offered > limit:
        shown, most = price(offered, boat.currency), whole(limit)
        message = f"The sheet offers {shown}, which is above your own limit of {most}."
        return [_notice(boat, message, "Settle a lower opening price.")]
    return []


def _on_wording(boat: BoatAssessment) -> list[Problem]:
    unknown = [name for name in boat.candidate.ledger.wording if name not in WORDING]
    if not unknown:
        return []
    message = f"Your words for {', '.join(sorted(unknown))} stand nowhere on the sheet."
    return [_notice(boat, message, f"There are paragraphs for {', '.join(WORDING)}.")]


def _on_coverage(boat: BoatAssessment) -> list[Problem]:
    if boat.coverage.share >= _LITTLE_SEEN:
        return []
    unseen = boat.coverage.grades[Grade.UNSEEN]
    message = (
        f"{counted(unseen, 'check')} of {boat.coverage.checks} are unseen and become conditions."
    )
    return [_notice(boat, message, "Look at more before you hand it out, or say why.")]


def _notice(boat: BoatAssessment, message: str, remedy: str) -> Problem:
    where = f"{boat.candidate.boat.name}, offer sheet"
    return Problem(where, message, remedy, Severity.NOTICE, boat.id, "offer")
