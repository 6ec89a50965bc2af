"""Ranges that claim more than what they rest on can carry, as notices of the boat.

The price book's ranges are held to their width by the tests of the catalogue; here it is the
buyer's own figures: own lines, and hours and materials changed on a line or in the price book. A
figure of one's own without any range is a certainty that nobody has before the bill, so it is
named too. How narrow a range may be for each basis is in `threepoint`; an own entry is held to what
a list price and estimated hours can carry.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from workbench.catalogue.model import Catalogue
from workbench.catalogue.names import trade_words
from workbench.catalogue.wording import Wording, marked
from workbench.domain.boat import Boat
from workbench.domain.problem import Problem, Severity
from workbench.domain.span import Span
from workbench.domain.vocabulary import Basis

from .assessment import Line
from .threepoint import Basis as Footing
from .threepoint import narrower_than, narrowest_sensible

FOOTINGS = {
    Basis.GUESS: Footing.GUESS,
    Basis.PRICE_BOOK: Footing.PRICE_BOOK,
    Basis.OWN_ENTRY: Footing.PRICE_BOOK,
    Basis.INVOICE: Footing.COMPARABLE_INVOICE,
    Basis.QUOTE: Footing.WRITTEN_QUOTE,
}
_WORDS = {
    Basis.GUESS: marked("a guess"),
    Basis.PRICE_BOOK: marked("a price book"),
    Basis.OWN_ENTRY: marked("an own figure"),
    Basis.INVOICE: marked("an invoice for like work"),
    Basis.QUOTE: marked("a written quote"),
}


def is_narrow(span: Span, basis: Basis) -> bool:
    """Whether a range claims more than its basis can carry; nothing at all claims nothing."""
    if span.certain:
        return bool(span.high) and basis is not Basis.QUOTE
    low, likely, high = float(span.low), float(span.likely), float(span.high)
    return narrower_than(FOOTINGS[basis], low, likely, high)


def narrow_problems(boat: Boat, lines: Iterable[Line], catalogue: Catalogue) -> list[Problem]:
    """A notice for each line that counts and rests on too narrow a range of the buyer's."""
    said: dict[tuple[str, Basis], tuple[str, str]] = {}
    return [
        _problem(boat, line, what, said, catalogue.wording)
        for line in lines
        if line.counts and line.quote is None
        for what in _narrow_parts(line, catalogue)
    ]


def _narrow_parts(line: Line, catalogue: Catalogue) -> Iterator[str]:
    wording = catalogue.wording
    if line.own is not None:
        if is_narrow(line.own.cost, line.basis):
            yield wording.say("The range")
        return
    if line.priced is None or not line.priced.overridden:
        return
    for labour in line.priced.labour:
        if labour.own and is_narrow(labour.span, line.basis):
            trade = trade_words(catalogue, labour.trade)
            yield wording.say("The range of hours ({trade})", trade=trade)
    if line.priced.own_materials and is_narrow(line.priced.materials_span, line.basis):
        yield wording.say("The range of materials")


def _problem(
    boat: Boat,
    line: Line,
    what: str,
    said: dict[tuple[str, Basis], tuple[str, str]],
    wording: Wording,
) -> Problem:
    if (what, line.basis) not in said:
        said[what, line.basis] = _words(what, line.basis, wording)
    message, remedy = said[what, line.basis]
    where = f"{boat.name}, {line.title}"
    return Problem(where, message, remedy, Severity.NOTICE, boat.id, line.key)


def _words(what: str, basis: Basis, wording: Wording) -> tuple[str, str]:
    """What is wrong with a range of some basis, and what to do."""
    down, up = narrowest_sensible(FOOTINGS[basis])
    return (
        wording.say(
            "{what} is narrower than {basis} can carry.",
            what=what,
            basis=wording.word(_WORDS[basis]),
        ),
        wording.say(
            "Allow at least {down:.0%} below and {up:.0%} above, or enter the quote it rests on.",
            down=down,
            up=up,
        ),
    )
