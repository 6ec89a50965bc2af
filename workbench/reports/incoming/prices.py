"""Prices as they stand in tables: an amount, and the currency that some cell, heading or sign says.

A currency that only a number format names is unconfirmed and asked for, as is a sign that several
currencies share. Where nothing names one, prices are taken to be in the search's own, and that is
said.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal

from workbench.domain.currencies import DECIMALS
from workbench.domain.money import Money, cents
from workbench.domain.problem import EntryError

from .asking import Scales, not_a_number
from .cells import Cell, Holds
from .preview import Choice, Draft, Question
from .text_values import parse_number

_CERTAIN_SIGNS = {"€": "EUR", "£": "GBP", "zł": "PLN"}
_SHARED_SIGNS = {
    "$": ("USD", "CAD", "AUD", "NZD"),
    "¥": ("JPY", "CNY"),
    "kr": ("SEK", "NOK", "DKK", "ISK"),
    "kr.": ("DKK", "SEK", "NOK", "ISK"),
}
_CODE = re.compile(r"(?<![A-Za-z])([A-Za-z]{3})(?![A-Za-z])")
_SIGN = re.compile(r"zł|kr\.?(?![a-z])|[$€£¥]", re.IGNORECASE)
_DASH = re.compile(r"[.,]\s*[-–—]+\s*$")


def named_currency(text: str) -> str:
    """The sign or code of a currency in a text; empty for none."""
    for match in _CODE.finditer(text):
        if match[1].upper() in DECIMALS:
            return match[1].upper()
    sign = _SIGN.search(text)
    return sign[0].lower() if sign else ""


class Prices:
    """Reads the prices of one table."""

    def __init__(self, draft: Draft, scales: Scales, heading_unit: str = "") -> None:
        self._draft, self._scales = draft, scales
        self._own = draft.request.project.settings.currency
        self._heading = named_currency(heading_unit)
        self.is_open = False
        self._assumed = False

    def settle(self, cells: Iterable[Cell | None]) -> None:
        """Ask for the currencies that the prices and the heading leave open."""
        for cell in cells:
            if cell is None:
                continue
            named = named_currency(cell.text) if cell.holds is Holds.TEXT else ""
            if named or self._heading:
                self._settled(named or self._heading, only_format=False)
            elif cell.currency:
                self._settled(named_currency(cell.currency) or cell.currency, only_format=True)

    def _settled(self, named: str, *, only_format: bool) -> str:
        """The code of a currency by the name it was given; asks where that leaves it open."""
        answered = self._draft.answer(f"currency/{named}").upper()
        if answered in DECIMALS:
            return answered
        certain = named if named in DECIMALS else _CERTAIN_SIGNS.get(named, "")
        if certain and not only_format:
            return certain
        shared = (certain,) if certain else _SHARED_SIGNS.get(named, ())
        if self._own in shared and not only_format:
            return self._own
        self.is_open = True
        codes = dict.fromkeys((*shared, self._own))
        words = (
            f"Only the number format names “{named}”. In which currency are the prices?"
            if only_format
            else f"Which currency is “{named}”?"
        )
        choices = tuple(Choice(code, code) for code in codes)
        self._draft.ask(Question(f"currency/{named}", words, choices))
        return ""

    def money(self, cell: Cell, currency: str = "") -> Money:
        """The price in a cell; `currency` is what a cell of its own says.

        Raises
        ------
        EntryError
            With a sentence for the cell.
        """
        amount = self._amount(cell)
        code = self._code(cell, currency.strip())
        if amount < 0:
            raise EntryError(f"{amount} is less than nothing. Write a price of 0 or more.")
        if code and cents(amount, code) != amount:
            raise EntryError(f"{amount} has more decimals than {code} is written with. Round it.")
        return Money(amount, code or self._own)

    def code_of(self, stated: str) -> str:
        """The currency that a cell of its own says; the search's where it says nothing.

        Raises
        ------
        EntryError
            When it says something else.
        """
        if not stated.strip():
            return self._own
        named = named_currency(stated)
        if not named:
            raise EntryError(
                f"“{stated.strip()}” is not the code of a currency in use. Write one such as EUR."
            )
        return self._settled(named, only_format=False) or self._own

    def _amount(self, cell: Cell) -> Decimal:
        if cell.holds is Holds.NUMBER and cell.number is not None:
            return cell.number
        if cell.holds is not Holds.TEXT:
            raise EntryError(not_a_number(cell))
        bare = _SIGN.sub(" ", cell.text)
        for match in _CODE.finditer(cell.text):
            if match[1].upper() in DECIMALS:
                bare = bare.replace(match[1], " ")
        made = parse_number(_DASH.sub("", bare), self._scales.mark)
        if not named_currency(cell.text):
            self._scales.note_stored_as_text(cell)
        return made

    def _code(self, cell: Cell, stated: str) -> str:
        if stated:
            return self.code_of(stated)
        named = named_currency(cell.text) if cell.holds is Holds.TEXT else ""
        if named or self._heading:
            return self._settled(named or self._heading, only_format=False)
        if cell.currency:
            return self._settled(named_currency(cell.currency) or cell.currency, only_format=True)
        if not self._assumed:
            self._assumed = True
            self._draft.read_as(f"Prices without a currency are taken to be in {self._own}.")
        return self._own
