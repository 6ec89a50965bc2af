"""What another hour of one's own looking is worth: the weightiest open checks of a boat, together.

One small check can hardly ever change which boat is chosen, so one by one none of them seems to be
worth the minutes. Looked at together they may be: thirty unseen things move a boat's expected cost
by thousands. Here the open checks are put in order by how much an answer moves the expected cost
for each minute it takes, and the first of them are valued together, for a half hour, an hour and so
on. It is the buyer's own look, so how well it sees and how often it cries wolf is each check's own.

Time is in minutes, amounts in the project's currency.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass

from .knowing import posterior
from .packages import Doubts, Ranks, answers_to, gains_after, most_worth, worth_after
from .sharing import Floats

LENGTHS = (30.0, 60.0, 120.0, 240.0, 480.0)
"""Lengths of a visit that are tried, and then all that is open."""


@dataclass(frozen=True, slots=True, eq=False)
class OwnLooks:
    """The buyer's own looks at doubts that are still open, as columns.

    Attributes
    ----------
    places
        Places of the doubts.
    sees, false_alarm, minutes : ndarray, shape (looks,)
        How well each sees, how often it cries wolf, and how long it takes.
    """

    places: tuple[int, ...]
    sees: Floats
    false_alarm: Floats
    minutes: Floats


@dataclass(frozen=True, slots=True)
class VisitWorth:
    """A visit: which doubts it looks at, how long it takes, and what it is worth."""

    places: tuple[int, ...]
    minutes: float
    worth: float
    fee: float

    @property
    def net(self) -> float:
        """Worth less what the time costs."""
        return self.worth - self.fee


def best_visit(
    doubts: Doubts,
    looks: OwnLooks,
    gain: float,
    rival: float,
    ranks: Ranks,
    *,
    minute_worth: float,
    most_minutes: float = np.inf,
) -> VisitWorth | None:
    """The visit to one boat with the highest worth less its time; None when nothing is open."""
    order = in_order(doubts, looks)
    spent = np.cumsum(looks.minutes[order])
    places = [looks.places[one] for one in order.tolist()]
    drawn = answers_to(doubts, places, looks.sees[order], looks.false_alarm[order], ranks)
    most = most_worth(doubts, drawn, abs(gain - max(rival, 0.0)))
    best: VisitWorth | None = None
    for length in (*LENGTHS, np.inf):
        end = int(np.searchsorted(spent, min(length, most_minutes), side="right"))
        minutes = float(spent[end - 1]) if end else 0.0
        fee = minutes * minute_worth
        if not end or (best is not None and most[end - 1] - fee <= best.net):
            continue
        worth = worth_after(gains_after(doubts, drawn.first(end), gain), rival)
        if best is None or worth - fee > best.net:
            best = VisitWorth(tuple(places[:end]), minutes, worth, fee)
    return best


def in_order(doubts: Doubts, looks: OwnLooks) -> npt.NDArray[np.intp]:
    """The looks, those first whose answer moves the expected cost most for each minute."""
    places = list(looks.places)
    chance = doubts.chances[places]
    if_seen = posterior(chance, looks.sees, looks.false_alarm)
    if_not = posterior(chance, 1 - looks.sees, 1 - looks.false_alarm)
    seen = chance * looks.sees + (1 - chance) * looks.false_alarm
    moved = (if_seen - if_not) * losses(doubts)[places]
    spread = seen * (1 - seen) * moved**2
    return np.argsort(-spread / np.maximum(looks.minutes, 1.0), kind="stable")


def losses(doubts: Doubts) -> Floats:
    """What each doubt costs if it is real: its own work, and access that nothing else brings."""
    free = doubts.unneeded * np.prod(np.where(doubts.needs, 1.0 - doubts.chances, 1.0), axis=1)
    access = (doubts.costs * free) @ doubts.needs
    return np.asarray(doubts.own + access / (1.0 - doubts.chances), dtype=np.float64)
