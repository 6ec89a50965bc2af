"""The price anchor: the buyer's comparables where they can be used, the asking price otherwise."""

from __future__ import annotations

import dataclasses
from datetime import date
from decimal import Decimal

import pytest

from tests.figures.small_yard import ALL_GOOD, AS_OF, search, small_catalogue
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.domain.project import Comparable, Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import ExchangeRate, Settings
from workbench.domain.span import Span
from workbench.domain.vocabulary import Asked
from workbench.edits import boats, searching
from workbench.edits.edit import apply
from workbench.figures.anchor import VALUE_RATES, anchor_of, indication_of, rates_of
from workbench.figures.assess import assess
from workbench.figures.assessment import Anchor
from workbench.figures.comparables import Method


def sold(title: str, price: int, **more: object) -> Comparable:
    """A boat like Ann: 10 m, of 1986, sold on the day the figures hold for."""
    like = Comparable(
        "",
        title,
        Money(Decimal(price), "USD"),
        Asked.SOLD,
        1986,
        Quantity(Decimal(10), "m"),
        AS_OF,
    )
    return dataclasses.replace(like, **more)  # type: ignore[arg-type]


def with_comparables(*rows: Comparable, settings: Settings | None = None) -> Project:
    project = search(ALL_GOOD, settings=settings)
    for row in rows:
        project = apply(project, searching.put_comparable(project, row))[0]
    return project


def anchor(project: Project) -> Anchor:
    return assess(project, small_catalogue()).boats["ann"].offer.anchor


def test_without_comparables_the_asking_price_stands_in_and_is_called_so() -> None:
    found = anchor(with_comparables())

    assert found.value == 20_000
    assert found.low is found.high is None
    assert not found.from_comparables
    assert "asking price stands in" in found.basis


def test_without_either_nothing_is_known() -> None:
    project = with_comparables()
    boat = dataclasses.replace(project.boats["ann"].boat, asking=())

    assert anchor_of(project, boat, None) == Anchor(
        None, None, None, "No asking price and no comparables.", from_comparables=False
    )


def test_a_few_like_boats_give_their_median_and_range() -> None:
    found = anchor(with_comparables(sold("A", 17_000), sold("B", 19_000), sold("C", 24_000)))

    assert found.from_comparables
    assert found.value == 19_000
    assert found.low == 17_000
    assert found.high == 24_000
    assert "3 comparables entered by the user" in found.basis
    assert "not an appraisal" in found.basis


def test_five_like_boats_give_an_interval_for_one_more_price() -> None:
    """Prices 18.2, 19.5, 20.1, 21.0, 22.4 (mean 20.24): the interval holds every one of them.

    The plain 80 % prediction interval is 20.24 ± 2.65; a line with weak slopes is a little wider.
    """
    prices = (18_200, 19_500, 20_100, 21_000, 22_400)
    project = with_comparables(*(sold(f"Boat {price}", price) for price in prices))
    found = anchor(project)

    assert found.value is not None
    assert found.low is not None
    assert found.high is not None
    assert float(found.value) == pytest.approx(20_240, abs=150)
    assert 2_600 < float(found.high - found.low) / 2 < 3_500


def test_an_asked_price_comes_down_to_what_boats_sell_for() -> None:
    rules = Settings(as_of=AS_OF, asked_to_sold=Span.exactly(Decimal("0.9")))
    asked = sold("A", 20_000, asked=Asked.ASKED)

    assert anchor(with_comparables(asked, settings=rules)).value == 18_000


def test_a_comparable_is_adjusted_to_the_subject_and_not_the_reverse() -> None:
    """One metre longer at 12 % a metre: 20,000 - 2,400. Ten years younger at 2 %: - 4,000.

    A better boat's price comes down, a worse one's goes up (order and direction of adjustments as
    taught in appraisal).
    """
    longer = sold("A", 20_000, length=Quantity(Decimal(11), "m"))
    younger = sold("B", 20_000, year=1996)
    older = sold("C", 20_000, year=1976)
    finer = sold("D", 20_000, condition=1)

    assert anchor(with_comparables(longer)).value == 17_600
    assert anchor(with_comparables(younger)).value == 16_000
    assert anchor(with_comparables(older)).value == 24_000
    assert anchor(with_comparables(finer)).value == 18_400


def test_ones_own_rates_of_adjustment_stand_before_the_usual_ones() -> None:
    rules = Settings(as_of=AS_OF, value_rates=FrozenMap({"per-metre": Decimal("0.05")}))
    longer = sold("A", 20_000, length=Quantity(Decimal(11), "m"))

    assert anchor(with_comparables(longer, settings=rules)).value == 19_000
    assert rates_of(rules).per_metre == 0.05
    assert rates_of(Settings()).per_year_of_age == -VALUE_RATES["per-year-of-age"]


def test_a_price_in_another_currency_is_exchanged_and_left_out_without_a_rate() -> None:
    euros = dataclasses.replace(sold("A", 1), price=Money(Decimal(10_000), "EUR"))
    rules = Settings(as_of=AS_OF, exchange=(ExchangeRate("EUR", Decimal("1.1")),))

    assert anchor(with_comparables(euros, settings=rules)).value == 11_000
    assert not anchor(with_comparables(euros)).from_comparables


@pytest.mark.parametrize(
    "lacking",
    [{"year": None}, {"length": None}, {"used": False}],
    ids=["no year", "no length", "not used"],
)
def test_a_comparable_that_lacks_something_is_left_out(lacking: dict[str, object]) -> None:
    rows = (sold("A", 17_000), sold("B", 90_000, **lacking))

    assert anchor(with_comparables(*rows)).value == 17_000


def test_a_boat_without_a_length_is_not_compared() -> None:
    project = with_comparables(sold("A", 17_000))
    unknown = boats.set_dimension(project, "ann", "loa", None, "Length")

    assert not anchor(apply(project, unknown)[0]).from_comparables


def test_an_older_sale_is_brought_to_today_by_the_rate_of_the_date() -> None:
    """Two years at 3 % a year: 20,000 x 1.0609."""
    rules = Settings(as_of=AS_OF, value_rates=FrozenMap({"per-year-of-date": Decimal("0.03")}))
    old = sold("A", 20_000, on=date(2024, 5, 1))
    found = anchor(with_comparables(old, settings=rules))

    assert found.value is not None
    assert float(found.value) == pytest.approx(21_218, abs=2)


def test_the_method_follows_the_number_of_comparables() -> None:
    few = with_comparables(*(sold(f"Boat {number}", 18_000 + number) for number in range(3)))
    found = indication_of(few, few.boats["ann"].boat, Decimal(20_000))

    assert found is not None
    assert found.method is Method.LIST
    assert found.count == 3
