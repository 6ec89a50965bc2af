"""PERT and the triangle on the range 0..1: their quantiles, tenths and partial means.

A shape is named by the place ``t`` of its mode, 0 at the low end and 1 at the high end. PERT is the
beta curve with alpha 1+4t and beta 5-4t. Everything is without unit; a cost is
``low + (high - low) * quantile``. The beta curve is summed from its series here so that the
program needs no SciPy; the tests hold it to SciPy's.
"""

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

LOWER_TENTH, UPPER_TENTH = 0.1, 0.9

MODE_POSITIONS = 129
"""Tabled places of the mode between the low end (0) and the high end (128)."""

_TERMS = 52  # Terms of the beta series; at and below one half they leave less than 1e-15.
_GRID = 2_048  # Steps on 0..1 at which the beta curves are summed for their partial means.


# --- Quantiles. ---


def unit_triangular_quantile(mode: npt.ArrayLike, level: npt.ArrayLike) -> Floats:
    """Quantile of the triangle on 0..1: sqrt(y t) below the mode t, 1-sqrt((1-t)(1-y)) above."""
    t, y = np.asarray(mode, dtype=np.float64), np.asarray(level, dtype=np.float64)
    return np.where(y <= t, np.sqrt(t * y), 1.0 - np.sqrt((1.0 - t) * (1.0 - y)))


def unit_pert_quantile(mode: npt.ArrayLike, level: npt.ArrayLike) -> Floats:
    """Quantile of PERT on 0..1, the beta curve with alpha 1+4t and beta 5-4t for mode t.

    Solved by Newton steps held inside a shrinking bracket; good to 1e-9, mostly 1e-12,
    for levels that stay 1e-9 away from 0 and 1, and exact at both.

    Parameters
    ----------
    mode, level : array_like
        Fractions from 0 to 1 that broadcast against each other.
    """
    t, y = np.asarray(mode, dtype=np.float64), np.asarray(level, dtype=np.float64)
    inside = np.where((y > 0.0) & (y < 1.0), y, 0.5)
    alpha = 1.0 + 4.0 * t
    whole = _beta_function(alpha, 6.0)
    x = np.broadcast_to((1.0 + 4.0 * t) / 6.0, np.broadcast_shapes(t.shape, y.shape))
    below, above = np.zeros(x.shape), np.ones(x.shape)
    for _ in range(100):
        excess = _incomplete_beta(alpha, 6.0, x, whole) - inside
        below, above = np.where(excess <= 0.0, x, below), np.where(excess > 0.0, x, above)
        slope = x ** (alpha - 1.0) * (1.0 - x) ** (5.0 - alpha) / whole
        newton = x - excess / np.maximum(slope, 1e-300)
        # A step that leaves the bracket is replaced by the bracket's middle.
        held = np.where((newton > below) & (newton < above), newton, 0.5 * (below + above))
        moved = np.where(excess == 0.0, 0.0, np.abs(held - x))
        x = np.where(excess == 0.0, x, held)
        if float(np.max(moved, initial=0.0)) < 1e-13:
            break
    return np.where(y <= 0.0, 0.0, np.where(y >= 1.0, 1.0, x))


def incomplete_beta(alpha: Floats, total: float, x: Floats) -> Floats:
    """Regularised incomplete beta function I_x(alpha, total - alpha), both parameters 1 to 6.

    The series of (1-t)^(b-1), integrated term by term (NIST Digital Library of Mathematical
    Functions, section 8.17, from memory), on whichever side of one half ``x`` lies; the terms
    left out are below 1e-15 there.
    """
    return _incomplete_beta(alpha, total, x, _beta_function(alpha, total))


def _incomplete_beta(alpha: Floats, total: float, x: Floats, whole: Floats) -> Floats:
    """``incomplete_beta`` with the beta function itself, ``whole``, already known."""
    left = x <= 0.5
    near = np.where(left, x, 1.0 - x)
    a = np.where(left, alpha, total - alpha)
    b = total - a
    series, term = np.zeros(near.shape), np.ones(near.shape)
    for n in range(_TERMS):
        series += term / (a + n)
        term *= near * ((n + 1.0 - b) / (n + 1.0))
    part = near**a * series / whole
    return np.where(left, part, 1.0 - part)


def _beta_function(alpha: Floats, total: float) -> Floats:
    """Beta function B(alpha, total - alpha) for each alpha."""
    values = [
        math.gamma(a) * math.gamma(total - a) / math.gamma(total) for a in alpha.ravel().tolist()
    ]
    return np.asarray(values, dtype=np.float64).reshape(alpha.shape)


