"""Percentiles of draws: NumPy's full sort, closed forms and a normal curve as oracles."""

import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from workbench.figures.percentiles import (
    SHOWN,
    chance_within,
    contingency,
    estimate,
    percentile_standard_error,
    percentiles,
    round_to_sampling_error,
    s_curve,
)

finite = st.floats(-1e9, 1e9)
vectors = arrays(np.float64, st.integers(1, 300), elements=finite)


def normal_draws(seed: int = 5) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.random.default_rng(seed).normal(10_000, 2_000, 20_000)


@given(vectors, st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_percentiles_equal_a_full_sort(
    values: np.ndarray[tuple[int], np.dtype[np.float64]], levels: list[float]
) -> None:
    """Definition 7 of Hyndman and Fan (1996), which numpy.quantile uses."""
    expected = np.quantile(values, levels)

    assert percentiles(values, levels) == pytest.approx(expected, rel=1e-12, abs=1e-6)


@pytest.mark.parametrize("spread", [0.3, 3.0])
@pytest.mark.parametrize("share_of_nothing", [0.0, 0.7, 0.95])
def test_long_tails_and_many_zeros_change_no_bit(spread: float, share_of_nothing: float) -> None:
    source = np.random.default_rng(2)
    values = source.lognormal(9, spread, 20_000)
    values[source.random(20_000) < share_of_nothing] = 0.0
    ordered = np.sort(values)
    exact = [float(ordered[k]) for k in (0, 4_000, 19_999)]

    assert list(percentiles(values, [0.0, 4_000 / 19_999, 1.0])) == pytest.approx(exact, rel=1e-15)
    assert percentiles(values, SHOWN) == pytest.approx(np.quantile(values, SHOWN), rel=1e-14)


@given(vectors, st.integers(0, 1_000))
def test_the_order_of_the_draws_changes_no_percentile(
    values: np.ndarray[tuple[int], np.dtype[np.float64]], seed: int
) -> None:
    shuffled = np.random.default_rng(seed).permutation(values)

    assert percentiles(values, SHOWN) == percentiles(shuffled, SHOWN)


@given(vectors)
def test_percentiles_rise_with_their_level(
    values: np.ndarray[tuple[int], np.dtype[np.float64]],
) -> None:
    found = percentiles(values, np.linspace(0, 1, 23).tolist())

    assert sorted(found) == list(found)
    assert (found[0], found[-1]) == (values.min(), values.max())


def test_equal_draws_are_one_certain_sum() -> None:
    result = estimate(np.full(500, 120.5))

    assert (result.p10, result.p50, result.p80, result.p90) == (120.5,) * 4
    assert result.standard_deviation == result.standard_error == result.p80_standard_error == 0


def test_an_even_spread_deviates_by_its_half_width_over_root_three() -> None:
    """Eurachem guide, appendix E.1: a rectangle from 7 to 10 gives 1.5/sqrt(3) = 0.87."""
    result = estimate((np.arange(100_000) + 0.5) / 100_000 * 3 + 7)

    assert result.standard_deviation == pytest.approx(0.866025, abs=1e-6)
    assert result.p80 == pytest.approx(9.4, abs=1e-4)


def test_an_estimate_keeps_the_closed_form_mean_beside_the_drawn_one() -> None:
    draws = normal_draws()
    result = estimate(draws, mean=10_000.0)

    assert result.mean == 10_000.0
    assert result.drawn_mean == pytest.approx(draws.mean())
    assert abs(result.drawn_mean - result.mean) < 4 * result.standard_error
    assert estimate(draws).mean == result.drawn_mean


def test_standard_errors_match_the_normal_curve() -> None:
    """Large-sample error of a percentile, sqrt(q(1-q)/n)/density: 0.0101 deviations for P80."""
    result = estimate(normal_draws())

    assert result.standard_error / 2_000 == pytest.approx(0.0071, rel=0.03)
    assert result.p80_standard_error / 2_000 == pytest.approx(0.0101, rel=0.15)
    error = percentile_standard_error(normal_draws(), 0.9)
    assert error / 2_000 == pytest.approx(0.0121, rel=0.15)


@pytest.mark.parametrize("level", SHOWN)
def test_percentiles_of_normal_draws_are_those_of_the_curve(level: float) -> None:
    expected = NormalDist(10_000, 2_000).inv_cdf(level)
    error = percentile_standard_error(normal_draws(), level)

    assert percentiles(normal_draws(), (level,))[0] == pytest.approx(expected, abs=4 * error)


def test_the_chance_within_a_budget_inverts_the_percentile() -> None:
    draws = normal_draws()
    p80 = percentiles(draws, (0.8,))[0]

    assert chance_within(draws, p80) == pytest.approx(0.8, abs=1e-4)
    assert chance_within(draws, draws.min() - 1) == 0
    assert chance_within(draws, draws.max()) == 1
    assert contingency(10_000, draws, 0.8) == p80 - 10_000


def test_the_s_curve_passes_through_the_percentiles() -> None:
    draws = normal_draws()
    curve = s_curve(draws, points=11)

    assert [point.chance for point in curve] == pytest.approx(np.linspace(0, 1, 11))
    expected = percentiles(draws, [point.chance for point in curve])
    assert [point.cost for point in curve] == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "error", "shown"),
    [
        (12_345, 37, 12_350),
        (12_345, 5, 12_345),
        (12_345, 5.1, 12_350),
        (12_345, 100, 12_300),
        (12_345, 101, 12_400),
        (-12_345, 37, -12_350),
        (1.23456, 0.02, 1.24),
        (0.3, 0.1, 0.3),
        (12_345.6, 0.0, 12_345.6),
        (12_345.6, math.inf, 12_345.6),
    ],
)
def test_figures_are_rounded_to_a_step_of_one_error(
    value: float, error: float, shown: float
) -> None:
    """Steps of 1, 2 or 5 times a power of ten: our own rule, no source."""
    assert round_to_sampling_error(value, error) == shown


@given(st.floats(-1e7, 1e7), st.floats(1e-3, 1e5))
def test_rounding_moves_a_figure_by_less_than_what_its_error_allows(
    value: float, error: float
) -> None:
    moved = abs(round_to_sampling_error(value, error) - value)

    assert moved <= 1.25 * error + 1e-6


def test_draws_that_are_not_finite_are_refused() -> None:
    with pytest.raises(ValueError, match="finite"):
        percentiles(np.array([1.0, math.nan]), (0.5,))
