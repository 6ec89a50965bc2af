"""Hull numbers against 33 CFR 181.25, published endings and an alphabet of slips.

The maker code ZZZ is invented. Endings C585, K485, A788, 1275, M75A and M73E are published
patterns (public pages on the three forms); the rest are made from the regulation's text.
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.domain.hull_number import (
    HullNumberFormat,
    read_hull_number,
    same_number,
)

CURRENT = HullNumberFormat.CURRENT
STRAIGHT = HullNumberFormat.STRAIGHT_YEAR
MODEL = HullNumberFormat.MODEL_YEAR


@pytest.mark.parametrize(
    ("number", "form", "month", "years", "model_year", "warned"),
    [
        ("ZZZ12345C585", CURRENT, 3, (1985,), 1985, False),
        ("ZZZ12345K485", CURRENT, 11, (1984,), 1985, False),
        ("ZZZ12345A788", CURRENT, 1, (1987,), 1988, True),
        ("ZZZ12345L624", CURRENT, 12, (2016, 2026), 2024, True),
        ("ZZZ123451275", STRAIGHT, 12, (1975,), None, False),
        ("ZZZ12345M75A", MODEL, 8, (1974,), 1975, False),
        ("ZZZ12345M73E", MODEL, 12, (1972,), 1973, False),
    ],
)
def test_well_formed_numbers_are_dated(
    number: str,
    form: HullNumberFormat,
    month: int,
    years: tuple[int, ...],
    model_year: int | None,
    warned: bool,
) -> None:
    reading = read_hull_number(number)

    assert reading.valid
    assert reading.format is form
    assert reading.build_month == month
    assert reading.build_years == years
    assert reading.model_year == model_year
    assert bool(reading.warnings) is warned
    assert (reading.maker, reading.serial) == ("ZZZ", "12345")


@pytest.mark.parametrize(
    ("number", "position", "part_of_message"),
    [
        ("ZZZ1O345A788", 5, "letter O"),
        ("ZZZ12345M788", 9, "two digits and a letter"),
        ("ZZZ12345N788", 9, "letter from A to L"),
        ("ZZZ12345AA88", 10, "digit is needed"),
        ("ZZZ12345M75M", 9, "letter from A to L"),
        ("ZZZ12345A78", None, "11 characters"),
        ("ZZZ-12345A788", 4, "only letters and digits"),
        ("ZZZ123451375", 9, "no month"),
        ("ZZZ1234512A5", 9, "four digits"),
        ("", None, "0 characters"),
        ("ZZZ1234\u0665A788", 8, "only letters and digits"),
    ],
)
def test_a_faulty_number_says_where_and_what(
    number: str, position: int | None, part_of_message: str
) -> None:
    reading = read_hull_number(number)

    assert not reading.valid
    assert any(
        fault.position == position and part_of_message in fault.message for fault in reading.faults
    )


@pytest.mark.parametrize(
    ("number", "suggestion"),
    [
        ("ZZZ1O345A788", "ZZZ10345A788"),
        ("ZZZI2345A788", "ZZZ12345A788"),
        ("ZZZQ2345A788", "ZZZ02345A788"),
        ("ZZZ12345A7O8", "ZZZ12345A708"),
        ("ZZZ-12345A788", "ZZZ12345A788"),
        ("ZZZ 12345 A788", "ZZZ12345A788"),
        ("ZZZ12345N788", None),
        ("ZZZ12345A78", None),
    ],
)
def test_a_likely_slip_is_put_right_as_a_suggestion(number: str, suggestion: str | None) -> None:
    reading = read_hull_number(number)

    assert not reading.valid
    assert reading.suggestion == suggestion
    assert (f"Did you mean {suggestion}?" in reading.sentences) is (suggestion is not None)


def test_letters_barred_from_the_serial_may_stand_in_the_maker_code() -> None:
    # 33 CFR 181.25(b): the bar on I, O and Q is for characters four to eight.
    assert read_hull_number("QOI12345A788").valid


def test_a_country_prefix_is_set_aside() -> None:
    # Form of ISO 10087: country code, hyphen, the twelve characters (written form from memory).
    reading = read_hull_number("US-ZZZ12345C585")

    assert reading.valid
    assert (reading.country, reading.number) == ("US", "ZZZ12345C585")


def test_small_letters_and_spaces_around_do_not_matter() -> None:
    reading = read_hull_number("  zzz12345c585 ")

    assert reading.valid
    assert reading.given == "  zzz12345c585 "
    assert reading.suggestion is None


def test_a_well_formed_number_is_never_called_proof() -> None:
    sentences = read_hull_number("ZZZ12345C585").sentences

    assert sentences[0].endswith("built March 1985, model year 1985.")
    assert "no check digit" in sentences[-1]


def test_a_contradiction_names_both_years() -> None:
    warning = read_hull_number("ZZZ12345L624").warnings[0]

    assert "2016 or 2026" in warning
    assert "2024" in warning


@pytest.mark.parametrize(
    ("number", "warned"),
    [
        ("ZZZ12345F617", False),  # June 2016 opens model year 2017
        ("ZZZ12345E617", True),  # May 2016 does not
        ("ZZZ12345G717", False),  # July 2017 closes it
        ("ZZZ12345H717", True),
        ("ZZZ12345G516", True),  # July 2015 is before model year 2016 by the older rule
        ("ZZZ12345H516", False),
    ],
)
def test_the_model_year_grew_to_fourteen_months_in_2017(number: str, warned: bool) -> None:
    # 46 USC 4302(e) and 33 CFR 175.3: 1 June to 31 July since model year 2017, 1 August before.
    assert bool(read_hull_number(number).warnings) is warned


@pytest.mark.parametrize(
    ("number", "part"),
    [
        ("ZZZ123451071", "outside the years"),
        ("ZZZ123450884", "outside the years"),
        ("ZZZ12345M85A", "outside the years"),
        ("ZZZ12345G484", "not required before"),
        ("1ZZ12345C585", "maker code"),
    ],
)
def test_an_unlikely_number_is_warned_of_and_not_rejected(number: str, part: str) -> None:
    reading = read_hull_number(number)

    assert reading.valid
    assert any(part in warning for warning in reading.warnings)


@pytest.mark.parametrize(
    ("number", "told"),
    [
        ("ZZZ12345E617", "May 2016 lies outside model year 2017, which ran from June 2016 to July"),
        ("ZZZ12345G516", "July 2015 lies outside model year 2016, which ran from August 2015 to"),
        ("ZZZ123451071", "October 1971 lies outside the years of this form"),
    ],
)
def test_a_warning_names_the_month_and_the_span(number: str, told: str) -> None:
    assert read_hull_number(number).warnings[0].startswith(told)


@pytest.mark.parametrize(("number", "warned"), [("ZZZ12345G484", True), ("ZZZ12345H485", False)])
def test_the_current_form_is_expected_from_august_1984(number: str, warned: bool) -> None:
    told = read_hull_number(number).warnings

    assert any("not required before" in warning for warning in told) is warned


def test_a_model_year_in_the_future_is_noticed_when_the_year_is_known() -> None:
    assert not read_hull_number("ZZZ12345A450").warnings[0].startswith("Model year 2050")
    future = read_hull_number("ZZZ12345A050", this_year=2026)
    assert "lies in the future" in future.warnings[-1]


def test_one_number_on_two_boats_is_found() -> None:
    # 33 CFR 181.23(c): no number may be assigned to more than one boat.
    pairs = same_number(
        {"Alder": "ZZZ12345C585", "Birch": "us-zzz12345c585", "Cedar": "", "Dogwood": ""}
    )

    assert pairs == (("Alder", "Birch"),)


LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
serials = st.text(
    [sign for sign in LETTERS + "0123456789" if sign not in "IOQ"], min_size=5, max_size=5
)


@given(st.text(list(LETTERS), min_size=3, max_size=3), serials, st.integers(0, 11), st.data())
def test_every_number_made_by_the_regulation_is_read_back(
    maker: str, serial: str, month: int, data: st.DataObject
) -> None:
    model = data.draw(st.integers(1985, 2083))
    year = data.draw(st.sampled_from([model - 1, model]))
    number = f"{maker}{serial}{LETTERS[month]}{year % 10}{model % 100:02d}"
    reading = read_hull_number(number)

    assert reading.valid
    assert reading.build_month == month + 1
    assert reading.build_years == (year,)
    assert reading.model_year == model


@given(st.text(max_size=16))
def test_no_text_whatever_raises_and_validity_follows_the_shape(text: str) -> None:
    reading = read_hull_number(text)

    assert reading.sentences
    if reading.valid:
        assert re.fullmatch("[A-Z0-9]{3}[A-HJ-NPR-Z0-9]{5}[A-M0-9][0-9]{2}[0-9A-L]", reading.number)


@given(st.text(list(LETTERS + "0123456789 -/"), min_size=10, max_size=15))
def test_a_suggestion_is_itself_a_valid_number(text: str) -> None:
    suggestion = read_hull_number(text).suggestion

    assert suggestion is None or read_hull_number(suggestion).valid
