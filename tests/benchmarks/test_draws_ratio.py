"""How long draws take, as a ratio to a bare sum of the same size (see this folder's conftest).

Each test also checks the result it timed, so that a fast wrong answer does not pass.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import count

import numpy as np
import numpy.typing as npt
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from workbench.figures.draws import (
    DRAWS,
    Pool,
    Table,
    group_draws,
    line_draws,
    line_table,
    line_tables,
    occurs,
    pool_for,
    stream_for,
    total_draws,
)
from workbench.figures.drivers import (
    Group,
    LognormalFactor,
    SharedFactor,
    apply_factors,
    factor_draws,
    total_mean,
)
from workbench.figures.percentiles import Estimate, estimate
from workbench.figures.sensitivity import chances_best
from workbench.figures.sharing import (
    AccessKey,
    SharedWork,
    access_draws,
    chances_needed,
    change_user_counts,
    expected_cost,
    shared_work,
    user_counts,
)
from workbench.figures.threepoint import LimitsReading, ThreePoint, means

pytestmark = pytest.mark.benchmark_ratio

Floats = npt.NDArray[np.float64]
Measure = Callable[[BenchmarkFixture, Callable[[], object], float], float]
POOL = pool_for(7)


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Invented lines: ends [money], chances and streams."""

    low: Floats
    likely: Floats
    high: Floats
    chance: Floats
    streams: list[int]

    def tables(self) -> Table:
        return line_tables(self.low, self.likely, self.high, chance=self.chance)

    def exact_mean(self) -> float:
        return float(self.chance @ means(self.low, self.likely, self.high))


def invented_lines(number: int, boat: int = 1) -> Lines:
    source = np.random.default_rng(boat)
    low = source.uniform(50, 600, number)
    likely = low + source.uniform(0, 600, number)
    high = likely + source.uniform(1, 2_000, number)
    # Half of the lines were seen and are certain; the others are only likely.
    chance = np.where(source.random(number) < 0.5, 1.0, source.uniform(0.02, 0.98, number))
    streams = [stream_for(boat, f"line {n}") for n in range(number)]
    return Lines(low, likely, high, chance, streams)


