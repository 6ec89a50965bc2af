"""What is asked for a boat in her advertisement, and what was asked before."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from workbench.domain.currencies import DECIMALS
from workbench.domain.money import LARGEST, Money

from .listing_measures import readings
from .listing_page import Finding, Note, Page, Remark, Sure

_SIGNS = {"€": "EUR", "£": "GBP", "zł": "PLN", "euro": "EUR", "euros": "EUR"}
_SHARED = {"$": ("USD", "CAD", "AUD", "NZD"), "kr": ("SEK", "NOK", "DKK", "ISK")}
_LEAST = 100
_NUMBER = r"\d{1,3}(?:[ .,'’]\d{3}){1,2}(?:[.,]\d{2})?(?!\d)|\d{2,9}(?:[.,]\d{1,2})?(?!\d)"
_SIGN = r"€|£|\$|zł|(?<![^\W_])(?:kr|euros|euro|[a-z]{3})(?![^\W_])\.?"
_AMOUNT = re.compile(
    rf"(?P<before>{_SIGN})?[ ]?(?<![^\W_])(?<!\d[.,])(?P<number>{_NUMBER})"
    rf"(?P<kilo>[ ]?k(?![^\W_]))?(?:[.,][-–—]{{1,2}})?(?:[ ]?(?P<after>{_SIGN}))?",
    re.IGNORECASE,
)


class _Amount(NamedTuple):
    """A figure that can be a price."""

    start: int
    end: int
    number: Decimal
    sign: str


def price_findings(page: Page, currency: str) -> Iterator[Finding]:
    """The price asked now, and earlier ones; several without a word for them are left open."""
    amounts = [one for one in _amounts(page) if not _is_for_something_else(page, one)]
    named = [one for one in amounts if _is_named(page, one)]
    signed = [one for one in amounts if one.sign]
    taken = named or (signed if len({one.number for one in signed}) == 1 else [])
    earlier = [one for one in _reduced(page, amounts) if one.sign or _is_named(page, one)]
    for one in earlier:
        money, notes, _ = _money(one, currency)
        yield Finding(
            "earlier_price", money, one.start, one.end, Sure.LIKELY, (Note(Remark.EARLIER), *notes)
        )
    taken = [one for one in taken if one not in earlier]
    if not taken and earlier:
        taken = [one for one in amounts if one not in earlier and one.start > earlier[-1].end][:1]
    for one in taken:
        money, notes, sure = _money(one, currency)
        if not named and sure is Sure.SURE:
            sure, notes = Sure.LIKELY, (*notes, Note(Remark.NO_WORD))
        yield Finding("price", money, one.start, one.end, sure, notes)
    if not taken:
        for one in signed:
            if one not in earlier:
                money, notes, _ = _money(one, currency)
                note = (*notes, Note(Remark.NO_WORD))
                yield Finding("price", money, one.start, one.end, Sure.DOUBTFUL, note)


def _amounts(page: Page) -> Iterator[_Amount]:
    for found in _AMOUNT.finditer(page.text):
        before, after = _sign(found["before"]), _sign(found["after"])
        start = found.start("before") if before else found.start("number")
        end = found.end("after") if after else max(found.end("number"), found.end("kilo"))
        number = readings(found["number"])[0][0] if readings(found["number"]) else Decimal(0)
        if re.search(r"[.,]\d{1,2}$", found["number"]):
            number = readings(found["number"])[-1][0]
        number *= 1000 if found["kilo"] else 1
        if _LEAST <= number <= LARGEST and not _is_measure(page, found.start("number"), before):
            yield _Amount(start, end, number, before or after)


def _sign(said: str | None) -> str:
    sign = (said or "").rstrip(".").casefold()
    return sign if sign in _SIGNS or sign in _SHARED or sign.upper() in DECIMALS else ""


def _is_measure(page: Page, start: int, before: str) -> bool:
    one = page.measures.at(start)
    return one is not None and bool(one.unit) and not before and one.unit != "in"


def _is_named(page: Page, one: _Amount) -> bool:
    """Whether a word for a price stands before an amount in its sentence, or right behind it."""
    begin = page.start_of("line", one.start)
    last = None
    for spot in page.spots_between(max(begin, one.start - 80), one.start):
        if spot.keys("price", "names", "reduced"):
            last = spot
    if last is not None:
        between = page.text[last.end : one.start]
        if not re.search(r"\d{4,}", between) or _ties(between):
            return bool(one.sign) or not _is_year(one)
    behind = next(iter(page.spots_between(one.end, one.end + 6)), None)
    if behind is not None and behind.keys("price", "names"):
        return bool(one.sign) or not _is_year(one)
    label = _label_above(page, begin)
    return label and not _is_year(one)


def _ties(between: str) -> bool:
    return re.fullmatch(r"[\s\d.,'’€£$a-zA-Zäöü()-]{0,40}", between) is not None


def _label_above(page: Page, begin: int) -> bool:
    """Whether the line above holds nothing but a word for a price."""
    if not begin:
        return False
    above = page.start_of("line", begin - 1)
    spots = page.spots_between(above, begin)
    said = page.text[above : begin - 1].strip(" \t:")
    return any(s.keys("price", "names") and s.end - s.start == len(said) for s in spots)


def _is_year(one: _Amount) -> bool:
    return 1850 <= one.number <= 2100


def _is_for_something_else(page: Page, one: _Amount) -> bool:
    begin, end = page.start_of("clause", one.start), page.end_of("clause", one.end)
    return page.said_between("not_price", begin, end) is not None or (
        page.said_between("not_her", begin, one.start) is not None and not _is_named(page, one)
    )


def _reduced(page: Page, amounts: list[_Amount]) -> list[_Amount]:
    """Amounts that were asked before: right behind such a word, where a reduction is told of."""
    made = []
    for one in amounts:
        begin, end = page.start_of("line", one.start), page.end_of("line", one.end)
        told = any(spot.keys("price", "reduced") for spot in page.spots_between(begin, end))
        just = page.spots_between(max(begin, one.start - 24), one.start)
        right = just and page.text[just[-1].end : one.start].strip(" :(\t") == ""
        if told and right and just[-1].keys("price", "earlier"):
            made.append(one)
    return made


def _money(one: _Amount, own: str) -> tuple[Money, tuple[Note, ...], Sure]:
    if not one.sign:
        note = Note(Remark.NO_CURRENCY, (("currency", own),))
        return Money(one.number, own), (note,), Sure.LIKELY
    if one.sign in _SHARED:
        shared = _SHARED[one.sign]
        code = own if own in shared else shared[0]
        note = Note(Remark.SHARED_SIGN, (("sign", one.sign), ("currency", code)))
        return Money(one.number, code), (note,), Sure.LIKELY if code == own else Sure.DOUBTFUL
    return Money(one.number, _SIGNS.get(one.sign, one.sign.upper())), (), Sure.SURE
