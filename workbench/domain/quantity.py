"""A measured number with its unit, kept as it was entered and converted exactly.

Factors are exact by definition (international yard and pound agreement of 1959; a US gallon is 231
cubic inches, an imperial gallon 4.54609 litres) and are compared with the pint registry in the
tests. A long ton, a short ton and a tonne are three different units here, and a bare "ton" is
refused, because a displacement off by a tenth spoils every ratio made from it.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from workbench.domain.record import dataclass

from .problem import EntryError
from .written_numbers import parse_decimal

_INCH = Fraction(254, 10_000)
_POUND = Fraction(45_359_237, 100_000_000)
_US_GALLON = _INCH**3 * 231 * 1000

_GRAVITY = Fraction(980_665, 100_000)

# kind: unit, factor to the kind's base unit, offset in base units
_Row = tuple[str, Fraction | int, Fraction | int]
_TABLE: dict[str, list[_Row]] = {
    "length": [
        ("mm", Fraction(1, 1000), 0),
        ("cm", Fraction(1, 100), 0),
        ("m", 1, 0),
        ("km", 1000, 0),
        ("in", _INCH, 0),
        ("ft", _INCH * 12, 0),
        ("mi", _INCH * 63_360, 0),
        ("nmi", 1852, 0),
    ],
    "mass": [
        ("g", Fraction(1, 1000), 0),
        ("kg", 1, 0),
        ("t", 1000, 0),
        ("lb", _POUND, 0),
        ("long ton", _POUND * 2240, 0),
        ("short ton", _POUND * 2000, 0),
    ],
    "area": [("m2", 1, 0), ("ft2", (_INCH * 12) ** 2, 0), ("cm2", Fraction(1, 10_000), 0)],
    "volume": [
        ("L", 1, 0),
        ("ml", Fraction(1, 1000), 0),
        ("US gal", _US_GALLON, 0),
        ("imp gal", Fraction(454_609, 100_000), 0),
    ],
    "pressure": [
        ("kPa", 1, 0),
        ("bar", 100, 0),
        ("mbar", Fraction(1, 10), 0),
        ("psi", _POUND * _GRAVITY / _INCH**2 / 1000, 0),
    ],
    "voltage": [("V", 1, 0), ("mV", Fraction(1, 1000), 0)],
    "current": [("A", 1, 0), ("mA", Fraction(1, 1000), 0)],
    "resistance": [("ohm", 1, 0), ("kohm", 1000, 0), ("Mohm", 1_000_000, 0)],
    "time": [
        ("s", 1, 0),
        ("min", 60, 0),
        ("h", 3600, 0),
        ("day", 86_400, 0),
        ("month", 2_629_746, 0),
        ("year", 31_556_952, 0),
    ],
    "temperature": [
        ("°C", 1, Fraction(27_315, 100)),
        ("°F", Fraction(5, 9), Fraction(45_967, 180)),
    ],
    "angle": [("deg", 1, 0)],
    "power": [("kW", 1, 0), ("hp", _POUND * _GRAVITY * 550 * _INCH * 12 / 1000, 0)],
    "speed": [("kn", 1, 0), ("m/s", Fraction(3600, 1852), 0)],
    "turning speed": [("rpm", 1, 0)],
    "force": [("N", 1, 0), ("lbf", _POUND * _GRAVITY, 0)],
    "share": [("%", Fraction(1, 100), 0), ("share", 1, 0)],
    "count": [("count", 1, 0)],
    "drip": [("drops/min", 1, 0)],
    "scale": [("index", 1, 0)],
    "date": [("calendar year", 1, 0)],
    "specific gravity": [("sg", 1, 0)],
}
UNITS: dict[str, tuple[str, Fraction, Fraction]] = {
    name: (kind, Fraction(factor), Fraction(offset))
    for kind, rows in _TABLE.items()
    for name, factor, offset in rows
}

_SPELLINGS = {
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
    "centimetre": "cm",
    "centimetres": "cm",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "inch": "in",
    "inches": "in",
    "ins": "in",
    '"': "in",
    "″": "in",
    "”": "in",
    "foot": "ft",
    "feet": "ft",
    "'": "ft",
    "′": "ft",
    "’": "ft",
    "kilogram": "kg",
    "kilograms": "kg",
    "kilo": "kg",
    "kilos": "kg",
    "tonne": "t",
    "tonnes": "t",
    "pound": "lb",
    "pounds": "lb",
    "lbs": "lb",
    "long tons": "long ton",
    "short tons": "short ton",
    "litre": "L",
    "litres": "L",
    "liter": "L",
    "liters": "L",
    "l": "L",
    "sqm": "m2",
    "m²": "m2",
    "sq m": "m2",
    "sqft": "ft2",
    "ft²": "ft2",
    "sq ft": "ft2",
    "volt": "V",
    "volts": "V",
    "v": "V",
    "amp": "A",
    "amps": "A",
    "a": "A",
    "ohms": "ohm",
    "ω": "ohm",
    "Ω": "ohm",
    "second": "s",
    "seconds": "s",
    "sec": "s",
    "minute": "min",
    "minutes": "min",
    "hour": "h",
    "hours": "h",
    "days": "day",
    "months": "month",
    "years": "year",
    "yr": "year",
    "c": "°C",
    "°c": "°C",
    "f": "°F",
    "°f": "°F",
    "degrees": "deg",
    "°": "deg",
    "percent": "%",
    "per cent": "%",
    "pct": "%",
    "knots": "kn",
    "knot": "kn",
    "miles": "mi",
    "nm": "nmi",
    "hrs": "h",
    "psi": "psi",
    "pcs": "count",
}
_VULGAR = "½¼¾⅛⅜⅝⅞"
_FEET_AND_INCHES = re.compile(
    rf"^(?P<feet>[^a-z'′’]+?)\s*(?:ft|feet|foot|'|′|’)"
    rf"\s*(?P<inches>[0-9{_VULGAR}][0-9 ,./{_VULGAR}-]*)"
    rf"\s*(?:in|ins|inch|inches|\"|″|”|'')?$",
    re.IGNORECASE,
)
_NUMBER_THEN_UNIT = re.compile(
    rf"^(?P<number>[-+−]?[\d.,'’\s/{_VULGAR}⅓⅔⅕eE]*[\d{_VULGAR}⅓⅔⅕.,])\s*(?P<unit>.*)$"
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number and the unit it was entered in."""

    number: Decimal
    unit: str

    def __post_init__(self) -> None:
        if self.unit not in UNITS:
            raise EntryError(f"“{self.unit}” is not a unit this program knows.")
        if not self.number.is_finite():
            raise EntryError("A measurement must be a number.")

    @property
    def kind(self) -> str:
        """What is measured: length, mass, voltage and so on."""
        return UNITS[self.unit][0]

    def exact(self, unit: str) -> Fraction:
        """The number in another unit of the same kind, exactly.

        Raises
        ------
        EntryError
            When the units measure different things.
        """
        kind, factor, offset = UNITS[self.unit]
        if unit not in UNITS or UNITS[unit][0] != kind:
            raise EntryError(f"{self.unit} cannot be turned into {unit}.")
        _, other_factor, other_offset = UNITS[unit]
        return (Fraction(self.number) * factor + offset - other_offset) / other_factor

    def to(self, unit: str) -> Quantity:
        """The same quantity in another unit, to 28 significant digits."""
        value = self.exact(unit)
        return Quantity(Decimal(value.numerator) / Decimal(value.denominator), unit)

    def value(self, unit: str) -> float:
        """The number in `unit` as a float, for figures."""
        return float(self.exact(unit))