# --- Tenths: where the mode lies between P10 and P90. ---

FIT_MODES = np.linspace(0.0, 1.0, 1_025)
"""Mode places at which the unit shapes' tenths are tabled; straight lines between lose 1e-6."""


@lru_cache(maxsize=2)
def unit_tenths(triangular: bool) -> tuple[Floats, Floats]:
    """P10 and P90 of the unit shape at each of ``FIT_MODES``."""
    unit = unit_triangular_quantile if triangular else unit_pert_quantile
    return unit(FIT_MODES, LOWER_TENTH), unit(FIT_MODES, UPPER_TENTH)


@lru_cache(maxsize=2)
def mode_in_tenths(triangular: bool) -> Floats:
    """Where the mode lies between P10 (0) and P90 (1), at each of ``FIT_MODES``; rising."""
    lower, upper = unit_tenths(triangular)
    return np.asarray((FIT_MODES - lower) / (upper - lower), dtype=np.float64)


# --- Partial means: the integral of the quantile. ---


def partial_pert_means(level: Floats) -> Floats:
    """Integral of the unit PERT quantile from 0 to each level; shape (MODE_POSITIONS, levels).

    The curve with mode t is beta(1+4t, 5-4t). Its distribution F(x) and partial mean
    G(x) = mean * I_x(alpha+1, beta) are summed on a grid of x and joined by cubic Hermite pieces
    in F, whose slope dG/dF is x itself.
    """
    alpha = 1.0 + 4.0 * np.linspace(0.0, 1.0, MODE_POSITIONS)
    x = np.linspace(0.0, 1.0, _GRID + 1)
    share = _beta_on_grid(alpha, 6.0)
    partial = _beta_on_grid(alpha + 1.0, 7.0) * (alpha / 6.0)[:, np.newaxis]
    return np.stack([_hermite(level, f, g, x) for f, g in zip(share, partial, strict=True)])


def _beta_on_grid(alpha: Floats, total: float) -> Floats:
    """I_x(alpha, total - alpha) on the grid of x; shape (alphas, _GRID + 1)."""
    half = np.linspace(0.0, 0.5, _GRID // 2 + 1)
    left = _beta_series(alpha, total - alpha, half)
    right = _beta_series(total - alpha, alpha, half)
    # At x = 1/2 the two unnormalised halves add up to the beta function.
    whole = (left[:, -1] + right[:, -1])[:, np.newaxis]
    return np.concatenate([left / whole, 1.0 - right[:, -2::-1] / whole], axis=1)


def _beta_series(a: Floats, b: Floats, x: Floats) -> Floats:
    """Integral of t^(a-1) (1-t)^(b-1) from 0 to x <= 1/2, by the series of (1-t)^(b-1)."""
    term = np.ones_like(b)
    coefficients = []
    for n in range(_TERMS):
        coefficients.append(term / (a + n))
        term = term * (n + 1.0 - b) / (n + 1.0)
    series = np.zeros((a.size, x.size))
    for coefficient in reversed(coefficients):
        series *= x
        series += coefficient[:, np.newaxis]
    return np.asarray(x ** a[:, np.newaxis] * series, dtype=np.float64)


def _hermite(at: Floats, knots: Floats, values: Floats, slopes: Floats) -> Floats:
    """Cubic Hermite interpolation of (knots, values, slopes), knots not falling, at ``at``."""
    last = knots.size - 2
    left = np.clip(np.searchsorted(knots, at, side="right") - 1, 0, last)
    width = knots[left + 1] - knots[left]
    s = np.clip((at - knots[left]) / np.where(width > 0.0, width, 1.0), 0.0, 1.0)
    rise = values[left + 1] - values[left]
    start, end = slopes[left] * width, slopes[left + 1] * width
    bend = s * (1.0 - s) * ((start - rise) * (1.0 - s) + (rise - end) * s)
    return np.asarray(values[left] + s * rise + bend, dtype=np.float64)


def partial_triangular_means(level: Floats) -> Floats:
    """Integral of the unit triangle's quantile from 0 to each level, in closed form."""
    t = np.linspace(0.0, 1.0, MODE_POSITIONS)[:, np.newaxis]
    below = np.sqrt(t) * (2.0 / 3.0) * np.minimum(level, t) ** 1.5
    above = np.maximum(level - t, 0.0)
    drop = (1.0 - t) ** 1.5 - (1.0 - np.maximum(level, t)) ** 1.5
    return np.asarray(below + above - (2.0 / 3.0) * np.sqrt(1.0 - t) * drop, dtype=np.float64)
