"""What a boat is worth after somebody has looked at many doubtful things at once.

A professional answers a whole list of checks. After any pattern of answers the chance of each fault
moves by its likelihood ratio, and the boat's expected bill follows exactly: each job's own cost by
its chance, and each access task by the chance that any job needs it, ``1 - prod(1 - p)``. So jobs
that share a haul-out are not taken as costs that simply add. Only the patterns are drawn, with each
answer as often as it should come; the drawn gains are moved to their known mean, so noise in the
draws shifts nothing.

Answers are taken as independent given the present chances: what a professional finds raises no
further suspicion here. Faults that were found for sure are not in doubt and stay as they are.
Amounts are expected gains in the project's currency.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass

from .assessment import BoatAssessment, Line
from .draws import Pool, ranks, stream_for
from .knowing import posterior
from .line_shares import JobColumns, columns_of
from .sharing import Floats, expected_derivatives

PATTERNS = 4_000
"""Patterns of answers that are drawn."""
_SMALLEST = 1e-9

Ranks = npt.NDArray[np.uint16]


@dataclass(frozen=True, slots=True)
class Doubt:
    """A doubtful finding: its chance, and what its cost would be if it is real."""

    line: Line
    chance: float
    loss: float


@dataclass(frozen=True, slots=True, eq=False)
class Doubts:
    """All doubtful findings of a boat as columns.

    Attributes
    ----------
    items : tuple of Doubt
        A job at a time, in the order of the ledger.
    chances, own : ndarray, shape (doubts,)
        Chance that each is real, and its cost without access work [money].
    needs : ndarray of bool, shape (tasks, doubts)
        Which access task each needs; tasks that are needed for sure are left out.
    costs, unneeded : ndarray, shape (tasks,)
        Cost of each task [money], and the chance that no work outside the doubts needs it.
    """

    items: tuple[Doubt, ...]
    chances: Floats
    own: Floats
    needs: npt.NDArray[np.bool_]
    costs: Floats
    unneeded: Floats


def doubts_of(boat: BoatAssessment) -> tuple[Doubt, ...]:
    """Every finding of a boat whose chance lies between nothing and certainty, a job at a time.

    The loss is what the boat's expected cost rises by when the finding turns from not there to
    there: its own cost, and its access work in the cases where nothing else needs it.
    """
    return doubt_columns(boat).items


def doubt_columns(boat: BoatAssessment) -> Doubts:
    """The doubtful findings of a boat as columns."""
    columns = columns_of(boat)
    losses = expected_derivatives(columns.work, columns.own, columns.chances)
    doubtful = [
        place
        for place, line in enumerate(columns.first)
        if line.finding is not None and 0.0 < line.chance < 1.0
    ]
    items = tuple(
        Doubt(columns.first[place], columns.first[place].chance, float(losses[place]))
        for place in doubtful
    )
    needs, unneeded = _needs(columns, doubtful)
    open_tasks = (unneeded > 0.0) & needs.any(axis=1) & (columns.work.costs > 0.0)
    return Doubts(
        items,
        columns.chances[doubtful],
        columns.own[doubtful],
        needs[open_tasks],
        columns.work.costs[open_tasks],
        unneeded[open_tasks],
    )


def _needs(columns: JobColumns, doubtful: list[int]) -> tuple[npt.NDArray[np.bool_], Floats]:
    """Which task each doubt needs, and the chance that nothing but doubts needs each task."""
    work = columns.work
    needs = np.zeros((len(work.keys), work.items), dtype=np.bool_)
    needs[work.task_of, work.item_of] = True
    free = np.where(needs, 1.0 - columns.chances, 1.0)
    free[:, doubtful] = 1.0
    return needs[:, doubtful], free.prod(axis=1)


def answer_ranks(boat: BoatAssessment, doubts: Doubts, pool: Pool) -> Ranks:
    """The ranks behind the drawn answers, the same for every look; shape (doubts, patterns)."""
    stream = boat.candidate.boat.stream
    rows = [ranks(stream_for(stream, f"answer/{one.line.job}"), pool) for one in doubts.items]
    return np.array(rows, dtype=np.uint16).reshape(len(rows), pool.draws)


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """The drawn answers to some doubts, and what each would make of its chance.

    Attributes
    ----------
    places
        Places of the doubts that are answered.
    seen, if_seen, if_not : ndarray, shape (answers,)
        Chance that the fault is seen, and the chance that it is real after each answer.
    yes : ndarray of float32, shape (answers, patterns)
        1 where the fault is seen.
    """

    places: tuple[int, ...]
    seen: Floats
    if_seen: Floats
    if_not: Floats
    yes: npt.NDArray[np.float32]

    def first(self, count: int) -> Answers:
        """The first of the answers."""
        return Answers(
            self.places[:count],
            self.seen[:count],
            self.if_seen[:count],
            self.if_not[:count],
            self.yes[:count],
        )


def answers_to(
    doubts: Doubts,
    covered: Sequence[int],
    sees: float | Floats,
    false_alarm: float | Floats,
    order: Ranks,
) -> Answers:
    """Draw the answers to the covered doubts.

    Parameters
    ----------
    covered
        Places of the doubts that are answered.
    sees, false_alarm
        Chance to see a fault that is there, and one that is not; one or for each covered doubt.
    order
        The ranks behind the answers; see `answer_ranks`.
    """
    places = list(covered)
    chance = doubts.chances[places]
    hit = np.broadcast_to(np.asarray(sees, dtype=np.float64), chance.shape)
    clear = 1.0 - np.broadcast_to(np.asarray(false_alarm, dtype=np.float64), chance.shape)
    seen = chance * hit + (1.0 - chance) * (1.0 - clear)
    patterns = order.shape[1]
    from_rank = patterns - np.round(seen * patterns).astype(np.int64)
    return Answers(
        tuple(places),
        seen,
        np.minimum(posterior(chance, hit, 1.0 - clear), 1.0 - _SMALLEST),
        posterior(chance, 1.0 - hit, clear),
        (order[places] >= from_rank[:, np.newaxis]).astype(np.float32),
    )


def gains_after(doubts: Doubts, answers: Answers, gain: float) -> Floats:
    """The boat's expected gain after each drawn pattern of answers; shape (patterns,).

    `gain` is what is expected now, and the mean of the answer.
    """
    places = list(answers.places)
    step = ((answers.if_seen - answers.if_not) * doubts.own[places]).astype(np.float32)
    bill = (step @ answers.yes).astype(np.float64)
    users = np.flatnonzero(doubts.needs[:, places].any(axis=0))
    if users.size:
        asking = [places[user] for user in users.tolist()]
        if_seen, if_not = answers.if_seen[users], answers.if_not[users]
        bill -= _spared(doubts, asking, if_seen, if_not, answers.yes[users])
    return np.asarray(gain - (bill - bill.mean()), dtype=np.float64)


def _spared(
    doubts: Doubts,
    places: list[int],
    if_seen: Floats,
    if_not: Floats,
    yes: npt.NDArray[np.float32],
) -> Floats:
    """What is spared on average because a task is not needed, after each pattern [money].

    A task is spared with the product of 1 - p over all that may need it; the logarithm of that
    product moves by a fixed step with each answer.
    """
    touched = np.flatnonzero(doubts.needs[:, places].any(axis=1))
    needs = doubts.needs[touched]
    others = needs.copy()
    others[:, places] = False
    log_free = np.log(doubts.unneeded[touched]) + others @ np.log1p(-doubts.chances)
    log_free += needs[:, places] @ np.log1p(-if_not)
    step = (needs[:, places] * (np.log1p(-if_seen) - np.log1p(-if_not))).astype(np.float32)
    free = np.exp(step @ yes + log_free.astype(np.float32)[:, np.newaxis])
    return np.asarray(doubts.costs[touched].astype(np.float32) @ free, dtype=np.float64)


def worth_after(gains: Floats, rival: float) -> float:
    """What knowing is worth: the mean of the better choice after it, less the better choice now."""
    floor = max(rival, 0.0)
    if gains.min() >= floor or gains.max() <= floor:
        return 0.0
    return max(float(np.maximum(gains, floor).mean()) - max(float(gains.mean()), floor), 0.0)


def most_worth(doubts: Doubts, answers: Answers, apart: float) -> Floats:
    """The most that the first answer, the first two and so on can be worth; shape (answers,).

    With a spread of variance v around a mean that lies d from the rival the mean shortfall is at
    most (sqrt(v + d2) - d) / 2, whatever the shape of the spread (Scarf 1958, from memory). Shared
    access work is taken as if each job bore it alone, so the spread is not understated.
    """
    places = list(answers.places)
    heavy = doubts.own[places] + doubts.costs @ doubts.needs[:, places]
    moved = (answers.if_seen - answers.if_not) * heavy
    variance = np.cumsum(answers.seen * (1.0 - answers.seen) * moved**2)
    return np.asarray((np.sqrt(variance + apart**2) - apart) / 2.0, dtype=np.float64)
