"""What work that serves many lines costs, once, and how much of it each line carries.

Hauling out, unstepping the mast or drawing the shaft is paid once however many findings need it.
Three figures follow for every finding, and they are never the same one:

* stand-alone: what it would cost were it the only work: its own cost and all its access;
* marginal: what the whole bill falls by if this finding goes away; a saving, small where others
  still need the access;
* fair share: its own cost and an equal part of each access task among those that need it. For
  costs of this kind the equal split is the Shapley value (Littlechild and Owen 1973 for the
  airport game; Dubey 2024, arXiv 2401.09845); shares add up to the bill.

Where findings are only likely, with independent chances, the means of all three are exact here
without a draw: an access task is needed with chance ``1 - prod(1 - p)`` over its users.

Tasks may need tasks (the shaft comes out only when the boat is hauled); ``closure`` follows that.
One haul-out covers the work planned for the same lay-up only, so everything is keyed by task and
lay-up together. Money is in one unit of currency. With through-hulls 1200 and a cutless bearing
350 that both need a haul-out of 650, the bill is 2200, the stand-alones 1850 and 1000, the
marginals 1200 and 350, the shares 1525 and 675.
"""

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Counts = npt.NDArray[np.int32]
Places = npt.NDArray[np.intp]


class AccessKey(NamedTuple):
    """An access task in one lay-up."""

    task: str
    lay_up: str


class AccessRingError(ValueError):
    """Access tasks that need each other in a ring.

    Attributes
    ----------
    ring : tuple of str
        The tasks of the ring in order; the last needs the first.
    """

    def __init__(self, ring: tuple[str, ...]) -> None:
        self.ring = ring
        super().__init__(f"access tasks need each other in a ring: {' -> '.join((*ring, ring[0]))}")


def closure(requires: Mapping[str, tuple[str, ...]]) -> dict[str, frozenset[str]]:
    """Every task together with all it needs, directly or through others.

    Parameters
    ----------
    requires : mapping
        Direct needs of each task. A task named only as a need needs nothing itself.

    Returns
    -------
    dict
        Each task of ``requires``, and each named in it, to the set of itself and all it needs.

    Raises
    ------
    AccessRingError
        If tasks need each other in a ring, itself included.
    """
    done: dict[str, frozenset[str]] = {}
    for start in requires:
        _close(start, requires, done)
    return done


def _close(
    start: str, requires: Mapping[str, tuple[str, ...]], done: dict[str, frozenset[str]]
) -> None:
    """Fill ``done`` for a task and all below it, deepest first, without recursion."""
    path: list[str] = []
    todo = [start]
    while todo:
        task = todo[-1]
        if task in done:
            todo.pop()
        elif path and path[-1] == task:
            needs = (done[need] for need in requires.get(task, ()))
            done[task] = frozenset((task,)).union(*needs)
            path.pop()
            todo.pop()
        elif task in path:
            raise AccessRingError(tuple(path[path.index(task) :]))
        else:
            needed = requires.get(task, ())
            if task in needed:
                raise AccessRingError((task,))
            path.append(task)
            todo.extend(need for need in needed if need not in done)


@dataclass(frozen=True, slots=True, eq=False)
class SharedWork:
    """Which items need which access tasks, as columns.

    An item is anything that asks for access: a finding's work line, a quote. Needs are closed
    already. Pairs are sorted by task, then item.

    Attributes
    ----------
    keys : tuple of AccessKey
        The tasks that some item needs, sorted.
    costs : ndarray, shape (tasks,)
        [money] of each.
    items : int
        Number of items.
    item_of, task_of : ndarray of intp, shape (pairs,)
        Item and task of each need.
    starts : ndarray of intp, shape (tasks,)
        First pair of each task.
    """

    keys: tuple[AccessKey, ...]
    costs: Floats
    items: int
    item_of: Places
    task_of: Places
    starts: Places


def shared_work(
    needs: Sequence[Collection[AccessKey]], costs: Mapping[AccessKey, float]
) -> SharedWork:
    """Set up the columns.

    Parameters
    ----------
    needs : sequence of collections of AccessKey
        For each item the closed set of tasks it needs.
    costs : mapping
        [money] of every needed task; others are ignored.

    Raises
    ------
    KeyError
        If a needed task has no cost.
    """
    keys = tuple(sorted(set().union(*needs)))
    number = {key: place for place, key in enumerate(keys)}
    pairs = sorted((number[key], item) for item, wanted in enumerate(needs) for key in set(wanted))
    task_of = np.array([task for task, _ in pairs], dtype=np.intp)
    return SharedWork(
        keys=keys,
        costs=np.array([costs[key] for key in keys], dtype=np.float64),
        items=len(needs),
        item_of=np.array([item for _, item in pairs], dtype=np.intp),
        task_of=task_of,
        starts=np.searchsorted(task_of, np.arange(len(keys))),
    )


# --- Certain work: which items are in, yes or no. ---


def users(work: SharedWork, present: Flags) -> Counts:
    """How many present items need each task; shape (tasks,)."""
    counted = present[work.item_of]
    return np.bincount(work.task_of[counted], minlength=len(work.keys)).astype(np.int32)


def total_cost(work: SharedWork, own: Floats, present: Flags) -> float:
    """Bill [money] for the present items: their own costs and each needed task once."""
    return float(own[present].sum() + work.costs[users(work, present) > 0].sum())


def stand_alone(work: SharedWork, own: Floats) -> Floats:
    """Cost [money] of each item were it the only work; shape (items,)."""
    return own + _to_items(work, work.costs[work.task_of])


