"""Opening, target and walk-away, worked out by hand on a boat that costs 20,000."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.small_yard import ALL_GOOD, AS_OF, mm, search, seen, small_catalogue
from workbench.domain.boat import Boat, WorthToMe
from workbench.domain.ledger import ClaimChoice
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.settings import Fee, Settings, Tax, TaxBand
from workbench.domain.span import Span
from workbench.edits import boats, costing
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment, Offer
from workbench.figures.percentiles import percentiles

WORN_OUT = {**ALL_GOOD, "bearing": seen(play=mm("1.2"), sound="knocks")}


def usd(amount: int | str) -> Money:
    return Money(Decimal(amount), "USD")


def ann(project: Project) -> BoatAssessment:
    return assess(project, small_catalogue()).boats["ann"]


def offer(project: Project) -> Offer:
    return ann(project).offer


def test_the_opening_is_the_asking_price_less_what_is_claimed() -> None:
    """1,300 of due work is claimed whole: 20,000 - 1,300."""
    assert offer(search(WORN_OUT)).suggested_opening == 18_700


def test_where_worth_binds_she_is_worth_her_anchor_less_what_she_needs_beyond_her_kind() -> None:
    """No budget, no tax: walk-away = 20,000 - (due + allowance - ordinary)."""
    boat = ann(search(WORN_OUT))

    assert boat.offer.limit.binding.value == "worth"
    assert boat.offer.walk_away == 20_000 - boat.excess_work


def test_where_the_budget_binds_price_tax_fees_and_work_at_the_confidence_fill_it() -> None:
    tax = Tax("sales tax", (TaxBand(Decimal(0), Decimal(6)),))
    fee = Fee("haul", "haul", Span.exactly(Decimal(450)))
    rules = Settings(as_of=AS_OF, taxes=(tax,), fees=(fee,), budget=Decimal(20_000))
    boat = ann(search(WORN_OUT, settings=rules))
    assert boat.purchase is not None
    work = percentiles(boat.draws.ready - float(boat.purchase.total), (0.8,))[0]
    price = boat.offer.walk_away

    assert boat.offer.limit.binding.value == "budget"
    assert price is not None
    assert float(price) * 1.06 + 450 + work == pytest.approx(20_000, abs=0.02)


def test_the_target_lies_half_way_from_the_opening_to_the_walk_away_price() -> None:
    found = offer(search(WORN_OUT))
    assert found.opening is not None
    assert found.walk_away is not None

    assert found.target == pytest.approx((found.opening + found.walk_away) / 2, abs=Decimal("0.01"))


def test_ones_own_opening_is_kept_and_called_so() -> None:
    own = offer(search(WORN_OUT, more=[lambda p: costing.set_opening(p, "ann", usd(15_000))]))

    assert own.opening == 15_000
    assert own.opening_is_own
    assert own.suggested_opening == 18_700


def test_a_low_budget_holds_opening_and_target_down() -> None:
    rules = Settings(as_of=AS_OF, budget=Decimal(12_000))
    found = offer(search(WORN_OUT, settings=rules))

    assert found.held_down
    assert found.opening == found.target == found.walk_away


def test_a_budget_too_small_for_the_work_leaves_no_price_and_says_why() -> None:
    rules = Settings(as_of=AS_OF, budget=Decimal(100))
    found = offer(search(WORN_OUT, settings=rules))

    assert found.walk_away is None
    assert "no price fits" in found.limit.why


def test_what_she_is_worth_to_the_buyer_raises_the_walk_away_price() -> None:
    liked = (WorthToMe("her lines", usd(700)), WorthToMe("in euros", Money(Decimal(9), "EUR")))
    project = search(WORN_OUT)
    plain = offer(project).walk_away
    more = offer(apply(project, boats.set_worth_to_me(project, "ann", liked))[0]).walk_away

    assert plain is not None
    assert more == plain + 700


def with_bea(project: Project, worth: int) -> Project:
    """Another boat at hand, looked at and good, worth so much more to the buyer."""
    boat = project.boats["ann"].boat
    liked = (WorthToMe("liked", usd(worth)),)
    bea = dataclasses.replace(boat, id="", name="Bea", worth_to_me=liked)
    return apply(project, boats.add_boat(project, bea))[0]


def test_a_better_boat_at_hand_lowers_the_walk_away_price_by_what_she_gains() -> None:
    """Bea was not looked at, so she needs the ordinary and gains what she is liked by."""
    alone, beside = offer(search(WORN_OUT)), offer(with_bea(search(WORN_OUT), 600))

    assert alone.walk_away is not None
    assert beside.best_other == pytest.approx(600, abs=1)
    assert beside.walk_away == alone.walk_away - beside.best_other


def test_a_worse_boat_at_hand_changes_nothing_for_buying_none_is_better() -> None:
    alone, beside = offer(search(WORN_OUT)), offer(with_bea(search(WORN_OUT), -600))

    assert beside.best_other == 0
    assert beside.walk_away == alone.walk_away


def test_a_boat_that_was_put_away_is_no_alternative() -> None:
    project = with_bea(search(WORN_OUT), 5_000)
    away = apply(project, boats.archive_boat(project, "bea", archived=True))[0]

    assert offer(away).best_other == 0


def test_without_price_and_comparables_nothing_is_known() -> None:
    project = Project("p", "Search", Settings(as_of=AS_OF))
    project = apply(project, boats.add_boat(project, Boat("", "Ann", year=1986)))[0]
    found = offer(project)

    assert found.gain is None
    assert found.suggested_opening is None
    assert found.target is None
    assert found.walk_away is None
    assert found.limit.binding.value == "nothing"


@settings(max_examples=15)
@given(
    claimed=st.integers(0, 3_000),
    budget=st.none() | st.integers(5_000, 40_000),
    asking=st.integers(1_000, 40_000),
)
def test_opening_target_and_walk_away_stand_in_order(
    claimed: int, budget: int | None, asking: int
) -> None:
    choice = ClaimChoice(amount=usd(claimed))
    found = offer(
        search(
            WORN_OUT,
            asking=asking,
            settings=Settings(as_of=AS_OF, budget=None if budget is None else Decimal(budget)),
            more=[lambda p: costing.set_claim(p, "ann", "bearing", choice)],
        )
    )

    if found.walk_away is None:
        return
    assert found.opening is not None
    assert found.target is not None
    assert 0 <= found.opening <= found.target <= found.walk_away
    limits = [found.limit.budget_price, found.limit.worth_price]
    assert found.walk_away == min(one for one in limits if one is not None)
