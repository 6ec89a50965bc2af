"""Small-sample statistics against scipy and closed forms."""

import math

import numpy as np
import pytest
import scipy.optimize
import scipy.special
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.small_samples import (
    LineBelief,
    huber_line,
    prediction_interval,
    robust_interval,
    spread_of,
    student_t_cdf,
    student_t_quantile,
    theil_sen,
)


@pytest.mark.parametrize("df", [1, 2, 3, 4, 5, 8, 13, 40, 201])
@pytest.mark.parametrize("t", [-30.0, -2.2, -0.3, 0.0, 0.7, 1.96, 12.0])
def test_student_t_is_that_of_scipy(t: float, df: int) -> None:
    assert student_t_cdf(t, df) == pytest.approx(scipy.stats.t.cdf(t, df), abs=1e-12)


@pytest.mark.parametrize("df", [1, 2, 3, 4, 7, 10, 30, 101])
@pytest.mark.parametrize("share", [0.025, 0.1, 0.5, 0.8, 0.9, 0.95, 0.995])
def test_student_t_quantile_is_that_of_scipy(share: float, df: int) -> None:
    assert student_t_quantile(share, df) == pytest.approx(
        scipy.stats.t.ppf(share, df), rel=1e-9, abs=1e-9
    )


@pytest.mark.parametrize(("share", "df"), [(0.0, 3), (1.0, 3), (0.5, 0)])
def test_impossible_quantiles_are_refused(share: float, df: int) -> None:
    with pytest.raises(ValueError, match=r"share|freedom"):
        student_t_quantile(share, df)


def test_prediction_interval_is_wider_than_the_mean_s_own() -> None:
    # Five prices; mean 20.24, s 1.578924, t(.9, 4) = 1.533206: +-2.651871, the mean's +-1.082622.
    prices = [18.2, 19.5, 20.1, 21.0, 22.4]
    interval = prediction_interval(prices)

    assert interval.centre == pytest.approx(20.24)
    assert interval.high - interval.centre == pytest.approx(2.651871, abs=5e-7)
    own = scipy.stats.t.ppf(0.9, 4) * np.std(prices, ddof=1) / math.sqrt(5)
    assert own == pytest.approx(1.082622, abs=5e-7)


def test_prediction_interval_holds_its_coverage() -> None:
    generator = np.random.default_rng(8)
    inside = 0
    for _ in range(2000):
        *known, new = generator.normal(20, 3, 7)
        interval = prediction_interval(known)
        inside += interval.low <= new <= interval.high

    assert inside / 2000 == pytest.approx(0.8, abs=4 * math.sqrt(0.8 * 0.2 / 2000))


def test_one_value_has_no_interval() -> None:
    with pytest.raises(ValueError, match="alone"):
        prediction_interval([5.0])


points = st.lists(
    st.tuples(st.floats(-100, 100), st.floats(-1000, 1000)),
    min_size=3,
    max_size=15,
    unique_by=lambda point: round(point[0], 3),
)


@given(points)
def test_theil_sen_is_that_of_scipy(rows: list[tuple[float, float]]) -> None:
    x, y = np.array(rows).T
    expected = scipy.stats.theilslopes(y, x).slope

    intercept, slope = theil_sen(x, y)
    assert slope == pytest.approx(expected, rel=1e-9, abs=1e-9)
    assert intercept == pytest.approx(np.median(y - expected * x), rel=1e-9, abs=1e-6)


def test_theil_sen_shrugs_at_one_absurd_price() -> None:
    x = np.arange(12.0)
    y = 3 * x + 7
    y[5] = 1e6

    assert theil_sen(x, y) == pytest.approx((7.0, 3.0))


def test_a_slope_needs_two_places() -> None:
    with pytest.raises(ValueError, match="one place"):
        theil_sen(np.ones(4), np.arange(4.0))


def a_cloud(seed: int, count: int = 20) -> tuple[np.ndarray, np.ndarray]:
    generator = np.random.default_rng(seed)
    design = np.column_stack([np.ones(count), generator.normal(size=(count, 2))])
    y = design @ np.array([20.0, 3.0, -2.0]) + generator.standard_t(2, count)
    return design, y


