"""The text of an advertisement becomes particulars, each with the words that it was read from.

    listing = read_listing(text, catalogue, settings)
    for one in listing.findings:
        one.field, one.value, listing.words(one), one.sure

Only what stands in the text is taken: figures beside their words, fit-out by whole words from a
table (`listing_words`), both in English and German. What cannot be meant, is said twice otherwise
or is left open is answered with a remark and not taken unless the person says so.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from datetime import date

from workbench.catalogue.model import Catalogue
from workbench.domain.hull_number import read_hull_number
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.reports.words import measured, price

from .listing_page import LONGEST_READ, Finding, Note, Page, Remark, Sure, tidy
from .listing_prices import price_findings
from .listing_sizes import AGREE_WITHIN, Sizes
from .listing_words import Spot, listing_words

__all__ = ["Finding", "Listing", "Note", "Remark", "Sure", "read_listing"]

_OLDEST = 1850
_YEAR = re.compile(r"(?:(?:0?[1-9]|1[0-2])[./])?((?:1[5-9]|2[01])\d\d)(?![\d])")
_HEADING_YEAR = re.compile(r"\s*((?:18|19|20)\d\d)[ ]+[^\W\d_]")
_ADDRESS = re.compile(r"https?://[^\s<>\"“”]{4,2000}", re.IGNORECASE)
_HULL_NUMBER = re.compile(r"(?<![^\W_])(?:[A-Z]{2}-)?[A-Z]{3}[A-Z0-9]{9}(?![^\W_])", re.IGNORECASE)
_CALLED = re.compile(
    r"(?<![^\W_])(?:named|called|namens)[ ]{1,2}[“„\"‘'»]([^“”\"\n]{1,60}?)[”“\"’'«]"
)
_LONGEST_WORDS = 100
_ORDER = {one: number for number, one in enumerate(Sure)}


@dataclass(frozen=True, slots=True)
class Listing:
    """An advertisement and what was found in it.

    Attributes
    ----------
    text
        As it is kept: without control signs, otherwise as it was pasted.
    is_cut
        Whether it is so long that only its beginning was looked at.
    """

    text: str
    findings: tuple[Finding, ...]
    is_cut: bool = False

    def words(self, finding: Finding) -> str:
        """The words that a finding was read from, on one line."""
        return " ".join(self.text[finding.start : finding.end].split())


def read_listing(
    text: str, catalogue: Catalogue, settings: Settings, today: date | None = None
) -> Listing:
    """Find the particulars of a boat in the text of her advertisement.

    Parameters
    ----------
    text
        Of any length; what lies beyond `LONGEST_READ` characters is kept and not looked at.
    settings
        Whose currency and units are taken where the text names none, which is said.
    today
        No boat is built later than the year after it.
    """
    kept = tidy(text)
    page = Page(kept, listing_words())
    found: list[Finding] = [
        *_texts(page),
        *_years(page, (today or date.today()).year + 1),
        *price_findings(page, settings.currency),
        *Sizes(page, catalogue.dimensions, imperial=settings.units == "imperial").findings(),
        *_facts(page, catalogue),
        *_hull_numbers(page),
        *_addresses(page),
    ]
    return Listing(kept, _told_apart(found), len(kept) > LONGEST_READ)


# --- What is told in words ---


def _texts(page: Page) -> Iterator[Finding]:
    for spot in page.spots:
        for key in spot.keys("text", "labels"):
            found = _labelled(page, spot)
            if found is not None and key != "hull_number":
                yield Finding(key, page.text[found[0] : found[1]], spot.start, found[1])
        for key in spot.keys("text", "openings"):
            found = _opened(page, spot)
            if found is not None and _labelled(page, spot) is None:
                words = page.text[found[0] : found[1]]
                yield Finding(key, words, spot.start, found[1], Sure.LIKELY)
    for called in _CALLED.finditer(page.text):
        yield Finding("name", called[1].strip(), called.start(), called.end(), Sure.LIKELY)


def _labelled(page: Page, spot: Spot) -> tuple[int, int] | None:
    """The words behind a label that begins its line, after a colon, a tab or the line's end."""
    begin = page.start_of("line", spot.start)
    before = page.text[begin : spot.start].strip(" \t-–•*·")
    if before and not re.search(r"[;|,.]\s*$", before):
        return None
    gap = re.compile(r"[ \t]{0,8}(?:\.{2,60}|:|=|\t|\|)[ \t]{0,8}(?:\n[ \t]{0,8})?").match(
        page.text, spot.end
    )
    if gap is None and not before:
        gap = re.compile(r"[ \t]{0,8}\n[ \t]{0,8}").match(page.text, spot.end)
    return _words_at(page, gap.end(), r"[\n;|\t]") if gap else None


