"""Boats beside each other: least cost first, ties shared, must-haves, and what could change it."""

from __future__ import annotations

import dataclasses
from datetime import date
from decimal import Decimal

import pytest

from tests.figures.small_yard import (
    ALL_GOOD,
    AS_OF,
    NOT_SEEN,
    mm,
    search,
    seen,
    small_catalogue,
)
from workbench.domain.boat import AskingPrice, Boat, WorthToMe
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection, Reading
from workbench.domain.ledger import Ledger
from workbench.domain.money import Money
from workbench.domain.project import Candidate, Project
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.domain.settings import ExchangeRate, MustHave, Settings
from workbench.figures.assess import assess
from workbench.figures.comparison import Comparison, Standing, compare, fails

WORN_OUT = seen(play=mm("1.2"), sound="knocks")


def usd(amount: int) -> Money:
    return Money(Decimal(amount), "USD")


def boat(name: str, price: int | None, readings: dict[str, Reading], **more: object) -> Candidate:
    """A 10 m boat with readings; her stream is her name's."""
    made = Boat(
        name.lower(),
        name,
        year=1986,
        dimensions=FrozenMap({"loa": Quantity(Decimal(10), "m"), "shaft-diameter": mm("25")}),
        asking=() if price is None else (AskingPrice(usd(price), AS_OF),),
        stream=sum(map(ord, name)),
    )
    inspection = Inspection(readings=FrozenMap({check: (one,) for check, one in readings.items()}))
    return Candidate(dataclasses.replace(made, **more), inspection, Ledger())  # type: ignore[arg-type]


def beside(*candidates: Candidate, settings: Settings | None = None) -> Comparison:
    boats = FrozenMap({one.boat.id: one for one in candidates})
    project = Project("p", "Search", settings or Settings(as_of=AS_OF), boats=boats)
    return compare(assess(project, small_catalogue()))


def of(comparison: Comparison, boat_id: str) -> Standing:
    return next(one for one in comparison.standings if one.boat.id == boat_id)


def test_the_least_expected_cost_comes_first_and_unknown_prices_last() -> None:
    found = beside(
        boat("Ann", 22_000, ALL_GOOD), boat("Bea", 20_000, ALL_GOOD), boat("Cy", None, ALL_GOOD)
    )

    assert [one.boat.id for one in found.standings] == ["bea", "ann", "cy"]
    assert of(found, "cy").chance_best is None
    assert of(found, "cy").regret is None


def test_chances_add_up_and_like_boats_share_them() -> None:
    """Three boats alike in everything tie in every draw: a third each (ties are shared)."""
    same = boat("Ann", 20_000, ALL_GOOD)
    twins = [
        dataclasses.replace(same, boat=dataclasses.replace(same.boat, id=name, name=name))
        for name in ("ann", "bea", "cy")
    ]
    found = beside(*twins)

    assert [one.chance_best for one in found.standings] == pytest.approx([1 / 3] * 3)
    assert all(one.regret == 0 for one in found.standings)
    assert all(one.beats == () for one in found.standings)


def test_a_boat_that_is_cheaper_whatever_comes_beats_the_other() -> None:
    found = beside(boat("Ann", 10_000, ALL_GOOD), boat("Bea", 40_000, ALL_GOOD))

    assert of(found, "ann").chance_best == 1
    assert of(found, "ann").beats == ("bea",)
    assert of(found, "bea").chance_worst == 1
    difference = of(found, "bea").boat.cost_to_ready.mean - of(found, "ann").boat.cost_to_ready.mean
    assert float(of(found, "bea").regret or 0) == pytest.approx(float(difference), abs=5)


def test_what_a_boat_is_worth_to_the_buyer_comes_off() -> None:
    liked = (WorthToMe("her lines", usd(5_000)), WorthToMe("in euros", Money(Decimal(9), "EUR")))
    found = beside(boat("Ann", 22_000, ALL_GOOD, worth_to_me=liked), boat("Bea", 20_000, ALL_GOOD))

    assert found.standings[0].boat.id == "ann"
    assert (of(found, "ann").chance_best or 0) > 0.9


