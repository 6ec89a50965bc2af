"""Three-point figures: published formulas and worked examples, SciPy as the independent oracle."""

import math

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy import stats

from workbench.figures.threepoint import (
    Basis,
    LimitsReading,
    Shape,
    ThreePoint,
    ends,
    fitted_ends,
    fixed,
    mean,
    means,
    narrowest_sensible,
    quantile,
    stacked_ends,
    too_narrow,
    variance,
    variances,
)
from workbench.figures.unit_shapes import (
    incomplete_beta,
    partial_pert_means,
    partial_triangular_means,
    unit_pert_quantile,
)

# GAO-09-3SP and GAO-20-195G, cost risk analysis, Table 12: minimum, most likely and maximum of
# seven elements of one vehicle, in thousands of dollars.
GAO_TABLE_12 = (
    (17_955, 19_645, 21_785),
    (8_500, 10_553, 13_000),
    (4_000, 4_306, 5_100),
    (4_100, 4_305, 4_650),
    (550, 600, 650),
    (32_300, 35_547, 52_500),
    (1_950, 2_136, 2_600),
)
ONE_IN_TEN = LimitsReading.ONE_IN_TEN
TENTHS = (0.1, 0.5, 0.8, 0.9)

Span = tuple[float, float, float]


def in_order(figures: Span) -> Span:
    low, likely, high = sorted(figures)
    return low, likely, high


amounts = st.floats(0.0, 1e6).map(lambda x: round(x, 2))
spans = (
    st.tuples(amounts, amounts, amounts).map(in_order).filter(lambda span: span[2] - span[0] >= 1.0)
)
shapes = st.sampled_from([Shape.PERT, Shape.TRIANGULAR])
# Below 1e-9 SciPy's own root finder gives up with a warning.
levels_of_chance = st.lists(st.floats(1e-9, 1 - 1e-9) | st.sampled_from([0.0, 1.0]), min_size=1)


def deviation(tp: ThreePoint) -> float:
    return math.sqrt(variance(tp))


def triangle(low: float, likely: float, high: float) -> ThreePoint:
    return ThreePoint(low, likely, high, Shape.TRIANGULAR)


def test_the_most_likely_figures_of_a_published_estimate_add_up_as_printed() -> None:
    """GAO Table 12: 77 million a vehicle, 2.47 billion for 32 of them (digits recomputed)."""
    likely = sum(row[1] for row in GAO_TABLE_12)

    assert likely == 77_092
    assert likely * 32 == 2_466_944


def test_the_mean_of_a_published_estimate_lies_above_its_most_likely_sum() -> None:
    """GAO Table 12, recomputed as triangles: mean 82,244, deviation 4,599.61 if independent."""
    low, likely, high = np.array(GAO_TABLE_12, dtype=np.float64).T

    assert means(low, likely, high, triangular=True).sum() == pytest.approx(82_244, abs=1e-6)
    spread = variances(low, likely, high, triangular=True)
    assert math.sqrt(spread.sum()) == pytest.approx(4_599.61, abs=0.005)


@pytest.mark.parametrize(
    ("correlation", "expected"), [(0.0, 4_599.61), (0.25, 5_183.63), (0.5, 5_708.20), (1, 6_634.06)]
)
def test_correlation_widens_the_published_estimate(correlation: float, expected: float) -> None:
    """GAO Table 12, recomputed by the law of propagation (JCGM 100, from memory)."""
    low, likely, high = np.array(GAO_TABLE_12, dtype=np.float64).T
    sigma = np.sqrt(variances(low, likely, high, triangular=True))
    matrix = np.full((7, 7), correlation) + (1 - correlation) * np.eye(7)

    assert math.sqrt(sigma @ matrix @ sigma) == pytest.approx(expected, abs=0.005)


def test_eightieth_percentiles_of_parts_add_up_to_more_than_they_say() -> None:
    """GAO Table 12, recomputed: seven P80s add to 88,355 and seven P20s to 76,097."""
    rows = [triangle(*row) for row in GAO_TABLE_12]

    assert sum(float(quantile(row, 0.8)) for row in rows) == pytest.approx(88_355, abs=0.5)
    assert sum(float(quantile(row, 0.2)) for row in rows) == pytest.approx(76_097, abs=0.5)


