"""Ranges narrower than their basis allows are told as notices of the boat.

The narrow ends of the accuracy ranges of AACE International 18R-97 (class 5 for a guess -20/+30 %,
class 4 -15/+20 %, class 3 -10/+10 %, class 1 -3/+3 %); which basis stands for which class is our
own reading.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.figures.small_yard import ALL_GOOD, AS_OF, mm, search, seen, small_catalogue
from workbench.domain.frozen import FrozenMap
from workbench.domain.ledger import LineChange, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.problem import Problem, Severity
from workbench.domain.project import Project
from workbench.domain.span import Span
from workbench.domain.vocabulary import Basis, When
from workbench.edits import costing
from workbench.figures.assess import assess
from workbench.figures.narrow_ranges import FOOTINGS, is_narrow

WORN_OUT = {**ALL_GOOD, "bearing": seen(play=mm("1.2"), sound="knocks")}
KEY = "bearing/renew/work"


def span(low: str, likely: str, high: str) -> Span:
    return Span(Decimal(low), Decimal(likely), Decimal(high))


def narrow(project: Project) -> list[Problem]:
    boat = assess(project, small_catalogue()).boats["ann"]
    return [one for one in boat.problems if "narrower" in one.message]


@pytest.mark.parametrize(
    ("basis", "low", "high"),
    [
        (Basis.GUESS, "80", "130"),
        (Basis.PRICE_BOOK, "85", "120"),
        (Basis.OWN_ENTRY, "85", "120"),
        (Basis.INVOICE, "90", "110"),
        (Basis.QUOTE, "97", "103"),
    ],
)
def test_a_range_may_be_as_narrow_as_its_basis_allows_and_no_narrower(
    basis: Basis, low: str, high: str
) -> None:
    assert not is_narrow(span(low, "100", high), basis)
    assert is_narrow(span(str(Decimal(low) + 1), "100", high), basis)
    assert is_narrow(span(low, "100", str(Decimal(high) - 1)), basis)


def test_every_basis_stands_on_something() -> None:
    assert set(FOOTINGS) == set(Basis)


def test_a_sum_without_a_range_is_a_quotes_alone() -> None:
    certain = Span.exactly(Decimal(100))

    assert is_narrow(certain, Basis.OWN_ENTRY)
    assert not is_narrow(certain, Basis.QUOTE)
    assert not is_narrow(Span.exactly(Decimal(0)), Basis.GUESS)


def own(cost: Span, basis: Basis = Basis.GUESS, when: When = When.FIRST_SEASON) -> Project:
    line = OwnLine("", "Paint", cost, basis=basis, when=when)
    return search(ALL_GOOD, more=[lambda p: costing.put_own_line(p, "ann", line)])


def test_a_narrow_own_line_is_told_with_the_line_it_leads_to() -> None:
    (found,) = narrow(own(span("95", "100", "105")))

    assert found.severity is Severity.NOTICE
    assert found.boat == "ann"
    assert found.key == "own/job-1"
    assert "a guess" in found.message
    assert "20% below and 30% above" in found.remedy


def test_a_wide_own_line_and_a_wish_are_not_told() -> None:
    assert not narrow(own(span("70", "100", "180")))
    assert not narrow(own(span("99", "100", "101"), when=When.WISH))


def test_changed_hours_and_materials_are_held_to_their_width() -> None:
    change = LineChange(
        hours=FrozenMap({"mechanic": span("1.9", "2", "2.1")}), materials=span("60", "100", "160")
    )
    project = search(WORN_OUT, more=[lambda p: costing.change_line(p, "ann", KEY, change)])
    (found,) = narrow(project)

    assert found.message.startswith("The range of hours (mechanic)")
    assert found.key == KEY


def test_the_books_own_figures_are_not_the_buyers_to_widen() -> None:
    """The small catalogue's prices have no range at all, and its tests know it."""
    assert not narrow(search(WORN_OUT))


def test_a_quote_ends_the_talk_of_ranges() -> None:
    quote = Quote("", "Wharf", Money(Decimal(300), "USD"), (KEY,), on=AS_OF)
    change = LineChange(materials=span("99", "100", "101"))
    project = search(
        WORN_OUT,
        more=[
            lambda p: costing.change_line(p, "ann", KEY, change),
            lambda p: costing.put_quote(p, "ann", quote),
        ],
    )

    assert not narrow(project)
