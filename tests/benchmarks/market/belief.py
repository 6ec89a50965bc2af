"""What a buyer believes about the boats after looking, by the program's own rules.

A look multiplies the odds of a fault by its likelihood ratio, and by nothing where nobody looked; a
fault that was seen raises the odds of related ones; bounds keep every chance off certainty, except
that what a layperson can judge and has seen counts as seen. These are the rules of `evidence` and
`findings`, for many boats at once; a test holds a boat judged here to the program's own findings.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tests.benchmarks.market.kinds import Flags, Floats, Kind
from tests.benchmarks.market.truth import Market
from workbench.figures.evidence import GREATEST_CHANCE, LEAST_CHANCE
from workbench.figures.packages import Doubts
from workbench.figures.visits import OwnLooks, in_order

VISIT_MINUTES = 240.0
"""How long a buyer looks at each boat at first: half a day."""


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """What has been looked at on every boat, and what came of it; rows are boats.

    Attributes
    ----------
    looked, seen : ndarray of bool, shape (boats, jobs)
        Whether the buyer looked, and saw a fault.
    answer : ndarray, shape (boats, jobs)
        Product of the likelihood ratios of professionals' answers.
    told : ndarray of bool, shape (boats, jobs)
        Whether a professional saw a fault.
    """

    kind: Kind
    looked: Flags
    seen: Flags
    answer: Floats
    told: Flags

    def chances(self) -> Floats:
        """Chance of each fault on each boat; shape (boats, jobs)."""
        kind = self.kind
        hit, cry = _inside(kind.sees), _inside(kind.false_alarm)
        prior = np.clip(kind.prior, LEAST_CHANCE, GREATEST_CHANCE)
        odds = np.broadcast_to(prior / (1 - prior), self.looked.shape) * self.answer
        odds = odds * np.where(self.seen, hit / cry, 1.0)
        odds *= np.where(self.looked & ~self.seen, (1 - hit) / (1 - cry), 1.0)
        found = self.seen | self.told
        for source, target, factor in kind.links:
            odds[:, target] *= np.where(found[:, source], factor, 1.0)
        chance = np.clip(odds / (1 + odds), LEAST_CHANCE, GREATEST_CHANCE)
        return np.where(self.seen & kind.certain, 1.0, chance)


def _inside(chance: Floats) -> Floats:
    return np.clip(chance, 0.001, 0.999)


def first_visit(
    here: Market, chance: np.random.Generator, minutes: float = VISIT_MINUTES
) -> Belief:
    """A layperson's first look over every boat, as far as time goes, in an order of chance."""
    order = np.argsort(chance.random(here.fault.shape), axis=1)
    return _visited(here, order, minutes, chance)


def first_visit_in_our_order(
    here: Market, chance: np.random.Generator, minutes: float = VISIT_MINUTES
) -> Belief:
    """The same time spent on what the program says tells most for each minute."""
    kind = here.kind
    ashore = np.flatnonzero(kind.ashore)
    looks = OwnLooks(
        tuple(ashore.tolist()),
        kind.sees[ashore],
        kind.false_alarm[ashore],
        kind.minutes[ashore],
    )
    first = ashore[in_order(doubts_of(kind, kind.prior), looks)]
    order = np.concatenate([first, np.flatnonzero(~kind.ashore)])
    return _visited(here, np.tile(order, (here.fault.shape[0], 1)), minutes, chance)


def _visited(
    here: Market, order: npt.NDArray[np.intp], minutes: float, chance: np.random.Generator
) -> Belief:
    kind = here.kind
    spent = np.cumsum(np.where(kind.ashore, kind.minutes, 0.0)[order], axis=1)
    reached = np.zeros(here.fault.shape, dtype=np.bool_)
    np.put_along_axis(reached, order, spent <= minutes, axis=1)
    looked = reached & kind.ashore
    nobody = np.zeros(here.fault.shape, dtype=np.bool_)
    seen = looked & layperson_sees(here, chance)
    return Belief(kind, looked, seen, np.ones(here.fault.shape), nobody)


def doubts_of(kind: Kind, chances: Floats) -> Doubts:
    """All jobs of a boat as doubts; access work that is needed for sure is left out."""
    sure = chances >= 1.0
    open_tasks = ~kind.needs[:, sure].any(axis=1)
    return Doubts(
        (),
        np.where(sure, 0.0, chances),
        kind.mean,
        kind.needs[open_tasks],
        kind.task_mean[open_tasks],
        np.ones(int(open_tasks.sum())),
    )


def layperson_sees(here: Market, chance: np.random.Generator) -> Flags:
    """What a layperson would see if they looked at everything; shape (boats, jobs).

    Where a layperson can judge, what looks amiss is looked at again before it is written down as
    sure, so a false alarm has to come twice.
    """
    cry = _inside(here.kind.false_alarm)
    cry = np.where(here.kind.certain, cry**2, cry)
    return _sees(here, _inside(here.kind.sees), cry, chance)


def professional_sees(here: Market, look: int, chance: np.random.Generator) -> Flags:
    """What a professional would see on every boat; shape (boats, jobs)."""
    one = here.kind.looks[look]
    jobs = here.kind.prior.size
    return _sees(
        here, np.full(jobs, float(one.sees)), np.full(jobs, float(one.false_alarm)), chance
    )


def _sees(here: Market, hit: Floats, cry: Floats, chance: np.random.Generator) -> Flags:
    drawn = chance.random(here.fault.shape)
    return drawn < np.where(here.fault, hit, cry)


def told_by(state: Belief, rows: slice, look: int, saw: Flags) -> None:
    """Put a professional's answers on some boats into what is believed."""
    one, covered = state.kind.looks[look], state.kind.covers[look]
    hit, cry = float(one.sees), float(one.false_alarm)
    ratio = np.where(saw, hit / cry, (1 - hit) / (1 - cry))
    state.answer[rows] *= np.where(covered, ratio, 1.0)
    state.told[rows] |= covered & saw


def row_of(state: Belief, row: int) -> Belief:
    """What is believed of one boat."""
    rows = slice(row, row + 1)
    return Belief(
        state.kind, state.looked[rows], state.seen[rows], state.answer[rows], state.told[rows]
    )
