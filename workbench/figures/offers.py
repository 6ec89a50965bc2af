"""Three prices for each boat: opening, target, and the one at which to walk away.

The suggested opening is the asking price less all that is claimed: the figure that the offer sheet
argues line by line. The walk-away price is the lower of two: the most that leaves the budget whole
at the chosen confidence, and the price at which the next best boat, or none, is as good; it knows
that a boat of her kind and age needs ordinary work anyway. The target lies half-way between: both
ends are reasoned, the middle is a plan. Where the walk-away price lies below the opening, it holds
both down.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from decimal import Decimal

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.money import cents
from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings

from . import taxes
from .assessment import Anchor, BoatAssessment, Offer
from .bargaining import Stakes, gain_at, target_price, walk_away

_ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Figured:
    """A boat's figures before the other boats are looked at, and what her offer rests on."""

    boat: BoatAssessment
    anchor: Anchor
    terms: taxes.PurchaseTerms
    archived: bool


def with_offers(
    project: Project, figured: Mapping[str, Figured], wording: Wording = ENGLISH_WORDING
) -> dict[str, BoatAssessment]:
    """Every boat with her offer: the walk-away price looks at the best other boat.

    Another boat counts at her asking price, the only one at which she can be had for certain.
    """
    stakes = {boat_id: stakes_of(project.settings, one) for boat_id, one in figured.items()}
    rivals = {
        boat_id: gain
        for boat_id, held in stakes.items()
        if (gain := _gain_at(figured[boat_id].boat.asking, held)) is not None
        and not figured[boat_id].archived
    }
    made: dict[str, BoatAssessment] = {}
    for boat_id, one in figured.items():
        best = max((gain for other, gain in rivals.items() if other != boat_id), default=_ZERO)
        held = dataclasses.replace(stakes[boat_id], best_other=max(best, _ZERO))
        offer = offer_of(one.boat, one.anchor, held, _gain_at(_documented(one), held), wording)
        made[boat_id] = (
            one.boat if one.boat.offer == offer else dataclasses.replace(one.boat, offer=offer)
        )
    return made


def stakes_of(settings: Settings, one: Figured) -> Stakes:
    """What the walk-away price of a boat rests on.

    A boat of her kind in ordinary condition would cost the anchor and the taxes and fees on it
    elsewhere, so that is what having her is worth. What she needs beyond a boat of her kind and
    age comes off; buying none means going on looking for another at the going price.
    """
    boat = one.boat
    worth = None
    if one.anchor.value is not None:
        worth = taxes.total_on(one.anchor.value, one.terms) + boat.worth_to_me
    return Stakes(
        terms=one.terms,
        budget=settings.budget,
        worth=worth,
        fixed_costs=_ZERO,
        expected_work=boat.excess_work,
        work_at_confidence=boat.bill_at_confidence,
        confidence=float(settings.confidence),
    )


def _gain_at(price: Decimal | None, stakes: Stakes) -> Decimal | None:
    """What a boat is worth beyond all that she costs at a price."""
    return None if price is None else gain_at(price, stakes)


def _documented(one: Figured) -> Decimal | None:
    """The price that the claims argue for, or the anchor's where that is lower."""
    if one.anchor.value is None:
        return None
    return target_price(_reference(one.anchor, one.boat.asking), one.boat.claim.total)


def _reference(anchor: Anchor, asking: Decimal | None) -> Decimal:
    """The lower of the anchor and the asking price: nobody offers more than is asked."""
    value = anchor.value if anchor.value is not None else _ZERO
    return value if asking is None else min(value, asking)


def offer_of(
    boat: BoatAssessment,
    anchor: Anchor,
    stakes: Stakes,
    gain: Decimal | None,
    wording: Wording = ENGLISH_WORDING,
) -> Offer:
    """Opening, target and walk-away price of one boat."""
    limit = walk_away(stakes, wording)
    own = boat.candidate.ledger.opening
    asked = boat.asking if boat.asking is not None else anchor.value
    suggested = None if asked is None else target_price(asked, boat.claim.total)
    held_down = suggested is not None and limit.price is not None and suggested > limit.price
    if held_down:
        suggested = limit.price
    opening = own.amount if own is not None else suggested
    target = _half_way(opening, limit.price, boat.currency)
    return Offer(
        anchor,
        gain,
        suggested,
        opening,
        own is not None,
        target,
        limit,
        held_down,
        stakes.best_other,
    )


def _half_way(opening: Decimal | None, limit: Decimal | None, currency: str) -> Decimal | None:
    """Half-way from the opening to the walk-away price; the one that is known, otherwise."""
    if opening is None or limit is None:
        return limit if opening is None else opening
    return cents(min(opening, limit) + max(limit - opening, _ZERO) / 2, currency)


NO_OFFER = Offer(
    Anchor(None, None, None, "", from_comparables=False),
    None,
    None,
    None,
    opening_is_own=False,
    target=None,
    limit=walk_away(Stakes(taxes.PurchaseTerms(), None, None, _ZERO, _ZERO, _ZERO, 0.8)),
    held_down=False,
)
