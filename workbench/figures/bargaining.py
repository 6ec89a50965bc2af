"""At what price to walk away, what to aim for, and what each step towards it costs.

Two prices limit an offer. `top_price` is the most the budget allows once tax, fees and the work at
the chosen confidence are paid. `indifference_price` is where this boat stops being better than the
best other choice, and "buy none", worth nothing and costing nothing, is always a choice. The
walk-away price is the lower of the two and `WalkAway` says which one binds and why. Only money that
is still to be spent counts: a survey already paid for is gone whatever is decided.

Reservation price, target and alternative are kept distinct as in White and Neale (1991). Nothing
here claims what a seller will accept. `best_single_offer` is a what-if under a belief the user
states, and does nothing when no belief is stated. Walk-away, budget and the method behind the
opening figure are for the buyer's eyes only: they never belong on a page that is handed over.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from enum import Enum

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.record import dataclass
from workbench.figures.finance import round_money
from workbench.figures.taxes import PurchaseTerms, highest_price_within, total_on

_ZERO = Decimal(0)


class Binding(Enum):
    """What sets the walk-away price."""

    BUDGET = "budget"
    WORTH = "worth"
    BOTH = "both"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Stakes:
    """All that the walk-away price depends on, in money of one currency.

    `budget` and `worth` may be None when unknown. `worth` is the boat's worth in the condition the
    comparables had. `fixed_costs` are paid at any price and not part of `terms` (travel, survey
    still to be paid). `work_at_confidence` is the work's quantile at `confidence`, taken of
    work and random fixed costs together when both vary: quantiles must not be added.
    `best_other` is the net gain of the best other boat; buying none makes it at least zero.
    """

    terms: PurchaseTerms
    budget: Decimal | None
    worth: Decimal | None
    fixed_costs: Decimal
    expected_work: Decimal
    work_at_confidence: Decimal
    confidence: float
    best_other: Decimal = _ZERO


def top_price(stakes: Stakes) -> Decimal | None:
    """Highest price at which budget still covers price, tax, fees and work at the confidence.

    ``P = (B - fixed - Q_q(R)) / (1 + tau)`` for one flat tax; with bands, a cap or a minimum base
    the inverse is found by bisection. None when the budget is unknown or too small for any price.
    """
    if stakes.budget is None:
        return None
    left = stakes.budget - stakes.fixed_costs - stakes.work_at_confidence
    return highest_price_within(left, stakes.terms)


def indifference_price(stakes: Stakes) -> Decimal | None:
    """Price at which this boat is worth no more to the buyer than the best other choice.

    ``P* = (V - fixed - E[R] - max(0, best other)) / (1 + tau)`` for one flat tax.
    """
    if stakes.worth is None:
        return None
    rival = max(_ZERO, stakes.best_other)
    left = stakes.worth - stakes.fixed_costs - stakes.expected_work - rival
    return highest_price_within(left, stakes.terms)


def gain_at(price: Decimal, stakes: Stakes) -> Decimal | None:
    """Expected net gain of buying at `price`: worth less everything paid (None: worth unknown)."""
    if stakes.worth is None:
        return None
    paid = total_on(price, stakes.terms) + stakes.fixed_costs + stakes.expected_work
    return stakes.worth - paid


@dataclass(frozen=True, slots=True)
class WalkAway:
    """The walk-away price and where it comes from; `price` None: do not buy at any price."""

    price: Decimal | None
    binding: Binding
    budget_price: Decimal | None
    worth_price: Decimal | None
    why: str


def walk_away(stakes: Stakes, wording: Wording = ENGLISH_WORDING) -> WalkAway:
    """Lower of the budget's top price and the indifference price, with the reason."""
    by_budget, by_worth = top_price(stakes), indifference_price(stakes)
    if stakes.budget is None and stakes.worth is None:
        why = wording.say(
            "Neither a budget nor a worth is stated, so nothing limits the price yet."
        )
        return WalkAway(None, Binding.NOTHING, None, None, why)
    if stakes.budget is not None and by_budget is None:
        why = wording.say("Fixed costs and work alone use up the budget: no price fits.")
        return WalkAway(None, Binding.BUDGET, None, by_worth, why)
    if stakes.worth is not None and by_worth is None:
        why = wording.say(
            "Costs exceed what the boat would be worth, or another choice is better at any price."
        )
        return WalkAway(None, Binding.WORTH, by_budget, None, why)
    return _lower_of(by_budget, by_worth, stakes, wording)


def _lower_of(
    by_budget: Decimal | None, by_worth: Decimal | None, stakes: Stakes, wording: Wording
) -> WalkAway:
    budget_why = wording.say(
        "The budget binds: above this, price and work at {share:.0%} confidence exceed it.",
        share=stakes.confidence,
    )
    worth_why = wording.say(
        "Worth binds: above this, the best other boat is the better choice."
        if stakes.best_other > 0
        else "Worth binds: above this, buying none is the better choice."
    )
    if by_worth is None or (by_budget is not None and by_budget < by_worth):
        return WalkAway(by_budget, Binding.BUDGET, by_budget, by_worth, budget_why)
    if by_budget is None or by_worth < by_budget:
        return WalkAway(by_worth, Binding.WORTH, by_budget, by_worth, worth_why)
    together = wording.say("Budget and worth bind together.")
    return WalkAway(by_worth, Binding.BOTH, by_budget, by_worth, together)


