"""A whole run of the market: every kind of boat, every policy, and how often the P80 held."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.market.belief import VISIT_MINUTES, first_visit, first_visit_in_our_order
from tests.benchmarks.market.held import percentile_of_each
from tests.benchmarks.market.kinds import Kind
from tests.benchmarks.market.next_looks import PURSE, with_next_looks
from tests.benchmarks.market.policies import (
    Outcome,
    Standing,
    believed_gain,
    best_of_each,
    simple_policies,
    standing,
)
from tests.benchmarks.market.truth import Market, Wrong, market

WAYS = (
    Wrong(),
    Wrong("faults half as common", common=0.5),
    Wrong("faults twice as common", common=2.0),
    Wrong("true ranges twice as wide", wide=2.0),
    Wrong("sellers give up a quarter of hidden work", sellers_know=0.25),
)
LEFT_BY = "asking and visible"


@dataclass(frozen=True, slots=True)
class Result:
    """What came of one way in which truth stands to belief.

    Attributes
    ----------
    held
        Share of all boats whose bill stayed within the program's P80 after the first visit.
    boats
        How many boats that is taken over.
    """

    wrong: Wrong
    standings: tuple[Standing, ...]
    held: float
    boats: int

    def of(self, label: str) -> Standing:
        """How one policy did."""
        return next(one for one in self.standings if one.label == label)

    def recovered(self, label: str) -> float:
        """Share of the loss left by price and visible findings that a policy spares."""
        return 1.0 - self.of(label).loss / self.of(LEFT_BY).loss


def run(
    kinds: Sequence[Kind],
    buyers: int,
    wrong: Wrong,
    *,
    seed: int = 1,
    minutes: float = VISIT_MINUTES,
    purse: float = PURSE,
) -> Result:
    """Run the market for so many buyers of each kind."""
    pairs: dict[str, list[tuple[Market, Outcome]]] = {}
    held: list[bool] = []
    for number, kind in enumerate(kinds):
        chance = np.random.default_rng([seed, number])
        here = market(kind, buyers, wrong, chance)
        belief = first_visit(here, chance, minutes)
        held += (here.repair <= percentile_of_each(kind, belief.chances())).tolist()
        outcomes = (
            *simple_policies(here, belief, chance),
            with_next_looks(here, belief, chance, purse),
            *_in_our_order(here, chance, minutes, purse),
        )
        for outcome in outcomes:
            pairs.setdefault(outcome.label, []).append((here, outcome))
    standings = tuple(standing(made) for made in pairs.values())
    return Result(wrong, standings, float(np.mean(held)), len(held))


def _in_our_order(
    here: Market, chance: np.random.Generator, minutes: float, purse: float
) -> tuple[Outcome, Outcome]:
    """The policies whose first visit goes in the program's order."""
    belief = first_visit_in_our_order(here, chance, minutes)
    choice = best_of_each(here, believed_gain(here, belief))
    free = np.zeros(choice.size)
    looked = with_next_looks(here, belief, chance, purse)
    return (
        Outcome("our order", choice, free, free),
        replace(looked, label="our order, next looks"),
    )


def table(result: Result) -> str:
    """A result as lines of text."""
    heads = f"{'policy':24}{'mean loss':>12}{'spared':>9}{'over budget':>13}{'fees':>7}"
    lines = [
        f"Truth: {result.wrong.label}",
        f"P80 held for {result.held:.1%} of {result.boats} boats",
        f"{heads}{'hours':>7}{'bought':>8}",
    ]
    lines += [
        f"{one.label:24}{one.loss:8,.0f} ±{one.error:3.0f}{result.recovered(one.label):9.0%}"
        f"{one.over_budget:13.1%}{one.fees:7.0f}{one.hours:7.1f}{one.bought:8.0%}"
        for one in result.standings
    ]
    return "\n".join(lines)