def test_two_thousand_lines_are_rebuilt(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    lines = invented_lines(2_000)
    out = np.empty(DRAWS)

    ratio_to_bare_sum(
        benchmark, lambda: total_draws(lines.tables(), lines.streams, POOL, out=out), 8.0
    )
    assert out.mean() == pytest.approx(lines.exact_mean(), rel=1e-7)


def edits() -> Iterator[ThreePoint]:
    """An endless run of different figures, so that nothing remembered helps."""
    for step in count():
        yield ThreePoint(300.0, 700.0 + step % 500, 1_900.0 + step)


def test_one_edited_line_gives_new_mean_and_percentiles(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    lines = invented_lines(40)
    tables = lines.tables()
    others = total_draws(tables[1:], lines.streams[1:], POOL)
    typed = edits()

    def edit() -> Estimate:
        table = line_table(next(typed), 0.4)
        return estimate(others + line_draws(table, lines.streams[0], POOL))

    ratio_to_bare_sum(benchmark, edit, 0.05)
    result = edit()
    assert result.p10 < result.p50 < result.p80 < result.p90


def test_a_line_in_one_in_ten_limits_is_fitted(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    typed = edits()

    def fit() -> Table:
        tp = next(typed)
        return line_table(
            ThreePoint(tp.low, tp.likely, tp.high, reading=LimitsReading.ONE_IN_TEN), 0.4
        )

    ratio_to_bare_sum(benchmark, fit, 0.04)
    assert fit()[-1] > 1_900


FACTORS: dict[str, SharedFactor] = {
    key: LognormalFactor(key, 0.15)
    for key in ("yard", "parts", "exchange", "rigger", "engine", "optimism")
}
GROUPS: list[Group] = [(key,) for key in FACTORS]
TASKS = [AccessKey(task, "now") for task in ("haul", "mast", "shaft", "rudder", "engine")]
COSTS = dict(zip(TASKS, (650.0, 900.0, 400.0, 300.0, 1_200.0), strict=True))


class OpenBoat:
    """Forty lines with six factors and five access tasks, and 49 other boats beside it."""

    def __init__(self, pool: Pool) -> None:
        self.lines = invented_lines(40)
        self.tables = self.lines.tables()
        self.group_of = [n % len(GROUPS) for n in range(40)]
        self.work: SharedWork = shared_work(
            [{TASKS[0], TASKS[n % 5]} if n % 2 else set() for n in range(40)], COSTS
        )
        self.occurs = [
            occurs(p, s, pool)
            for p, s in zip(self.lines.chance.tolist(), self.lines.streams, strict=True)
        ]
        self.counts = user_counts(self.work, self.occurs, pool.draws)
        self.factors = {
            key: factor_draws(factor, stream_for(0, key), pool) for key, factor in FACTORS.items()
        }
        self.sums = group_draws(self.tables, self.lines.streams, self.group_of, len(GROUPS), pool)
        self.totals = np.stack(
            [
                total_draws(boat.tables(), boat.streams, pool).astype(np.float32)
                for boat in (invented_lines(40, boat) for boat in range(2, 52))
            ]
        )

    def change(self, item: int, tp: ThreePoint, chance: float, pool: Pool) -> None:
        """Put a new figure and chance on one line."""
        stream = self.lines.streams[item]
        before = line_draws(self.tables[item], stream, pool)
        self.tables[item] = line_table(tp, chance)
        after = line_draws(self.tables[item], stream, pool)
        self.sums[self.group_of[item]] += after - before
        happens = occurs(chance, stream, pool)
        tasks = self.work.task_of[self.work.item_of == item].tolist()
        change_user_counts(self.counts, tasks, self.occurs[item], happens)
        self.occurs[item] = happens

    def total(self) -> Floats:
        return apply_factors(self.sums, GROUPS, self.factors) + access_draws(
            self.work.costs, self.counts
        )


def test_one_edit_is_carried_through_factors_access_and_fifty_boats(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    boat = OpenBoat(POOL)
    typed, turns = edits(), count()

    def edit() -> tuple[Estimate, Floats]:
        boat.change(3, next(typed), 0.3 + next(turns) % 50 / 100, POOL)
        total = boat.total()
        boat.totals[0] = total
        return estimate(total), chances_best(boat.totals)

    ratio_to_bare_sum(benchmark, edit, 0.6)
    _, best = edit()
    assert best.sum() == pytest.approx(1.0)
    assert np.array_equal(boat.counts, user_counts(boat.work, boat.occurs, DRAWS))


def test_an_open_boat_is_rebuilt_bit_for_bit(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    boat = OpenBoat(POOL)
    before = boat.total()

    def rebuild() -> Estimate:
        boat.sums = group_draws(
            boat.lines.tables(), boat.lines.streams, boat.group_of, len(GROUPS), POOL
        )
        boat.counts = user_counts(boat.work, boat.occurs, DRAWS)
        return estimate(boat.total())

    ratio_to_bare_sum(benchmark, rebuild, 0.6)
    assert np.array_equal(boat.total(), before)


def test_the_closed_form_mean_of_a_boat(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    """The limit is 0.05 ms where the bare sum takes 10 ms."""
    boat = OpenBoat(POOL)
    lines, work = boat.lines, boat.work
    groups = np.array(boat.group_of)

    def mean() -> float:
        expected = lines.chance * means(lines.low, lines.likely, lines.high)
        of_groups = np.bincount(groups, weights=expected, minlength=len(GROUPS))
        access = float(work.costs @ chances_needed(work, lines.chance))
        return total_mean(GROUPS, FACTORS, of_groups.astype(np.float64)) + access

    ratio_to_bare_sum(benchmark, mean, 0.005)
    own = means(lines.low, lines.likely, lines.high)
    assert mean() == pytest.approx(expected_cost(work, own, lines.chance))
    error = boat.total().std() / np.sqrt(DRAWS)
    assert mean() == pytest.approx(float(boat.total().mean()), abs=4 * error)
