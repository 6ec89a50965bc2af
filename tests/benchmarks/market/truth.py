"""The market as it really is: which faults the boats have, what mending costs, what is asked.

Faults are drawn from the catalogue's chances, one check after another. Where one check raises the
suspicion of another, the fault behind the first multiplies the odds of the second by the same
factor, and the second's other chances are lowered so that each fault is as common as the catalogue
says. Links back to an earlier check are left to that earlier link, which works both ways.

What is asked follows worth and the seller's whim. Prices of work share the yards' level among all
boats of one buyer. `Wrong` says how truth may differ from what the program believes; one way is
that sellers know what their boats need and ask less for it, which the program does not suppose.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tests.benchmarks.market.kinds import Flags, Floats, Kind, bill
from workbench.figures.boat_draws import GROUPS, SPREADS

LEAST_BOATS, MOST_BOATS = 3, 6
TAX = 0.06
WHIM = 0.10
"""Standard deviation of what is asked, as a share of worth."""
BUDGET_ROOM = 1.25
"""A buyer's budget is worth, tax and this many times the ordinary work."""
_SAMPLE = 4_000


@dataclass(frozen=True, slots=True)
class Wrong:
    """How truth differs from belief.

    Attributes
    ----------
    common
        Faults are so many times as common.
    wide
        The ends of true ranges lie so many times as far from the likely figure.
    sellers_know
        Share of the work beyond the ordinary that the asking price already gives up.
    """

    label: str = "as the program believes"
    common: float = 1.0
    wide: float = 1.0
    sellers_know: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Market:
    """Boats of one kind on offer to many buyers, a row for each boat.

    Attributes
    ----------
    buyer : ndarray of int, shape (boats,)
        Whose shortlist she is on.
    fault : ndarray of bool, shape (boats, jobs)
        What is really wrong.
    asking, repair : ndarray, shape (boats,)
        What is asked, and what mending everything really costs.
    gain : ndarray, shape (boats,)
        What she is really worth beyond all that she costs at the asking price.
    budget : float
        Of each buyer.
    """

    kind: Kind
    wrong: Wrong
    buyer: npt.NDArray[np.intp]
    fault: Flags
    asking: Floats
    repair: Floats
    gain: Floats
    budget: float


def market(kind: Kind, buyers: int, wrong: Wrong, chance: np.random.Generator) -> Market:
    """A market of one kind for so many buyers."""
    sizes = chance.integers(LEAST_BOATS, MOST_BOATS + 1, buyers)
    buyer = np.repeat(np.arange(buyers), sizes)
    common = np.minimum(kind.prior * wrong.common, 0.95)
    fault = faults(kind, common, buyer.size, chance)
    repair = repairs(kind, fault, buyer, wrong, chance)
    ordinary = usual_bill(kind, wrong)
    known = bill(kind, fault.astype(np.float64)) - ordinary
    asking = np.maximum(
        kind.worth * np.exp(WHIM * chance.standard_normal(buyer.size)) - wrong.sellers_know * known,
        0.2 * kind.worth,
    )
    gain = (kind.worth - asking) * (1 + TAX) + ordinary - repair
    believed = usual_bill(kind, Wrong())
    budget = kind.worth * (1 + TAX) + BUDGET_ROOM * believed
    return Market(kind, wrong, buyer, fault, asking, repair, gain, budget)


def usual_bill(kind: Kind, wrong: Wrong) -> float:
    """Mean bill of boats of the kind, which prices of the kind reflect."""
    common = np.minimum(kind.prior * wrong.common, 0.95)
    mean = bill(kind, common[np.newaxis, :])[0]
    wider = _widened(kind.ends, wrong.wide)
    extra = (wider - kind.ends) @ np.array([1.0, 4.0, 1.0]) / 6
    return float(mean + common @ extra)


def _widened(ends: Floats, times: float) -> Floats:
    likely = ends[:, 1:2]
    return np.asarray(np.maximum(likely + times * (ends - likely), 0.0), dtype=np.float64)


# --- Faults. ---


def faults(kind: Kind, common: Floats, boats: int, chance: np.random.Generator) -> Flags:
    """Faults of boats drawn together with a sample that keeps each as common as it should be."""
    number = max(boats, _SAMPLE)
    into: dict[int, list[tuple[int, float]]] = {}
    for source, target, factor in kind.links:
        if source < target:
            into.setdefault(target, []).append((source, float(np.log(factor))))
    fault = np.zeros((number, common.size), dtype=np.bool_)
    for job, prior in enumerate(common.tolist()):
        raised = np.zeros(number)
        for source, step in into.get(job, ()):
            raised += step * fault[:, source]
        fault[:, job] = chance.random(number) < _logistic(raised + _level(raised, prior))
    return fault[:boats]


def _logistic(log_odds: Floats) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-log_odds)), dtype=np.float64)


def _level(raised: Floats, prior: float) -> float:
    """Log odds without a raise at which the mean chance is the prior."""
    low, high = -25.0, 25.0
    values, counts = np.unique(raised, return_counts=True)
    for _ in range(50):
        middle = (low + high) / 2
        mean = float(_logistic(values + middle) @ counts) / raised.size
        low, high = (middle, high) if mean < prior else (low, middle)
    return (low + high) / 2


# --- What mending costs. ---


def repairs(
    kind: Kind,
    fault: Flags,
    buyer: npt.NDArray[np.intp],
    wrong: Wrong,
    chance: np.random.Generator,
) -> Floats:
    """What mending all faults really costs each boat; access work once."""
    shared = _shared(int(buyer[-1]) + 1, chance)[:, buyer]
    costs = _pert(_widened(kind.ends, wrong.wide), fault.shape[0], chance) * fault
    total = np.zeros(fault.shape[0])
    for row, factor in enumerate(shared):
        total += costs[:, kind.driver == row].sum(axis=1) * factor
    access = _pert(kind.task_ends, fault.shape[0], chance)
    for number, needs in enumerate(kind.needs):
        total += access[:, number] * fault[:, needs].any(axis=1) * shared[0]
    return total


def _shared(buyers: int, chance: np.random.Generator) -> Floats:
    """The factor of each driver for each buyer, mean 1; shape (drivers, buyers)."""
    luck = {
        name: np.exp(s * chance.standard_normal(buyers) - s * s / 2)
        for name, spread in SPREADS.items()
        if any(name in group for group in GROUPS)
        for s in (float(np.sqrt(np.log1p(spread**2))),)
    }
    return np.array(
        [np.prod([np.ones(buyers), *(luck[key] for key in group)], axis=0) for group in GROUPS]
    )


def _pert(ends: Floats, boats: int, chance: np.random.Generator) -> Floats:
    """PERT costs; shape (boats, lines)."""
    low, likely, high = ends.T
    width = np.where(high > low, high - low, 1.0)
    mode = (likely - low) / width
    drawn = chance.beta(1 + 4 * mode, 5 - 4 * mode, (boats, low.size))
    return np.asarray(low + np.where(high > low, width, 0.0) * drawn, dtype=np.float64)
