"""Where an axis begins and ends and which round numbers stand on it.

>>> ticks(0, 38_200)
(0.0, 10000.0, 20000.0, 30000.0, 40000.0)
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from workbench.domain.record import dataclass


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis from `low` to `high` with its ticks, all in the unit of what is drawn."""

    low: float
    high: float
    ticks: tuple[float, ...]

    def share(self, value: float) -> float:
        """Place of a value along the axis, 0 at its beginning and 1 at its end."""
        return (value - self.low) / (self.high - self.low)


def nice_step(span: float, most: int) -> float:
    """Smallest of 1, 2, 5 times a power of ten that parts a span into at most `most` steps.

    Source of the idea: P. S. Heckbert, 'Nice numbers for graph labels', Graphics Gems, 1990.

    Raises
    ------
    ValueError
        Where the span is not above nothing.
    """
    if not span > 0 or not math.isfinite(span):
        message = f"an axis needs a span above 0, not {span}"
        raise ValueError(message)
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(
        factor * power for factor in (1.0, 2.0, 5.0, 10.0, 20.0) if span / (factor * power) <= most
    )


def ticks(low: float, high: float, most: int = 5) -> tuple[float, ...]:
    """Round numbers from at or below `low` to at or above `high`, in about `most` steps."""
    step = nice_step(high - low, most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(place * step for place in range(first, last + 1))


def axis_for(values: Iterable[float], *, from_zero: bool = True, most: int = 5) -> Axis:
    """Return the axis that holds all values; from nothing upwards unless told otherwise.

    No value, or values that do not differ, give an axis one unit long around them.
    """
    held = [value for value in values if math.isfinite(value)]
    low = min(held, default=0.0)
    high = max(held, default=1.0)
    if from_zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high <= low:
        low, high = low - 0.5, high + 0.5
    marks = ticks(low, high, most)
    return Axis(marks[0], marks[-1], marks)
