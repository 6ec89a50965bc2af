"""How figures, days and states are written on the sheets: plain English, no locale.

Money has commas for thousands. An estimate is written in whole units; a price, a claim or a quote
keeps its cents where it has any. The currency is named once on a sheet, not at every figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from workbench.domain.money import decimals_of
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Grade, When

MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)
UNKNOWN = "not known"

GRADE_WORDS = {
    Grade.SOUND: "sound",
    Grade.WORN: "worn",
    Grade.DUE: "due",
    Grade.UNSAFE: "unsafe",
    Grade.UNSEEN: "unseen",
    Grade.ABSENT: "not fitted",
}
WHEN_WORDS = {
    When.BEFORE_LAUNCHING: "before launching",
    When.FIRST_SEASON: "in the first season",
    When.FIVE_YEARS: "within five years",
    When.WISH: "a wish",
}
UNITLESS = ("count", "index", "calendar year", "sg", "share")


def whole(amount: Decimal | float) -> str:
    """An amount in whole units."""
    exact = amount if isinstance(amount, Decimal) else Decimal(repr(float(amount)))
    return f"{int(exact.quantize(Decimal(1), ROUND_HALF_UP)):,}"


def price(amount: Decimal, currency: str) -> str:
    """A price, claim or quote: with the currency's decimals where it has any."""
    if amount == amount.to_integral_value():
        return f"{int(amount):,}"
    return f"{amount:,.{decimals_of(currency)}f}"


def in_tens(amount: Decimal) -> Decimal:
    """An estimate without the last digit that nobody knows."""
    return (amount / 10).quantize(Decimal(1), ROUND_HALF_UP) * 10


def day(on: date) -> str:
    """A day, such as 10 May 2026."""
    return f"{on.day} {MONTHS[on.month - 1]} {on.year}"


def days(on: Iterable[date]) -> str:
    """Some days in order, such as 2 and 9 May 2026; only their span where there are many."""
    ordered = sorted(set(on))
    if not ordered:
        return ""
    if len(ordered) > 3:
        return f"between {day(ordered[0])} and {day(ordered[-1])}"
    last = ordered[-1]
    shown = [_short(one, last) for one in ordered[:-1]]
    return listed([*shown, day(last)])


def _short(one: date, last: date) -> str:
    if one.year != last.year:
        return day(one)
    return str(one.day) if one.month == last.month else f"{one.day} {MONTHS[one.month - 1]}"


def listed(parts: Sequence[str]) -> str:
    """`a, b and c`."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def percent(share: float) -> str:
    """A share as a whole percentage."""
    return f"{round(share * 100)} %"


def measured(value: Quantity) -> str:
    """A measurement as it was entered."""
    number = f"{value.number:f}"
    return number if value.unit in UNITLESS else f"{number} {value.unit}"


def sentence(text: str) -> str:
    """`text` with a capital and a full stop."""
    tidy = text.strip()
    if not tidy:
        return ""
    return tidy[:1].upper() + tidy[1:] + ("" if tidy[-1] in ".!?:…" else ".")


def capital(text: str) -> str:
    """`text` with a capital."""
    return text[:1].upper() + text[1:]


def clipped(text: str, most: int) -> str:
    """`text` on one line, cut with an ellipsis after `most` signs."""
    line = " ".join(text.split())
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


def counted(number: int, one: str, many: str = "") -> str:
    """`1 job`, `3 jobs`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def lower(text: str) -> str:
    """`text` to go on with inside a sentence: no capital, unless its first word is all capitals."""
    second = text[1:2]
    return (
        text if second and not (second.islower() or second == " ") else text.lower()[:1] + text[1:]
    )


def a_or_an(noun: str) -> str:
    """`a surveyor`, `an engine mechanic`."""
    return f"{'an' if noun[:1].lower() in 'aeiou' else 'a'} {noun}"
