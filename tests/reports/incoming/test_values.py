"""Numbers, days and answers one by one: what can be read, what is asked, what is refused."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from babel.numbers import format_decimal
from hypothesis import given
from hypothesis import strategies as st

from tests.figures.small_yard import search, small_catalogue
from tests.reports.incoming.filling import TODAY
from workbench.catalogue.basics import Choice
from workbench.catalogue.model import Entry
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.reports.incoming.asking import Scales
from workbench.reports.incoming.cells import Cell, Holds, Incoming, row_and_column
from workbench.reports.incoming.entry_values import entry_value
from workbench.reports.incoming.headings import split_heading
from workbench.reports.incoming.preview import Draft, Request
from workbench.reports.incoming.prices import named_currency
from workbench.reports.incoming.text_values import (
    clean,
    marks_of,
    parse_number,
    undefused,
    written_day,
)
from workbench.reports.incoming.xlsx_cells import day_of, exact, unescaped
from workbench.reports.incoming.xlsx_styles import look_of

SHARE = Entry("share", "Share", "number", "%", "%", Decimal(0), Decimal(100))
LENGTH = Entry("length", "Length", "number", "mm", "in", Decimal(0), Decimal(100))
YEAR = Entry("year", "Year", "year", "calendar year", "", Decimal(1930), Decimal(2100))
STATE = Entry(
    "state",
    "State",
    "choice",
    choices=(Choice("good", "good, as new"), Choice("bad", "Bad  or worse")),
)


def scales() -> Scales:
    """How a file without anything of note is read."""
    request = Request(Incoming("f.xlsx", "xlsx", ()), search({}), small_catalogue(), TODAY)
    return Scales(Draft(request, "x"), (), ())


def number(value: str, *, percent: bool = False) -> Cell:
    return Cell("A1", Holds.NUMBER, value, number=Decimal(value), percent=percent)


def text(value: str) -> Cell:
    return Cell("A1", Holds.TEXT, value)


@pytest.mark.parametrize(
    ("entry", "cell", "unit", "expected"),
    [
        (SHARE, number("0.25", percent=True), "", Quantity(Decimal(25), "%")),
        (SHARE, number("25"), "", Quantity(Decimal(25), "%")),
        (SHARE, text("25 %"), "", Quantity(Decimal(25), "%")),
        (LENGTH, number("12.5"), "mm", Quantity(Decimal("12.5"), "mm")),
        (LENGTH, number("0.5"), "in", Quantity(Decimal("0.5"), "in")),
        (LENGTH, text("½ in"), "mm", Quantity(Decimal("0.5"), "in")),
        (LENGTH, text("12,5"), "mm", Quantity(Decimal("12.5"), "mm")),
        (LENGTH, number("12.5"), "kg", Quantity(Decimal("12.5"), "mm")),
        (YEAR, number("1986"), "year", Quantity(Decimal(1986), "calendar year")),
        (
            YEAR,
            Cell("A1", Holds.DAY, "1986-05-01", day=date(1986, 5, 1)),
            "",
            Quantity(Decimal(1986), "calendar year"),
        ),
        (STATE, text("  GOOD, as  new "), "", "good"),
        (STATE, text("bad or worse"), "", "bad"),
        (STATE, text("bad"), "", "bad"),
    ],
)
def test_an_answer_is_read_as_what_it_says(
    entry: Entry, cell: Cell, unit: str, expected: Quantity | str
) -> None:
    assert entry_value(entry, cell, unit, scales()) == expected


@pytest.mark.parametrize(
    ("entry", "cell", "words"),
    [
        (LENGTH, number("0.25", percent=True), "formatted as a percentage"),
        (LENGTH, text("5 in"), "5 in is more than 100 mm"),
        (LENGTH, text("5 kg"), "is not a length"),
        (YEAR, number("86"), "is no year"),
        (YEAR, number("1900"), "1900 is less than 1930"),
        (YEAR, text("MCMLXXXVI"), "is not a number"),
        (STATE, text("worn"), "There are: good, as new; Bad  or worse."),
        (STATE, number("3"), "none of the choices"),
    ],
)
def test_an_answer_that_cannot_be_is_refused_in_words(entry: Entry, cell: Cell, words: str) -> None:
    with pytest.raises(EntryError, match=words.replace("(", r"\(")):
        entry_value(entry, cell, "mm" if entry is LENGTH else "", scales())


@given(
    st.decimals(min_value=0, max_value=10**8, places=2),
    st.sampled_from(["en_US", "de_DE", "fr_FR", "de_CH", "en_IN", "sv_SE"]),
)
def test_numbers_of_many_countries_are_read_as_the_babel_library_writes_them(
    amount: Decimal, country: str
) -> None:
    written = format_decimal(amount, format="#,##0.00", locale=country)
    if country == "en_IN":
        written = format_decimal(amount, locale="en_US", format="#,##0.00")
    marks = marks_of([written])

    assert not marks.must_be_asked
    assert parse_number(written, marks.settled("")) == amount


@given(st.integers(1, 999), st.integers(0, 999), st.sampled_from(",."))
def test_a_number_that_can_be_two_is_never_read_without_asking(
    first: int, last: int, mark: str
) -> None:
    written = f"{first}{mark}{last:03}"

    assert marks_of([written]).must_be_asked
    with pytest.raises(EntryError, match="two ways"):
        parse_number(written, "")
    assert parse_number(written, mark) == Decimal(f"{first}.{last:03}")
    assert parse_number(written, "," if mark == "." else ".") == first * 1000 + last


def test_the_mark_is_asked_where_the_file_speaks_with_two_tongues() -> None:
    marks = marks_of(["0,8", "1.5", "1.234"])

    assert marks.must_be_asked
    assert marks.settled("") == ""
    assert marks.settled(",") == ","


@given(st.dates(date(1990, 1, 1), date(2060, 12, 31)))
def test_a_day_written_out_is_that_day_and_one_in_figures_is_asked_where_it_is_open(
    on: date,
) -> None:
    months = "January February March April May June July August September October November December"
    name = months.split()[on.month - 1]
    for written in (f"{on.day} {name} {on.year}", f"{name[:3]} {on.day}, {on.year}", f"{on}"):
        assert written_day(written).on("") == on, written
    figures = written_day(f"{on.day}/{on.month}/{on.year}")
    assert figures.is_open is (on.day <= 12 and on.day != on.month)
    assert figures.on("dmy") == on
    if figures.is_open:
        assert figures.on("") is None
        assert figures.on("mdy") == date(on.year, on.day, on.month)


@pytest.mark.parametrize(
    "written", ["soon", "31/02/2026", "2026-13-01", "12", "1/2", "1.2.3.4", ""]
)
def test_what_is_no_day_is_none(written: str) -> None:
    assert written_day(written).on("dmy") is None


@pytest.mark.parametrize(
    ("serial", "from_1904", "on"),
    [
        # ECMA-376, part 1, 18.17.4.1 (from memory): the ends of both calendars.
        ("1", False, date(1900, 1, 1)),
        ("59", False, date(1900, 2, 28)),
        ("61", False, date(1900, 3, 1)),
        ("2958465", False, date(9999, 12, 31)),
        ("0", True, date(1904, 1, 1)),
        ("39446", False, date(2007, 12, 30)),
        ("60", False, None),
        ("-1", False, None),
        ("9999999", False, None),
    ],
)
def test_serial_days_are_those_of_the_standard(
    serial: str, from_1904: bool, on: date | None
) -> None:
    assert day_of(Decimal(serial), from_1904=from_1904) == on


@pytest.mark.parametrize(
    ("number_format", "pattern", "is_day", "percent", "currency"),
    [
        (14, "", True, False, ""),
        (20, "", False, False, ""),
        (10, "", False, True, ""),
        (44, "", False, False, "$"),
        (164, "yyyy-mm-dd", True, False, ""),
        (164, "d. mmmm yy", True, False, ""),
        (164, "hh:mm", False, False, ""),
        (164, "0.00", False, False, ""),
        (164, '0.0 "days"', False, False, ""),
        (164, "0.0%", False, True, ""),
        (164, "[$€-407]#,##0.00", False, False, "€"),
        (164, '#,##0 "kr"', False, False, "kr"),
        (164, "[Red]#,##0;[Blue]-#,##0", False, False, ""),
        (164, "General", False, False, ""),
    ],
)
def test_number_formats_say_what_they_show(
    number_format: int, pattern: str, is_day: bool, percent: bool, currency: str
) -> None:
    look = look_of(number_format, pattern)

    assert (look.is_day, look.percent, look.currency) == (is_day, percent, currency)


@given(st.floats(-1e12, 1e12))
def test_a_stored_number_is_its_shortest_writing(stored: float) -> None:
    assert float(exact(stored)) == stored
    assert len(str(exact(0.1))) == 3


@pytest.mark.parametrize("stored", [float("inf"), float("nan"), 1e300])
def test_what_is_no_number_of_a_boat_is_refused(stored: float) -> None:
    with pytest.raises(ValueError, match="not a number"):
        exact(stored)


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("LOA [m]", "LOA", "m"),
        ("Price, EUR", "Price", "EUR"),
        ("Shaft (mm)", "Shaft", "mm"),
        ("Could not see, why", "Could not see", "why"),
        ("Name", "Name", ""),
    ],
)
def test_a_heading_is_told_from_its_unit(heading: str, name: str, unit: str) -> None:
    assert split_heading(heading) == (name, unit)


@pytest.mark.parametrize(
    ("written", "named"),
    [("€ 5", "€"), ("5 EUR", "EUR"), ("eur 5", "EUR"), ("5 kr", "kr"), ("5 krona", ""), ("5", "")],
)
def test_the_currency_of_a_price_is_told(written: str, named: str) -> None:
    assert named_currency(written) == named


def test_escapes_and_signs_that_must_not_stay_are_undone() -> None:
    assert unescaped("a_x000D_b_x005F_x0041_") == "a\rb_x0041_"
    assert clean("a\r\nb\x07\u2028c\ud800\ufeff") == "a\nb\nc\ufffd"
    assert [undefused(one) for one in ("'=1", "'5", "'@x", "it's")] == ["=1", "'5", "@x", "it's"]


@pytest.mark.parametrize(
    ("reference", "place"),
    [
        ("A1", (1, 1)),
        ("$B$7", (7, 2)),
        ("XFD1048576", (1_048_576, 16_384)),
        ("7", None),
        ("a1", None),
    ],
)
def test_references_are_read(reference: str, place: tuple[int, int] | None) -> None:
    assert row_and_column(reference) == place
