"""Comparables: direction of adjustments, methods by count, and leave-one-out choice.

All boats and prices are invented.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbench.figures.comparables import (
    AskedToSold,
    Comparable,
    Features,
    Indication,
    Method,
    PriceKind,
    Rates,
    adjust,
    indicate,
    robust_line,
)

FACTOR = AskedToSold(0.85, 0.9, 0.97)
RATES = Rates(
    per_metre=0.10,
    per_year_of_age=0.01,
    per_condition_step=0.08,
    equipment_share=0.5,
    per_year_of_date=0.02,
    asked_to_sold=FACTOR,
)
SUBJECT = Features(length_m=10.0, age_years=35.0)


def sold(name: str, price: float, length: float = 10.0, age: float = 35.0) -> Comparable:
    return Comparable(name, price, PriceKind.SOLD, Features(length, age))


def alike(*prices: float) -> list[Comparable]:
    return [sold(f"boat {number}", price) for number, price in enumerate(prices)]


def test_a_paired_sale_gives_the_worth_of_the_one_difference() -> None:
    # Paired sales as taught in appraisal: 340,000 with and 325,000 without, worth 15,000.
    better = Comparable("pair", 340_000, PriceKind.SOLD, Features(10.0, 35.0, equipment=15_000))
    rates = replace(RATES, equipment_share=1.0)

    result = adjust(better, SUBJECT, rates)
    assert result.adjusted == 325_000
    assert result.superior


def test_an_asking_price_comes_down_first_and_then_the_boat_is_adjusted() -> None:
    # By hand: 30,000 asked x .9 = 27,000; two years at 2 % = 28,090.80; length +.5 m at 10 %
    # 1,404.54; 5 years older +5 % 1,404.54; one condition step better -8 % -2,247.264.
    boat = Comparable(
        "Alder", 30_000, PriceKind.ASKED, Features(9.5, 40.0, condition=1.0), years_ago=2
    )
    result = adjust(boat, SUBJECT, RATES)
    amounts = {line.name: line.amount for line in result.lines}

    assert amounts["asked to sold"] == pytest.approx(-3000)
    assert amounts["date"] == pytest.approx(1090.80)
    assert amounts["length"] == pytest.approx(1404.54)
    assert amounts["age"] == pytest.approx(1404.54)
    assert amounts["condition"] == pytest.approx(-2247.264)
    assert result.after_sale_terms == pytest.approx(28_090.80)
    assert result.adjusted == pytest.approx(30_000 + sum(amounts.values()))
    assert result.net_share == pytest.approx(0.02)
    assert result.gross_share == pytest.approx(0.18)
    assert result.flags() == ()


@pytest.mark.parametrize(
    "better",
    [
        Features(11.0, 35.0),
        Features(10.0, 30.0),
        Features(10.0, 35.0, condition=1),
        Features(10.0, 35.0, equipment=2000),
    ],
)
def test_a_better_boat_is_adjusted_down_and_a_worse_one_up(better: Features) -> None:
    up = adjust(Comparable("better", 30_000, PriceKind.SOLD, better), SUBJECT, RATES)
    down = adjust(Comparable("same", 30_000, PriceKind.SOLD, SUBJECT), better, RATES)

    assert up.superior
    assert up.adjusted < 30_000 < down.adjusted


def test_a_boat_like_the_subject_is_not_adjusted() -> None:
    assert adjust(sold("twin", 27_500), SUBJECT, RATES).adjusted == 27_500


def test_large_adjustments_are_flagged_and_still_used() -> None:
    far = sold("far", 30_000, length=7.0)
    result = adjust(far, SUBJECT, RATES)

    assert len(result.flags()) == 2
    assert "net adjustment +30%" in result.flags()[0]
    assert indicate([far], SUBJECT, RATES, 1).adjusted[0].adjusted == result.adjusted


def test_a_small_net_of_large_adjustments_is_flagged_by_its_gross() -> None:
    result = adjust(sold("mixed", 30_000, length=8.5, age=20.0), SUBJECT, RATES)

    assert result.net_share == pytest.approx(0.0)
    assert result.flags() == ("gross adjustment 30% exceeds 25%",)


def test_without_comparables_the_asking_price_stands_in_and_says_so() -> None:
    result = indicate([], SUBJECT, RATES, asking_price=31_000)

    assert result.method is Method.ASKING_PRICE
    assert result.value == result.low == result.high == 31_000
    assert "stands in" in result.sentence()


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_up_to_four_give_a_list_a_median_and_a_range_only(count: int) -> None:
    prices = [24_000.0, 26_000.0, 30_000.0, 31_000.0][:count]
    result = indicate(alike(*prices), SUBJECT, RATES, 1)

    assert result.method is Method.LIST
    assert result.value == np.median(prices)
    assert (result.low, result.high) == (min(prices), max(prices))
    assert result.errors == ()
    assert f"{count} comparable" in result.sentence()
    assert "not an appraisal" in result.sentence()


def test_five_alike_give_the_median_and_a_prediction_interval() -> None:
    # mean 20.24, s 1.578924: 80 % for one more price +-2.651871 (t quantile of scipy).
    result = indicate(alike(18.2, 19.5, 20.1, 21.0, 22.4), SUBJECT, RATES, 1)

    assert {method for method, _ in result.errors} == {Method.MEDIAN, Method.BAYES_LINE}
    if result.method is Method.MEDIAN:
        assert result.value == pytest.approx(20.1)
        assert result.low == pytest.approx(20.24 - 2.651871, abs=5e-7)
        assert result.high == pytest.approx(20.24 + 2.651871, abs=5e-7)
    assert dict(result.errors)[result.method] == min(error for _, error in result.errors)


@pytest.mark.parametrize(("count", "methods"), [(4, 0), (5, 2), (11, 2), (12, 3)])
def test_the_count_decides_which_methods_are_tried(count: int, methods: int) -> None:
    result = indicate(a_market(count, 1, noise=800), SUBJECT, RATES, 1)

    assert len(result.errors) == methods
    assert [error for _, error in result.errors] == sorted(error for _, error in result.errors)


def a_market(count: int, seed: int, *, noise: float, tied: bool = False) -> list[Comparable]:
    """Invented prices on a line: 30,000 at 10 m and 35 years, 4,000 a metre, -500 a year."""
    generator = np.random.default_rng(seed)
    boats = []
    for number in range(count):
        length = float(generator.uniform(8.5, 11.5))
        age = 20 + 10 * (length - 8.5) if tied else float(generator.uniform(20, 50))
        price = 30_000 + 4000 * (length - 10) - 500 * (age - 35) + generator.normal(0, noise)
        boats.append(sold(f"boat {number}", float(price), length, age))
    return boats


def test_a_line_wins_when_the_users_rates_are_wrong() -> None:
    no_idea = replace(RATES, per_metre=0.0, per_year_of_age=0.0)
    result = indicate(a_market(20, 3, noise=300), SUBJECT, no_idea, 1)

    assert result.method is not Method.MEDIAN
    assert result.value == pytest.approx(30_000, abs=600)
    assert result.low < 30_000 < result.high


def test_the_robust_line_shrugs_at_two_absurd_prices() -> None:
    boats = a_market(16, 5, noise=100)
    boats[0] = replace(boats[0], price=150_000.0)
    boats[1] = replace(boats[1], price=140_000.0)
    no_idea = replace(RATES, per_metre=0.0, per_year_of_age=0.0)
    result = indicate(boats, SUBJECT, no_idea, 1)

    assert result.errors[0][0] is result.method
    assert result.method is Method.ROBUST_LINE
    assert result.value == pytest.approx(30_000, abs=500)


def test_length_and_age_that_go_together_are_pointed_out() -> None:
    boats = a_market(14, 2, noise=200, tied=True)
    result = indicate(boats, SUBJECT, RATES, 1)

    assert any("go together" in note for note in result.notes)
    assert result.value == pytest.approx(30_000, rel=0.25)


@given(st.integers(0, 1000), st.booleans())
def test_the_robust_line_never_makes_longer_cheaper_or_older_dearer(seed: int, tied: bool) -> None:
    generator = np.random.default_rng(seed)
    length = generator.uniform(-1.5, 1.5, 13)
    age = 10 * length if tied else generator.uniform(-15, 15, 13)
    backwards = 30_000 - 2000 * length + 300 * age + generator.normal(0, 500, 13)
    fitted = robust_line(np.column_stack([np.ones(13), length, age]), backwards)

    assert fitted[1] >= 0
    assert fitted[2] <= 0


def test_the_robust_line_finds_the_market_it_was_drawn_from() -> None:
    boats = a_market(15, 4, noise=0)
    design = np.array([(1.0, b.features.length_m - 10, b.features.age_years - 35) for b in boats])
    fitted = robust_line(design, np.array([one.price for one in boats]))

    assert fitted == pytest.approx([30_000, 4000, -500])


def test_bracketing_needs_a_better_and_a_worse_boat() -> None:
    worse, better = sold("worse", 25_000, length=9.5), sold("better", 35_000, length=10.5)

    assert not indicate([worse], SUBJECT, RATES, 1).bracketed
    assert indicate([worse, better], SUBJECT, RATES, 1).bracketed
    assert any("Not bracketed" in note for note in indicate([worse], SUBJECT, RATES, 1).notes)


def test_asks_are_shown_at_both_ends_of_the_users_factor() -> None:
    asks = [replace(one, kind=PriceKind.ASKED) for one in alike(30_000, 32_000)]
    result = indicate(asks, SUBJECT, RATES, 1)

    assert result.value == pytest.approx(31_000 * 0.9)
    assert result.by_factor == pytest.approx((31_000 * 0.85, 31_000 * 0.97))
    assert any("asking prices" in note for note in result.notes)
    paid = indicate(alike(30_000, 32_000), SUBJECT, RATES, 1)
    assert paid.by_factor == (31_000, 31_000)


@pytest.mark.parametrize("bad", [(0, 0.9, 1), (0.9, 0.8, 1), (0.8, 0.9, 0.85)])
def test_a_factor_out_of_order_is_refused(bad: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="low <= likely"):
        AskedToSold(*bad)


def test_a_price_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        sold("gift", 0.0)


def rounded(result: Indication) -> tuple[Method, float, float, float]:
    return result.method, round(result.value, 4), round(result.low, 4), round(result.high, 4)


@settings(max_examples=30)
@given(st.integers(1, 14), st.integers(0, 1000))
def test_the_order_of_comparables_does_not_matter(count: int, seed: int) -> None:
    boats = a_market(count, seed, noise=1500)
    again = list(boats)
    np.random.default_rng(seed).shuffle(again)

    assert rounded(indicate(boats, SUBJECT, RATES, 1)) == rounded(
        indicate(again, SUBJECT, RATES, 1)
    )


@settings(max_examples=30)
@given(st.integers(1, 14), st.integers(0, 1000), st.floats(0.5, 3))
def test_prices_in_another_currency_give_the_same_answer(
    count: int, seed: int, rate: float
) -> None:
    boats = a_market(count, seed, noise=1500)
    exchanged = [replace(one, price=one.price * rate) for one in boats]
    here, there = (indicate(some, SUBJECT, RATES, 1) for some in (boats, exchanged))

    assert there.method is here.method
    assert there.value == pytest.approx(here.value * rate, rel=1e-6)
    assert there.low == pytest.approx(here.low * rate, rel=1e-6)


@settings(max_examples=30)
@given(st.integers(1, 14), st.integers(0, 1000))
def test_the_value_lies_inside_its_range_and_is_never_negative(count: int, seed: int) -> None:
    result = indicate(a_market(count, seed, noise=6000), SUBJECT, RATES, 1)

    assert 0 <= result.low <= result.value <= result.high
