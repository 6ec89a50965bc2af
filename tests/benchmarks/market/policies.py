"""Ways to choose a boat, from the crudest to knowing everything, and what each loses.

Every policy may buy none. What a boat is worth in ordinary condition is known to all of them, so
that the crude ones are at their best:

lowest asking
    The boat that is asked least for, unless more is asked than she is worth.
asking and visible
    Asking price and the mean cost of what was seen, against the same for a usual boat.
our ranking
    Worth less price less the expected bill: the program's gain, nobody looks further.
with next looks
    The same after the looks that the program advises; see `next_looks`.
our order
    Our ranking when the first visit, of the same length, was spent in the program's order.
our order, next looks
    The same, and then the looks that the program advises.
everything looked at
    The program's gain when every look was made on every boat, free: what looking can reach.
faults known
    All faults known, prices of work at their means.
everything known
    Faults and prices known: what losses are measured against.

A loss is the real gain of the best choice less the real gain of the boat chosen, and all that was
paid for looking after the first visit, the buyer's own time included.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tests.benchmarks.market.belief import (
    Belief,
    layperson_sees,
    professional_sees,
    told_by,
)
from tests.benchmarks.market.kinds import Flags, Floats, bill
from tests.benchmarks.market.truth import TAX, Market, Wrong, usual_bill

NONE = -1

Choice = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What came of one policy for every buyer.

    Attributes
    ----------
    chosen : ndarray of int, shape (buyers,)
        The boat's row; `NONE` for none.
    fees, hours : ndarray, shape (buyers,)
        Paid for looks, the buyer's own time included, and that time.
    """

    label: str
    chosen: Choice
    fees: Floats
    hours: Floats


def best_of_each(here: Market, score: Floats) -> Choice:
    """For each buyer the boat of the highest score, none where no score is above nothing."""
    buyers = int(here.buyer[-1]) + 1
    order = np.lexsort((score, here.buyer))
    last = np.searchsorted(here.buyer, np.arange(buyers), side="right") - 1
    best = order[last]
    return np.where(score[best] > 0, best, NONE)


def simple_policies(
    here: Market, belief: Belief, chance: np.random.Generator
) -> tuple[Outcome, ...]:
    """All policies that pay for no look."""
    price = (here.kind.worth - here.asking) * (1 + TAX)
    seen = bill(here.kind, belief.seen.astype(np.float64))
    mended = bill(here.kind, here.fault.astype(np.float64))
    scores = {
        "lowest asking": price,
        "asking and visible": price + seen.mean() - seen,
        "our ranking": believed_gain(here, belief),
        "everything looked at": believed_gain(here, everything_looked_at(here, belief, chance)),
        "faults known": price + usual_bill(here.kind, here.wrong) - mended,
        "everything known": here.gain,
    }
    free = np.zeros(int(here.buyer[-1]) + 1)
    return tuple(
        Outcome(label, best_of_each(here, score), free, free) for label, score in scores.items()
    )


def believed_gain(here: Market, belief: Belief) -> Floats:
    """The program's gain at the asking price; shape (boats,)."""
    price = (here.kind.worth - here.asking) * (1 + TAX)
    usual = usual_bill(here.kind, Wrong())
    return np.asarray(price + usual - bill(here.kind, belief.chances()), dtype=np.float64)


def everything_looked_at(here: Market, belief: Belief, chance: np.random.Generator) -> Belief:
    """What is believed after every look on every boat, the buyer's own included."""
    fresh = here.kind.ashore & ~belief.looked
    own = layperson_sees(here, chance)
    state = replace(
        belief,
        looked=belief.looked | fresh,
        seen=belief.seen | (own & fresh),
        answer=belief.answer.copy(),
        told=belief.told.copy(),
    )
    for look in range(len(here.kind.looks)):
        told_by(state, slice(None), look, professional_sees(here, look, chance))
    return state


# --- What it comes to. ---


@dataclass(frozen=True, slots=True)
class Standing:
    """How a policy did over all buyers, in money and shares.

    Attributes
    ----------
    loss, error
        Mean loss against knowing everything, and its standard error.
    over_budget
        Share of buyers who spent more than their budget.
    fees, hours
        Mean spent on looks, and hours of the buyer's own among it.
    bought
        Share who bought a boat at all.
    """

    label: str
    loss: float
    error: float
    over_budget: float
    fees: float
    hours: float
    bought: float


def losses(here: Market, outcome: Outcome) -> Floats:
    """Loss of each buyer against knowing everything."""
    best = best_of_each(here, here.gain)
    top = np.where(best == NONE, 0.0, here.gain[best])
    bought = outcome.chosen != NONE
    return np.asarray(top - np.where(bought, here.gain[outcome.chosen], 0.0) + outcome.fees)


def over_budget(here: Market, outcome: Outcome) -> Flags:
    """Whether each buyer spent more than the budget in the end."""
    spent = here.asking * (1 + TAX) + here.repair
    bought = outcome.chosen != NONE
    return np.asarray(bought & (spent[outcome.chosen] + outcome.fees > here.budget))


def standing(pairs: list[tuple[Market, Outcome]]) -> Standing:
    """How one policy did over several markets."""
    loss = np.concatenate([losses(here, outcome) for here, outcome in pairs])
    over = np.concatenate([over_budget(here, outcome) for here, outcome in pairs])
    fees = np.concatenate([outcome.fees for _, outcome in pairs])
    hours = np.concatenate([outcome.hours for _, outcome in pairs])
    bought = np.concatenate([outcome.chosen != NONE for _, outcome in pairs])
    return Standing(
        label=pairs[0][1].label,
        loss=float(loss.mean()),
        error=float(loss.std() / np.sqrt(loss.size)),
        over_budget=float(over.mean()),
        fees=float(fees.mean()),
        hours=float(hours.mean()),
        bought=float(bought.mean()),
    )