def parse_quantity(text: str, unit: str, decimal_mark: str = "") -> Quantity:
    """Read a measurement as people write it: `1.0`, `0,8 mm`, `1/32 in`, `12 ft 6`, `5'3"`.

    Parameters
    ----------
    text
        What was typed.
    unit
        The unit meant when none is typed; also fixes what kind of thing is measured.
    decimal_mark
        As for `parse_decimal`.

    Raises
    ------
    EntryError
        With a sentence for the field.
    """
    tidy = text.strip()
    both = _FEET_AND_INCHES.match(tidy)
    if both and UNITS[unit][0] == "length":
        feet = parse_decimal(both["feet"], decimal_mark)
        inches = parse_decimal(both["inches"], decimal_mark)
        return Quantity(feet * 12 + inches, "in").to("ft") if feet else Quantity(inches, "in")
    split = _NUMBER_THEN_UNIT.match(tidy)
    if not split:
        raise EntryError(f"“{tidy}” is not a measurement. Write one such as 12.5 {unit}.")
    number = parse_decimal(split["number"], decimal_mark)
    return _in_kind(number, split["unit"].strip(), unit, tidy)


def _in_kind(number: Decimal, typed: str, unit: str, text: str) -> Quantity:
    if not typed:
        return Quantity(number, unit)
    name = unit_named(typed)
    if not name:
        raise EntryError(f"The unit in “{text}” is not one this program knows. Write {unit}.")
    if UNITS[name][0] != UNITS[unit][0]:
        raise EntryError(f"“{text}” is not a {UNITS[unit][0]}. Write it in {unit}.")
    return Quantity(number, name)


def unit_named(typed: str) -> str:
    """The unit a person means by `typed`; empty when it is none or could be several."""
    for form in (typed, typed.lower().rstrip(".")):
        if form in UNITS:
            return form
        if form in _SPELLINGS:
            return _SPELLINGS[form]
    return ""
