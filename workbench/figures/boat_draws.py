"""The draws of one boat: every job, its access work and the shared price levels, added up.

Each job is drawn once from its own saved stream and put into the accounts it belongs to, so that
deferred maintenance, allowance and the cost to ready move together draw by draw. Access work is
charged in the draws in which some job that needs it is real. Shared factors (the yards' price
level, parts prices, the buyer's own optimism) have mean 1: they widen a total without moving it.
Jobs are added in the order of their streams, so the same project gives the same bits on every run.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import When

from .access_charges import counts_as_due, counts_as_found, counts_as_later, counts_as_unseen
from .assessment import AccessCharge, Line, Part
from .draws import Pool, Table, indices, line_tables, occurs, pool_for, stream_for, total_draws
from .drivers import LognormalFactor, apply_factors, factor_draws
from .pricing import Limits

Floats = npt.NDArray[np.float64]
DRIVERS = ("yard", "parts", "own", "")
GROUPS = (("yard", "optimism"), ("parts", "optimism"), ("own", "optimism"), ())
ABROAD = (("yard", "optimism", "exchange"), ("parts", "optimism", "exchange"), *GROUPS[2:])
"""The groups where the price book is in another currency than the search."""
SPREADS = {"yard": 0.12, "parts": 0.08, "own": 0.15, "optimism": 0.10, "exchange": 0.05}
"""Standard deviation of each shared factor: assumptions of our own, no source, editable."""
_FACTOR_STREAM = 0
"""Shared factors are the same for all boats: a dear yard region is dear for every one of them."""


@dataclass(frozen=True, slots=True)
class Job:
    """Lines that are needed together: drawn once."""

    key: str
    first: Line
    cost: Limits
    deferred_share: float

    @property
    def driver(self) -> int:
        """Row of the shared factor."""
        return DRIVERS.index(self.first.driver)

    @property
    def whole(self) -> bool:
        """Whether all of it is deferred maintenance."""
        return self.deferred_share == 1.0


def jobs_of(by_job: Mapping[str, tuple[Line, ...]]) -> tuple[Job, ...]:
    """The jobs of a boat in the order of their keys.

    Where the buyer gave lines of a job another time, chance or quote they are drawn apart, from
    the same stream, so that they are still needed in the same draws.
    """
    return tuple(
        _job(key, lines) for key in sorted(by_job) for lines in _alike(by_job[key]).values()
    )


def _alike(lines: tuple[Line, ...]) -> dict[object, list[Line]]:
    alike: dict[object, list[Line]] = {}
    for line in lines:
        alike.setdefault((line.when, line.chance, line.driver), []).append(line)
    return alike


def _job(key: str, lines: Sequence[Line]) -> Job:
    cost = lines[0].cost
    for line in lines[1:]:
        cost = cost.plus(line.cost)
    first = lines[0]
    share = 0.0
    if first.part in (Part.DUE, Part.OWN):
        share = 1.0
    elif first.part is Part.WORN and first.finding is not None:
        share = float(first.finding.used_share)
    return Job(key, first, cost, share)


@dataclass(frozen=True, slots=True, eq=False)
class Accounts:
    """Draws of the three accounts, shape (draws,) each."""

    deferred: Floats
    allowance: Floats
    work: Floats


def draw_accounts(
    jobs: Sequence[Job],
    charges: Sequence[AccessCharge],
    settings: Settings,
    *,
    abroad: bool = False,
) -> Accounts:
    """Draw every job once and add it into the accounts it belongs to.

    `abroad` says that the price book is in another currency, so that its prices move together with
    the rate of exchange.
    """
    pool = pool_for(settings.seed, settings.draws)
    tables = _tables(jobs, pool)
    allowed = _sums(jobs, tables, pool, lambda job: job.first.part.allowed_for)
    # What is both deferred and done before sailing is drawn once and put into both accounts.
    both = _sums(jobs, tables, pool, lambda job: job.whole and counts_as_found(job.first))
    only_due = _sums(jobs, tables, pool, lambda job: job.whole and counts_as_later(job.first))
    worn = _sums(jobs, tables, pool, lambda job: not job.whole and counts_as_found(job.first))
    used_up = _sums(jobs, tables, pool, lambda job: 0.0 < job.deferred_share < 1.0, shared=True)
    deferred, work = both + only_due + used_up, both + worn
    _add_access(jobs, charges, pool, deferred, allowed, work)
    factors = shared_factors(settings, pool)
    groups = ABROAD if abroad else GROUPS
    return Accounts(*(apply_factors(sums, groups, factors) for sums in (deferred, allowed, work)))


def _sums(
    jobs: Sequence[Job],
    tables: Table,
    pool: Pool,
    belongs: Callable[[Job], bool],
    *,
    shared: bool = False,
) -> Floats:
    """Draws of the jobs that belong, summed by shared factor; shape (drivers, draws).

    With `shared` only the deferred share of each job is taken.
    """
    sums = np.zeros((len(DRIVERS), pool.draws))
    chosen: dict[int, list[int]] = {}
    for place, job in enumerate(jobs):
        if belongs(job):
            chosen.setdefault(job.driver, []).append(place)
    for row, places in chosen.items():
        streams = [jobs[place].first.stream for place in places]
        taken = tables[places]
        if shared:
            shares = [jobs[place].deferred_share for place in places]
            taken *= np.array(shares, dtype=np.float32)[:, np.newaxis]
        total_draws(taken, streams, pool, out=sums[row])
    return sums


def _tables(jobs: Sequence[Job], pool: Pool) -> Table:
    if not jobs:
        return np.zeros((0, 1), dtype=np.float32)
    ends = np.array([job.cost for job in jobs])
    chances = np.array([job.first.chance for job in jobs])
    triangular = np.array([job.first.triangular for job in jobs])
    return line_tables(*ends.T, chance=chances, triangular=triangular, draws=pool.draws)


def _add_access(
    jobs: Sequence[Job],
    charges: Sequence[AccessCharge],
    pool: Pool,
    deferred: Floats,
    allowance: Floats,
    work: Floats,
) -> None:
    needed_by: dict[tuple[str, When], list[Job]] = {}
    for job in jobs:
        for task in job.first.access:
            needed_by.setdefault((task, job.first.when), []).append(job)
    real = _Real(pool)
    counting = [
        one
        for one in sorted(charges, key=lambda one: one.key)
        if one.mean and (one.task.id, one.when) in needed_by
    ]
    ends = np.array([one.cost for one in counting], dtype=np.float64).reshape(-1, 3)
    tables = line_tables(ends[:, 0], ends[:, 1], ends[:, 2], draws=pool.draws)
    cost, part = np.empty(pool.draws), np.empty(pool.draws)
    for charge, table in zip(counting, tables, strict=True):
        table.astype(np.float64).take(indices(charge.stream, pool), out=cost, mode="clip")
        row = DRIVERS.index("" if charge.quote else "yard")
        users = needed_by[charge.task.id, charge.when]
        due, found, later, unseen = (
            real.any_of(job for job in users if counts(job.first))
            for counts in (counts_as_due, counts_as_found, counts_as_later, counts_as_unseen)
        )
        for account, needed in (
            (deferred, due),
            (work, found),
            (allowance, unseen & ~found & ~later),
        ):
            if needed.any():
                account[row] += np.multiply(cost, needed, out=part)


class _Real:
    """In which draws a job is real, worked out once a job."""

    def __init__(self, pool: Pool) -> None:
        self._pool = pool
        self._known: dict[tuple[str, float], npt.NDArray[np.bool_]] = {}

    def any_of(self, jobs: Iterable[Job]) -> npt.NDArray[np.bool_]:
        """Draws in which at least one of the jobs is real."""
        some = np.zeros(self._pool.draws, dtype=np.bool_)
        for job in jobs:
            if job.first.chance >= 1.0:
                return np.ones(self._pool.draws, dtype=np.bool_)
            which = (job.key, job.first.chance)
            if which not in self._known:
                self._known[which] = occurs(job.first.chance, job.first.stream, self._pool)
            some |= self._known[which]
        return some


def shared_factors(settings: Settings, pool: Pool) -> dict[str, Floats]:
    """Draws of the factors that all boats share."""
    return {
        name: factor_draws(
            LognormalFactor(name, float(settings.spreads.get(name, spread))),
            stream_for(_FACTOR_STREAM, f"factor/{name}"),
            pool,
        )
        for name, spread in SPREADS.items()
    }


def exchange_draws(settings: Settings) -> Floats:
    """The rate of exchange in each draw, against the one that was entered; mean 1."""
    pool = pool_for(settings.seed, settings.draws)
    return shared_factors(settings, pool)["exchange"]


def draw_limits(limits: Limits, stream: int, settings: Settings) -> Floats:
    """Draws of one range by itself."""
    pool = pool_for(settings.seed, settings.draws)
    table = line_tables([limits.lowest], [limits.likely], [limits.highest], draws=pool.draws)[0]
    return np.take(table.astype(np.float64), indices(stream, pool), mode="clip")