def marginal(work: SharedWork, own: Floats, present: Flags) -> Floats:
    """What the bill falls by [money] if a present item goes away; 0 for an absent one."""
    alone = users(work, present) == 1
    saved = own + _to_items(work, (work.costs * alone)[work.task_of])
    return np.where(present, saved, 0.0)


def fair_shares(work: SharedWork, own: Floats, present: Flags) -> Floats:
    """Own cost and equal part of each task among its present users [money]; 0 for an absent one."""
    split = work.costs / np.maximum(users(work, present), 1)
    return np.where(present, own + _to_items(work, split[work.task_of]), 0.0)


def _to_items(work: SharedWork, amounts: Floats) -> Floats:
    """Add amounts given per need up per item; shape (items,)."""
    summed = np.bincount(work.item_of, weights=amounts, minlength=work.items)
    return np.asarray(summed, dtype=np.float64)


# --- Likely work: independent chances. ---


def chances_needed(work: SharedWork, chances: Floats) -> Floats:
    """Chance that each task is needed: 1 - prod(1 - p) over its users; shape (tasks,)."""
    return 1.0 - _products(work, 1.0 - chances[work.item_of])


def expected_cost(work: SharedWork, own: Floats, chances: Floats) -> float:
    """Mean bill [money]: sum of p x own, and of task cost x chance needed."""
    return float(own @ chances + work.costs @ chances_needed(work, chances))


def expected_derivatives(work: SharedWork, own: Floats, chances: Floats) -> Floats:
    """Mean bill if an item is real less the mean bill if it is not [money]; shape (items,).

    Its own cost, and each task it needs times the chance that no other item needs that task. This
    is dE/dp, and the mean marginal cost of an item known to be real.
    """
    others = _products_without_own(work, 1.0 - chances[work.item_of])
    return own + _to_items(work, work.costs[work.task_of] * others)


def expected_shares(work: SharedWork, own: Floats, chances: Floats) -> Floats:
    """Mean fair share of each item [money]; shape (items,); adds up to ``expected_cost``.

    The share of a task for a user k is p_k c times the mean of 1/(1 + other real users), which is
    the integral over t from 0 to 1 of prod(1 - p + p t) over the other users. The integrand is a
    polynomial, so Gauss-Legendre with half as many nodes as users is exact; at least 16 are used.
    """
    if not work.keys:
        return own * chances
    p = chances[work.item_of]
    most_users = int(np.bincount(work.task_of).max())
    nodes, weights = _nodes(max(16, (most_users + 1) // 2))
    mean = np.zeros(p.size)
    for t, weight in zip(nodes.tolist(), weights.tolist(), strict=True):
        # Never 0, since t > 0: dividing the own factor out of the product is sound.
        factor = 1.0 - p + p * t
        mean += weight * _products(work, factor)[work.task_of] / factor
    return own * chances + _to_items(work, p * work.costs[work.task_of] * mean)


@lru_cache(maxsize=64)
def _nodes(count: int) -> tuple[Floats, Floats]:
    """Gauss-Legendre nodes and weights on 0..1."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return (nodes + 1.0) / 2.0, weights / 2.0


def _products(work: SharedWork, factors: Floats) -> Floats:
    """Multiply factors given per need up per task; shape (tasks,)."""
    if not work.keys:
        return np.ones(0)
    return np.multiply.reduceat(factors, work.starts)


def _products_without_own(work: SharedWork, factors: Floats) -> Floats:
    """For each need, the product of the other users' factors; factors of 0 are allowed."""
    zero = factors == 0.0
    others = _products(work, np.where(zero, 1.0, factors))[work.task_of] / np.where(
        zero, 1.0, factors
    )
    zeros = np.bincount(work.task_of[zero], minlength=len(work.keys))[work.task_of] - zero
    return np.where(zeros == 0, others, 0.0)


def access_covariance(work: SharedWork, chances: Floats) -> Floats:
    """Covariance of "task needed" between tasks; shape (tasks, tasks), without unit.

    P(neither r nor s is needed) is the product of 1 - p over the items that need either.
    """
    tasks = len(work.keys)
    unneeded = np.ones((tasks, tasks))
    needs = np.zeros((work.items, tasks), dtype=np.bool_)
    needs[work.item_of, work.task_of] = True
    for wanted, p in zip(needs, chances.tolist(), strict=True):
        if wanted.any():
            unneeded[wanted[:, np.newaxis] | wanted] *= 1.0 - p
    alone = np.diagonal(unneeded)
    return np.asarray(unneeded - np.outer(alone, alone), dtype=np.float64)


# --- Draws. ---


def user_counts(work: SharedWork, occurs: Sequence[Flags], draws: int) -> Counts:
    """Count the real users of each task in each draw; int32 of shape (tasks, draws).

    Parameters
    ----------
    work : SharedWork
        The needs.
    occurs : sequence of bool arrays, shape (draws,), length items
        Whether each item is real in each draw; see ``draws.occurs``.
    draws : int
        Number of draws.
    """
    counts = np.zeros((len(work.keys), draws), dtype=np.int32)
    for task, item in zip(work.task_of.tolist(), work.item_of.tolist(), strict=True):
        counts[task] += occurs[item]
    return counts


def change_user_counts(counts: Counts, tasks: Sequence[int], before: Flags, after: Flags) -> None:
    """Carry one item's change of draws into the counts of the tasks it needs, in place."""
    changed = after.astype(np.int32) - before
    for task in tasks:
        counts[task] += changed


def access_draws(costs: Floats, counts: Counts) -> Floats:
    """Access cost [money] in each draw: every task with at least one user, once; (draws,).

    Tasks are added in the order of their keys, so equal counts give equal bits.
    """
    total = np.zeros(counts.shape[1])
    for cost, count in zip(costs.tolist(), counts, strict=True):
        total += np.multiply(count > 0, cost)
    return total