def drop_if_found(
    stakes: Stakes, expected_work: Decimal, work_at_confidence: Decimal
) -> Decimal | None:
    """By how much the walk-away falls if a check turns out badly.

    `expected_work` and `work_at_confidence` are the work figures with that finding taken as real.
    None when there is no walk-away price now, or none would be left.
    """
    now = walk_away(stakes).price
    then = walk_away(
        replace(stakes, expected_work=expected_work, work_at_confidence=work_at_confidence)
    ).price
    return None if now is None or then is None else now - then


# --- Target, opening and the steps between -------------------------------------------------------


def target_price(worth: Decimal, claims: Decimal) -> Decimal:
    """Worth less the documented excess cost; never below zero."""
    return max(_ZERO, worth - claims)


@dataclass(frozen=True, slots=True)
class OfferStep:
    """One rung of the ladder: a price, how far it moved, and what it rests on."""

    price: Decimal
    moved: Decimal
    basis: str


def offer_ladder(
    opening: Decimal,
    target: Decimal,
    walk_away_price: Decimal,
    *,
    opening_basis: str,
    steps_after_target: int = 2,
    minor_digits: int = 0,
    wording: Wording = ENGLISH_WORDING,
) -> tuple[OfferStep, ...]:
    """Opening, target, and shrinking steps that end at the walk-away price.

    Each step after the target is half the one before it, the last takes the rest (common practice,
    no source). A target or opening above the walk-away is brought down to it.
    """
    if steps_after_target < 1:
        raise ValueError("at least one step must lead to the walk-away price")
    aim = min(target, walk_away_price)
    start = min(opening, aim)
    capped = target > walk_away_price
    basis = wording.say("target, held down to the walk-away price" if capped else "target")
    prices = [(start, opening_basis), (aim, basis)]
    left, last = walk_away_price - aim, steps_after_target
    for number in range(1, last):
        part = left * (1 - Decimal(2) ** -number)
        step = wording.say("step {n} above the target", n=number)
        prices.append((round_money(aim + part, minor_digits), step))
    prices.append((walk_away_price, wording.say("walk-away price")))
    return _distinct_steps(prices)


def _distinct_steps(prices: list[tuple[Decimal, str]]) -> tuple[OfferStep, ...]:
    steps = [OfferStep(prices[0][0], _ZERO, prices[0][1])]
    for price, basis in prices[1:]:
        if price == steps[-1].price:
            steps[-1] = replace(steps[-1], basis=f"{steps[-1].basis}; {basis}")
        else:
            steps.append(OfferStep(price, price - steps[-1].price, basis))
    return tuple(steps)


@dataclass(frozen=True, slots=True)
class EquivalentOffers:
    """Two offers worth the same to the buyer: less money, or the work done before closing."""

    price_with_work_done: Decimal
    price_without_work: Decimal
    price_cut: Decimal


def equivalent_offers(
    price: Decimal, marginal_cost: Decimal, terms: PurchaseTerms
) -> EquivalentOffers | None:
    """Price cut that leaves the buyer as well off as the seller doing the work.

    `marginal_cost` is what the buyer saves if the finding goes away (not its share of a haul-out
    that other work needs as well). Tax makes the cut smaller than the cost. None when the cost
    exceeds the whole price.
    """
    cut_price = highest_price_within(total_on(price, terms) - marginal_cost, terms)
    if cut_price is None:
        return None
    return EquivalentOffers(price, cut_price, price - cut_price)


# --- What-if: a stated belief about the seller ---------------------------------------------------


@dataclass(frozen=True, slots=True)
class SellerFloorBelief:
    """The user's own belief: the seller's lowest price lies anywhere between two figures."""

    low: Decimal
    high: Decimal

    def __post_init__(self) -> None:
        if not _ZERO <= self.low < self.high:
            raise ValueError("the seller's floor needs two rising, non-negative figures")


@dataclass(frozen=True, slots=True)
class WhatIfOffer:
    """Best one-shot offer under a stated belief; a what-if, not a prediction."""

    offer: Decimal
    share_of_floors_met: Decimal
    expected_gain: Decimal
    note: str


def best_single_offer(
    value: Decimal,
    belief: SellerFloorBelief | None,
    minor_digits: int = 2,
    wording: Wording = ENGLISH_WORDING,
) -> WhatIfOffer | None:
    """One-shot offer with the greatest expected gain if the floor is uniform on the belief.

    ``(v + a) / 2`` held inside [a, b]. None without a belief, or when the boat is worth no more
    than the lowest floor.
    """
    if belief is None or value <= belief.low:
        return None
    offer = round_money(min((value + belief.low) / 2, belief.high), minor_digits)
    met = (offer - belief.low) / (belief.high - belief.low)
    note = wording.say(
        "What if the seller's floor lies anywhere from {low} to {high}, as you assumed? "
        "One offer only, no reply. This says nothing about this seller.",
        low=belief.low,
        high=belief.high,
    )
    return WhatIfOffer(offer, met, round_money(met * (value - offer), minor_digits), note)


def result_if_accepted(
    offer: Decimal, lowest: Decimal, highest: Decimal, worth_multiple: Decimal
) -> Decimal:
    """Buyer's average result of an accepted offer when only the seller knows the true value.

    The seller's value is uniform on [lowest, highest] and the buyer's worth is a multiple of it
    (the takeover game of Samuelson and Bazerman, 1984). Acceptance is news: an offer taken at once
    calls for the estimate to be looked at again.
    """
    if offer < lowest:
        raise ValueError(f"no seller in this range accepts {offer}")
    average = (lowest + min(offer, highest)) / 2
    return worth_multiple * average - offer
