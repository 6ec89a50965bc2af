"""Factors that move many costs together: a yard's price level, parts prices, the rate of exchange.

Lines that share a factor are late or dear together, and a total that ignores this looks far too
sure of itself: thirty equal lines with correlation 0.2 have their spread understated by 62 %
(Book 1999, from memory). A factor has mean 1 unless the user states a bias, is at least 0, and has
its own stream of draws, so every boat and every line that names it meets the same luck.

A *group* is the set of lines that answer to the same factors; its lines are summed first and the
factors multiply the sum. With group sums S and factor products F, all independent of one another,
mean and variance of the whole are exact:

    mean = sum_A m_A mu_A,   E[F_A F_B] = product over factors of E[F^2] if both name it else m,
    variance = sum_AB E[F_A F_B] (cov(S_A, S_B) + mu_A mu_B) - mean^2.

Two lines with means mu1 and mu2 that share one mean-1 factor of variance v thus have covariance
v mu1 mu2. Factors have no unit; sums are in one unit of currency.
"""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass
from workbench.figures.draws import DRAWS, Pool, Table, entry_edges, indices, line_tables
from workbench.figures.threepoint import Floats, Shape, ThreePoint, ends, means, variances

_NORMAL = NormalDist()
TENTH_IN_DEVIATIONS = _NORMAL.inv_cdf(0.9)
"""Distance of P90 from the mean of a normal curve: 1.28155 standard deviations."""


@dataclass(frozen=True, slots=True)
class RangedFactor:
    """A factor given as low, likely and high.

    Attributes
    ----------
    key : str
        Its name, unique among the factors of a project.
    span : ThreePoint
        Without unit, from 0 up; 0.9 / 1.0 / 1.2 is ten percent less to twenty percent more.
    chance : float
        Chance that the cause occurs at all; the factor is 1 where it does not.
    centred : bool
        Divide by the mean, so that the factor spreads costs without shifting them.

    Raises
    ------
    ValueError
        If the range begins below 0 or the chance lies outside 0..1.
    """

    key: str
    span: ThreePoint
    chance: float = 1.0
    centred: bool = True

    def __post_init__(self) -> None:
        if self.span.low < 0.0 or not 0.0 <= self.chance <= 1.0:
            raise ValueError(f"a factor starts at 0 or above and its chance lies in 0..1: {self}")

    @property
    def raw_mean(self) -> float:
        """Mean before centring: 1 + chance x (mean of the range - 1)."""
        return 1.0 + self.chance * (_mean_and_variance(self.span)[0] - 1.0)

    @property
    def mean(self) -> float:
        """Mean of the factor."""
        return 1.0 if self.centred else self.raw_mean

    @property
    def variance(self) -> float:
        """Variance of the factor, exact."""
        mean, variance = _mean_and_variance(self.span)
        above = mean - 1.0
        raw = self.chance * (variance + above**2) - (self.chance * above) ** 2
        return raw / self.raw_mean**2 if self.centred else raw

    def table(self, draws: int) -> Table:
        """The factor by equal shares of chance; float32 of shape (QUANTILES,)."""
        low, likely, high = (end - 1.0 for end in ends(self.span))
        triangular = self.span.shape is Shape.TRIANGULAR
        excess = line_tables(
            low, likely, high, chance=self.chance, triangular=triangular, draws=draws
        )
        divisor = self.raw_mean if self.centred else 1.0
        return np.asarray((1.0 + excess.reshape(-1)) / divisor, dtype=np.float32)


def _mean_and_variance(span: ThreePoint) -> tuple[float, float]:
    """Mean and variance of a range."""
    low, likely, high = ends(span)
    triangular = span.shape is Shape.TRIANGULAR
    return (
        float(means(low, likely, high, triangular=triangular)),
        float(variances(low, likely, high, triangular=triangular)),
    )


@dataclass(frozen=True, slots=True)
class LognormalFactor:
    """A factor whose logarithm is normal: never below 0, with a longer side upward.

    Attributes
    ----------
    key : str
        Its name, unique among the factors of a project.
    variation : float
        Standard deviation over mean, at least 0; see ``variation_from_tenths``.
    bias : float
        Mean of the factor, above 0; other than 1 only where the user states a bias.

    Raises
    ------
    ValueError
        If the variation is below 0 or the bias not above 0.
    """

    key: str
    variation: float
    bias: float = 1.0

    def __post_init__(self) -> None:
        if self.variation < 0.0 or not self.bias > 0.0:
            raise ValueError(f"a factor needs a spread of 0 or more and a mean above 0: {self}")

    @property
    def mean(self) -> float:
        """Mean of the factor."""
        return self.bias

    @property
    def variance(self) -> float:
        """Variance of the factor."""
        return (self.variation * self.bias) ** 2

    def table(self, draws: int) -> Table:
        """The factor by equal shares of chance, exact means of each; float32 (QUANTILES,)."""
        sigma = math.sqrt(math.log1p(self.variation**2))
        edges = entry_edges(draws)
        inner = [_NORMAL.cdf(_NORMAL.inv_cdf(edge) - sigma) for edge in edges[1:-1].tolist()]
        partial = self.bias * np.array([0.0, *inner, 1.0])
        return np.asarray(np.diff(partial) / np.diff(edges), dtype=np.float32)


SharedFactor = RangedFactor | LognormalFactor