def _opened(page: Page, spot: Spot) -> tuple[int, int] | None:
    """The words behind an opening, up to the end of the clause; they begin with a capital."""
    place = spot.end + 1
    if page.text[spot.end : place] != " " or not page.text[place : place + 1].isupper():
        return None
    return _words_at(page, place, r"[\n;|\t,()]|[.!?](?:\s|$)|\s(?:in|and|und|with|mit)\s")


def _words_at(page: Page, place: int, ends: str) -> tuple[int, int] | None:
    part = page.text[place : place + _LONGEST_WORDS]
    stop = re.search(ends, part)
    said = (part[: stop.start()] if stop else part).rstrip(" .,")
    return (place, place + len(said)) if said.strip() else None


# --- The year ---


def _years(page: Page, newest: int) -> Iterator[Finding]:
    named = False
    for spot in page.spots:
        if not spot.keys("year"):
            continue
        found = _year_at(page, spot)
        if found is None:
            continue
        year, start, end, roughly = found
        made = _year_finding(page, spot, year, start, end)
        if made is None:
            continue
        if not _OLDEST <= year <= newest:
            note = Note(Remark.NO_YEAR, (("year", str(year)),))
            yield Finding("year", None, start, end, Sure.REFUSED, (note,))
            continue
        named = True
        if roughly and made.sure is Sure.SURE:
            made = dataclasses.replace(made, sure=Sure.LIKELY, notes=(Note(Remark.ROUGHLY),))
        yield made
    heading = _HEADING_YEAR.match(page.text)
    if heading and not named and _OLDEST <= int(heading[1]) <= newest:
        unnamed = (Note(Remark.NO_WORD),)
        at = heading.start(1), heading.end(1)
        yield Finding("year", int(heading[1]), *at, Sure.LIKELY, unnamed)


def _year_at(page: Page, spot: Spot) -> tuple[int, int, int, bool] | None:
    if spot.keys("year", "names") or (spot.keys("year", "first") and page.is_first(spot)):
        place, _, roughly = page.after(spot.end)
        found = _YEAR.match(page.text, place)
        if found is None:
            found = _after_builder(page, spot)
        if found is not None:
            return int(found[1]), spot.start, found.end(), roughly
    before = re.search(
        r"(?<!\d)((?:18|19|20)\d\d)[ ]$", page.text[max(0, spot.start - 6) : spot.start]
    )
    if before is not None and spot.keys("year", "behind"):
        return int(before[1]), spot.start - len(before[0]), spot.end, False
    return None


def _after_builder(page: Page, spot: Spot) -> re.Match[str] | None:
    """“built by so and so in 1986”: the year at the end of the same clause."""
    end = page.end_of("clause", spot.end)
    found = re.search(r" (?:in|anno) (?=(?:18|19|20)\d\d(?!\d))", page.text[spot.end : end][:100])
    return _YEAR.match(page.text, spot.end + found.end()) if found else None


def _year_finding(page: Page, spot: Spot, year: int, start: int, end: int) -> Finding | None:
    """The year of the boat; None where it is that of some other thing."""
    clause, line = page.start_of("clause", start), page.start_of("line", start)
    if page.said_between("not_her", clause, spot.start) is not None:
        return None
    if page.said_between("not_her", page.start_of("sentence", start), spot.start) is not None:
        note = (Note(Remark.OTHER_THING),)
        return Finding("year", year, start, end, Sure.DOUBTFUL, note) if line <= start else None
    return Finding("year", year, start, end)


# --- Fit-out ---


def _facts(page: Page, catalogue: Catalogue) -> Iterator[Finding]:
    """One finding a fact: what all its words together leave; none left is a contradiction."""
    said: dict[str, list[tuple[Spot, frozenset[str]]]] = {}
    for spot in page.spots:
        for key in spot.keys("fact"):
            words = page.table.facts[key]
            if words.fact in catalogue.facts and not _is_denied(page, spot):
                known = {one.id for one in catalogue.facts[words.fact].choices}
                left = frozenset(words.among) & known
                if left:
                    said.setdefault(words.fact, []).append((spot, left))
    for fact, found in said.items():
        yield from _fact(fact, found, catalogue)


def _is_denied(page: Page, spot: Spot) -> bool:
    """Whether “no”, “without” or the like stands before it in its clause."""
    begin = max(page.start_of("clause", spot.start), spot.start - 24)
    return page.said_between("not", begin, spot.start) is not None


