"""An advertisement gives what stands in it, with its words, and nothing that does not."""

from __future__ import annotations

import dataclasses
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.reports.incoming.advertisements import ALL, Expected
from workbench.catalogue.loading import load
from workbench.domain.money import Money
from workbench.domain.problem import HardstandError
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.paths import resource
from workbench.reports.incoming.listing_html import text_of_file
from workbench.reports.incoming.listing_page import LONGEST_READ
from workbench.reports.incoming.listing_text import Finding, Listing, Remark, Sure, read_listing
from workbench.reports.incoming.listing_words import FILE, listing_words, read_words

TODAY = date(2026, 5, 10)
CATALOGUE = load()
TABLE = resource(FILE).read_text(encoding="utf-8")


def read(text: str, currency: str = "EUR") -> Listing:
    return read_listing(text, CATALOGUE, Settings(currency=currency), TODAY)


def taken(listing: Listing) -> dict[str, str]:
    return {one.field: written(one) for one in listing.findings if one.is_taken}


def written(one: Finding) -> str:
    value = one.value
    if isinstance(value, Money):
        return f"{value.amount:,.0f} {value.currency}"
    if isinstance(value, Quantity):
        number = f"{value.number.normalize():f}"
        return number if value.unit == "count" else f"{number} {value.unit}"
    return str(value)


def remarks(listing: Listing, field: str) -> set[Remark]:
    found = [one for one in listing.findings if one.field == field]
    return {note.remark for one in found for note in one.notes}


@pytest.mark.parametrize(("text", "expected"), ALL.values(), ids=ALL.keys())
def test_an_advertisement_gives_just_what_a_reader_finds(text: str, expected: Expected) -> None:
    listing = read(text)

    assert taken(listing) == {field: value for field, value in expected.items() if value}
    fields = {one.field for one in listing.findings}
    assert {field for field, value in expected.items() if value is None} <= fields


@pytest.mark.parametrize("text", [text for text, _ in ALL.values()], ids=ALL.keys())
def test_every_finding_names_the_words_it_is_from(text: str) -> None:
    listing = read(text)

    for one in listing.findings:
        assert 0 <= one.start < one.end <= len(listing.text)
        assert listing.words(one)
    assert all(note.sentence() for one in listing.findings for note in one.notes)


@pytest.mark.parametrize(
    ("text", "field", "remark"),
    [
        ("Draft: 31 m", "size/draft", Remark.TOO_BIG_OR_SMALL),
        ("Displacement: 5 tons", "size/displacement", Remark.WHICH_UNIT),
        ("LOA: 9.6 m (35 ft)", "size/loa", Remark.UNITS_DISAGREE),
        ("Beam: 3.1", "size/beam", Remark.NO_UNIT),
        ("Built: 2199", "year", Remark.NO_YEAR),
        ("wheel steering", "fact/steering", Remark.OPEN),
        ("long keel. twin keels.", "fact/keel", Remark.SAID_OTHERWISE),
        ("LOA: 9.6 m\nLength overall: 10.4 m", "size/loa", Remark.SAID_OTHERWISE),
        ("HIN: ZZZ123", "hull_number", Remark.HULL_NUMBER),
    ],
)
def test_what_cannot_be_taken_says_why(text: str, field: str, remark: Remark) -> None:
    listing = read(text)

    assert remark in remarks(listing, field)
    assert field not in taken(listing)


def test_of_two_units_the_one_written_more_finely_is_taken() -> None:
    # 40 ft are 12.192 m exactly (international foot of 1959), so "12 m" is the rounded one.
    assert taken(read("LOA 40 ft / 12 m"))["size/loa"] == "40 ft"
    assert taken(read("LOA 12.19 m (40 ft)"))["size/loa"] == "12.19 m"


def test_a_price_without_currency_is_in_the_searchs_own_and_says_so() -> None:
    listing = read("Price 24,500 ONO", "SEK")

    assert taken(listing)["price"] == "24,500 SEK"
    assert Remark.NO_CURRENCY in remarks(listing, "price")


def test_several_prices_without_a_word_for_them_are_left_to_the_buyer() -> None:
    assert "price" not in taken(read("£4,000 here, and £24,500 there."))


def test_control_signs_are_cleaned_and_letters_come_in_one_form() -> None:
    listing = read("LOA\x00: 9.6\u00a0m\u200b\nBREITE U\u0308BER ALLES 3,1 m")

    assert taken(listing) == {"size/loa": "9.6 m", "size/beam": "3.1 m"}
    assert "\x00" not in listing.text


