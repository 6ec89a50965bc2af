"""Shared factors: a published risk table, closed forms and the normal curve as oracles."""

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from workbench.figures.draws import DRAWS, line_draws, line_table, pool_for, stream_for
from workbench.figures.drivers import (
    TENTH_IN_DEVIATIONS,
    LognormalFactor,
    RangedFactor,
    SharedFactor,
    apply_factors,
    factor_draws,
    factor_table,
    shared_covariance,
    sigma_shortfall,
    total_mean,
    total_variance,
    variance_for_correlation,
    variance_from_factor,
    variation_from_tenths,
)
from workbench.figures.percentiles import percentiles
from workbench.figures.threepoint import LimitsReading, Shape, ThreePoint, mean, variance

POOL = pool_for(44)

# GAO-20-195G, cost risk analysis with risk drivers, Table 13: chance, and low, likely and high
# factor on the cost where the risk occurs.
GAO_TABLE_13 = {
    "1": (0.80, (1.00, 1.05, 1.30)),
    "2": (0.25, (1.00, 1.10, 1.25)),
    "3": (0.20, (0.90, 1.00, 1.15)),
    "4": (0.15, (0.95, 1.10, 1.35)),
}
RISKS: dict[str, SharedFactor] = {
    key: RangedFactor(key, ThreePoint(*span, Shape.TRIANGULAR), chance, centred=False)
    for key, (chance, span) in GAO_TABLE_13.items()
}

spans = st.tuples(st.floats(0, 2), st.floats(0, 2), st.floats(0.1, 3)).map(sorted)
ranged = st.builds(
    lambda key, span, shape, chance, centred: RangedFactor(
        key, ThreePoint(span[0], span[1], span[2], shape), chance, centred
    ),
    st.just("factor"),
    spans,
    st.sampled_from(Shape),
    st.floats(0, 1),
    st.booleans(),
)
lognormal = st.builds(LognormalFactor, st.just("factor"), st.floats(0, 0.6), st.floats(0.5, 2))


def test_the_published_risk_table_gives_the_recomputed_factors() -> None:
    """GAO Table 13, recomputed: means, their product 1.151552 and its deviation .123538."""
    assert [factor.mean for factor in RISKS.values()] == pytest.approx(
        [1.093333, 1.029167, 1.003333, 1.02], abs=5e-7
    )
    one, nothing = np.ones(1), np.zeros((1, 1))
    assert total_mean([tuple(RISKS)], RISKS, one) == pytest.approx(1.151552, abs=5e-7)
    spread = total_variance([tuple(RISKS)], RISKS, one, nothing)
    assert math.sqrt(spread) == pytest.approx(0.123538, abs=5e-7)


def test_all_four_risks_on_one_published_line() -> None:
    """GAO Tables 12 and 13, recomputed: 19,645 becomes 22,622.25 on average."""
    line = np.array([19_645.0])

    assert total_mean([tuple(RISKS)], RISKS, line) == pytest.approx(22_622.25, abs=0.01)


def test_a_shared_risk_correlates_two_lines() -> None:
    """GAO Table 13, recomputed: sharing risk 1, with 2 and 4 their own: correlation .6019."""
    one, nothing = np.ones(1), np.zeros((1, 1))
    first, second = [("1", "2")], [("1", "4")]
    covariance = shared_covariance(first, one, second, one, RISKS)
    spread = math.prod(total_variance(group, RISKS, one, nothing) for group in (first, second))

    assert covariance / math.sqrt(spread) == pytest.approx(0.6019, abs=5e-5)
    drawn = {key: factor_draws(f, stream_for(3, key), POOL) for key, f in RISKS.items()}
    found = np.corrcoef(drawn["1"] * drawn["2"], drawn["1"] * drawn["4"])
    assert np.asarray(found)[0, 1] == pytest.approx(0.6019, abs=0.02)


@pytest.mark.parametrize(
    ("lines", "shortfall"), [(10, 0.402), (30, 0.617), (100, 0.781), (1_000, 0.929)]
)
def test_ignoring_correlation_understates_the_spread(lines: int, shortfall: float) -> None:
    """Book 1999, from memory; recomputed for correlation 0.2."""
    assert sigma_shortfall(lines, 0.2) == pytest.approx(shortfall, abs=5e-4)
    matrix = np.full((lines, lines), 0.2) + 0.8 * np.eye(lines)
    true = math.sqrt(matrix.sum())
    assert sigma_shortfall(lines, 0.2) == pytest.approx(1 - math.sqrt(lines) / true)


