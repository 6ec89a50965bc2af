"""Walk-away, target, ladder and equivalents against published worked cases and identities."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.bargaining import (
    Binding,
    SellerFloorBelief,
    Stakes,
    best_single_offer,
    drop_if_found,
    equivalent_offers,
    gain_at,
    indifference_price,
    offer_ladder,
    result_if_accepted,
    target_price,
    top_price,
    walk_away,
)
from workbench.figures.taxes import PurchaseTerms, flat_tax, total_on

SIX_PERCENT = PurchaseTerms((flat_tax("tax", Decimal("0.06")),))


def stakes(**changes: Decimal | PurchaseTerms | float | None) -> Stakes:
    base = Stakes(
        terms=SIX_PERCENT,
        budget=Decimal(40_000),
        worth=Decimal(42_000),
        fixed_costs=Decimal(1_900),
        expected_work=Decimal(9_000),
        work_at_confidence=Decimal(11_500),
        confidence=0.8,
    )
    return replace(base, **changes)  # type: ignore[arg-type]


def test_top_price_under_a_flat_tax_is_the_closed_form() -> None:
    # Closed form (B - fixed - Q)/(1 + tau) = 26,600 / 1.06; the tax itself is rounded to cents.
    assert top_price(stakes()) == pytest.approx(Decimal("25094.34"), abs=Decimal("0.011"))


def test_top_price_under_a_minimum_base_taxes_the_base_and_not_the_price() -> None:
    # B 30,000, fixed 1,500, P80 9,000, base floor 20,000 at 6 %: 18,300 (not 18,396.23).
    terms = PurchaseTerms((flat_tax("tax", Decimal("0.06"), minimum_base=Decimal(20_000)),))
    case = stakes(
        terms=terms,
        budget=Decimal(30_000),
        fixed_costs=Decimal(1_500),
        work_at_confidence=Decimal(9_000),
    )

    assert top_price(case) == Decimal(18_300)


def test_at_the_indifference_price_the_boat_gains_nothing_over_the_best_other() -> None:
    case = stakes(best_other=Decimal(1_500))
    price = indifference_price(case)

    assert price is not None
    assert gain_at(price, case) == pytest.approx(Decimal(1_500), abs=Decimal("0.02"))


def test_buying_none_is_always_the_least_other_choice() -> None:
    assert indifference_price(stakes(best_other=Decimal(-5_000))) == indifference_price(stakes())


def test_walk_away_says_that_the_budget_binds() -> None:
    result = walk_away(stakes())

    assert result.binding is Binding.BUDGET
    assert result.price == result.budget_price
    assert "80%" in result.why


def test_walk_away_says_that_worth_binds_and_against_what() -> None:
    alone = walk_away(stakes(budget=Decimal(90_000)))
    rival = walk_away(stakes(budget=Decimal(90_000), best_other=Decimal(2_000)))

    assert alone.binding is rival.binding is Binding.WORTH
    assert "buying none" in alone.why
    assert "best other boat" in rival.why
    assert rival.price is not None
    assert alone.price is not None
    assert rival.price < alone.price


def test_walk_away_without_a_worth_rests_on_the_budget_alone() -> None:
    result = walk_away(stakes(worth=None))

    assert (result.binding, result.worth_price) == (Binding.BUDGET, None)


def test_walk_away_without_a_budget_rests_on_worth_alone() -> None:
    assert walk_away(stakes(budget=None)).binding is Binding.WORTH


def test_nothing_known_limits_nothing_and_says_so() -> None:
    result = walk_away(stakes(budget=None, worth=None))

    assert (result.price, result.binding) == (None, Binding.NOTHING)


def test_equal_limits_bind_together() -> None:
    case = stakes(budget=Decimal(40_000), worth=Decimal(37_500))

    assert walk_away(case).binding is Binding.BOTH


@pytest.mark.parametrize(
    ("changes", "binding"),
    [
        ({"work_at_confidence": Decimal(39_000)}, Binding.BUDGET),
        ({"expected_work": Decimal(41_000)}, Binding.WORTH),
    ],
)
def test_no_price_is_offered_when_costs_eat_everything(
    changes: dict[str, Decimal], binding: Binding
) -> None:
    result = walk_away(stakes(**changes))

    assert (result.price, result.binding) == (None, binding)


def test_a_failed_check_lowers_the_walk_away_by_its_cost_after_tax() -> None:
    case = stakes(budget=Decimal(90_000))
    drop = drop_if_found(case, Decimal(12_000), Decimal(14_500))

    assert drop == pytest.approx(Decimal(3_000) / Decimal("1.06"), abs=Decimal("0.02"))


def test_a_failed_check_that_leaves_no_price_has_no_drop_to_show() -> None:
    assert drop_if_found(stakes(), Decimal(9_000), Decimal(60_000)) is None


money = st.integers(0, 60_000).map(Decimal)


@given(money, money, money)
def test_more_work_never_raises_the_walk_away(
    work: Decimal, extra: Decimal, worth: Decimal
) -> None:
    easy = walk_away(stakes(worth=worth, expected_work=work, work_at_confidence=work)).price
    more = work + extra
    hard = walk_away(stakes(worth=worth, expected_work=more, work_at_confidence=more)).price

    assert hard is None or (easy is not None and hard <= easy)


@given(money, money)
def test_the_walk_away_never_exceeds_either_limit(worth: Decimal, work: Decimal) -> None:
    case = stakes(worth=worth, expected_work=work, work_at_confidence=work)
    result = walk_away(case)

    if result.price is not None and case.budget is not None:
        paid = total_on(result.price, case.terms) + case.fixed_costs + work
        assert paid <= case.budget
        assert paid <= worth


def test_target_is_worth_less_documented_claims() -> None:
    assert target_price(Decimal(42_000), Decimal(9_500)) == 32_500
    assert target_price(Decimal(5_000), Decimal(9_500)) == 0


def test_ladder_climbs_in_shrinking_steps_to_the_walk_away() -> None:
    steps = offer_ladder(
        Decimal(20_000),
        Decimal(24_000),
        Decimal(28_000),
        opening_basis="all claims in full",
        steps_after_target=3,
    )

    assert [step.price for step in steps] == [20_000, 24_000, 26_000, 27_000, 28_000]
    assert [step.moved for step in steps] == [0, 4_000, 2_000, 1_000, 1_000]
    assert steps[0].basis == "all claims in full"
    assert steps[-1].basis == "walk-away price"


def test_ladder_never_starts_or_aims_above_the_walk_away() -> None:
    steps = offer_ladder(
        Decimal(30_000), Decimal(29_000), Decimal(25_000), opening_basis="user's choice"
    )

    assert [step.price for step in steps] == [25_000]
    assert "held down" in steps[0].basis


@given(money, money, money, st.integers(1, 6))
def test_ladder_rises_strictly_and_ends_at_the_walk_away(
    opening: Decimal, target: Decimal, limit: Decimal, count: int
) -> None:
    steps = offer_ladder(
        opening, target, limit, opening_basis="user's choice", steps_after_target=count
    )
    prices = [step.price for step in steps]

    assert prices == sorted(set(prices))
    assert prices[-1] == limit


def test_a_ladder_without_steps_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one step"):
        offer_ladder(Decimal(1), Decimal(2), Decimal(3), opening_basis="own", steps_after_target=0)


def test_price_cut_and_work_done_cost_the_buyer_the_same() -> None:
    offers = equivalent_offers(Decimal(24_000), Decimal(2_120), SIX_PERCENT)

    assert offers is not None
    assert offers.price_cut == Decimal("2000.00")
    with_work = total_on(offers.price_with_work_done, SIX_PERCENT)
    without = total_on(offers.price_without_work, SIX_PERCENT) + 2_120
    assert with_work == without


def test_work_dearer_than_the_boat_has_no_price_cut() -> None:
    assert equivalent_offers(Decimal(1_000), Decimal(5_000), SIX_PERCENT) is None


def test_single_offer_under_a_stated_belief_is_the_closed_form() -> None:
    # Uniform floor on (a, b): offer (v + a) / 2; v 22,000, a 16,000, b 24,000.
    result = best_single_offer(Decimal(22_000), SellerFloorBelief(Decimal(16_000), Decimal(24_000)))

    assert result is not None
    assert result.offer == 19_000
    assert result.share_of_floors_met == Decimal("0.375")
    assert result.expected_gain == 1_125


def test_single_offer_beats_every_other_offer_on_a_grid() -> None:
    result = best_single_offer(Decimal(90), SellerFloorBelief(Decimal(20), Decimal(50)))

    assert result is not None
    offers = np.linspace(0, 90, 9001)
    gains = np.clip((offers - 20) / 30, 0, 1) * (90 - offers)
    assert float(result.offer) == pytest.approx(offers[gains.argmax()], abs=0.02)
    assert float(result.expected_gain) == pytest.approx(gains.max(), abs=0.01)


def test_without_a_belief_nothing_is_said_about_the_seller() -> None:
    assert best_single_offer(Decimal(22_000), None) is None


def test_a_boat_worth_less_than_every_floor_gets_no_offer() -> None:
    belief = SellerFloorBelief(Decimal(16_000), Decimal(24_000))

    assert best_single_offer(Decimal(15_000), belief) is None


def test_a_belief_must_be_a_range() -> None:
    with pytest.raises(ValueError, match="rising"):
        SellerFloorBelief(Decimal(5), Decimal(5))


@pytest.mark.parametrize(("offer", "result"), [(60, -15), (20, -5), (100, -25), (0, 0)])
def test_an_accepted_offer_in_the_takeover_game_loses_a_quarter(offer: int, result: int) -> None:
    # Samuelson and Bazerman 1984: seller's value U(0, 100), buyer's worth 1.5 times it.
    got = result_if_accepted(Decimal(offer), Decimal(0), Decimal(100), Decimal("1.5"))

    assert got == result


def test_no_seller_accepts_less_than_the_lowest_value() -> None:
    with pytest.raises(ValueError, match="accepts"):
        result_if_accepted(Decimal(10), Decimal(20), Decimal(30), Decimal(2))
