"""Money is exact, rounds once to the currency's decimals, and its parts always add up."""

from decimal import Decimal

import pytest
from babel.core import get_global
from babel.numbers import get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from workbench.domain.currencies import DECIMALS
from workbench.domain.money import Money, cents, share_out, total
from workbench.domain.problem import EntryError

amounts = st.decimals(min_value=0, max_value=10**7, places=2)


def test_the_decimals_of_every_currency_are_those_of_the_unicode_cldr() -> None:
    """Unicode CLDR supplemental data as packaged by Babel."""
    legal = {
        code
        for entries in get_global("territory_currencies").values()
        for code, _, end, tender in entries
        if end is None and tender
    }

    assert set(DECIMALS) == legal
    assert {code: get_currency_precision(code) for code in DECIMALS} == DECIMALS


@pytest.mark.parametrize(
    ("amount", "currency", "expected"),
    [
        ("2.345", "USD", "2.35"),
        ("2.344", "USD", "2.34"),
        ("-2.345", "USD", "-2.35"),
        ("2.5", "JPY", "3"),
        ("1.2345", "KWD", "1.235"),
    ],
)
def test_an_amount_rounds_half_up_in_its_own_currency(
    amount: str, currency: str, expected: str
) -> None:
    assert cents(Decimal(amount), currency) == Decimal(expected)


def test_two_currencies_are_never_added_silently() -> None:
    with pytest.raises(EntryError, match="exchange rate"):
        _ = Money(Decimal(1), "USD") + Money(Decimal(1), "EUR")


def test_an_unknown_currency_is_refused_with_examples() -> None:
    with pytest.raises(EntryError, match="USD, EUR or GBP"):
        Money(Decimal(1), "XYZ")


@pytest.mark.parametrize("amount", ["NaN", "Infinity", "1e10"])
def test_an_amount_no_boat_could_cost_is_refused(amount: str) -> None:
    with pytest.raises(EntryError):
        Money(Decimal(amount), "USD")


def test_a_total_of_nothing_is_nothing_in_its_currency() -> None:
    assert total([], "EUR") == Money(Decimal(0), "EUR")


@given(amounts, st.lists(amounts, min_size=1, max_size=12))
def test_shares_of_an_amount_add_up_to_it_to_the_cent(
    amount: Decimal, weights: list[Decimal]
) -> None:
    assert sum(share_out(amount, weights, "USD")) == amount


@given(amounts, st.integers(1, 9))
def test_equal_weights_give_shares_that_differ_by_a_cent_at_most(amount: Decimal, n: int) -> None:
    shares = share_out(amount, [Decimal(1)] * n, "USD")

    assert max(shares) - min(shares) <= Decimal("0.01")
