"""Numbers are read as people write them, and the ambiguous is refused rather than guessed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.domain.problem import EntryError
from workbench.domain.written_numbers import parse_decimal


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("0,8", "0.8"),
        ("0.8", "0.8"),
        (" 12 ", "12"),
        ("1.234,56", "1234.56"),
        ("1,234.56", "1234.56"),
        ("1 234,56", "1234.56"),
        ("1\u00a0234,56", "1234.56"),
        ("1\u202f234.56", "1234.56"),
        ("1'234.56", "1234.56"),
        ("½", "0.5"),
        ("12½", "12.5"),
        ("1/32", "0.03125"),
        ("12 1/2", "12.5"),
        ("-0", "0"),
        ("\u22123", "-3"),
        ("1e3", "1000"),
        ("٣٫٥".replace("٫", "."), "3.5"),
        (".5", "0.5"),
    ],
)
def test_a_number_is_read_as_people_write_it(text: str, expected: str) -> None:
    assert parse_decimal(text) == Decimal(expected)


def test_a_lone_comma_before_three_digits_is_refused_with_both_readings() -> None:
    with pytest.raises(EntryError, match=r"1234 or as 1\.234"):
        parse_decimal("1,234")


def test_the_locales_decimal_mark_settles_what_is_ambiguous() -> None:
    assert parse_decimal("1,234", ",") == Decimal("1.234")
    assert parse_decimal("1,234", ".") == Decimal(1234)
    assert parse_decimal("1.234", ",") == Decimal(1234)


@pytest.mark.parametrize(
    "text", ["", "abc", "1/0", "1,23,456", "1..2", "--3", "12 mm", "1e99", "½½"]
)
def test_what_is_no_number_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(EntryError) as refused:
        parse_decimal(text)

    assert str(refused.value).endswith(".")


@given(st.decimals(min_value=-(10**9), max_value=10**9, places=3))
def test_a_number_written_plainly_comes_back_exactly(number: Decimal) -> None:
    assert parse_decimal(f"{number:f}", ".") == number
