"""Draws of lines: closed forms, SciPy and Fourier convolution as oracles; streams bit for bit."""

import math
from collections.abc import Sequence
from random import Random

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import stats

from workbench.figures.draws import (
    DRAWS,
    QUANTILES,
    Pool,
    entry_edges,
    group_draws,
    indices,
    line_draws,
    line_table,
    line_tables,
    occurs,
    pool_for,
    slot,
    stream_for,
    total_draws,
)
from workbench.figures.drivers import LognormalFactor, factor_draws
from workbench.figures.percentiles import percentile_standard_error, percentiles
from workbench.figures.threepoint import (
    LimitsReading,
    Shape,
    ThreePoint,
    ends,
    fixed,
    mean,
    quantile,
    stacked_ends,
    variance,
)

Floats = npt.NDArray[np.float64]
POOL = pool_for(20_260)

amounts = st.floats(0.0, 50_000.0)


def point(figures: tuple[float, float, float], shape: Shape) -> ThreePoint:
    low, likely, high = sorted(figures)
    return ThreePoint(low, likely, high, shape)


points = st.builds(point, st.tuples(amounts, amounts, amounts), st.sampled_from(Shape))
chances = st.floats(0.0, 1.0) | st.sampled_from([0.0, 1.0])
streams_of_lines = st.integers(0, 2**64 - 1)
lines = st.tuples(points, chances, streams_of_lines)
Line = tuple[ThreePoint, float, int]

# Invented findings: low, likely, high and the chance that the job is needed.
BOAT: tuple[tuple[float, float, float, float], ...] = (
    (600, 900, 2_400, 1.0),
    (150, 300, 450, 0.35),
    (2_000, 2_600, 6_500, 0.2),
    (80, 120, 300, 0.9),
    (1_000, 1_000, 1_800, 0.6),
    (400, 700, 700, 0.5),
    (3_500, 5_000, 9_000, 0.08),
    (250, 400, 1_500, 1.0),
)


def totals_of(chosen: Sequence[Line], pool: Pool = POOL) -> Floats:
    tables = np.stack([line_table(tp, chance, draws=pool.draws) for tp, chance, _ in chosen])
    return total_draws(tables, [stream for *_, stream in chosen], pool)


def boat_lines() -> list[Line]:
    return [
        (ThreePoint(low, likely, high), chance, stream_for(77, f"line {n}"))
        for n, (low, likely, high, chance) in enumerate(BOAT)
    ]


# --- Tables. ---


@given(points, chances)
def test_the_drawn_mean_of_a_line_is_its_closed_form(tp: ThreePoint, chance: float) -> None:
    drawn = line_draws(line_table(tp, chance), 5, POOL).astype(np.float64)

    assert drawn.mean() == pytest.approx(chance * mean(tp), rel=2e-7, abs=1e-6)


@given(points, st.floats(0.05, 0.95) | st.just(1.0))
def test_the_drawn_spread_of_a_line_is_close_to_its_closed_form(
    tp: ThreePoint, chance: float
) -> None:
    centre = mean(tp)
    exact = math.sqrt(chance * (variance(tp) + centre**2) - (chance * centre) ** 2)
    drawn = line_draws(line_table(tp, chance), 5, POOL).astype(np.float64)

    assert drawn.std() == pytest.approx(exact, rel=6e-3, abs=1e-5 * (1 + centre))


@pytest.mark.parametrize("shape", [Shape.PERT, Shape.TRIANGULAR])
@pytest.mark.parametrize("mode", [0.0, 0.003, 0.25, 0.4999, 0.9, 1.0])
def test_a_certain_line_follows_its_exact_quantiles(shape: Shape, mode: float) -> None:
    """SciPy's quantiles at the middle of each entry; an entry is a mean over its share."""
    alpha = 1 + 4 * mode
    exact = stats.triang(mode) if shape is Shape.TRIANGULAR else stats.beta(alpha, 6 - alpha)
    edges = entry_edges(DRAWS)
    middle = exact.ppf((edges[:-1] + edges[1:]) / 2)
    table = line_table(ThreePoint(0, mode, 1, shape))

    assert np.abs(table - middle)[8:-8] == pytest.approx(0, abs=1.2e-4)
    assert np.abs(table - middle) == pytest.approx(0, abs=2e-2)


