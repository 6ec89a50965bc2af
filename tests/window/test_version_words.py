"""Where two versions differ is told in words that a person knows (C4)."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from PySide6.QtWidgets import QApplication

from tests.figures.small_yard import small_catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.ledger import LineChange, OwnLine
from workbench.domain.money import Money
from workbench.domain.project import Candidate, Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Span
from workbench.domain.vocabulary import Grade
from workbench.edits.boats import add_boat
from workbench.edits.edit import Path, apply
from workbench.edits.merging import MISSING, Difference
from workbench.window.version_words import place_words, value_words

SPAN = Span(Decimal(1), Decimal(2), Decimal(4))


@pytest.fixture
def project(qapp: QApplication) -> Project:
    del qapp
    start = Project("p", "Search")
    return apply(start, add_boat(start, Boat("", "Ann")))[0]


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (("name",), "settings and list of boats: name"),
        (("settings", "budget"), "settings and list of boats: budget"),
        (("settings", "rates", "rigger"), "settings and list of boats: rates, rigger"),
        (("boats", "ann"), "Ann, the whole boat"),
        (("boats", "ann", "boat", "lies_at"), "Ann, particulars: lies at"),
        (
            ("boats", "ann", "inspection", "readings", "bearing", "undated-1", "note"),
            "Ann, readings and photos: readings, Cutless bearing, undated 1, note",
        ),
        (("boats", "ann", "ledger", "opening"), "Ann, ledger and offers: opening"),
        (("comparables", "c-1", "price"), "comparables: c 1, price"),
        (("overrides", "prices", "hose"), "own prices: prices, hose"),
    ],
)
def test_a_place_is_told_by_the_boat_and_what_it_is(
    project: Project, path: Path, words: str
) -> None:
    one = Difference(path, None, Candidate(Boat("x", "Xenia")), MISSING)
    catalogue = small_catalogue()
    title = catalogue.checks["bearing"].title

    assert place_words(one, project, catalogue) == words.replace("Cutless bearing", title)


def test_a_boat_that_one_side_alone_has_is_told_by_her_name(project: Project) -> None:
    one = Difference(("boats", "x"), MISSING, Candidate(Boat("x", "Xenia")), MISSING)

    assert place_words(one, project, None) == "Xenia, the whole boat"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (MISSING, "–"),
        (None, "–"),
        ("", "–"),
        (True, "yes"),
        (0, "0"),
        (Decimal("1.10"), "1.10"),
        ("two\nlines", "two lines"),
        (Quantity(Decimal("12.5"), "mm"), "12.5 mm"),
        (date(2026, 5, 1), "2026-05-01"),
        (Grade.DUE, "due"),
        ((), "0 entries"),
        (LineChange(count=Decimal(2), note="both"), "2, both"),
        (FrozenMap({"rigger": Decimal(85)}), "rigger: 85"),
        (OwnLine("job-1", "Paint", SPAN), "Paint"),
        (Reading("r"), "r"),
        ("x" * 200, "x" * 119 + "…"),
    ],
)
def test_a_value_is_told_as_it_is_read(qapp: QApplication, value: object, words: str) -> None:
    del qapp
    assert value_words(value) == words


def test_an_amount_keeps_its_currency(qapp: QApplication) -> None:
    del qapp
    asked = AskingPrice(Money(Decimal(20), "EUR"), date(2026, 5, 1))

    assert value_words(Money(Decimal(20), "EUR")) == "20 EUR"
    assert value_words((asked,)) == "20 EUR, 2026-05-01"
    lower = AskingPrice(Money(Decimal(18), "EUR"), date(2026, 6, 1))
    assert value_words((asked, lower), (asked,)) == "18 EUR, 2026-06-01"
    assert value_words((asked,), (asked, lower)) == "20 EUR, 2026-05-01"
    assert value_words(SPAN).count("/") == 2
