"""The bare baseline that every ratio is taken to, measured in the same process.

The baseline is NumPy adding up a float32 array of 2,000 lines by 20,000 draws, line by line, into
one total per draw: the least work that any total of that size can take, since all 160 MB have to be
read once.
"""

from collections.abc import Callable
from time import perf_counter
from typing import Any

import numpy as np
import pytest

LINES, DRAWS = 2_000, 20_000

# The benchmark fixture's own methods carry no types.
Measure = Callable[[Any, Callable[[], object], float], float]


def _best_of(runs: int, work: Callable[[], object]) -> float:
    """Shortest time [s] of some runs; the shortest is the least disturbed."""
    times = []
    for _ in range(runs):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


@pytest.fixture(scope="session")
def bare_sum() -> Callable[[], object]:
    """The baseline as a call."""
    values = np.random.default_rng(1).random((LINES, DRAWS), dtype=np.float32)
    return lambda: values.sum(axis=0)


@pytest.fixture
def ratio_to_bare_sum(bare_sum: Callable[[], object]) -> Measure:
    """Measure a call against the baseline, timed just before and after it.

    The returned function takes the benchmark fixture, the call and the agreed limit, leaves
    ``ratio`` and ``limit`` in ``benchmark.extra_info`` and returns the ratio.
    """

    def measure(benchmark: Any, work: Callable[[], object], limit: float) -> float:
        before = _best_of(5, bare_sum)
        work()
        once = _best_of(1, work)
        rounds = max(7, min(200, int(0.5 / max(once, 1e-6))))
        benchmark.pedantic(work, rounds=rounds, iterations=1)
        base = min(before, _best_of(5, bare_sum))
        ratio = float(benchmark.stats.stats.min) / base
        benchmark.extra_info["ratio"] = ratio
        benchmark.extra_info["limit"] = limit
        return ratio

    return measure