def test_a_pert_range_gives_the_recomputed_figures() -> None:
    """Formulas as on probsee.com's PERT page; figures recomputed with scipy.stats.beta."""
    tp = ThreePoint(600, 900, 2_400)

    assert mean(tp) == pytest.approx(1_100)
    assert deviation(tp) == pytest.approx(304.72, abs=0.005)
    expected = [736.79, 1_053.52, 1_361.25, 1_533.48]
    assert quantile(tp, TENTHS) == pytest.approx(expected, abs=0.005)


def test_a_triangular_range_gives_the_recomputed_figures() -> None:
    """Closed form, recomputed."""
    tp = triangle(600, 900, 2_400)

    assert mean(tp) == pytest.approx(1_300)
    assert deviation(tp) == pytest.approx(393.70, abs=0.005)
    expected = [832.38, 1_238.10, 1_665.15, 1_880.38]
    assert quantile(tp, TENTHS) == pytest.approx(expected, abs=0.005)


def test_a_percent_range_gives_the_published_limits_and_closed_form_figures() -> None:
    """10,000 less 10 %, plus 20 %: limits as on davion.com, the rest by closed form."""
    tp = triangle(10_000 * 0.9, 10_000, 10_000 * 1.2)

    assert mean(tp) == pytest.approx(10_333.33, abs=0.005)
    assert deviation(tp) == pytest.approx(623.610, abs=0.0005)
    expected = [9_547.72, 10_267.95, 10_904.55, 11_225.40]
    assert quantile(tp, TENTHS) == pytest.approx(expected, abs=0.005)


def test_pert_and_triangle_differ_and_the_sixth_of_the_range_is_only_near() -> None:
    """PERT mean 10,166.67 (project-management.info); its (b-a)/6 = 500 is an approximation."""
    tp = ThreePoint(9_000, 10_000, 12_000)

    assert mean(tp) == pytest.approx(10_166.67, abs=0.005)
    exact = stats.beta(1 + 4 / 3, 5 - 4 / 3, loc=9_000, scale=3_000)
    assert variance(tp) == pytest.approx(exact.var())
    assert deviation(tp) != pytest.approx(500, rel=0.05)


def test_two_wrong_formulas_found_on_public_pages_are_not_ours() -> None:
    """Both are refuted by the closed form.

    A tutorial (howcodex.com) takes the sample deviation of the three points, 1,527.5; a calculator
    page says that (6, 8, 18) spreads less than (6, 12, 18).
    """
    assert deviation(triangle(9_000, 10_000, 12_000)) == pytest.approx(623.6, abs=0.05)
    assert deviation(triangle(6, 8, 18)) == pytest.approx(2.6247, abs=5e-5)
    assert deviation(triangle(6, 12, 18)) == pytest.approx(2.4495, abs=5e-5)


def test_a_symmetric_triangle_spreads_by_its_half_width_over_root_six() -> None:
    """NIST TN 1297 section 4.6 and GUM 4.3.9, from memory: (0, .5, 1) gives 0.204124."""
    assert deviation(triangle(0, 0.5, 1)) == pytest.approx(0.204124, abs=5e-7)


@pytest.mark.parametrize(
    ("shape", "low", "high", "expected_mean"),
    [(Shape.TRIANGULAR, 94.56, 3_266.34, None), (Shape.PERT, 333.10, 4_530.55, 1_410.6)],
)
def test_limits_read_as_one_in_ten_give_wider_ends(
    shape: Shape, low: float, high: float, expected_mean: float | None
) -> None:
    """600 / 900 / 2400 as P10, mode and P90; recomputed with SciPy's root finder, tol 0.1 %."""
    tp = ThreePoint(600, 900, 2_400, shape, ONE_IN_TEN)

    assert ends(tp)[0] == pytest.approx(low, rel=1e-3)
    assert ends(tp)[2] == pytest.approx(high, rel=1e-3)
    assert quantile(tp, [0.1, 0.9]) == pytest.approx([600, 2_400], rel=1e-5)
    if expected_mean is not None:
        assert mean(tp) == pytest.approx(expected_mean, rel=1e-4)
        assert mean(tp) > 1.28 * mean(ThreePoint(600, 900, 2_400))