@pytest.mark.parametrize(
    "junk",
    [
        "1",
        "1,",
        "1 000 ",
        "12 ft 1/",
        "LOA ",
        "LOA 9 m / ",
        "price £1 ",
        "fin keel ",
        "(",
        "built ",
    ],
)
def test_a_megabyte_of_rubbish_is_kept_and_only_its_beginning_is_read(junk: str) -> None:
    listing = read(junk * (1_000_000 // len(junk)))

    assert listing.is_cut
    assert all(one.end <= LONGEST_READ for one in listing.findings)


@settings(max_examples=150)
@given(st.text(max_size=400))
def test_no_text_breaks_the_reading(text: str) -> None:
    for one in read(text).findings:
        assert one.value is not None or one.notes


# --- A boat written down and read back ---

SIZES = {
    "loa": "Length overall",
    "lwl": "Wasserlinie",
    "beam": "Beam",
    "draft": "Tiefgang",
    "headroom": "Headroom",
}


@st.composite
def boats(draw: st.DrawFn) -> tuple[str, dict[str, str]]:
    """The lines of an advertisement and the particulars they were made from."""
    lines, expected = [], {}
    for key, words in SIZES.items():
        dimension = CATALOGUE.dimensions[key]
        low, high = int(dimension.low * 100) + 1, int(dimension.high * 100) - 1
        number = Decimal(draw(st.integers(low, high))) / 100
        mark = draw(st.sampled_from(",."))
        lines.append(f"{words}: {number}".replace(".", mark) + " m")
        expected[f"size/{key}"] = f"{number.normalize():f} m"
    year, amount = draw(st.integers(1900, 2026)), draw(st.integers(1_000, 900_000))
    grouped = f"{amount:,}".replace(",", draw(st.sampled_from(",. ")))
    lines += [f"Baujahr {year}", f"Asking price {grouped} €"]
    expected |= {"year": str(year), "price": f"{amount:,} EUR"}
    single = [key for key, one in listing_words().facts.items() if len(one.among) == 1]
    phrases = {
        meaning.key: " ".join(phrase)
        for phrase, meanings in listing_words().phrases.items()
        for meaning in meanings
        if len(meanings) == 1 and meaning.part == "fact"
    }
    group = draw(st.sampled_from([key for key in single if key in phrases]))
    lines.append(phrases[group])
    words_of = listing_words().facts[group]
    expected[f"fact/{words_of.fact}"] = words_of.among[0]
    return "\n".join(draw(st.permutations(lines))), expected


@settings(max_examples=150)
@given(boats())
def test_a_boat_written_down_reads_back_the_same(made: tuple[str, dict[str, str]]) -> None:
    text, expected = made

    assert taken(read(text)) == expected


# --- The table of words ---


def test_every_word_of_the_table_is_known_to_the_catalogue() -> None:
    words = listing_words()
    sizes = {one.key for found in words.phrases.values() for one in found if one.part == "size"}

    assert sizes == set(CATALOGUE.dimensions)
    for one in words.facts.values():
        assert set(one.among) <= {choice.id for choice in CATALOGUE.facts[one.fact].choices}
    assert {size for row in words.rows.values() for size in row} <= set(CATALOGUE.dimensions)


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("format = 1", "format = 2"),
        ('first = ["breite"', 'frist = ["breite"'),
        ("[texts.seller]", "[texts.colour]"),
        ('first = ["breite"', 'first = ["draft", "breite"'),
        ('mm = ["mm"', 'furlong = ["mm"'),
        ('choice = "spade"', 'chioce = "spade"'),
        ('first = ["breite"', 'first = [" - ", "breite"'),
        ("[numbers]", "[numbers"),
    ],
)
def test_a_fault_in_the_table_is_named(right: str, wrong: str) -> None:
    assert right in TABLE

    with pytest.raises(HardstandError) as caught:
        read_words(TABLE.replace(right, wrong, 1))

    assert all(FILE in one.where and one.message for one in caught.value.problems)


# --- Saved pages ---


def test_a_saved_page_gives_its_words_and_none_of_its_scripts() -> None:
    page = (
        b"<!doctype html><html><head><title>no</title><style>p{}</style></head><body><p>LOA "
        b"<b>9.6&nbsp;m</b></p><script>var beam = '3.1 m'</script><table><tr><td>Year</td>"
        b"<td>1986</td></tr></table></body></html>"
    )
    text = text_of_file(page, "ad.html")

    assert taken(read(text)) == {"size/loa": "9.6 m", "year": "1986"}
    assert "beam" not in text


def test_a_text_of_an_older_code_page_is_read() -> None:
    assert text_of_file("Länge 9,6 m".encode("cp1252"), "ad.txt") == "Länge 9,6 m"


def test_a_finding_is_taken_only_when_it_is_sure_enough() -> None:
    one = Finding("year", 1986, 0, 4)

    assert one.is_taken
    assert not dataclasses.replace(one, sure=Sure.DOUBTFUL).is_taken
    assert not dataclasses.replace(one, value=None).is_taken