def test_a_blended_table_is_within_a_few_hundred_thousandths_of_the_range() -> None:
    """Entry means from SciPy's incomplete beta function, at modes between the tabled ones."""
    edges = entry_edges(DRAWS)
    for mode in (0.5 / 128, 0.3001, 0.77, 127.5 / 128):
        alpha = 1 + 4 * mode
        x = stats.beta.ppf(edges, alpha, 6 - alpha)
        partial = alpha / 6 * stats.beta.cdf(x, alpha + 1, 6 - alpha)
        table = line_table(ThreePoint(0, mode, 1))
        assert np.abs(table - np.diff(partial) / np.diff(edges)).max() < 2e-5


@given(st.lists(st.tuples(points, chances), min_size=1, max_size=70))
@settings(max_examples=20)
def test_tables_made_together_equal_tables_made_alone(many: list[tuple[ThreePoint, float]]) -> None:
    low, likely, high, triangular = stacked_ends([tp for tp, _ in many])
    together = line_tables(
        low, likely, high, chance=[chance for _, chance in many], triangular=triangular
    )
    alone = np.stack([line_table(tp, chance) for tp, chance in many])

    assert np.array_equal(together, alone)


@example(ThreePoint(0.0, 0.0, 1.0), [1.0, 0.9921875])  # near certainty, where most is at stake
@given(points, st.lists(chances, min_size=2, max_size=2))
def test_a_greater_chance_lowers_no_draw(tp: ThreePoint, two: list[float]) -> None:
    less, more = (line_table(tp, chance).astype(np.float64) for chance in sorted(two))

    assert (more - less).min() >= -1e-6 * (1 + tp.high)


@given(points, chances, st.floats(0, 1_000), st.floats(1, 3))
def test_a_dearer_job_lowers_no_draw(
    tp: ThreePoint, chance: float, extra: float, factor: float
) -> None:
    low, likely, high = (factor * figure + extra for figure in (tp.low, tp.likely, tp.high))
    dearer = line_table(ThreePoint(low, max(low, likely), max(low, likely, high), tp.shape), chance)
    rise = dearer.astype(np.float64) - line_table(tp, chance)

    assert rise.min() >= -1e-6 * (1 + high)


def test_one_in_ten_limits_reach_the_draws() -> None:
    tp = ThreePoint(600, 900, 2_400, reading=LimitsReading.ONE_IN_TEN)
    drawn = line_draws(line_table(tp), 9, POOL)

    assert percentiles(drawn, (0.1, 0.9)) == pytest.approx((600, 2_400), rel=2e-3)


def test_a_certain_sum_is_the_same_in_every_draw() -> None:
    assert np.unique(line_draws(line_table(fixed(450)), 3, POOL)).tolist() == [450]
    assert not line_draws(line_table(fixed(450), 0.0), 3, POOL).any()


@pytest.mark.parametrize("chance", [-0.1, 1.1, math.nan])
def test_an_impossible_chance_is_refused(chance: float) -> None:
    with pytest.raises(ValueError, match="chance"):
        line_table(fixed(450), chance)


# --- Streams. ---


@given(streams_of_lines)
@settings(max_examples=25)
def test_every_stream_visits_every_rank_once(stream: int) -> None:
    per_entry = np.bincount(indices(stream, POOL), minlength=QUANTILES)

    assert set(per_entry.tolist()) == {19, 20}
    assert occurs(1 / DRAWS, stream, POOL).sum() == 1


@given(st.floats(0, 1), streams_of_lines)
@settings(max_examples=50)
def test_a_job_is_needed_in_its_share_of_the_draws(chance: float, stream: int) -> None:
    assert occurs(chance, stream, POOL).sum() == round(chance * DRAWS)


