"""How figures are written in the window, by the user's locale.

Money is written without decimals where it is an estimate, because nobody knows the cents of work
that was not done yet, and with the currency's decimals where it is exact (a price, a quote).
"""

from __future__ import annotations

from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal

from PySide6.QtCore import QDate, QLocale

from workbench.domain.money import Money, decimals_of
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.domain.vocabulary import Basis, Grade, Status, When
from workbench.domain.written_numbers import parse_decimal

from .texts import tr


def decimal_mark() -> str:
    """The locale's decimal mark, for the parsers of the domain."""
    return QLocale().decimalPoint()


def whole(amount: Decimal | float | None) -> str:
    """An estimate in whole units of its currency; a dash when it is not known."""
    if amount is None:
        return "–"
    rounded = Decimal(amount).quantize(Decimal(1), ROUND_HALF_EVEN)
    return QLocale().toString(int(rounded))


def estimate(amount: Decimal | float | None) -> str:
    """An estimate to the digits it deserves: tens below ten thousand, hundreds above it."""
    if amount is None:
        return "–"
    value = Decimal(amount)
    step = Decimal(1 if abs(value) < 100 else 10 if abs(value) < 10_000 else 100)
    return whole((value / step).quantize(Decimal(1), ROUND_HALF_EVEN) * step)


def exact(money: Money) -> str:
    """A price or quote: with decimals only where it has any."""
    digits = decimals_of(money.currency)
    if money.amount == money.amount.to_integral_value():
        digits = 0
    return f"{QLocale().toString(float(money.amount), 'f', digits)}"


def percent(share: float) -> str:
    """A share as a whole percentage."""
    return f"{QLocale().toString(round(share * 100))} %"


def quantity(value: Quantity | None) -> str:
    """A measurement as it was entered."""
    if value is None:
        return "–"
    text = f"{value.number.normalize():f}".replace(".", decimal_mark())
    return text if value.unit in ("count", "index", "calendar year") else f"{text} {value.unit}"


def converted(value: Quantity, unit: str) -> str:
    """The same measurement in another unit, to three significant digits; empty when it is that."""
    if value.unit == unit or not unit:
        return ""
    number = value.value(unit)
    return f"{QLocale().toString(number, 'g', 3)} {unit}"


def day(on: date | None) -> str:
    """A day, short."""
    if on is None:
        return ""
    return QLocale().toString(QDate(on.year, on.month, on.day), QLocale.FormatType.ShortFormat)


def read_number(text: str) -> Decimal:
    """A number as typed, by the locale's marks; raises EntryError."""
    return parse_decimal(text, decimal_mark())


def read_quantity(text: str, unit: str) -> Quantity:
    """A measurement as typed; raises EntryError."""
    return parse_quantity(text, unit, decimal_mark())


def grade_word(grade: Grade) -> str:
    """The word for a grade."""
    return {
        Grade.SOUND: tr("sound"),
        Grade.WORN: tr("worn"),
        Grade.DUE: tr("due"),
        Grade.UNSAFE: tr("unsafe"),
        Grade.UNSEEN: tr("unseen"),
        Grade.ABSENT: tr("not fitted"),
    }[grade]


def when_word(when: When) -> str:
    """The words for a time of work."""
    return {
        When.BEFORE_LAUNCHING: tr("Before launching"),
        When.FIRST_SEASON: tr("First season"),
        When.FIVE_YEARS: tr("Within five years"),
        When.WISH: tr("Wishes, not counted"),
    }[when]


def in_a_sentence(words: str) -> str:
    """Words that began a line, for the middle of one: only the first letter becomes small."""
    return words[:1].lower() + words[1:]


def status_word(status: Status) -> str:
    """The words for where a boat stands."""
    return {
        Status.LOOKING: tr("looking"),
        Status.VISITED: tr("visited"),
        Status.OFFER_MADE: tr("offer made"),
        Status.DROPPED: tr("dropped"),
        Status.BOUGHT: tr("bought"),
    }[status]


def basis_word(basis: Basis) -> str:
    """The words for what a cost rests on."""
    return {
        Basis.GUESS: tr("guess"),
        Basis.PRICE_BOOK: tr("price book"),
        Basis.OWN_ENTRY: tr("own figures"),
        Basis.INVOICE: tr("like an invoice seen"),
        Basis.QUOTE: tr("quote"),
    }[basis]