def test_worth_in_another_currency_counts_at_its_dated_rate_and_is_told_without_one() -> None:
    liked = (WorthToMe("new sails", Money(Decimal(1_000), "EUR")),)
    ann = boat("Ann", 22_000, ALL_GOOD, worth_to_me=liked)
    rate = ExchangeRate("EUR", Decimal("1.1"), date(2026, 5, 1))

    without = of(beside(ann), "ann").boat
    with_rate = of(beside(ann, settings=Settings(as_of=AS_OF, exchange=(rate,))), "ann").boat

    assert without.worth_to_me == 0
    assert any("“new sails” is in EUR" in one.message for one in without.problems)
    assert with_rate.worth_to_me == Decimal(1_100)
    assert not any("EUR" in one.message for one in with_rate.problems)


def test_a_boat_that_was_put_away_is_left_out() -> None:
    found = beside(boat("Ann", 22_000, ALL_GOOD, archived=True), boat("Bea", 20_000, ALL_GOOD))

    assert [one.boat.id for one in found.standings] == ["bea"]
    assert of(found, "bea").chance_best == 1


def test_no_boats_are_no_trouble() -> None:
    assert beside() == Comparison((), ())


@pytest.mark.parametrize(
    ("must", "sentence"),
    [
        (MustHave("loa", at_least=parse_quantity("32 ft", "ft")), None),
        (
            MustHave("loa", at_least=parse_quantity("33 ft", "ft")),
            "length 10 m, wanted at least 33 ft",
        ),
        (
            MustHave("loa", at_most=parse_quantity("9.9 m", "m")),
            "length 10 m, wanted at most 9.9 m",
        ),
        (MustHave("loa", at_most=parse_quantity("10 m", "m")), None),
        (MustHave("draft", at_most=parse_quantity("1.5 m", "m")), None),
    ],
    ids=["long enough", "too short", "too long", "just right", "unknown"],
)
def test_a_must_have_is_held_exactly_across_units(must: MustHave, sentence: str | None) -> None:
    """32 ft is 9.7536 m (a foot is 0.3048 m exactly: international yard and pound, 1959)."""
    settings = Settings(as_of=AS_OF, must_haves=(must,))
    found = beside(boat("Ann", 20_000, ALL_GOOD), settings=settings)
    ann = of(found, "ann")

    assert fails(ann.boat, must, small_catalogue()) == sentence
    assert ann.missing_must_haves == (() if sentence is None else (sentence,))


def test_the_s_curve_rises_from_the_least_to_the_most() -> None:
    curve = of(beside(boat("Ann", 20_000, {"rigging": NOT_SEEN})), "ann").s_curve

    costs = [point.cost for point in curve]
    assert costs == sorted(costs)
    assert (curve[0].chance, curve[-1].chance) == (0.0, 1.0)


def test_what_is_likely_and_dear_swings_most() -> None:
    """Unseen rigging: 2,000 at 40 %; its cost to ready would stand 2,000 apart."""
    found = beside(boat("Ann", 20_000, {**ALL_GOOD, "rigging": NOT_SEEN}))
    swing = found.swings[0]

    assert swing.key == "Ann: renew"
    assert swing.width == 2_000


def test_dear_work_that_hardly_ever_comes_is_told_after_what_often_does() -> None:
    """Rigging that was looked at and found good may still be bad with 13 %; the unseen 40 %."""
    found = beside(
        boat("Ann", 20_000, {"bearing": WORN_OUT, "rigging": NOT_SEEN}),
        boat("Bea", 20_000, ALL_GOOD),
    )

    assert all(one.width >= 0 for one in found.swings)
    assert found.swings[0].key.startswith("Ann")


def test_the_comparison_is_the_same_on_every_run() -> None:
    project = search({"bearing": WORN_OUT})
    first = compare(assess(project, small_catalogue()))
    second = compare(assess(project, small_catalogue()))

    assert first == second