@given(points, st.floats(0, 1), streams_of_lines)
@settings(max_examples=50)
def test_a_job_costs_something_in_the_draws_in_which_it_is_needed(
    tp: ThreePoint, chance: float, stream: int
) -> None:
    cost = line_draws(
        line_table(ThreePoint(tp.low + 1, tp.likely + 1, tp.high + 1), chance), 1, POOL
    )
    needed = occurs(chance, 1, POOL)

    # Only the entry that straddles the chance, 20 draws at most, may disagree.
    assert ((cost > 0) != needed).sum() <= 20


def test_a_saved_stream_gives_the_same_draws_in_another_run() -> None:
    """Pinned so that a change of the pool cannot go unseen: saved sheets rest on these numbers."""
    pool = pool_for(1)
    stream = stream_for(1, "haul out")

    assert stream == 8_763_308_234_532_936_088
    assert slot(stream, pool) == (24, 358, 407)
    assert indices(stream, pool)[:6].tolist() == [233, 975, 822, 989, 254, 905]


def test_streams_of_other_boats_lines_and_seeds_differ() -> None:
    numbers = {stream_for(boat, f"line {n}") for boat in range(20) for n in range(100)}

    assert len(numbers) == 2_000
    assert not np.array_equal(indices(5, pool_for(1)), indices(5, pool_for(2)))


def test_two_thousand_lines_share_no_slot_and_hardly_correlate() -> None:
    numbers = [stream_for(4, f"line {n}") for n in range(2_000)]
    assert len({slot(number, POOL) for number in numbers}) == 2_000

    some = np.stack([indices(number, POOL) for number in numbers[:300]]).astype(np.float64)
    correlation = np.asarray(np.corrcoef(some))
    off = correlation[np.triu_indices(300, 1)]
    # Independent vectors of this length correlate by 1/sqrt(draws) either way.
    assert off.std() == pytest.approx(1 / math.sqrt(DRAWS), rel=0.05)
    assert np.abs(off).max() < 6 / math.sqrt(DRAWS)


def test_there_are_over_a_thousand_million_slots() -> None:
    assert 64 * 1_024 * DRAWS > 1e9
    seen = {slot(stream_for(1, str(n)), POOL) for n in range(5_000)}
    assert {part for part, *_ in seen} == set(range(64))
    assert len({part for _, part, _ in seen}) > 1_000
    assert len(seen) == 5_000


@pytest.mark.parametrize("draws", [800, 1_100, 66_000])
def test_a_length_that_cannot_be_dealt_evenly_is_refused(draws: int) -> None:
    with pytest.raises(ValueError, match="multiple of 200"):
        pool_for(1, draws)


def test_other_lengths_keep_the_exact_means() -> None:
    pool = pool_for(6, 4_000)
    tp = ThreePoint(600, 900, 2_400)
    drawn = line_draws(line_table(tp, 0.37, draws=4_000), 11, pool).astype(np.float64)

    assert drawn.size == 4_000
    assert drawn.mean() == pytest.approx(0.37 * 1_100, rel=1e-7)


# --- Totals. ---


def test_a_total_is_the_sum_of_its_lines() -> None:
    chosen = boat_lines()
    parts = [line_draws(line_table(tp, p), stream, POOL) for tp, p, stream in chosen]

    expected = np.sum(parts, axis=0, dtype=np.float64)
    assert totals_of(chosen) == pytest.approx(expected, rel=1e-12)


@given(st.lists(lines, min_size=1, max_size=8), st.randoms(use_true_random=False))
@settings(max_examples=25)
def test_the_order_of_lines_changes_no_bit(chosen: list[Line], random: Random) -> None:
    turned = [*chosen]
    random.shuffle(turned)

    assert np.array_equal(totals_of(chosen), totals_of(turned))