def _fact(
    fact: str, found: list[tuple[Spot, frozenset[str]]], catalogue: Catalogue
) -> Iterator[Finding]:
    left = frozenset.intersection(*(one for _, one in found))
    order = [one.id for one in catalogue.facts[fact].choices]
    if len(left) == 1:
        spot = min(found, key=lambda one: len(one[1]))[0]
        yield Finding(f"fact/{fact}", next(iter(left)), spot.start, spot.end)
    elif left:
        among = tuple(one for one in order if one in left)
        spot = found[0][0]
        note = (Note(Remark.OPEN),)
        yield Finding(f"fact/{fact}", None, spot.start, spot.end, Sure.DOUBTFUL, note, among)
    else:
        labels = {one.id: one.label for one in catalogue.facts[fact].choices}
        seen: set[frozenset[str]] = set()
        for spot, one in found:
            if one not in seen:
                seen.add(one)
                value = next(iter(one)) if len(one) == 1 else None
                among = tuple(key for key in order if key in one) if value is None else ()
                rest = {key for _, other in found for key in other} - one
                other = ", ".join(labels[key] for key in order if key in rest)
                note = (Note(Remark.SAID_OTHERWISE, (("other", other),)),)
                name = f"fact/{fact}"
                yield Finding(name, value, spot.start, spot.end, Sure.DOUBTFUL, note, among)


# --- Numbers on her papers, and where the text is from ---


def _hull_numbers(page: Page) -> Iterator[Finding]:
    labelled = []
    for spot in page.spots:
        if spot.keys("text", "labels") == ("hull_number",):
            found = _words_at(page, page.after(spot.end)[0], r"[\s;|,]")
            if found is not None:
                labelled.append(found)
                number = page.text[found[0] : found[1]]
                reading = read_hull_number(number)
                notes = () if reading.valid else (Note(Remark.HULL_NUMBER),)
                sure = Sure.SURE if reading.valid else Sure.DOUBTFUL
                yield Finding("hull_number", number, spot.start, found[1], sure, notes)
    for match in _HULL_NUMBER.finditer(page.text):
        known = any(start <= match.start() < end for start, end in labelled)
        if not known and match[0].isupper() and read_hull_number(match[0]).valid:
            note = (Note(Remark.NO_WORD),)
            yield Finding("hull_number", match[0], match.start(), match.end(), Sure.LIKELY, note)


def _addresses(page: Page) -> Iterator[Finding]:
    found = _ADDRESS.search(page.text)
    if found is not None:
        address = found[0].rstrip(".,;:!?)]}'’")
        yield Finding("listing_address", address, found.start(), found.start() + len(address))


# --- The same thing said twice ---


def _told_apart(found: list[Finding]) -> tuple[Finding, ...]:
    """One finding for each thing; where the text says two, both with a remark and neither taken."""
    made: list[Finding] = []
    for field in dict.fromkeys(one.field for one in found):
        same = [one for one in found if one.field == field]
        if field.startswith("fact/") or field == "earlier_price":
            made += same if field.startswith("fact/") else _each_once(same)
            continue
        made += _settled(same)
    return tuple(made)


def _each_once(same: list[Finding]) -> list[Finding]:
    return list({one.value: one for one in reversed(same)}.values())[::-1]


def _settled(same: list[Finding]) -> list[Finding]:
    valued = [one for one in same if one.value is not None]
    refused = [one for one in same if one.value is None][:1]
    return [*_said_apart(valued), *refused]


def _said_apart(valued: list[Finding]) -> list[Finding]:
    if not valued:
        return []
    best = min(valued, key=lambda one: _ORDER[one.sure])
    others: list[Finding] = []
    for one in valued:
        if not any(_is_same(one.value, known.value) for known in (best, *others)):
            others.append(one)
    rivals = [one for one in others if one.sure is best.sure]
    if not rivals:
        return [best, *(_beside(one, best) for one in others[:3])]
    return [_beside(best, rivals[0]), *(_beside(one, best) for one in others[:3])]


def _beside(one: Finding, other: Finding) -> Finding:
    """A finding that something else in the text speaks against."""
    note = Note(Remark.SAID_OTHERWISE, (("other", shown(other.value)),))
    return dataclasses.replace(one, sure=Sure.DOUBTFUL, notes=(*one.notes, note))


def _is_same(one: object, other: object) -> bool:
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        number = float(other.exact(one.unit))
        return abs(float(one.number) - number) <= AGREE_WITHIN * abs(number)
    if isinstance(one, str) and isinstance(other, str):
        return one.casefold() == other.casefold()
    return one == other


def shown(value: object) -> str:
    """A value in plain English."""
    if isinstance(value, Money):
        return f"{price(value.amount, value.currency)} {value.currency}"
    return measured(value) if isinstance(value, Quantity) else str(value)
