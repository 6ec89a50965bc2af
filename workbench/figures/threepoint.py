"""What a cost given as low, likely and high comes to: its mean, its spread, its quantiles.

A three-point figure is read in one of two ways. ``ABSOLUTE`` takes low and high as the ends of
the range. ``ONE_IN_TEN`` takes them as the points that one case in ten lies below and one in ten
above, which is how people answer when asked (Teigen and Jorgensen 2005, DOI 10.1002/acp.1085:
ranges called "90 %" hold far less). The reading moves the mean as much as the figures do:
600 / 900 / 2400 has PERT mean 1100 read one way and 1410.60 the other.

Between the ends the cost follows PERT (a beta curve that weighs the likely value fourfold) or a
triangle; ``FIXED`` is one certain sum. Raising the likely figure, or all three, lowers no quantile;
raising only the high end of PERT lifts the mean and the upper quantiles and may lower the lowest
ones, because the curve flattens. Money is in one unit of currency throughout; chances and
quantile levels are fractions. Nothing here draws random numbers and nothing needs SciPy.
"""

import math
from collections.abc import Sequence
from enum import Enum
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass
from workbench.figures.unit_shapes import (
    FIT_MODES,
    mode_in_tenths,
    unit_pert_quantile,
    unit_tenths,
    unit_triangular_quantile,
)

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


class Shape(Enum):
    """How a cost is spread between its ends."""

    PERT = "pert"
    TRIANGULAR = "triangular"
    FIXED = "fixed"


class LimitsReading(Enum):
    """What the low and high figures stand for."""

    ABSOLUTE = "absolute"
    ONE_IN_TEN = "one in ten"


class Basis(Enum):
    """What a price rests on, from the weakest to the strongest."""

    GUESS = "guess"
    PRICE_BOOK = "price book"
    COMPARABLE_INVOICE = "comparable invoice"
    WRITTEN_QUOTE = "written quote"


NARROWEST_SENSIBLE = {
    Basis.GUESS: (0.20, 0.30),
    Basis.PRICE_BOOK: (0.15, 0.20),
    Basis.COMPARABLE_INVOICE: (0.10, 0.10),
    Basis.WRITTEN_QUOTE: (0.03, 0.03),
}
"""Least distance down and up from the likely figure, as fractions of it.

The narrow ends of the accuracy ranges of AACE International 18R-97: class 5 for a guess, class 4
for a price book, class 3 for a comparable invoice, class 1 for a written quote. Which basis stands
for which class is our own reading: common practice, no source.
"""


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """A cost as low, likely and high.

    Attributes
    ----------
    low, likely, high : float
        [money], finite, ``low <= likely <= high``.
    shape : Shape
        ``FIXED`` is worth ``likely`` and nothing else; its low and high are not used.
    reading : LimitsReading
        What low and high stand for.

    Raises
    ------
    ValueError
        If a figure is not finite or the three are out of order.
    """

    low: float
    likely: float
    high: float
    shape: Shape = Shape.PERT
    reading: LimitsReading = LimitsReading.ABSOLUTE

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.low, self.likely, self.high))):
            raise ValueError(f"a three-point figure must be finite: {self}")
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"a three-point figure needs low <= likely <= high: {self}")


def fixed(amount: float) -> ThreePoint:
    """Return the figure that is certainly ``amount`` [money]."""
    return ThreePoint(amount, amount, amount, Shape.FIXED)


@lru_cache(maxsize=65_536)
def ends(tp: ThreePoint) -> tuple[float, float, float]:
    """Lowest, most likely and highest value [money] the figure can take.

    Under ``ONE_IN_TEN`` these are the ends of the PERT or triangle whose P10, mode and P90 are the
    three figures given. A cost that is not negative stays so: where the fitted lower end would
    fall below nothing it is held at 0, the mode and P90 are kept, and P10 lies above ``low``.
    """
    if tp.shape is Shape.FIXED or tp.low == tp.high:
        return tp.likely, tp.likely, tp.likely
    if tp.reading is LimitsReading.ABSOLUTE:
        return tp.low, tp.likely, tp.high
    low, high = fitted_ends(tp.low, tp.likely, tp.high, triangular=tp.shape is Shape.TRIANGULAR)
    return float(low), tp.likely, float(high)


def stacked_ends(points: Sequence[ThreePoint]) -> tuple[Floats, Floats, Floats, Flags]:
    """Ends of many figures as columns.

    Returns
    -------
    tuple of ndarray
        Lowest, most likely, highest [money] and whether a triangle, each of shape (points,).
    """
    low, likely, high = np.array([ends(tp) for tp in points], dtype=np.float64).reshape(-1, 3).T
    triangular = np.array([tp.shape is Shape.TRIANGULAR for tp in points], dtype=np.bool_)
    return low, likely, high, triangular


def mean(tp: ThreePoint) -> float:
    """Mean [money]: (a+4m+b)/6 for PERT, (a+m+b)/3 for a triangle."""
    low, likely, high = ends(tp)
    return float(means(low, likely, high, triangular=tp.shape is Shape.TRIANGULAR))


def variance(tp: ThreePoint) -> float:
    """Variance [money squared], exact; see ``variances``."""
    low, likely, high = ends(tp)
    return float(variances(low, likely, high, triangular=tp.shape is Shape.TRIANGULAR))


