"""What 20,000 draws of a total say: P10, P50, P80, P90, the chance of staying within a budget.

A percentile of draws is itself uncertain, so every figure comes with its standard error and
``round_to_sampling_error`` drops the digits that mean nothing. The mean is not read off the draws
when its closed form is known; the drawn mean is kept beside it as a check.

Never add percentiles of parts: the P80s of seven lines add up to far more than the P80 of their
sum (GAO-09-3SP, step 7: element results at a fixed confidence do not add to the parent's).

Percentile q of n sorted draws lies at place q(n-1) counted from 0, straight between neighbours:
definition 7 of Hyndman and Fan (1996), which is also NumPy's. Money is in one unit of currency.
"""

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass

Floats = npt.NDArray[np.float64]
AnyFloats = npt.NDArray[np.floating]

SHOWN = (0.10, 0.50, 0.80, 0.90)
"""The levels an estimate states."""
_BUCKETS = 4_096
_ERRORS_AROUND = 4.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A total in figures.

    Attributes
    ----------
    mean : float
        [money], closed form where known, else the drawn mean.
    drawn_mean : float
        [money], mean of the draws; differs from ``mean`` by a few ``standard_error`` at most.
    standard_deviation : float
        [money], of the draws.
    p10, p50, p80, p90 : float
        [money], not exceeded with that chance.
    standard_error : float
        [money], of the drawn mean: standard deviation / sqrt(draws).
    p80_standard_error : float
        [money], of ``p80``; the coarsest of the figures usually shown, so the one to round to.
    """

    mean: float
    drawn_mean: float
    standard_deviation: float
    p10: float
    p50: float
    p80: float
    p90: float
    standard_error: float
    p80_standard_error: float


def estimate(draws: AnyFloats, mean: float | None = None) -> Estimate:
    """Read an estimate off draws.

    Parameters
    ----------
    draws : ndarray, shape (draws,)
        [money], finite, in any order, at least one.
    mean : float, optional
        [money], the closed-form mean.
    """
    values = np.asarray(draws, dtype=np.float64)
    drawn_mean, deviation = float(values.mean()), float(values.std())
    levels = (*SHOWN, *_levels_around(0.80, values.size))
    p10, p50, p80, p90, early, late = percentiles(values, levels)
    return Estimate(
        mean=drawn_mean if mean is None else mean,
        drawn_mean=drawn_mean,
        standard_deviation=deviation,
        p10=p10,
        p50=p50,
        p80=p80,
        p90=p90,
        standard_error=deviation / math.sqrt(values.size),
        p80_standard_error=(late - early) / (2.0 * _ERRORS_AROUND),
    )


def percentiles(draws: AnyFloats, levels: Sequence[float]) -> tuple[float, ...]:
    """Percentiles of unsorted draws [money] at each level (fractions 0 to 1), without a full sort.

    The draws are counted into buckets of equal width and only the buckets that hold a wanted
    rank are sorted: the same values as a full sort, in a fifth of its time.

    Raises
    ------
    ValueError
        If a draw is not finite.
    """
    values = np.asarray(draws, dtype=np.float64)
    places = [level * (values.size - 1) for level in levels]
    ranks = sorted({min(int(place) + up, values.size - 1) for place in places for up in (0, 1)})
    found = dict(zip(ranks, _order_statistics(values, ranks), strict=True))
    return tuple(_between(found, place, values.size - 1) for place in places)


def _between(found: dict[int, float], place: float, last: int) -> float:
    """Value at a place between two ranks."""
    lower = int(place)
    low, high = found[lower], found[min(lower + 1, last)]
    # Written so that equal neighbours give themselves and no rounding leaves the interval.
    return low + (place - lower) * (high - low)


def _order_statistics(values: Floats, ranks: Sequence[int]) -> list[float]:
    """Values of the given ranks (from 0, rising), exactly as a full sort would place them."""
    least, most = float(values.min()), float(values.max())
    if not math.isfinite(least) or not math.isfinite(most):
        raise ValueError("draws must be finite")
    width = most - least
    if not 1e-300 < width < math.inf:
        # All equal, or so near or far that buckets cannot be told apart: sort after all.
        return [float(value) for value in np.sort(values)[list(ranks)]]
    bucket = ((values - least) * ((_BUCKETS - 1) / width)).astype(np.uint16)
    upto = np.cumsum(np.bincount(bucket, minlength=_BUCKETS))
    homes = np.searchsorted(upto, ranks, side="right").tolist()
    members = {home: np.sort(values[bucket == home]) for home in set(homes)}
    return [
        float(members[home][rank - (int(upto[home - 1]) if home else 0)])
        for home, rank in zip(homes, ranks, strict=True)
    ]


def _levels_around(level: float, count: int) -> tuple[float, float]:
    """Levels some standard errors either side: ranks are binomial, so sqrt(q(1-q)/n) each."""
    reach = _ERRORS_AROUND * math.sqrt(level * (1.0 - level) / count)
    return max(level - reach, 0.0), min(level + reach, 1.0)


def percentile_standard_error(draws: AnyFloats, level: float) -> float:
    """Standard error [money] of the percentile at ``level``, whatever the shape of the draws.

    The standard error of the level, sqrt(q(1-q)/n), times the slope of the sorted draws there,
    which is measured over four errors either side so that it is itself steady.
    """
    early, late = percentiles(draws, _levels_around(level, draws.size))
    return (late - early) / (2.0 * _ERRORS_AROUND)


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """A point of the S-curve: the total [money] stays at or below ``cost`` with this chance."""

    chance: float
    cost: float


def s_curve(draws: AnyFloats, points: int = 101) -> tuple[CurvePoint, ...]:
    """Points of the S-curve at evenly spaced chances from 0 to 1."""
    ordered = np.sort(np.asarray(draws, dtype=np.float64))
    chances = np.linspace(0.0, 1.0, points)
    places = chances * (ordered.size - 1)
    lower = places.astype(np.intp)
    upper = np.minimum(lower + 1, ordered.size - 1)
    costs = ordered[lower] + (places - lower) * (ordered[upper] - ordered[lower])
    return tuple(map(CurvePoint, chances.tolist(), costs.tolist()))


def chance_within(draws: AnyFloats, budget: float) -> float:
    """Chance that the total stays at or below the budget [money]."""
    return float(np.count_nonzero(draws <= budget)) / draws.size


def round_to_sampling_error(value: float, standard_error: float) -> float:
    """Round [money] so that the last digit shown is worth at least one standard error.

    The step is the smallest of 1, 2 or 5 times a power of ten that is not below the error: with
    an error of 37 a figure of 12,345 becomes 12,350. Without an error the value is returned as is.
    """
    if not standard_error > 0.0 or not math.isfinite(standard_error):
        return value
    power = 10.0 ** math.floor(math.log10(standard_error))
    step = next((k * power for k in (1.0, 2.0, 5.0) if k * power >= standard_error), 10.0 * power)
    rounded = math.floor(value / step + 0.5) * step
    # A step below 1 leaves binary dust such as 0.30000000000000004; keep the digits it stands for.
    return round(rounded, max(0, 1 - math.floor(math.log10(step))))


def contingency(point: float, draws: AnyFloats, level: float) -> float:
    """Money to set aside so that the total is covered with chance ``level``.

    The percentile less the point estimate [money] (GAO-09-3SP, step 9).
    """
    return percentiles(draws, (level,))[0] - point
