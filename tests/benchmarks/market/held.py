"""How often the program's P80 holds: the share of boats that really cost no more than it said.

The program's draws are used as they are: tables, streams, shared factors and access work charged in
the draws in which something needs it.
"""

from __future__ import annotations

import numpy as np

from tests.benchmarks.market.kinds import Floats, Kind
from workbench.figures.boat_draws import GROUPS, SPREADS
from workbench.figures.draws import indices, line_tables, pool_for, ranks, stream_for
from workbench.figures.drivers import LognormalFactor, apply_factors, factor_draws
from workbench.figures.percentiles import percentiles

DRAWS = 2_000
LEVEL = 0.8


def percentile_of_each(kind: Kind, chances: Floats, level: float = LEVEL) -> Floats:
    """The program's percentile of the bill of each boat; chances of shape (boats, jobs)."""
    pool = pool_for(5, DRAWS)
    streams = [stream_for(3, key) for key in kind.keys]
    order = np.stack([ranks(stream, pool) for stream in streams])
    entries = np.stack([indices(stream, pool) for stream in streams]).astype(np.intp)
    tasks = line_tables(*kind.task_ends.T, draws=DRAWS)
    access = [
        table[indices(stream_for(4, str(number)), pool)] for number, table in enumerate(tasks)
    ]
    factors = {
        name: factor_draws(LognormalFactor(name, spread), stream_for(0, name), pool)
        for name, spread in SPREADS.items()
        if any(name in group for group in GROUPS)
    }
    found = []
    for chance in chances:
        tables = line_tables(*kind.ends.T, chance=chance, draws=DRAWS)
        costs = np.take_along_axis(tables, entries, axis=1)
        real = order >= DRAWS - np.round(chance * DRAWS).astype(int)[:, np.newaxis]
        sums = np.stack([costs[kind.driver == row].sum(axis=0) for row in range(len(GROUPS))])
        for cost, needs in zip(access, kind.needs, strict=True):
            sums[0] += cost * real[needs].any(axis=0)
        found.append(percentiles(apply_factors(sums, GROUPS, factors), (level,))[0])
    return np.array(found)