def variation_from_tenths(low: float, high: float) -> float:
    """Variation of the lognormal factor that one case in ten lies below low and one above high."""
    if not 0.0 < low <= high:
        raise ValueError(f"one-in-ten points of a factor need 0 < low <= high: {low}, {high}")
    sigma = math.log(high / low) / (2.0 * TENTH_IN_DEVIATIONS)
    return math.sqrt(math.expm1(sigma**2))


def variance_for_correlation(correlation: float, line_variation: float) -> float:
    """Variance a mean-1 factor needs so that two lines sharing it correlate as wished.

    v = rho c^2 / (1 - rho (1 + c^2)), for two lines of equal variation c before the factor.

    Raises
    ------
    ValueError
        If no factor is large enough: rho (1 + c^2) must stay below 1.
    """
    room = 1.0 - correlation * (1.0 + line_variation**2)
    if not (correlation >= 0.0 and room > 0.0):
        raise ValueError(f"no factor gives lines a correlation of {correlation}")
    return correlation * line_variation**2 / room


@lru_cache(maxsize=256)
def factor_table(factor: SharedFactor, draws: int = DRAWS) -> Table:
    """Table of a factor, remembered; do not write to it."""
    table = factor.table(draws)
    table.flags.writeable = False
    return table


def factor_draws(factor: SharedFactor, stream: int, pool: Pool) -> Floats:
    """The factor in each draw; float64 of shape (draws,); its mean is exact to float32 rounding."""
    table = factor_table(factor, pool.draws).astype(np.float64)
    return np.take(table, indices(stream, pool), mode="clip")


# --- Groups. ---

Group = tuple[str, ...]
"""Keys of the factors that act on a group of lines; empty for none."""


def apply_factors(
    sums: npt.NDArray[np.floating], groups: Sequence[Group], factors: Mapping[str, Floats]
) -> Floats:
    """Total of all groups in each draw, with their factors.

    Parameters
    ----------
    sums : ndarray, shape (groups, draws)
        [money], sum of each group's lines.
    groups : sequence of Group, length groups
        Factors of each.
    factors : mapping
        Draws of each factor, shape (draws,).

    Returns
    -------
    ndarray of float64, shape (draws,)
        [money], added in the order of the groups.
    """
    total = np.zeros(sums.shape[1])
    for group, line_sum in zip(groups, sums, strict=True):
        moved: npt.NDArray[np.floating] = line_sum
        for key in group:
            moved = moved * factors[key]
        total += moved
    return total


def group_factor_means(groups: Sequence[Group], factors: Mapping[str, SharedFactor]) -> Floats:
    """Mean of each group's product of factors; shape (groups,)."""
    return np.array([math.prod(factors[key].mean for key in group) for group in groups])


def joint_factor_means(
    groups: Sequence[Group], others: Sequence[Group], factors: Mapping[str, SharedFactor]
) -> Floats:
    """E[F_A F_B] for each pair of groups; shape (groups, others)."""
    table = np.empty((len(groups), len(others)))
    for row, group in enumerate(groups):
        for column, other in enumerate(others):
            table[row, column] = _joint_mean(set(group), set(other), factors)
    return table


def _joint_mean(group: set[str], other: set[str], factors: Mapping[str, SharedFactor]) -> float:
    """E[F_A F_B] of one pair: second moments of what both name, means of the rest."""
    both = (factors[key].mean ** 2 + factors[key].variance for key in sorted(group & other))
    single = (factors[key].mean for key in sorted(group ^ other))
    return math.prod(both) * math.prod(single)


def total_mean(
    groups: Sequence[Group], factors: Mapping[str, SharedFactor], group_means: Floats
) -> float:
    """Mean [money] of the total, exact; ``group_means`` are before factors, shape (groups,)."""
    return float(group_factor_means(groups, factors) @ group_means)


def total_variance(
    groups: Sequence[Group],
    factors: Mapping[str, SharedFactor],
    group_means: Floats,
    group_covariance: Floats,
) -> float:
    """Variance [money squared] of the total, exact.

    Parameters
    ----------
    groups : sequence of Group
        Factors of each group.
    factors : mapping
        The factors by key.
    group_means : ndarray, shape (groups,)
        [money] before factors.
    group_covariance : ndarray, shape (groups, groups)
        [money squared] before factors; diagonal unless groups share work.
    """
    joint = joint_factor_means(groups, groups, factors)
    second = joint * (group_covariance + np.outer(group_means, group_means))
    return float(second.sum()) - total_mean(groups, factors, group_means) ** 2


def shared_covariance(
    groups: Sequence[Group],
    group_means: Floats,
    others: Sequence[Group],
    other_means: Floats,
    factors: Mapping[str, SharedFactor],
) -> float:
    """Covariance [money squared] of two totals that share factors and no lines; exact."""
    joint = joint_factor_means(groups, others, factors)
    product = np.outer(group_factor_means(groups, factors), group_factor_means(others, factors))
    return float(group_means @ (joint - product) @ other_means)


def variance_from_factor(
    key: str, groups: Sequence[Group], factors: Mapping[str, SharedFactor], group_means: Floats
) -> float:
    """Variance [money squared] of E[total | factor]: what knowing this factor would remove."""
    touched = [key in group for group in groups]
    answering = group_factor_means(groups, factors)[touched] @ group_means[touched]
    return factors[key].variance * float(answering / factors[key].mean) ** 2


def sigma_shortfall(lines: int, correlation: float) -> float:
    """Share by which the spread of equal lines is understated when correlation is ignored.

    1 - 1/sqrt(1 + (n - 1) rho) (Book 1999, from memory).
    """
    return 1.0 - 1.0 / math.sqrt(1.0 + (lines - 1) * correlation)
