"""The fields of a comparable as they are typed, shown and named at the head of a column.

Each field reads text into a comparable and refuses what it cannot read with one sentence; typing in
a cell and pasting a table go through the same reading.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from decimal import Decimal
from enum import Enum

from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Asked
from workbench.window import formatting
from workbench.window.models.typed_days import read_day
from workbench.window.texts import tr

_CODE = re.compile(r"\b([A-Za-z]{3})\b")
_SIGNS = {"€": "EUR", "£": "GBP"}
_EARLIEST = 1850


class Field(Enum):
    """One field of a comparable."""

    USED = "used"
    TITLE = "title"
    PRICE = "price"
    CURRENCY = "currency"
    ASKED = "asked"
    YEAR = "year"
    LENGTH = "length"
    ON = "on"
    CONDITION = "condition"
    EQUIPMENT = "equipment"
    ADJUSTED = "adjusted"
    SOURCE = "source"
    NOTE = "note"


Read = Callable[[Comparable, str, Settings], Comparable]


@dataclass(frozen=True, slots=True)
class FieldKind:
    """How a field is named, shown, typed and read.

    Attributes
    ----------
    names
        Heads by which a pasted column is recognised, lower case.
    read
        None where it cannot be typed.
    choices
        (value typed, words) where one of a few is chosen.
    """

    field: Field
    title: Callable[[], str]
    tip: Callable[[], str]
    show: Callable[[Comparable], str]
    read: Read | None
    names: tuple[str, ...] = ()
    figure: bool = False
    choices: Callable[[], tuple[tuple[str, str], ...]] | None = None


def blank(settings: Settings) -> Comparable:
    """A comparable of which nothing is known; its price is nothing until one is read."""
    return Comparable("", "", Money(Decimal(0), settings.currency))


# --- Reading ---


def _read_title(one: Comparable, text: str, _settings: Settings) -> Comparable:
    if not text.strip():
        raise EntryError(tr("Say which boat the comparable is."))
    return dataclasses.replace(one, title=text.strip())


def _read_price(one: Comparable, text: str, settings: Settings) -> Comparable:
    """A price, with or without its currency."""
    currency, number = one.price.currency or settings.currency, text
    for sign, code in _SIGNS.items():
        if sign in number:
            currency, number = code, number.replace(sign, " ")
    match = _CODE.search(number)
    if match is not None:
        currency, number = match[1].upper(), number.replace(match[0], " ")
    amount = formatting.read_number(number.replace("$", " "))
    if amount <= 0:
        raise EntryError(tr("A comparable needs a price above 0."))
    return dataclasses.replace(one, price=Money(amount, currency))


def _read_currency(one: Comparable, text: str, _settings: Settings) -> Comparable:
    code = _SIGNS.get(text.strip(), text.strip().upper())
    return dataclasses.replace(one, price=Money(one.price.amount, code))


def _read_asked(one: Comparable, text: str, _settings: Settings) -> Comparable:
    word = text.strip().lower()
    if word in {"sold", "paid", "realised", "realized", tr("sold")}:
        return dataclasses.replace(one, asked=Asked.SOLD)
    if word in {"asked", "asking", "advertised", "listed", tr("asked"), ""}:
        return dataclasses.replace(one, asked=Asked.ASKED)
    raise EntryError(tr("“{text}” is neither asked nor sold.").format(text=text.strip()))


def _read_year(one: Comparable, text: str, settings: Settings) -> Comparable:
    if not text.strip():
        return dataclasses.replace(one, year=None)
    latest = (settings.as_of.year if settings.as_of else 2100) + 1
    if not text.strip().isdigit() or not _EARLIEST <= int(text) <= latest:
        raise EntryError(tr("“{text}” is no year she can be of.").format(text=text.strip()))
    return dataclasses.replace(one, year=int(text))


def _read_length(one: Comparable, text: str, settings: Settings) -> Comparable:
    if not text.strip():
        return dataclasses.replace(one, length=None)
    usual = one.length.unit if one.length else "m" if settings.units == "metric" else "ft"
    length = formatting.read_quantity(text, usual)
    if not 3 <= length.value("m") <= 60:
        raise EntryError(tr("{text} is no length of a sailing boat.").format(text=text.strip()))
    return dataclasses.replace(one, length=length)


def _read_on(one: Comparable, text: str, _settings: Settings) -> Comparable:
    return dataclasses.replace(one, on=read_day(text))


def condition_words() -> tuple[tuple[str, str], ...]:
    """The five conditions, best first, as typed and in words."""
    return (
        ("2", tr("2 very good")),
        ("1", tr("1 good")),
        ("0", tr("0 ordinary")),
        ("-1", tr("-1 tired")),
        ("-2", tr("-2 rough")),
    )


def _read_condition(one: Comparable, text: str, _settings: Settings) -> Comparable:
    word = text.strip().lower().replace("+", "").replace("−", "-")
    for typed, words in condition_words():
        if word in {typed, words.lower(), words.split(" ", 1)[1].lower()}:
            return dataclasses.replace(one, condition=int(typed))
    if not word:
        return dataclasses.replace(one, condition=0)
    raise EntryError(tr("Condition goes from -2 (rough) to 2 (very good)."))


def _read_equipment(one: Comparable, text: str, _settings: Settings) -> Comparable:
    amount = formatting.read_number(text) if text.strip() else Decimal(0)
    return dataclasses.replace(one, equipment=amount)


def _read_used(one: Comparable, text: str, _settings: Settings) -> Comparable:
    word = text.strip().lower()
    if word in {"yes", "true", "1", "x", "", tr("yes")}:
        return dataclasses.replace(one, used=True)
    if word in {"no", "false", "0", tr("no")}:
        return dataclasses.replace(one, used=False)
    raise EntryError(tr("Write yes or no."))


def _read_source(one: Comparable, text: str, _settings: Settings) -> Comparable:
    return dataclasses.replace(one, source=text.strip())


def _read_note(one: Comparable, text: str, _settings: Settings) -> Comparable:
    return dataclasses.replace(one, note=text.strip())


# --- Showing ---


def asked_word(asked: Asked) -> str:
    """Whether a price was asked or paid, in a word."""
    return tr("sold") if asked is Asked.SOLD else tr("asked")


def _condition(one: Comparable) -> str:
    return next(words for typed, words in condition_words() if int(typed) == one.condition)


def _price(one: Comparable) -> str:
    return formatting.exact(one.price)


def _nothing() -> str:
    return ""


KINDS: tuple[FieldKind, ...] = (
    FieldKind(
        Field.USED,
        lambda: tr("Use"),
        lambda: tr("Clear it to keep her in the table and leave her out of the figures."),
        lambda one: tr("yes") if one.used else tr("no"),
        _read_used,
        ("use", "used"),
    ),
    FieldKind(
        Field.TITLE,
        lambda: tr("Boat"),
        _nothing,
        lambda one: one.title,
        _read_title,
        ("boat", "title", "name", "model", "description", "design"),
    ),
    FieldKind(
        Field.PRICE,
        lambda: tr("Price"),
        lambda: tr("As asked or paid, in her own currency."),
        _price,
        _read_price,
        ("price", "asking price", "amount", "asking", "sold price", "sold for"),
        figure=True,
    ),
    FieldKind(
        Field.CURRENCY,
        lambda: tr("In"),
        lambda: tr("Code of the currency, such as USD."),
        lambda one: one.price.currency,
        _read_currency,
        ("currency", "in", "ccy"),
    ),
    FieldKind(
        Field.ASKED,
        lambda: tr("Was"),
        lambda: tr("Whether the price was only asked, or paid."),
        lambda one: asked_word(one.asked),
        _read_asked,
        ("was", "asked/sold", "asked or sold", "status", "kind", "type of price"),
        choices=lambda: (("asked", tr("asked")), ("sold", tr("sold"))),
    ),
    FieldKind(
        Field.YEAR,
        lambda: tr("Year"),
        lambda: tr("Built in. Without it she is left out of the figures."),
        lambda one: str(one.year) if one.year else "",
        _read_year,
        ("year", "built", "year built", "built in"),
        figure=True,
    ),
    FieldKind(
        Field.LENGTH,
        lambda: tr("Length"),
        lambda: tr("Over all, with its unit. Without it she is left out of the figures."),
        lambda one: formatting.quantity(one.length) if one.length else "",
        _read_length,
        ("length", "loa", "length over all", "length overall"),
        figure=True,
    ),
    FieldKind(
        Field.ON,
        lambda: tr("Date"),
        lambda: tr("When she was advertised or sold, such as 2026-05-09."),
        lambda one: formatting.day(one.on),
        _read_on,
        ("date", "on", "when", "day", "sold on", "listed on"),
    ),
    FieldKind(
        Field.CONDITION,
        lambda: tr("Condition"),
        lambda: tr("Against what is ordinary for her age, from -2 (rough) to 2 (very good)."),
        _condition,
        _read_condition,
        ("condition", "state"),
        choices=condition_words,
    ),
    FieldKind(
        Field.EQUIPMENT,
        lambda: tr("Equipment"),
        lambda: tr("Worth of equipment she has beyond the ordinary, in the currency of her price."),
        lambda one: formatting.whole(one.equipment) if one.equipment else "",
        _read_equipment,
        ("equipment", "extras", "gear"),
        figure=True,
    ),
    FieldKind(
        Field.ADJUSTED,
        lambda: tr("Adjusted"),
        lambda: tr("What her price says of the boat that is looked at, all differences reckoned."),
        lambda _: "",
        None,
        figure=True,
    ),
    FieldKind(
        Field.SOURCE,
        lambda: tr("Source"),
        _nothing,
        lambda one: one.source,
        _read_source,
        ("source", "where", "seen at", "link"),
    ),
    FieldKind(
        Field.NOTE,
        lambda: tr("Note"),
        _nothing,
        lambda one: one.note,
        _read_note,
        ("note", "notes", "remark", "remarks", "comment"),
    ),
)
BY_FIELD = {kind.field: kind for kind in KINDS}


def typed_text(one: Comparable, field: Field) -> str:
    """A field as it stands in its editor: what reading it again would give the same of."""
    if field is Field.ON:
        return one.on.isoformat() if one.on else ""
    if field is Field.CONDITION:
        return str(one.condition)
    if field is Field.ASKED:
        return one.asked.value
    return BY_FIELD[field].show(one)