@pytest.mark.parametrize("seed", range(5))
def test_huber_line_minimises_huber_s_loss_at_its_own_scale(seed: int) -> None:
    design, y = a_cloud(seed)
    fitted = huber_line(design, y)
    scale = spread_of(y - design @ fitted)

    def loss(coefficients: np.ndarray) -> float:
        return float(scipy.special.huber(1.345, (y - design @ coefficients) / scale).sum())

    best = scipy.optimize.minimize(loss, np.zeros(3), method="BFGS", options={"gtol": 1e-9})
    assert fitted == pytest.approx(best.x, abs=1e-4)


def test_huber_line_is_least_squares_when_nothing_is_odd() -> None:
    design, _ = a_cloud(1)
    truth = np.array([20.0, 3.0, -2.0])

    assert huber_line(design, design @ truth) == pytest.approx(truth)


@pytest.mark.parametrize("seed", range(5))
def test_a_coefficient_of_the_wrong_sign_is_left_out(seed: int) -> None:
    design, y = a_cloud(seed)
    fitted = huber_line(design, y, (0, -1, -1))

    assert fitted[1] == 0.0
    assert fitted[2] < 0
    assert fitted[[0, 2]] == pytest.approx(huber_line(design[:, [0, 2]], y), rel=1e-6)


def test_robust_interval_holds_most_of_a_normal_cloud() -> None:
    generator = np.random.default_rng(3)
    inside = 0
    for _ in range(1000):
        design = np.column_stack([np.ones(15), generator.normal(size=15)])
        y = design @ np.array([20.0, 2.0]) + generator.normal(size=15)
        at = np.array([1.0, 0.5])
        interval = robust_interval(design, y, huber_line(design, y), at)
        inside += interval.low <= 21 + generator.normal() <= interval.high

    assert inside / 1000 == pytest.approx(0.8, abs=0.08)


def a_belief(weight: float = 0.01) -> LineBelief:
    return LineBelief(np.array([18.0, 1.0, -1.0]), weight * np.eye(3), 1.0, 4.0)


def test_seeing_prices_in_two_lots_gives_the_same_belief() -> None:
    design, y = a_cloud(6)
    once = a_belief().updated(design, y)
    twice = a_belief().updated(design[:7], y[:7]).updated(design[7:], y[7:])

    assert twice.mean == pytest.approx(once.mean)
    assert twice.precision == pytest.approx(once.precision)
    assert (twice.shape, twice.rate) == pytest.approx((once.shape, once.rate))


def test_a_vanishing_prior_gives_the_least_squares_prediction_interval() -> None:
    # With flat priors and shape -p/2 the posterior is the classical t interval of regression.
    design, y = a_cloud(7)
    flat = LineBelief(np.zeros(3), 1e-12 * np.eye(3), -1.5, 0.0).updated(design, y)
    at = np.array([1.0, 0.3, 0.4])
    fitted, rest, *_ = np.linalg.lstsq(design, y, rcond=None)
    scale = math.sqrt(rest[0] / 17 * (1 + at @ np.linalg.inv(design.T @ design) @ at))

    interval = flat.one_more(at)
    assert interval.centre == pytest.approx(at @ fitted)
    half = scipy.stats.t.ppf(0.9, 17) * scale
    assert interval.high - interval.centre == pytest.approx(half, rel=1e-6)


def test_the_belief_s_density_is_the_integral_over_its_unknowns() -> None:
    """One unknown mean: the predictive chance is checked by drawing s2, then mean, then price."""
    generator = np.random.default_rng(12)
    belief = LineBelief(np.array([10.0]), np.array([[2.0]]), 3.0, 5.0)
    variance = 5.0 / generator.gamma(3.0, 1.0, 200_000)
    mean = generator.normal(10.0, np.sqrt(variance / 2.0))
    price = generator.normal(mean, np.sqrt(variance))
    interval = belief.one_more(np.array([1.0]))

    share = np.mean((price >= interval.low) & (price <= interval.high))
    assert share == pytest.approx(0.8, abs=0.005)


def test_with_much_data_the_prior_hardly_matters() -> None:
    design, y = a_cloud(9, count=400)
    fitted, *_ = np.linalg.lstsq(design, y, rcond=None)

    assert a_belief().updated(design, y).mean == pytest.approx(fitted, abs=0.01)
