"""A range as a person gives it: low, likely, high, and what its ends mean.

People's ranges are too narrow when they think of the ends as the worst that can happen, so every
span says how its ends are to be read: as limits that are never passed, or as limits passed one time
in ten on each side.
"""

from __future__ import annotations

from decimal import Decimal
from enum import Enum

from workbench.domain.record import dataclass

from .problem import EntryError


class Ends(Enum):
    """What the low and high of a span mean."""

    LIMITS = "limits"
    ONE_IN_TEN = "one-in-ten"


class Shape(Enum):
    """How likely what lies between the ends is."""

    PERT = "pert"
    TRIANGLE = "triangle"


@dataclass(frozen=True, slots=True)
class Span:
    """Low, likely and high of one quantity, in whatever unit its owner states.

    Raises
    ------
    EntryError
        When low is above likely or likely above high; nothing is swapped silently.
    """

    low: Decimal
    likely: Decimal
    high: Decimal
    ends: Ends = Ends.ONE_IN_TEN

    def __post_init__(self) -> None:
        if not all(end.is_finite() for end in (self.low, self.likely, self.high)):
            raise EntryError("Low, likely and high must be numbers.")
        if self.low > self.likely:
            raise EntryError(f"Low ({self.low}) is above likely ({self.likely}). Lower it.")
        if self.likely > self.high:
            raise EntryError(f"Likely ({self.likely}) is above high ({self.high}). Raise high.")

    @staticmethod
    def exactly(value: Decimal) -> Span:
        """A span without spread."""
        return Span(value, value, value, Ends.LIMITS)

    def times(self, factor: Decimal) -> Span:
        """The span scaled by a factor that is not negative."""
        return Span(self.low * factor, self.likely * factor, self.high * factor, self.ends)

    def plus(self, other: Span) -> Span:
        """The ends added end to end; a span without spread takes the other's reading of ends."""
        ends = other.ends if self.low == self.high else self.ends
        return Span(self.low + other.low, self.likely + other.likely, self.high + other.high, ends)

    @property
    def certain(self) -> bool:
        """Whether the span has no spread."""
        return self.low == self.high