@given(spans, shapes)
def test_one_in_ten_limits_hold_unless_the_cost_would_fall_below_nothing(
    span: Span, shape: Shape
) -> None:
    low, likely, high = span
    tp = ThreePoint(low, likely, high, shape, ONE_IN_TEN)
    first, mode, last = ends(tp)
    near = 1e-4 * (high - low)

    assert 0.0 <= first <= mode == likely <= last
    tenth, ninetieth = quantile(tp, [0.1, 0.9]).tolist()
    assert ninetieth == pytest.approx(high, abs=near)
    assert tenth >= low - near
    if first > 0.0:
        assert tenth == pytest.approx(low, abs=near)


@pytest.mark.parametrize("shape", [Shape.PERT, Shape.TRIANGULAR])
@pytest.mark.parametrize(
    "span", [(600.0, 600.0, 900.0), (600.0, 900.0, 900.0), (-90.0, -40.0, 20.0)]
)
def test_one_in_ten_limits_hold_where_the_likely_figure_is_a_limit_or_money_comes_back(
    span: Span, shape: Shape
) -> None:
    tp = ThreePoint(*span, shape, ONE_IN_TEN)

    assert quantile(tp, [0.1, 0.9]) == pytest.approx([span[0], span[2]], abs=0.01)


@pytest.mark.parametrize("reading", LimitsReading)
@pytest.mark.parametrize("shape", Shape)
def test_three_equal_figures_are_one_certain_sum(shape: Shape, reading: LimitsReading) -> None:
    tp = ThreePoint(450, 450, 450, shape, reading)

    assert ends(tp) == (450, 450, 450)
    assert mean(tp) == 450
    assert variance(tp) == 0
    assert quantile(tp, [0, 0.3, 1]).tolist() == [450, 450, 450]


def test_a_fixed_sum_is_its_likely_figure_whatever_its_limits() -> None:
    tp = ThreePoint(300, 450, 900, Shape.FIXED, ONE_IN_TEN)

    assert (mean(tp), variance(tp), ends(tp)) == (450, 0, (450, 450, 450))
    assert fixed(450.0) == ThreePoint(450, 450, 450, Shape.FIXED)


@given(st.floats(0, 1), levels_of_chance)
def test_pert_quantiles_agree_with_scipy(mode: float, levels: list[float]) -> None:
    expected = stats.beta.ppf(levels, 1 + 4 * mode, 5 - 4 * mode)

    assert unit_pert_quantile(mode, levels) == pytest.approx(expected, abs=1e-9)


@given(st.floats(0, 1), st.lists(st.floats(0, 1), min_size=1, max_size=5), st.sampled_from([0, 1]))
def test_the_beta_series_agrees_with_scipy(mode: float, x: list[float], extra: int) -> None:
    alpha, total = np.asarray(1 + 4 * mode + extra), 6.0 + extra
    expected = stats.beta.cdf(x, alpha, total - alpha)

    assert incomplete_beta(alpha, total, np.asarray(x)) == pytest.approx(expected, abs=1e-12)


def test_partial_means_agree_with_scipy_at_every_tabled_mode() -> None:
    level = np.linspace(0, 1, 257)
    mode = np.linspace(0, 1, 129)[:, np.newaxis]
    alpha, beta = 1 + 4 * mode, 5 - 4 * mode
    pert = alpha / 6 * stats.beta.cdf(stats.beta.ppf(level, alpha, beta), alpha + 1, beta)

    assert np.abs(partial_pert_means(level) - pert).max() < 1e-8


def test_partial_means_of_triangles_agree_with_summed_quantiles() -> None:
    fine = (np.arange(200_000) + 0.5) / 200_000
    partial = partial_triangular_means(np.array([0.0, 0.25, 0.5, 1.0]))
    for place in (0, 1, 40, 64, 128):
        values = stats.triang.ppf(fine, place / 128)
        expected = [values[: int(200_000 * level)].sum() / 200_000 for level in (0, 0.25, 0.5, 1)]
        assert partial[place] == pytest.approx(expected, abs=1e-6)