def test_a_factor_is_sized_for_a_wished_correlation() -> None:
    """Correlation .25, line variation .30: factor variation .1759, P10/P90 .787/1.232."""
    v = variance_for_correlation(0.25, 0.30)
    factor = LognormalFactor("yard price level", math.sqrt(v))

    assert factor.variation == pytest.approx(0.1759, abs=5e-5)
    table = factor_table(factor)
    assert percentiles(table, (0.1, 0.9)) == pytest.approx((0.787, 1.232), abs=2e-3)
    # Two lines of mean 1 and variance .09 behind this factor have the correlation asked for.
    own = np.array([[0.09]])
    spread = total_variance([(factor.key,)], {factor.key: factor}, np.ones(1), own)
    assert v / spread == pytest.approx(0.25)


def test_a_correlation_no_factor_can_give_is_refused() -> None:
    with pytest.raises(ValueError, match="no factor"):
        variance_for_correlation(0.95, 0.30)


def test_one_in_ten_points_fix_the_spread_of_a_lognormal_factor() -> None:
    """A range read as an 80 % interval has deviation half-width / 1.28155 (Rothwell 2004).

    Recomputed: plus or minus 10 % gives 7.803 %, plus or minus 30 % gives 23.409 %.
    """
    assert pytest.approx(1.28155, abs=5e-6) == TENTH_IN_DEVIATIONS
    assert pytest.approx(0.07803, abs=5e-6) == 0.10 / TENTH_IN_DEVIATIONS
    assert pytest.approx(0.23409, abs=5e-6) == 0.30 / TENTH_IN_DEVIATIONS
    # For a narrow range the lognormal curve is the normal one.
    assert variation_from_tenths(0.99, 1.01) == pytest.approx(0.0078032, rel=1e-3)
    assert variation_from_tenths(0.787, 1.232) == pytest.approx(0.1759, rel=3e-3)
    with pytest.raises(ValueError, match="one-in-ten"):
        variation_from_tenths(1.2, 0.8)


def test_normal_coverage_factors_are_those_of_the_handbook() -> None:
    """NIST TN 1297 sections 4.3 and 4.4: 95 % within 1.960, 99 % within 2.576, 50 % within 1/1.48.

    A lognormal factor of very small variation is normal.
    """
    drawn = factor_draws(LognormalFactor("narrow", 1e-3), 2, POOL)
    for coverage, deviations in ((0.95, 1.960), (0.99, 2.576), (0.5, 1 / 1.48)):
        low, high = percentiles(drawn, ((1 - coverage) / 2, (1 + coverage) / 2))
        assert (high - low) / 2e-3 == pytest.approx(deviations, rel=0.015)


@given(ranged)
def test_a_drawn_range_has_its_exact_mean_and_nearly_its_spread(factor: RangedFactor) -> None:
    drawn = factor_draws(factor, 9, POOL)

    assert drawn.mean() == pytest.approx(factor.mean, rel=1e-6)
    assert drawn.std() == pytest.approx(math.sqrt(factor.variance), rel=0.03, abs=0.02)
    assert drawn.min() >= -1e-6


@given(lognormal)
@settings(max_examples=20)
def test_a_drawn_lognormal_follows_scipy(factor: LognormalFactor) -> None:
    drawn = factor_draws(factor, 9, POOL)
    sigma = math.sqrt(math.log1p(factor.variation**2))

    assert drawn.mean() == pytest.approx(factor.bias, rel=1e-6)
    assert drawn.std() == pytest.approx(factor.bias * factor.variation, rel=0.03, abs=1e-6)
    exact = factor.bias * np.exp(-(sigma**2) / 2 + sigma * stats.norm.ppf([0.1, 0.5, 0.9]))
    assert percentiles(drawn, (0.1, 0.5, 0.9)) == pytest.approx(exact, rel=3e-3)


@given(ranged)
def test_a_centred_factor_spreads_without_shifting(factor: RangedFactor) -> None:
    centred = RangedFactor(factor.key, factor.span, factor.chance, centred=True)

    assert centred.mean == 1
    assert centred.variance == pytest.approx(
        RangedFactor(factor.key, factor.span, factor.chance, centred=False).variance
        / centred.raw_mean**2
    )


def test_a_factor_may_be_given_by_one_in_ten_limits() -> None:
    span = ThreePoint(0.9, 1.0, 1.3, reading=LimitsReading.ONE_IN_TEN)
    factor = RangedFactor("parts prices", span, centred=False)

    assert factor.mean == pytest.approx(mean(span))
    assert factor.variance == pytest.approx(variance(span))
    drawn = factor_draws(factor, 4, POOL)
    assert percentiles(drawn, (0.1, 0.9)) == pytest.approx((0.9, 1.3), abs=2e-3)


FACTORS: dict[str, SharedFactor] = {
    "yard": LognormalFactor("yard", 0.15),
    "parts": RangedFactor("parts", ThreePoint(0.9, 1.0, 1.4)),
    "optimism": LognormalFactor("optimism", 0.10, bias=1.15),
}
GROUPS = [("optimism", "yard"), ("optimism", "parts"), ("optimism",), ()]
MEANS = np.array([4_000.0, 2_500.0, 800.0, 300.0])


