"""What a handful of prices can say: intervals and lines for five to a few dozen points.

Plain statistics without a library: Student's t by its finite series (Abramowitz and Stegun 26.7.3
and 26.7.4, whole degrees of freedom), a prediction interval for *one more* price (wider than the
interval of the mean), Theil-Sen and Huber lines that a single odd price cannot tilt, and a
conjugate Bayesian line (normal-inverse-gamma) that leans on weak prior slopes when data are few.

Design matrices have shape (points, columns); the first column is ones.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass

FloatArray = npt.NDArray[np.float64]

_HUBER_K = 1.345
_MAD_TO_SD = 1.482602218505602


# --- Student's t ---


def student_t_cdf(t: float, df: int) -> float:
    """Chance that Student's t with `df` (whole, at least 1) degrees of freedom is below `t`."""
    if df < 1:
        raise ValueError(f"degrees of freedom must be at least 1, not {df}")
    angle = math.atan2(t, math.sqrt(df))
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = df % 2 == 1
    term = cosine if odd else 1.0
    total = term if df > 1 else 0.0
    for step in range(3 if odd else 2, df - 1, 2):
        term *= cosine * cosine * (step - 1) / step
        total += term
    between = 2 / math.pi * (angle + sine * total) if odd else sine * total
    return 0.5 + between / 2


def student_t_quantile(share: float, df: int) -> float:
    """Value below which `share` of Student's t with `df` degrees of freedom lies."""
    if not 0 < share < 1:
        raise ValueError(f"a share lies between 0 and 1, not {share}")
    if share < 0.5:
        return -student_t_quantile(1 - share, df)
    low, high = 0.0, 1.0
    while student_t_cdf(high, df) < share and high < 1e9:
        high *= 2
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if student_t_cdf(middle, df) < share else (low, middle)
    return (low + high) / 2


@dataclass(frozen=True, slots=True)
class Interval:
    """A range that one more price would fall into with the stated coverage."""

    centre: float
    low: float
    high: float
    coverage: float


def _around(centre: float, scale: float, df: int, coverage: float) -> Interval:
    half = student_t_quantile((1 + coverage) / 2, df) * scale
    return Interval(centre, centre - half, centre + half, coverage)


def prediction_interval(values: Sequence[float], coverage: float = 0.8) -> Interval:
    """Interval for one more value: mean +- t s sqrt(1 + 1/n).

    Raises
    ------
    ValueError
        With fewer than two values.
    """
    count = len(values)
    if count < 2:
        raise ValueError("one value alone says nothing about spread")
    data = np.asarray(values, dtype=np.float64)
    spread = float(data.std(ddof=1)) * math.sqrt(1 + 1 / count)
    return _around(float(data.mean()), spread, count - 1, coverage)


# --- Lines that one odd price cannot tilt ---


def theil_sen(x: FloatArray, y: FloatArray) -> tuple[float, float]:
    """Intercept and slope: median of all pairwise slopes, then median of the offsets left.

    Raises
    ------
    ValueError
        When all `x` are equal.
    """
    one, other = np.triu_indices(x.size, k=1)
    run = x[other] - x[one]
    if not np.any(run != 0):
        raise ValueError("all points lie at one place: no slope can be found")
    slope = float(np.median((y[other] - y[one])[run != 0] / run[run != 0]))
    return float(np.median(y - slope * x)), slope


def huber_line(design: FloatArray, y: FloatArray, signs: Sequence[int] = ()) -> FloatArray:
    """Coefficients that minimise Huber's loss, with limits on signs.

    `signs` gives, per column, +1 (not below zero), -1 (not above) or 0 (free). A coefficient
    of the wrong sign is set to zero and the rest fitted again. Scale is the median absolute
    residual, refreshed at each step (k = 1.345).
    """
    limits = np.array(signs or [0] * design.shape[1])
    kept = np.ones(design.shape[1], dtype=bool)
    while True:
        fitted = np.zeros(design.shape[1])
        fitted[kept] = _reweighted(design[:, kept], y)
        wrong = kept & (fitted * limits < 0)
        if not wrong.any():
            return fitted
        kept &= ~wrong


def _reweighted(design: FloatArray, y: FloatArray) -> FloatArray:
    fitted, *_ = np.linalg.lstsq(design, y, rcond=None)
    for _ in range(200):
        residual = y - design @ fitted
        scale = spread_of(residual)
        if scale <= 1e-12 * (1 + float(np.abs(y).max())):
            break
        size = np.maximum(np.abs(residual) / scale, 1e-300)
        root = np.sqrt(np.minimum(1.0, _HUBER_K / size))
        before = fitted
        fitted, *_ = np.linalg.lstsq(design * root[:, None], y * root, rcond=None)
        if np.allclose(fitted, before, rtol=1e-9, atol=1e-12):
            break
    return np.asarray(fitted, dtype=np.float64)


def spread_of(residual: FloatArray) -> float:
    """Robust standard deviation: median absolute residual times 1.4826."""
    return float(np.median(np.abs(residual))) * _MAD_TO_SD


def robust_interval(
    design: FloatArray, y: FloatArray, fitted: FloatArray, at: FloatArray, coverage: float = 0.8
) -> Interval:
    """Interval for one more price at `at`, from the robust spread and the point's leverage."""
    used = np.linalg.matrix_rank(design)
    leverage = float(at @ np.linalg.pinv(design.T @ design) @ at)
    freedom = max(len(y) - int(used), 1)
    scale = spread_of(y - design @ fitted) * math.sqrt(1 + leverage)
    return _around(float(at @ fitted), scale, freedom, coverage)


# --- A line with weak prior slopes ---


@dataclass(frozen=True, slots=True)
class LineBelief:
    """Normal-inverse-gamma belief about a line.

    Coefficients are normal with this `mean` and covariance s2 / `precision` (a matrix); s2 is
    inverse gamma with `shape` and `rate`. Twice the shape must be a whole number.
    """

    mean: FloatArray
    precision: FloatArray
    shape: float
    rate: float

    def updated(self, design: FloatArray, y: FloatArray) -> LineBelief:
        """Belief after seeing prices `y`; seeing them in two lots gives the same."""
        precision = self.precision + design.T @ design
        pull = self.precision @ self.mean + design.T @ y
        mean = np.asarray(np.linalg.solve(precision, pull), dtype=np.float64)
        misfit = float(np.sum((y - design @ mean) ** 2))
        moved = self.mean - mean
        rate = self.rate + (misfit + float(moved @ self.precision @ moved)) / 2
        return LineBelief(mean, precision, self.shape + len(y) / 2, rate)

    def one_more(self, at: FloatArray, coverage: float = 0.8) -> Interval:
        """Interval for one more price at `at`: Student's t with twice the shape in freedom."""
        widening = 1 + float(at @ np.linalg.solve(self.precision, at))
        scale = math.sqrt(self.rate / self.shape * widening)
        return _around(float(at @ self.mean), scale, round(2 * self.shape), coverage)