def test_the_order_of_very_large_and_small_lines_changes_no_bit() -> None:
    """Sums of like-sized float32 entries are exact in float64 in any order; these are not."""
    source = np.random.default_rng(5)
    sizes = 10.0 ** source.uniform(-6, 9, 40)
    chosen = [
        (ThreePoint(size, 1.3 * size, 2.9 * size), 0.7, stream_for(1, str(n)))
        for n, size in enumerate(sizes.tolist())
    ]
    parts = [line_draws(line_table(tp, p), s, POOL).astype(np.float64) for tp, p, s in chosen]
    forward, backward = sum(parts, np.zeros(DRAWS)), sum(parts[::-1], np.zeros(DRAWS))
    assert not np.array_equal(forward, backward)

    assert np.array_equal(totals_of(chosen), totals_of(chosen[::-1]))


@given(st.lists(lines, min_size=1, max_size=6), lines)
@settings(max_examples=25)
def test_adding_a_line_and_taking_it_away_changes_no_bit(chosen: list[Line], extra: Line) -> None:
    before = totals_of(chosen)
    with_extra = totals_of([*chosen, extra])
    after = totals_of([line for line in [*chosen, extra] if line is not extra])

    assert np.array_equal(before, after)
    assert np.all(with_extra >= before)


@given(st.lists(lines, min_size=1, max_size=6), st.integers(0, 5), st.floats(0, 1))
@settings(max_examples=25)
def test_a_greater_chance_lowers_no_percentile_of_the_total(
    chosen: list[Line], place: int, chance: float
) -> None:
    tp, before, stream = chosen[place % len(chosen)]
    raised = [*chosen]
    raised[place % len(chosen)] = (tp, max(before, chance), stream)
    levels = np.linspace(0, 1, 11).tolist()
    rise = np.subtract(
        percentiles(totals_of(raised), levels), percentiles(totals_of(chosen), levels)
    )

    assert rise.min() >= -1e-2


def test_groups_hold_their_own_lines() -> None:
    chosen = boat_lines()
    tables = np.stack([line_table(tp, chance) for tp, chance, _ in chosen])
    numbers = [stream for *_, stream in chosen]
    groups = [0, 2, 0, 2, 0, 0, 2, 0]
    sums = group_draws(tables, numbers, groups, 3, POOL)

    for group in range(3):
        own = [line for line, where in zip(chosen, groups, strict=True) if where == group]
        assert np.array_equal(sums[group], totals_of(own) if own else np.zeros(DRAWS))


def test_no_lines_cost_nothing() -> None:
    empty = np.empty((0, QUANTILES), dtype=np.float32)

    assert not total_draws(empty, [], POOL).any()


def test_a_given_vector_is_filled_whatever_it_held() -> None:
    chosen = boat_lines()
    tables = np.stack([line_table(tp, chance) for tp, chance, _ in chosen])
    out = np.full(DRAWS, 7.0)
    result = total_draws(tables, [stream for *_, stream in chosen], POOL, out=out)

    assert result is out
    assert np.array_equal(out, totals_of(chosen))


