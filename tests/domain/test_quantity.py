"""Quantities convert exactly and agree with the pint registry, a general-purpose units library."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.domain.problem import EntryError
from workbench.domain.quantity import UNITS, Quantity, parse_quantity

PINT_NAMES = {
    "mm": "millimeter", "cm": "centimeter", "m": "meter", "km": "kilometer", "in": "inch",
    "ft": "foot", "mi": "mile", "nmi": "nautical_mile", "g": "gram", "kg": "kilogram",
    "t": "metric_ton", "lb": "pound", "long ton": "long_ton", "short ton": "short_ton",
    "m2": "meter**2", "ft2": "foot**2", "cm2": "centimeter**2", "L": "liter", "ml": "milliliter",
    "US gal": "gallon", "imp gal": "imperial_gallon", "kPa": "kilopascal", "bar": "bar",
    "mbar": "millibar", "psi": "psi", "V": "volt", "mV": "millivolt", "A": "ampere",
    "mA": "milliampere", "ohm": "ohm", "kohm": "kiloohm", "Mohm": "megaohm", "s": "second",
    "min": "minute", "h": "hour", "day": "day", "°C": "degree_Celsius", "°F": "degree_Fahrenheit",
    "deg": "degree", "kW": "kilowatt", "hp": "horsepower", "kn": "knot", "m/s": "meter/second",
    "N": "newton", "lbf": "pound_force",
}  # fmt: skip
_BASES = {
    "length": "m", "mass": "kg", "area": "m2", "volume": "L", "pressure": "kPa", "voltage": "V",
    "current": "A", "resistance": "ohm", "time": "s", "temperature": "°C", "angle": "deg",
    "power": "kW", "speed": "kn", "force": "N",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", PINT_NAMES)
def test_every_unit_converts_as_the_pint_registry_does(
    unit: str, registry: "pint.UnitRegistry[float]"
) -> None:
    base = _BASES[UNITS[unit][0]]
    expected = registry.Quantity(12.5, PINT_NAMES[unit]).to(PINT_NAMES[base]).magnitude

    assert Quantity(Decimal("12.5"), unit).value(base) == pytest.approx(expected, rel=1e-9)


def test_a_long_ton_is_2240_pounds_and_no_other_ton() -> None:
    """International yard and pound agreement of 1959: a pound is 0.45359237 kg."""
    assert Quantity(Decimal(1), "long ton").to("lb").number == 2240
    assert Quantity(Decimal(1), "short ton").to("lb").number == 2000
    with pytest.raises(EntryError, match="not one this program knows"):
        parse_quantity("3 ton", "kg")


def test_seventy_fahrenheit_is_twenty_one_and_a_ninth_celsius() -> None:
    assert Quantity(Decimal(70), "°F").value("°C") == pytest.approx(21.1111, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "unit", "millimetres"),
    [
        ("1/32 in", "mm", 0.79375),
        ("0,8 mm", "mm", 0.8),
        ("1.0", "mm", 1.0),
        ("12 ft 6", "m", 3810.0),
        ("5'3\"", "m", 1600.2),
        ("12 ft 6 1/2 in", "m", 3822.7),
        ("31'", "m", 9448.8),
        ("½ in", "mm", 12.7),
        ("2,5 m", "mm", 2500.0),
    ],
)
def test_a_measurement_is_read_as_people_write_it(text: str, unit: str, millimetres: float) -> None:
    assert parse_quantity(text, unit).value("mm") == pytest.approx(millimetres, rel=1e-12)


def test_the_number_and_unit_stay_as_they_were_entered() -> None:
    assert parse_quantity("1/32 in", "mm") == Quantity(Decimal("0.03125"), "in")


@pytest.mark.parametrize("text", ["5 kg", "x", "", "3 furlongs"])
def test_a_measurement_of_the_wrong_kind_is_refused(text: str) -> None:
    with pytest.raises(EntryError):
        parse_quantity(text, "m")


@given(st.decimals(min_value=0, max_value=10**6, places=3))
def test_millimetres_survive_the_way_to_inches_and_back(number: Decimal) -> None:
    there = Quantity(number, "mm").to("in")

    assert there.to("mm").value("mm") == pytest.approx(float(number), abs=1e-9)