def test_mean_and_variance_under_factors_equal_the_sum_over_two_point_factors() -> None:
    """Each factor as two equally likely values with its mean and variance: every case summed."""
    covariance = np.diag([250.0, 180.0, 90.0, 10.0]) ** 2
    covariance[0, 1] = covariance[1, 0] = 9_000.0
    cases = []
    for signs in product([-1, 1], repeat=3):
        value = {
            key: factor.mean + sign * math.sqrt(factor.variance)
            for sign, (key, factor) in zip(signs, FACTORS.items(), strict=True)
        }
        products = np.array([math.prod(value[key] for key in group) for group in GROUPS])
        cases.append((products @ MEANS, products @ covariance @ products))
    given_factors = np.array([mean for mean, _ in cases])

    assert total_mean(GROUPS, FACTORS, MEANS) == pytest.approx(given_factors.mean())
    whole = float(given_factors.var() + np.mean([inner for _, inner in cases]))
    assert total_variance(GROUPS, FACTORS, MEANS, covariance) == pytest.approx(whole)


def test_drawn_totals_agree_with_their_closed_form() -> None:
    drawn = {key: factor_draws(f, stream_for(6, key), POOL) for key, f in FACTORS.items()}
    points = [ThreePoint(0.5 * m, 0.9 * m, 2.0 * m) for m in MEANS.tolist()]
    sums = np.stack(
        [line_draws(line_table(tp), stream_for(6, str(n)), POOL) for n, tp in enumerate(points)]
    )
    total = apply_factors(sums, GROUPS, drawn)

    centre = np.array([mean(tp) for tp in points])
    exact = total_mean(GROUPS, FACTORS, centre)
    spread = math.sqrt(
        total_variance(GROUPS, FACTORS, centre, np.diag([variance(tp) for tp in points]))
    )
    assert total.mean() == pytest.approx(exact, abs=4 * spread / math.sqrt(DRAWS))
    assert total.std() == pytest.approx(spread, rel=0.03)


def test_two_lines_behind_one_factor_covary_by_its_variance_times_their_means() -> None:
    one = [("yard",)]
    covariance = shared_covariance(one, np.array([900.0]), one, np.array([400.0]), FACTORS)

    assert covariance == pytest.approx(0.15**2 * 900 * 400)
    assert shared_covariance(one, np.ones(1), [("parts",)], np.ones(1), FACTORS) == pytest.approx(0)


def test_what_a_factor_explains_is_the_variance_of_the_conditional_mean() -> None:
    values = np.array([0.7, 1.3])
    factor = FACTORS["optimism"]
    scaled = factor.mean + (values - 1) / 0.3 * math.sqrt(factor.variance)
    conditional = [
        sum(m * (f if "optimism" in g else 1.0) for g, m in zip(GROUPS, MEANS, strict=True))
        for f in scaled.tolist()
    ]

    explained = variance_from_factor("optimism", GROUPS, FACTORS, MEANS)
    assert explained == pytest.approx(float(np.var(conditional)))
    assert variance_from_factor("absent", GROUPS, {**FACTORS, "absent": factor}, MEANS) == 0


def test_the_spread_lies_between_independence_and_full_correlation() -> None:
    """Law of propagation, JCGM 100 (from memory)."""
    sigma = np.array([600.0, 500.0, 200.0, 50.0])
    alone = math.sqrt(float(sigma @ sigma))
    shared = math.sqrt(total_variance(GROUPS, FACTORS, MEANS, np.diag(sigma**2)))
    alike = math.sqrt(total_variance(GROUPS, FACTORS, MEANS, np.outer(sigma, sigma)))

    assert alone < shared < alike


def test_a_table_is_remembered_and_cannot_be_written_to() -> None:
    factor = LognormalFactor("yard", 0.15)

    assert factor_table(factor) is factor_table(LognormalFactor("yard", 0.15))
    with pytest.raises(ValueError, match="read-only"):
        factor_table(factor)[0] = 9.0


@pytest.mark.parametrize(("low", "chance"), [(-0.1, 0.5), (0.9, -0.1), (0.9, 1.1), (0.9, math.nan)])
def test_an_impossible_range_is_refused(low: float, chance: float) -> None:
    with pytest.raises(ValueError, match="a factor"):
        RangedFactor("yard", ThreePoint(low, 1.0, 1.2), chance)


@pytest.mark.parametrize(("variation", "bias"), [(-0.1, 1.0), (0.1, 0.0), (0.1, -1.0)])
def test_an_impossible_lognormal_is_refused(variation: float, bias: float) -> None:
    with pytest.raises(ValueError, match="a factor"):
        LognormalFactor("yard", variation, bias)