@given(spans, shapes)
def test_quantiles_rise_within_the_ends_and_average_to_the_mean(span: Span, shape: Shape) -> None:
    tp = ThreePoint(*span, shape)
    values = quantile(tp, (np.arange(400) + 0.5) / 400)

    assert np.all(np.diff(values) >= 0)
    assert span[0] <= values[0]
    assert values[-1] <= span[2]
    assert values.mean() == pytest.approx(mean(tp), abs=1e-3 * (span[2] - span[0]))


@example([((244679.72, 391766.54, 391766.54), Shape.TRIANGULAR)])  # a power was one bit off
@given(st.lists(st.tuples(spans, shapes), max_size=6))
def test_columns_of_many_lines_agree_with_each_line(lines: list[tuple[Span, Shape]]) -> None:
    points = [ThreePoint(*span, shape, ONE_IN_TEN) for span, shape in lines]
    low, likely, high, triangular = stacked_ends(points)

    assert means(low, likely, high, triangular=triangular).tolist() == [mean(p) for p in points]
    spread = variances(low, likely, high, triangular=triangular).tolist()
    assert spread == [variance(p) for p in points]


@given(st.lists(spans, min_size=1, max_size=6), st.booleans())
def test_many_fitted_ends_agree_with_each(rows: list[Span], triangular: bool) -> None:
    low, likely, high = np.array(rows).T
    shape = Shape.TRIANGULAR if triangular else Shape.PERT
    first, last = fitted_ends(low, likely, high, triangular=triangular)
    one_by_one = [ends(ThreePoint(*row, shape, ONE_IN_TEN)) for row in rows]

    assert list(zip(first.tolist(), likely.tolist(), last.tolist(), strict=True)) == one_by_one


@given(spans, st.floats(0, 1), st.floats(0, 1))
def test_a_higher_likely_figure_lowers_no_quantile(span: Span, a: float, b: float) -> None:
    low, _, high = span
    less, more = sorted((low + a * (high - low), low + b * (high - low)))
    levels = np.linspace(0, 1, 21)
    rise = quantile(ThreePoint(low, min(more, high), high), levels) - quantile(
        ThreePoint(low, min(less, high), high), levels
    )

    assert rise.min() >= -1e-9 * (high - low)


def test_a_higher_high_end_flattens_pert_and_lifts_its_mean() -> None:
    """SciPy agrees that the lowest quantile falls: from 2.466 to 2.245 (recomputed)."""
    near, far = ThreePoint(0, 5, 10), ThreePoint(0, 5, 20)

    for tp in (near, far):
        mode = 5 / tp.high
        exact = tp.high * stats.beta.ppf(0.1, 1 + 4 * mode, 5 - 4 * mode)
        assert float(quantile(tp, 0.1)) == pytest.approx(exact)
    assert quantile(far, 0.1) < quantile(near, 0.1)
    assert mean(far) > mean(near)
    assert quantile(far, 0.9) > quantile(near, 0.9)


@pytest.mark.parametrize(
    "figures", [(2, 1, 3), (1, 4, 3), (math.nan, 1, 2), (0, 1, math.inf), (-math.inf, 0, 1)]
)
def test_figures_out_of_order_or_endless_are_refused(figures: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="three-point figure"):
        ThreePoint(*figures)


@pytest.mark.parametrize(
    ("basis", "down", "up"),
    [
        (Basis.GUESS, 0.20, 0.30),
        (Basis.PRICE_BOOK, 0.15, 0.20),
        (Basis.COMPARABLE_INVOICE, 0.10, 0.10),
        (Basis.WRITTEN_QUOTE, 0.03, 0.03),
    ],
)
def test_a_range_narrower_than_its_basis_allows_is_named(
    basis: Basis, down: float, up: float
) -> None:
    """AACE 18R-97 classes 5, 4, 3 and 1, the narrow end of each range (secondary source)."""
    assert narrowest_sensible(basis) == (down, up)
    low, high = 100 * (1 - down), 100 * (1 + up)
    assert not too_narrow(ThreePoint(low, 100, high), basis)
    assert too_narrow(ThreePoint(low + 1, 100, high), basis)
    assert too_narrow(ThreePoint(low, 100, high - 1), basis)


def test_only_a_written_quote_carries_one_fixed_sum() -> None:
    narrow = {basis for basis in Basis if too_narrow(fixed(800.0), basis)}

    assert narrow == set(Basis) - {Basis.WRITTEN_QUOTE}