def convolved(chosen: Sequence[tuple[ThreePoint, float]], step: float) -> tuple[Floats, Floats]:
    """Grid and distribution of an independent sum, by Fourier convolution of line masses."""
    size = 1 << math.ceil(math.log2(sum(ends(tp)[2] for tp, _ in chosen) / step + 8))
    grid = np.arange(size) * step
    spectrum = np.ones(size // 2 + 1, dtype=np.complex128)
    for tp, chance in chosen:
        low, likely, high = ends(tp)
        mode = (likely - low) / (high - low)
        share = stats.beta.cdf((grid + step / 2 - low) / (high - low), 1 + 4 * mode, 5 - 4 * mode)
        mass = chance * np.diff(share, prepend=0.0)
        mass[0] += 1 - chance
        spectrum *= np.fft.rfft(mass)
    return grid.astype(np.float64), np.cumsum(np.fft.irfft(spectrum, size))


def test_percentiles_of_a_boat_agree_with_fourier_convolution() -> None:
    chosen = boat_lines()
    grid, distribution = convolved([(tp, chance) for tp, chance, _ in chosen], step=2.0)
    total = totals_of(chosen)

    for level in (0.1, 0.5, 0.8, 0.9):
        exact = float(grid[np.searchsorted(distribution, level)])
        error = percentile_standard_error(total, level)
        assert percentiles(total, (level,))[0] == pytest.approx(exact, abs=4 * error + 2)


def test_percentiles_under_a_shared_factor_agree_with_convolution_and_quadrature() -> None:
    """The lines by Fourier convolution, the lognormal factor by 16 Gauss-Hermite nodes."""
    chosen = boat_lines()
    factor = LognormalFactor("yard price level", 0.1759)
    moved = totals_of(chosen) * factor_draws(factor, stream_for(77, factor.key), POOL)
    grid, distribution = convolved([(tp, chance) for tp, chance, _ in chosen], step=2.0)
    nodes, weights = np.polynomial.hermite_e.hermegauss(16)
    sigma = math.sqrt(math.log1p(0.1759**2))
    mixed = np.zeros(grid.size)
    for node, weight in zip(nodes, weights / weights.sum(), strict=True):
        scale = math.exp(sigma * node - sigma**2 / 2)
        mixed += weight * np.interp(grid / scale, grid, distribution)

    for level in (0.1, 0.5, 0.8, 0.9):
        exact = float(grid[np.searchsorted(mixed, level)])
        error = percentile_standard_error(moved, level)
        assert percentiles(moved, (level,))[0] == pytest.approx(exact, abs=4 * error + 2)


def test_a_published_estimate_is_reproduced_by_draws() -> None:
    """GAO-09-3SP Table 12 as independent triangles.

    Recomputed: P(total <= sum of most likely) .1257; P50, P80, P90 81,608, 86,452, 88,921.
    """
    rows = (
        (17_955, 19_645, 21_785),
        (8_500, 10_553, 13_000),
        (4_000, 4_306, 5_100),
        (4_100, 4_305, 4_650),
        (550, 600, 650),
        (32_300, 35_547, 52_500),
        (1_950, 2_136, 2_600),
    )
    elements = [
        (ThreePoint(*row, Shape.TRIANGULAR), 1.0, stream_for(12, f"element {n}"))
        for n, row in enumerate(rows)
    ]
    total = totals_of(elements)

    assert total.mean() == pytest.approx(82_244, rel=1e-7)
    assert total.std() == pytest.approx(4_599.61, rel=0.015)
    assert np.mean(total <= 77_092) == pytest.approx(0.1257, abs=0.01)
    found = percentiles(total, (0.5, 0.8, 0.9))
    assert found == pytest.approx((81_608, 86_452, 88_921), rel=5e-3)
    # The seven P80s add up to what is truly about P88, the seven P20s to about P6.
    sums = [sum(float(quantile(tp, y)) for tp, *_ in elements) for y in (0.8, 0.2)]
    assert np.mean(total <= sums[0]) == pytest.approx(0.88, abs=0.01)
    assert np.mean(total <= sums[1]) == pytest.approx(0.06, abs=0.01)


def test_the_error_of_drawn_totals_stays_within_plain_sampling() -> None:
    """Means are exact; deviations scatter by no more than plain draws would, 1/sqrt(2n)."""
    scatter = []
    for seed in range(30):
        source = np.random.default_rng(seed)
        low = source.uniform(50, 500, 40)
        likely = low + source.uniform(0, 800, 40)
        high = likely + source.uniform(1, 2_000, 40)
        chance = source.uniform(0.05, 1, 40)
        tables = line_tables(low, likely, high, chance=chance)
        total = total_draws(tables, [stream_for(seed, str(n)) for n in range(40)], POOL)
        centre = (low + 4 * likely + high) / 6
        spread = (centre - low) * (high - centre) / 7
        exact = math.sqrt(np.sum(chance * (spread + centre**2) - (chance * centre) ** 2))
        assert total.mean() == pytest.approx(float(chance @ centre), rel=1e-7)
        scatter.append(total.std() / exact - 1)

    assert np.std(scatter) < 1.6 / math.sqrt(2 * DRAWS)
    assert abs(np.mean(scatter)) < 0.003
