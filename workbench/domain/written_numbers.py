"""One parser for numbers as people write them.

It reads `0,8`, `0.8`, `1 234,56`, `1'234.56`, `1,234.56`, `½`, `1/32`, `12 1/2`, `-0`, `1e3` and
Arabic-Indic digits, exactly, into a `Decimal`. Where a single comma or dot could be either a
decimal mark or a thousands mark (`1,234`), the mark named by `decimal_mark` decides; without one
the entry is refused with both readings named, because a silent guess would be wrong by a thousand.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from .problem import EntryError

_SPACES = dict.fromkeys(map(ord, "\u00a0\u202f\u2009\u2007'\u2019"), " ")
_MINUS = dict.fromkeys(map(ord, "\u2212\u2013"), "-")
_MIXED = re.compile(r"^(?P<sign>[+-]?)(?:(?P<whole>\d+)[ -])?(?P<top>\d+)/(?P<bottom>\d+)$")
_PLAIN = re.compile(r"^[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,2})?$")
_LIMIT = Decimal("1e12")


def parse_decimal(text: str, decimal_mark: str = "") -> Decimal:
    """Read a number as a person writes it.

    Parameters
    ----------
    text
        What was typed.
    decimal_mark
        `.` or `,` where the locale says which; empty to refuse the ambiguous.

    Raises
    ------
    EntryError
        With a sentence that says what cannot be read and how to write it.
    """
    tidy = _plain_characters(text)
    if not tidy:
        raise EntryError("There is no number here. Write one such as 12.5.")
    mixed = _MIXED.match(tidy)
    if mixed:
        return _mixed_fraction(mixed, text)
    number = _single_mark(tidy.replace(" ", ""), decimal_mark, text)
    if not _PLAIN.match(number):
        raise EntryError(f"“{text.strip()}” is not a number. Write one such as 12.5 or 1/32.")
    return _bounded(number.replace(",", "."), text)


def _plain_characters(text: str) -> str:
    """Fold signs, spaces, foreign digits and vulgar fractions to plain ASCII."""
    out: list[str] = []
    for sign in text.translate(_MINUS):
        decomposed = unicodedata.normalize("NFKC", sign)
        if "⁄" in decomposed:  # ½ and its kin
            out.append(" " + decomposed.replace("⁄", "/"))
        elif sign.isdigit():
            out.append(str(unicodedata.digit(sign)))
        else:
            out.append(decomposed)
    return re.sub(r" +", " ", "".join(out).translate(_SPACES)).strip()


def _mixed_fraction(match: re.Match[str], text: str) -> Decimal:
    bottom = int(match["bottom"])
    if bottom == 0:
        raise EntryError(f"“{text.strip()}” divides by zero.")
    value = Fraction(int(match["top"]), bottom) + int(match["whole"] or 0)
    number = Decimal(value.numerator) / Decimal(value.denominator)
    return -number if match["sign"] == "-" else number


def _single_mark(number: str, decimal_mark: str, text: str) -> str:
    """Drop thousands marks so that at most one decimal mark is left."""
    commas, dots = number.count(","), number.count(".")
    if commas and dots:
        decimal = "," if number.rfind(",") > number.rfind(".") else "."
        thousands = "." if decimal == "," else ","
        return _without_thousands(number, thousands, decimal, text)
    mark = "," if commas else "."
    if commas + dots > 1:
        return _without_thousands(number, mark, "", text)
    if commas + dots == 1 and _could_be_thousands(number, mark):
        return _decided(number, mark, decimal_mark, text)
    return number


def _could_be_thousands(number: str, mark: str) -> bool:
    whole, _, rest = number.lstrip("+-").partition(mark)
    return (
        len(rest) == 3
        and rest.isdigit()
        and whole.isdigit()
        and whole[0] != "0"
        and len(whole) <= 3
    )


def _decided(number: str, mark: str, decimal_mark: str, text: str) -> str:
    if decimal_mark:
        return number if mark == decimal_mark else number.replace(mark, "")
    if mark == ".":
        return number  # a lone dot is a decimal mark wherever no locale says otherwise
    joined, decimal = number.replace(",", ""), number.replace(",", ".")
    raise EntryError(
        f"“{text.strip()}” can be read as {joined} or as {decimal}. Write {joined} or {decimal}0."
    )


def _without_thousands(number: str, thousands: str, decimal: str, text: str) -> str:
    whole, mark, rest = number.partition(decimal) if decimal else (number, "", "")
    groups = whole.lstrip("+-").split(thousands)
    if (decimal in rest and decimal) or any(len(group) != 3 for group in groups[1:]):
        raise EntryError(f"The thousands in “{text.strip()}” do not stand in threes.")
    return whole.replace(thousands, "") + ("." if mark else "") + rest


def _bounded(number: str, text: str) -> Decimal:
    try:
        value = Decimal(number)
    except InvalidOperation as error:
        raise EntryError(f"“{text.strip()}” is not a number.") from error
    if abs(value) > _LIMIT:
        raise EntryError(f"“{text.strip()}” is larger than anything on a boat.")
    return value or Decimal(0)
