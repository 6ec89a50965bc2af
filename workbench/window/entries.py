"""How single values are read from fields and written into them: amounts, shares, days, codes.

Every reader raises `EntryError` with the sentence for its field; every writer gives back what the
reader would take.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from PySide6.QtCore import QLocale

from workbench.domain.money import LARGEST, decimals_of
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.domain.written_numbers import parse_decimal
from workbench.window import formatting
from workbench.window.texts import tr

HUNDRED = Decimal(100)


def plain(number: Decimal) -> str:
    """A number with all its digits and no more, by the locale's decimal mark."""
    text = f"{number:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", formatting.decimal_mark())


def number_text(value: object) -> str:
    """A number as it stands in its field."""
    return plain(value) if isinstance(value, Decimal) else ""


def amount_text(value: object) -> str:
    """A sum of money as it stands in its field: thousands apart, with all its digits."""
    if not isinstance(value, Decimal):
        return ""
    if value != value.to_integral_value():
        return plain(value)
    return QLocale().toString(int(value))


def percent_text(value: object) -> str:
    """A share as it stands in its field, in percent."""
    return plain(value * HUNDRED) if isinstance(value, Decimal) else ""


def read_any(text: str) -> Decimal:
    """A number of either sign."""
    return parse_decimal(text.replace("%", ""), formatting.decimal_mark())


def read_amount(text: str) -> Decimal:
    """An amount of 0 or more."""
    number = read_any(text)
    if number < 0:
        raise EntryError(tr("This cannot be below zero."))
    if number > LARGEST:
        raise EntryError(tr("This is more than any boat could cost."))
    return number


def read_above_zero(text: str) -> Decimal:
    """A rate or factor above 0."""
    number = read_amount(text)
    if number == 0:
        raise EntryError(tr("Write a number above 0."))
    return number


def read_share(text: str) -> Decimal:
    """A share typed in percent, 0 to 100."""
    number = read_any(text)
    if not 0 <= number <= HUNDRED:
        raise EntryError(tr("This lies between 0 and 100 %."))
    return number / HUNDRED


def read_percent(text: str) -> Decimal:
    """A percentage that is kept as one, 0 to 100."""
    return read_share(text) * HUNDRED


def read_signed_share(text: str) -> Decimal:
    """A share typed in percent, -100 to 100."""
    number = read_any(text)
    if not -HUNDRED <= number <= HUNDRED:
        raise EntryError(tr("This lies between -100 and 100 %."))
    return number / HUNDRED


def read_whole(text: str) -> int:
    """A whole number of 0 or more."""
    number = read_amount(text)
    if number != number.to_integral_value():
        raise EntryError(tr("Write a whole number."))
    return int(number)


def whole_text(value: object) -> str:
    """A whole number as it stands in its field, without separators."""
    return str(value) if isinstance(value, int) else ""


def read_day(text: str) -> date:
    """A day written as year, month, day, which nobody can mistake."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise EntryError(tr("Write the day as 2026-05-31: year, month, day.")) from None


def day_text(value: object) -> str:
    """A day as it stands in its field."""
    return value.isoformat() if isinstance(value, date) else ""


def read_currency(text: str) -> str:
    """The code of a currency."""
    code = text.strip().upper()
    decimals_of(code)
    return code


def quantity_text(value: object) -> str:
    """A measurement as it was entered."""
    return formatting.quantity(value) if isinstance(value, Quantity) else ""
