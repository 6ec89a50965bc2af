"""Every figure of an advertisement with the unit beside it, and what it measures.

`measures_in` finds them in one pass: `9,60 m`, `31 ft 6 in`, `31'6"`, `4,8 t`, `1.200 h`, and bare
numbers, which have an empty unit. A figure whose mark could divide thousands or be decimal
(`1.650 m`, `4,800 kg`) is kept in both readings; `quantities` answers those that make sense for a
dimension. Where the unit is one of several (a ton, a gallon) there is no quantity.
"""

from __future__ import annotations

import bisect
import re
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from workbench.catalogue.model import Dimension
from workbench.domain.problem import EntryError
from workbench.domain.quantity import UNITS, Quantity, parse_quantity
from workbench.domain.record import dataclass
from workbench.domain.written_numbers import parse_decimal

from .listing_words import METRIC_HORSEPOWER, UNCERTAIN_UNITS, ListingWords

_METRIC_HORSEPOWER_KW = Decimal("0.73549875")
"""75 kilogram-force metres a second, exact: DIN 66036 (from memory)."""
_KINDS_OF_UNCERTAIN = {"ton": "mass", "gal": "volume", METRIC_HORSEPOWER: "power"}
_FRACTION = r"(?:[ -]?\d{1,2}/\d{1,2}(?![\d/])|[ ]?[½¼¾⅛⅜⅝⅞])"
_NUMBER = (
    r"(?:\d{1,3}(?:[ .,'’]\d{3}){1,3}(?:[.,]\d{1,3})?(?![\d])"
    r"|\d{1,9}(?:[.,]\d{1,4})?(?![\d]))"
)
_LARGEST_FRACTION_STEP = Decimal(1) / Decimal(16)


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure of the text.

    Attributes
    ----------
    number
        The figure as written, for feet and inches the whole measure.
    unit
        As the table of words knows it; empty for a bare number, `ft in` for feet and inches.
    """

    start: int
    end: int
    number: str
    unit: str = ""

    @property
    def kind(self) -> str:
        """What it measures: length, mass and so on; empty for a bare number."""
        if self.unit == "ft in":
            return "length"
        if self.unit in _KINDS_OF_UNCERTAIN:
            return _KINDS_OF_UNCERTAIN[self.unit]
        return UNITS[self.unit][0] if self.unit else ""

    @property
    def is_uncertain(self) -> bool:
        """Whether its unit is one of several of that name."""
        return self.unit in UNCERTAIN_UNITS

    def with_unit(self, unit: str) -> Measure:
        """The same figure in a unit that stands elsewhere."""
        return Measure(self.start, self.end, self.number, unit)


class Sized(NamedTuple):
    """A quantity, and the smallest step in which it was written, in the base unit of its kind."""

    quantity: Quantity
    step: float


class Measures:
    """The figures of one text, by where they begin and end."""

    def __init__(self, found: Sequence[Measure]) -> None:
        self.all = tuple(found)
        self._starts = [one.start for one in self.all]
        self._by_end = {one.end: one for one in self.all}

    def at(self, start: int) -> Measure | None:
        """The figure that begins at a place."""
        place = bisect.bisect_left(self._starts, start)
        found = place < len(self._starts) and self._starts[place] == start
        return self.all[place] if found else None

    def ending(self, text: str, place: int) -> Measure | None:
        """The figure right before a place, at most a space or hyphen away."""
        for gap in (0, 1, 2):
            one = self._by_end.get(place - gap)
            if one is not None and text[place - gap : place] in ("", " ", "-", "  "):
                return one
        return None

    def between(self, start: int, end: int) -> tuple[Measure, ...]:
        """The figures that begin in a part of the text."""
        first, last = bisect.bisect_left(self._starts, start), bisect.bisect_left(self._starts, end)
        return self.all[first:last]


def measures_in(text: str, words: ListingWords) -> Measures:
    """Every figure of a text; none begins inside a word or another number."""
    pattern = _pattern(tuple(words.units))
    made: list[Measure] = []
    for found in pattern.finditer(text):
        if found["feet"]:
            made.append(Measure(found.start(), found.end(), found[0], "ft in"))
            continue
        unit = (
            words.units[" ".join((found["unit"] or "").casefold().split())] if found["unit"] else ""
        )
        number = found["number"]
        end = found.end() if unit else found.end("number")
        made.append(Measure(found.start(), end, number, unit))
    return Measures(made)


_patterns: dict[tuple[str, ...], re.Pattern[str]] = {}


def _pattern(spellings: tuple[str, ...]) -> re.Pattern[str]:
    """Figures with the units of a table; every repetition in it is bounded."""
    if spellings not in _patterns:
        ordered = sorted(spellings, key=len, reverse=True)
        units = "|".join(re.escape(one).replace(r"\ ", " ") for one in ordered)
        feet = r"(?:ft\.?|feet|foot|'|′|’|fuß)"
        inches = r"(?:[ ]?(?:inches|inch|ins|in\b|\"|″|”|'')|(?![ ]?[^\W\d_])(?![\d.,]\d))"
        _patterns[spellings] = re.compile(
            r"(?<![^\W_])(?<!\d[.,])(?:"
            rf"(?P<feet>\d{{1,3}}[ ]?{feet}[ ]?\d{{1,2}}(?:[.,]\d{{1,2}})?{_FRACTION}?{inches})"
            rf"|(?P<number>{_NUMBER}{_FRACTION}?)(?:[ -]?(?!to[ ]{{1,2}}[\d€£$])"
            rf"(?P<unit>{units})(?![^\W_]))?)",
            re.IGNORECASE,
        )
    return _patterns[spellings]


def quantities(measure: Measure, dimension: Dimension) -> tuple[Sized, ...]:
    """What a figure can mean for a dimension: each reading of its mark, the sensible ones first.

    A figure that is sensible in both readings is in whole units: nobody writes the thousandth part
    of a kilogram, of a litre or of an hour.
    """
    if measure.unit == "ft in":
        found = _feet_and_inches(measure.number)
        return (found,) if found else ()
    unit = measure.unit or dimension.unit
    made = [_sized(number, step, unit) for number, step in readings(measure.number)]
    made.sort(key=lambda one: not makes_sense(one.quantity, dimension))
    return tuple(made)


def makes_sense(quantity: Quantity, dimension: Dimension) -> bool:
    """Whether a quantity lies within the limits of its dimension."""
    return dimension.low <= quantity.exact(dimension.unit) <= dimension.high


def readings(number: str) -> tuple[tuple[Decimal, Decimal], ...]:
    """Each reading of a number and the step it is written in, the one in thousands first."""
    found: dict[Decimal, Decimal] = {}
    for mark in (".", ","):
        try:
            read = parse_decimal(number, mark)
        except EntryError:
            continue
        found.setdefault(read, _step(number, read))
    return tuple(sorted(found.items(), reverse=True))


def _step(number: str, read: Decimal) -> Decimal:
    """The last place a number is written to, counted from its text where that ends in noughts."""
    if any(sign in number for sign in "/½¼¾⅛⅜⅝⅞"):
        return _LARGEST_FRACTION_STEP
    decimals = re.search(r"[.,](\d{1,4})$", number)
    if decimals is None or (read == read.to_integral_value() and len(decimals[1]) == 3):
        return Decimal(1)
    return Decimal(1).scaleb(-len(decimals[1]))


def _sized(number: Decimal, step: Decimal, unit: str) -> Sized:
    if unit == METRIC_HORSEPOWER:
        power = (number * _METRIC_HORSEPOWER_KW).quantize(Decimal("0.01"))
        return Sized(Quantity(power, "kW"), float(step * _METRIC_HORSEPOWER_KW))
    return Sized(Quantity(number, unit), float(step) * float(UNITS[unit][1]))


def _feet_and_inches(text: str) -> Sized | None:
    """Feet and inches, in feet to four decimals."""
    plain = re.sub("fuß", "ft", text, flags=re.IGNORECASE)
    plain = re.sub(r"''$", '"', re.sub(r"ft\.", "ft", plain, flags=re.IGNORECASE))
    try:
        read = parse_quantity(plain, "ft", ".")
    except EntryError:
        return None
    inches = read.exact("in")
    step = 1.0 if inches.denominator == 1 else 1 / 16
    feet = Quantity(round(read.to("ft").number, 4), "ft")
    return Sized(feet, step * float(UNITS["in"][1]))