def quantile(tp: ThreePoint, level: npt.ArrayLike) -> Floats:
    """Cost that is not exceeded with chance ``level``.

    Parameters
    ----------
    tp : ThreePoint
        The figure.
    level : array_like
        Fractions from 0 to 1, any shape.

    Returns
    -------
    ndarray of float64
        [money], the shape of ``level``.
    """
    levels = np.asarray(level, dtype=np.float64)
    low, likely, high = ends(tp)
    if high == low:
        return np.full_like(levels, likely)
    mode = (likely - low) / (high - low)
    unit = unit_triangular_quantile if tp.shape is Shape.TRIANGULAR else unit_pert_quantile
    return np.asarray(low + (high - low) * unit(mode, levels), dtype=np.float64)


def means(
    low: npt.ArrayLike,
    likely: npt.ArrayLike,
    high: npt.ArrayLike,
    *,
    triangular: npt.ArrayLike = False,
) -> Floats:
    """Means [money] of many figures whose low and high are ends; arrays of shape (lines,)."""
    a, m, b = _columns(low, likely, high)
    return np.where(triangular, (a + m + b) / 3.0, (a + 4.0 * m + b) / 6.0)


def variances(
    low: npt.ArrayLike,
    likely: npt.ArrayLike,
    high: npt.ArrayLike,
    *,
    triangular: npt.ArrayLike = False,
) -> Floats:
    """Variances [money squared] of many figures whose low and high are ends; shape (lines,).

    Triangle: (a2+m2+b2-am-ab-mb)/18. PERT: (mean-a)(b-mean)/7, the exact variance of its beta
    curve; the well known ((b-a)/6)2 is an approximation to it.
    """
    a, m, b = _columns(low, likely, high)
    centre = (a + 4.0 * m + b) / 6.0
    # The triangle's sum of squares, written as products of differences so that it cannot go
    # negative by rounding: a2+m2+b2-am-ab-mb = (b-a)2 - (m-a)(b-m). No power: of one number it is
    # the library's pow, which on some machines differs in the last bit from a column's square.
    triangle = ((b - a) * (b - a) - (m - a) * (b - m)) / 18.0
    return np.where(triangular, triangle, (centre - a) * (b - centre) / 7.0)


def _columns(
    low: npt.ArrayLike, likely: npt.ArrayLike, high: npt.ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Return the three figures as float64 arrays."""
    a, m, b = (np.asarray(column, dtype=np.float64) for column in (low, likely, high))
    return a, m, b


def narrowest_sensible(basis: Basis) -> tuple[float, float]:
    """Least distance down and up from the likely figure, as fractions of it."""
    return NARROWEST_SENSIBLE[basis]


def too_narrow(tp: ThreePoint, basis: Basis) -> bool:
    """Whether the range claims more than its basis can carry.

    A ``FIXED`` sum has no range, so only a written quote carries it.
    """
    if tp.shape is Shape.FIXED:
        return basis is not Basis.WRITTEN_QUOTE
    return narrower_than(basis, tp.low, tp.likely, tp.high)


def narrower_than(basis: Basis, low: float, likely: float, high: float) -> bool:
    """Whether a range lies closer about its likely figure [money] than its basis can carry."""
    down, up = NARROWEST_SENSIBLE[basis]
    size = abs(likely)
    # A hair of slack, so that 80 / 100 / 130 passes as exactly -20 % / +30 %.
    slack = 1e-9 * size
    return likely - low < down * size - slack or high - likely < up * size - slack


def fitted_ends(
    low: npt.ArrayLike, likely: npt.ArrayLike, high: npt.ArrayLike, *, triangular: bool = False
) -> tuple[Floats, Floats]:
    """Ends [money] of the shapes whose P10, mode and P90 are low, likely and high.

    Parameters
    ----------
    low, likely, high : array_like
        [money], shape (lines,) or scalars. Where low equals high the ends are that sum. Where low
        equals likely (or likely equals high) the mode is itself the one-in-ten point.
    triangular : bool
        The triangle instead of PERT.

    Returns
    -------
    tuple of ndarray
        Lowest and highest value; see ``ends`` for how a cost is kept from going below 0.
    """
    a, m, b = np.broadcast_arrays(*_columns(low, likely, high))
    lower, upper = unit_tenths(triangular)
    span = b - a
    place = (m - a) / np.where(span > 0.0, span, 1.0)
    mode = np.interp(place, mode_in_tenths(triangular), FIT_MODES)
    width = span / (np.interp(mode, FIT_MODES, upper) - np.interp(mode, FIT_MODES, lower))
    first, last = m - mode * width, m + (1.0 - mode) * width
    below_nothing = (first < 0.0) & (a >= 0.0)
    first = np.where(below_nothing, 0.0, first)
    last = np.where(below_nothing, _high_end_from_nothing(m, b, triangular), last)
    return np.where(span > 0.0, first, m), np.where(span > 0.0, last, m)


def _high_end_from_nothing(likely: Floats, high: Floats, triangular: bool) -> Floats:
    """Upper end [money] of the shape that starts at 0 with this mode and this P90."""
    _, upper = unit_tenths(triangular)
    # With the lower end at 0 the mode is t of the width and P90 is q90(t) of it.
    ratio = likely / np.where(high > 0.0, high, 1.0)
    mode = np.interp(ratio, FIT_MODES / upper, FIT_MODES)
    return np.asarray(high / np.interp(mode, FIT_MODES, upper), dtype=np.float64)
