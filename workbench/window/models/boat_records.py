"""The tables of a boat on the shortlist: what was asked for her and when, and her worth beside."""

from __future__ import annotations

import dataclasses

from workbench.domain.boat import AskingPrice, WorthToMe
from workbench.domain.money import Money, decimals_of
from workbench.domain.problem import EntryError
from workbench.edits.boats import set_asking_history, set_worth_to_me
from workbench.window import formatting
from workbench.window.models.record_table import RecordColumn, Records
from workbench.window.models.typed_days import read_day
from workbench.window.texts import tr


def read_money(text: str, currency: str) -> Money:
    """An amount as typed, in a currency or in the one whose code is written with it.

    Raises
    ------
    EntryError
        When it is no number, or no currency has the code.
    """
    code = "".join(sign for sign in text if sign.isalpha()).upper() or currency
    decimals_of(code)
    return Money(formatting.read_number("".join(s for s in text if not s.isalpha())), code)


def read_price(text: str, currency: str) -> Money:
    """A price as typed, which is never negative.

    Raises
    ------
    EntryError
        As `read_money`, and when it is below nothing.
    """
    price = read_money(text, currency)
    if price.amount < 0:
        raise EntryError(tr("An asking price cannot be negative."))
    return price


def _with_price(one: AskingPrice, text: str) -> AskingPrice:
    return dataclasses.replace(one, price=read_price(text, one.price.currency))


def _with_worth(one: WorthToMe, text: str) -> WorthToMe:
    return dataclasses.replace(one, amount=read_money(text, one.amount.currency))


def _with_label(one: WorthToMe, text: str) -> WorthToMe:
    if not text.strip():
        raise EntryError(tr("Say what it is."))
    return dataclasses.replace(one, label=text.strip())


def _shown(money: Money) -> str:
    return f"{formatting.exact(money)} {money.currency}"


PRICES: Records[AskingPrice] = Records(
    (
        RecordColumn(
            lambda: tr("Seen on"),
            lambda one: formatting.day(one.on),
            lambda one: one.on.isoformat() if one.on else "",
            lambda one, text: dataclasses.replace(one, on=read_day(text)),
        ),
        RecordColumn(
            lambda: tr("Asked"),
            lambda one: _shown(one.price),
            lambda one: _shown(one.price),
            _with_price,
            figure=True,
        ),
        RecordColumn(
            lambda: tr("Note"),
            lambda one: one.note,
            lambda one: one.note,
            lambda one, text: dataclasses.replace(one, note=text.strip()),
        ),
    ),
    lambda candidate: candidate.boat.asking,
    set_asking_history,
)
"""What was asked for her, oldest first; the last one counts."""

WORTH: Records[WorthToMe] = Records(
    (
        RecordColumn(
            lambda: tr("What she has, or lacks"),
            lambda one: one.label,
            lambda one: one.label,
            _with_label,
        ),
        RecordColumn(
            lambda: tr("Worth to you"),
            lambda one: _shown(one.amount),
            lambda one: _shown(one.amount),
            _with_worth,
            figure=True,
        ),
    ),
    lambda candidate: candidate.boat.worth_to_me,
    set_worth_to_me,
)
"""What the buyer would pay for things she has; below nothing for what she lacks."""
