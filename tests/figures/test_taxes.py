"""Taxes, fees and delivery: a state's own worked case, exact totals and the inverse."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.taxes import (
    Band,
    Delivery,
    Fee,
    PurchaseTerms,
    TaxRule,
    flat_tax,
    highest_price_within,
    purchase_total,
    tax_on,
    total_on,
)

FLORIDA = TaxRule(
    "sales tax",
    (Band(None, Decimal("0.06")),),
    surtax_rate=Decimal("0.01"),
    surtax_slice=Decimal(5000),
    cap=Decimal(18000),
)


def test_capped_tax_with_surtax_is_the_published_case_to_the_cent() -> None:
    # Florida Department of Revenue, TIP 10A01-07 (22 June 2010): 1,000,000.00 in a 1 % county.
    result = tax_on(Decimal(1_000_000), FLORIDA)

    assert result.surtax == Decimal("50.00")
    assert result.tax == Decimal("17950.00")
    assert result.total == Decimal("18000.00")
    assert result.taxable == Decimal("299166.66")
    assert result.exempt == Decimal("700833.34")
    assert result.taxable + result.exempt == Decimal("1000000.00")
    assert result.capped


def test_below_the_cap_everything_is_taxable() -> None:
    result = tax_on(Decimal(100_000), FLORIDA)

    assert (result.tax, result.surtax) == (Decimal(6000), Decimal(50))
    assert (result.taxable, result.exempt) == (Decimal(100_000), Decimal(0))
    assert not result.capped


def test_the_cap_begins_where_tax_and_surtax_reach_it() -> None:
    edge = Decimal(17950) / Decimal("0.06")

    assert not tax_on(edge.quantize(Decimal("0.01")), FLORIDA).capped
    assert tax_on(edge + 1, FLORIDA).capped


def test_bands_are_marginal() -> None:
    rule = TaxRule("duty", (Band(Decimal(1000), Decimal("0.05")), Band(None, Decimal("0.10"))))

    assert tax_on(Decimal(1000), rule).tax == 50
    assert tax_on(Decimal(1500), rule).tax == 100


def test_a_capped_banded_tax_says_which_part_of_the_price_it_answers_for() -> None:
    bands = (Band(Decimal(1000), Decimal("0.05")), Band(None, Decimal("0.10")))
    result = tax_on(Decimal(5000), TaxRule("duty", bands, cap=Decimal(90)))

    assert result.tax == 90
    assert (result.taxable, result.exempt) == (Decimal(1400), Decimal(3600))


def test_a_minimum_base_is_taxed_even_when_less_was_paid() -> None:
    result = tax_on(Decimal(12_000), flat_tax("tax", Decimal("0.06"), minimum_base=Decimal(20_000)))

    assert result.base == 20_000
    assert result.tax == 1200


def test_tax_is_rounded_half_up() -> None:
    rule = flat_tax("tax", Decimal("0.05"))

    assert tax_on(Decimal("0.50"), rule).tax == Decimal("0.03")
    assert tax_on(Decimal("0.70"), rule).tax == Decimal("0.04")


@pytest.mark.parametrize(
    "bands",
    [
        (),
        (Band(Decimal(1000), Decimal("0.05")),),
        (Band(None, Decimal("0.05")), Band(None, Decimal("0.1"))),
        (Band(Decimal(9), Decimal(0)), Band(Decimal(9), Decimal(0)), Band(None, Decimal(0))),
        (Band(None, Decimal("-0.01")),),
    ],
)
def test_a_band_table_with_a_hole_or_a_negative_rate_is_refused(bands: tuple[Band, ...]) -> None:
    with pytest.raises(ValueError, match="duty"):
        TaxRule("duty", bands)


def test_a_negative_price_is_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        tax_on(Decimal(-1), FLORIDA)


def test_a_fee_may_be_small_or_nothing() -> None:
    assert Fee("stamp", Decimal("0.50")).on(Decimal(100)) == Decimal("0.50")
    assert Fee("waived").on(Decimal(100)) == 0


def test_fees_and_deliveries_that_pay_the_buyer_are_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        Fee("title", Decimal(-1))
    with pytest.raises(ValueError, match="negative"):
        Delivery(Decimal(-5), Decimal(1), "km")


def test_delivery_is_by_distance_but_not_below_the_minimum() -> None:
    far = Delivery(Decimal(420), Decimal("3.20"), "km", fixed=Decimal(250))
    near = Delivery(Decimal(10), Decimal("3.20"), "km", minimum=Decimal(400))

    assert far.cost() == Decimal("1594.00")
    assert near.cost() == Decimal("400.00")


TERMS = PurchaseTerms(
    taxes=(FLORIDA, flat_tax("use tax", Decimal("0.0125"), minimum_base=Decimal(8000))),
    fees=(Fee("title", Decimal("78.25")), Fee("broker", Decimal(100), Decimal("0.0333"))),
    delivery=Delivery(Decimal(420), Decimal("3.20"), "km", fixed=Decimal(250)),
)


def test_every_part_of_the_total_is_named() -> None:
    result = purchase_total(Decimal(25_000), TERMS)

    assert [name for name, _ in result.parts] == [
        "price",
        "sales tax",
        "sales tax, surtax",
        "use tax",
        "title",
        "broker",
        "delivery",
    ]
    assert (
        result.total
        == Decimal(25000)
        + 1500
        + 50
        + Decimal("312.50")
        + Decimal("78.25")
        + Decimal("932.50")
        + 1594
    )


def test_a_price_without_terms_is_the_total() -> None:
    assert total_on(Decimal("12345.67"), PurchaseTerms()) == Decimal("12345.67")


prices = st.integers(0, 200_000_000).map(lambda cents: Decimal(cents) / 100)


@given(prices, prices)
def test_a_higher_price_never_costs_less_in_total(one: Decimal, other: Decimal) -> None:
    low, high = sorted((one, other))

    assert total_on(low, TERMS) <= total_on(high, TERMS)


@given(prices)
def test_parts_add_up_to_the_cent_at_every_price(price: Decimal) -> None:
    result = purchase_total(price, TERMS)

    assert result.total == sum(amount for _, amount in result.parts)
    assert all(amount == amount.quantize(Decimal("0.01")) for _, amount in result.parts)
    assert all(one.taxable + one.exempt == one.base for one in result.taxes)


@given(prices)
def test_the_inverse_gives_back_the_price(price: Decimal) -> None:
    assert highest_price_within(total_on(price, TERMS), TERMS) == price


@given(prices)
def test_one_cent_more_than_the_highest_price_breaks_the_budget(money: Decimal) -> None:
    price = highest_price_within(money, TERMS)

    if price is None:
        assert total_on(Decimal(0), TERMS) > money
    else:
        assert total_on(price, TERMS) <= money < total_on(price + Decimal("0.01"), TERMS)


@pytest.mark.parametrize("digits", [0, 2, 3])
def test_the_inverse_works_in_any_minor_unit(digits: int) -> None:
    terms = PurchaseTerms((flat_tax("tax", Decimal("0.1")),), minor_digits=digits)
    price = highest_price_within(Decimal(1100), terms)

    assert price == 1000
