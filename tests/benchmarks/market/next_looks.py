"""Following the program's advice on what to look at next, look by look, within a purse.

For every boat of a buyer the worth of each professional and of another visit of one's own is
figured with the program's own `packages` and `visits`; the look with the highest worth less fee is
made, its answers change what is believed, and so on until nothing pays or the purse is spent. A
professional looks once at each boat.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from tests.benchmarks.market.belief import (
    Belief,
    doubts_of,
    layperson_sees,
    professional_sees,
    row_of,
    told_by,
)
from tests.benchmarks.market.kinds import Flags, Floats
from tests.benchmarks.market.policies import Outcome, believed_gain, best_of_each
from tests.benchmarks.market.truth import Market
from workbench.figures.next_look import MINUTE_WORTH
from workbench.figures.packages import (
    Doubts,
    Ranks,
    answers_to,
    gains_after,
    most_worth,
    worth_after,
)
from workbench.figures.visits import OwnLooks, best_visit

PURSE = 2_500.0
"""What a buyer sets aside for looking further, over all boats, own time included."""
_PATTERNS = 1_000
_OWN = -1


@dataclass(frozen=True, slots=True)
class Step:
    """One look: at which boat, by whom (`_OWN` for the buyer), at what, and what it is worth."""

    row: int
    look: int
    places: tuple[int, ...]
    minutes: float
    fee: float
    net: float


@dataclass(slots=True, eq=False)
class Search:
    """All buyers' looks in progress: what was believed, what would be seen, what was done."""

    here: Market
    state: Belief
    own: Flags
    answers: list[Flags]
    ranks: Ranks
    gains: Floats
    chances: Floats
    done: set[tuple[int, int]] = field(default_factory=set)
    figured: dict[int, tuple[float, tuple[Step, ...]]] = field(default_factory=dict)


def with_next_looks(
    here: Market, belief: Belief, chance: np.random.Generator, purse: float = PURSE
) -> Outcome:
    """What comes of following the advice."""
    search = _begun(here, belief, chance)
    buyers = int(here.buyer[-1]) + 1
    fees, hours = np.zeros(buyers), np.zeros(buyers)
    for buyer in range(buyers):
        rows: list[int] = np.flatnonzero(here.buyer == buyer).tolist()
        while (step := _best_step(search, rows, purse - float(fees[buyer]))) is not None:
            fees[buyer] += step.fee
            hours[buyer] += step.minutes / 60
            _make(search, step)
    return Outcome("with next looks", best_of_each(here, search.gains), fees, hours)


def _begun(here: Market, belief: Belief, chance: np.random.Generator) -> Search:
    state = replace(
        belief,
        looked=belief.looked.copy(),
        seen=belief.seen.copy(),
        answer=belief.answer.copy(),
        told=belief.told.copy(),
    )
    patterns = np.arange(_PATTERNS, dtype=np.uint16)
    return Search(
        here=here,
        state=state,
        own=layperson_sees(here, chance),
        answers=[professional_sees(here, look, chance) for look in range(len(here.kind.looks))],
        ranks=np.stack([chance.permutation(patterns) for _ in here.kind.keys]),
        gains=believed_gain(here, state),
        chances=state.chances(),
    )


def _make(search: Search, step: Step) -> None:
    """Make a look and believe what it says."""
    state, row = search.state, step.row
    if step.look == _OWN:
        places = list(step.places)
        state.looked[row, places] = True
        state.seen[row, places] = search.own[row, places]
    else:
        search.done.add((row, step.look))
        told_by(state, slice(row, row + 1), step.look, search.answers[step.look][row : row + 1])
    one = row_of(state, row)
    search.chances[row] = one.chances()[0]
    only = replace(search.here, asking=search.here.asking[row : row + 1])
    search.gains[row] = believed_gain(only, one)[0]
    search.figured.pop(row, None)


def _best_step(search: Search, rows: list[int], purse: float) -> Step | None:
    """The look with the highest worth less fee that the purse allows; None when none pays."""
    best: Step | None = None
    for row in rows:
        rival = max([0.0, *(float(search.gains[other]) for other in rows if other != row)])
        known = search.figured.get(row)
        if known is None or known[0] != rival:
            known = (rival, _steps(search, row, rival))
            search.figured[row] = known
        for step in known[1]:
            if step.fee <= purse and step.net > (best.net if best is not None else 0.0):
                best = step
    return best


def _steps(search: Search, row: int, rival: float) -> tuple[Step, ...]:
    """The looks at one boat that pay."""
    kind, chances, gain = search.here.kind, search.chances[row], float(search.gains[row])
    doubts = doubts_of(kind, chances)
    made = [_visit(search, row, doubts, rival)]
    for number, look in enumerate(kind.looks):
        fee = float(kind.fees[number])
        covered = np.flatnonzero(kind.covers[number] & (chances < 1.0)).tolist()
        sees, cry = float(look.sees), float(look.false_alarm)
        if (row, number) in search.done or not covered:
            continue
        answers = answers_to(doubts, covered, sees, cry, search.ranks)
        if most_worth(doubts, answers, abs(gain - rival))[-1] <= fee:
            continue
        worth = worth_after(gains_after(doubts, answers, gain), rival)
        made.append(Step(row, number, (), 0.0, fee, worth - fee))
    return tuple(step for step in made if step is not None and step.net > 0)


def _visit(search: Search, row: int, doubts: Doubts, rival: float) -> Step | None:
    kind = search.here.kind
    left = kind.ashore & ~search.state.looked[row] & (search.chances[row] < 1.0)
    places = np.flatnonzero(left)
    if not places.size:
        return None
    looks = OwnLooks(
        tuple(places.tolist()), kind.sees[places], kind.false_alarm[places], kind.minutes[places]
    )
    gain = float(search.gains[row])
    best = best_visit(doubts, looks, gain, rival, search.ranks, minute_worth=MINUTE_WORTH)
    if best is None:
        return None
    return Step(row, _OWN, best.places, best.minutes, best.fee, best.net)
