"""Which boat is best and how surely, and which doubt moves the total most.

Boats are compared on common draws: one array of totals of shape (boats, draws) in which a column is
the same luck for every boat. Lower is better. Chances of each rank, expected regret and dominance
belong together; the chance of being best alone rewards a gamble. A tie is shared evenly, never
counted twice, so the chances of every rank add to 1 over the boats.

For one boat, the tornado lists how far the mean total swings as one input goes from its P10 to its
P90, and variance shares say which inputs the spread comes from.

References
----------
Tervonen and Lahdelma 2007 (rank acceptability, SMAA); Sobol 1993 (first-order index).
Money is in one unit of currency.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Totals = npt.NDArray[np.floating]


# --- Boats against each other. ---


def rank_acceptability(totals: Totals) -> Floats:
    """Share of draws in which each boat takes each rank, cheapest first.

    Parameters
    ----------
    totals : ndarray, shape (boats, draws)
        [money].

    Returns
    -------
    ndarray of float64, shape (boats, boats)
        Row: boat. Column: rank from 0. Rows and columns each add to 1.
    """
    boats, draws = totals.shape
    columns = np.ascontiguousarray(totals.T)
    order = np.argsort(columns, axis=1)
    ordered = np.take_along_axis(columns, order, axis=1)
    tied = np.any(ordered[:, 1:] == ordered[:, :-1], axis=1)
    places = (order * boats + np.arange(boats))[~tied]
    whole = np.bincount(places.ravel(), minlength=boats * boats).reshape(boats, boats)
    counted = whole.astype(np.float64)
    for column in columns[tied]:
        counted += _shared_ranks(column)
    counted /= draws
    return counted


def _shared_ranks(column: Totals) -> Floats:
    """Ranks of one draw with ties: equal boats share their ranks evenly; (boats, boats)."""
    lower = np.sum(column[np.newaxis, :] < column[:, np.newaxis], axis=1)
    equal = np.sum(column[np.newaxis, :] == column[:, np.newaxis], axis=1)
    rank = np.arange(column.size)
    held = (rank >= lower[:, np.newaxis]) & (rank < (lower + equal)[:, np.newaxis])
    return np.asarray(held / equal[:, np.newaxis], dtype=np.float64)


def chances_best(totals: Totals) -> Floats:
    """Chance that each boat is the cheapest; ties shared evenly; shape (boats,)."""
    return _chances_of_extreme(totals, totals.min(axis=0))


def chances_worst(totals: Totals) -> Floats:
    """Chance that each boat is the dearest; ties shared evenly; shape (boats,)."""
    return _chances_of_extreme(totals, totals.max(axis=0))


def _chances_of_extreme(totals: Totals, extreme: Totals) -> Floats:
    """Share of draws in which each boat holds the extreme, split among those that tie for it."""
    holds = totals == extreme
    holders = np.count_nonzero(holds, axis=0)
    alone = holders == 1
    chances = np.count_nonzero(holds & alone, axis=1).astype(np.float64)
    if not alone.all():
        chances += (holds[:, ~alone] / holders[~alone]).sum(axis=1)
    return np.asarray(chances / totals.shape[1], dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class BestOfOthers:
    """The cheapest of all boats but one, kept while that one is edited.

    Attributes
    ----------
    cheapest : ndarray, shape (draws,)
        [money], least total among the others.
    holders : ndarray of int, shape (draws,)
        How many of the others have it.
    """

    cheapest: Totals
    holders: npt.NDArray[np.intp]


def best_of_others(totals: Totals, boat: int) -> BestOfOthers:
    """The cheapest of all boats but ``boat`` in each draw; needs two boats or more."""
    others = np.delete(totals, boat, axis=0)
    if not others.size:
        raise ValueError("a boat needs another to be compared with")
    cheapest = others.min(axis=0)
    return BestOfOthers(cheapest, np.count_nonzero(others == cheapest, axis=0))


def chance_best(total: Totals, others: BestOfOthers) -> float:
    """Chance that a boat with these draws is cheaper than all others; ties shared evenly."""
    ties = total == others.cheapest
    wins = float(np.count_nonzero(total < others.cheapest))
    if ties.any():
        wins += float((1.0 / (1.0 + others.holders[ties])).sum())
    return wins / total.size


def expected_regret(totals: Totals) -> Floats:
    """Mean of (own total - least total) [money] for each boat; shape (boats,).

    What choosing this boat costs on average against choosing with hindsight.
    """
    return np.asarray((totals - totals.min(axis=0)).mean(axis=1), dtype=np.float64)


def first_order_dominance(totals: Totals) -> Flags:
    """Which boat is cheaper than which at every level of luck; bool of shape (boats, boats).

    Entry (i, j) is true where boat i's sorted totals are nowhere above boat j's and somewhere
    below: everyone who likes to pay less prefers i.
    """
    return _nowhere_above(np.sort(totals, axis=1))


def second_order_dominance(totals: Totals) -> Flags:
    """Which boat is preferred by everyone who dislikes both cost and risk; (boats, boats).

    Entry (i, j) is true where the sum of boat i's k dearest draws is nowhere above boat j's, for
    every k, and somewhere below.
    """
    dearest_first = -np.sort(-totals.astype(np.float64), axis=1)
    return _nowhere_above(np.cumsum(dearest_first, axis=1))


def _nowhere_above(curves: Totals) -> Flags:
    """Pairs in which row i is nowhere above row j and somewhere below."""
    boats = curves.shape[0]
    dominates = np.zeros((boats, boats), dtype=np.bool_)
    for i in range(boats):
        below = curves[i] <= curves
        dominates[i] = below.all(axis=1) & (curves[i] < curves).any(axis=1)
    return dominates


# --- Inputs of one total. ---


@dataclass(frozen=True, slots=True)
class Swing:
    """How far the mean total goes as one input goes from its P10 to its P90.

    Attributes
    ----------
    key : str
        The input.
    low, high : float
        [money], mean total with the input at its P10 and at its P90.
    """

    key: str
    low: float
    high: float

    @property
    def width(self) -> float:
        """Distance between the two [money]."""
        return abs(self.high - self.low)


def swings(
    mean_total: float,
    keys: Sequence[str],
    at_low: npt.ArrayLike,
    at_mean: npt.ArrayLike,
    at_high: npt.ArrayLike,
    slopes: npt.ArrayLike = 1.0,
) -> tuple[Swing, ...]:
    """Swings of inputs that enter the mean total in a straight line, widest first.

    Parameters
    ----------
    mean_total : float
        [money].
    keys : sequence of str, length inputs
        Names; equal widths are listed by name.
    at_low, at_mean, at_high : array_like, shape (inputs,)
        P10, mean and P90 of each input, in its own unit.
    slopes : array_like
        Change of the mean total per unit of each input, [money per unit]: the chance for the cost
        of a job, the mean of its group for a factor.
    """
    slope = np.asarray(slopes, dtype=np.float64)
    centre = np.asarray(at_mean, dtype=np.float64)
    low = mean_total + slope * (np.asarray(at_low, dtype=np.float64) - centre)
    high = mean_total + slope * (np.asarray(at_high, dtype=np.float64) - centre)
    unsorted = map(Swing, keys, low.tolist(), high.tolist())
    return tornado(tuple(unsorted))


def tornado(unsorted: Sequence[Swing]) -> tuple[Swing, ...]:
    """Swings sorted widest first; equal widths by name."""
    return tuple(sorted(unsorted, key=lambda swing: (-swing.width, swing.key)))


def variance_shares(variances: npt.ArrayLike, total_variance: float) -> Floats:
    """Share of the total's variance from each input: its first-order index; shape (inputs,).

    Parameters
    ----------
    variances : array_like, shape (inputs,)
        Variance [money squared] of E[total | input]; for a line that is simply added, its own.
    total_variance : float
        [money squared]. Where it is 0 all shares are 0.
    """
    parts = np.asarray(variances, dtype=np.float64)
    return parts / total_variance if total_variance > 0.0 else np.zeros_like(parts)


def drawn_variance_share(values: Totals, total: Totals, bins: int = 50) -> float:
    """First-order index of an input from draws, for totals that are not sums.

    The input's draws are cut into bins of equal count; the variance of the bins' mean totals over
    the variance of the total estimates Var(E[total | input]) / Var(total). What the bins' own
    sampling noise adds is taken off, so an input without influence gives about 0, perhaps below.
    """
    order = np.argsort(values, kind="stable")
    parts = np.array_split(np.asarray(total, dtype=np.float64)[order], bins)
    weights = np.array([part.size for part in parts]) / total.size
    centre = np.array([part.mean() for part in parts])
    grand = float(weights @ centre)
    between = float(weights @ (centre - grand) ** 2)
    noise = float(weights @ np.array([part.var(ddof=1) / part.size for part in parts]))
    spread = float(np.asarray(total, dtype=np.float64).var())
    return (between - noise) / spread if spread > 0.0 else 0.0
