"""Tables of boats and of comparables come in by their headings, row by row, once."""

from __future__ import annotations

import io
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from tests.figures.small_yard import ALL_GOOD, search, small_catalogue
from tests.reports.incoming.filling import TODAY, preview, table, taken_in
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.money import Money
from workbench.domain.project import Comparable, Project
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Asked, Status
from workbench.edits.edit import apply
from workbench.edits.searching import put_comparable
from workbench.figures.assess import assess
from workbench.reports.incoming.reading import Stopped, read_incoming
from workbench.reports.workbook import write_workbook

BOATS = table(
    [
        "Yacht",
        "Class",
        "Built by",
        "Year",
        "LOA [ft]",
        "Shaft (mm)",
        "Drive",
        "Asking, EUR",
        "Lying",
    ],
    ["Zoë", "Invented 31", "North Shed", 1986, 31.5, 25, "shaft", 24_500, "Löwen Yard"],
    ["Max", None, None, "1979", "9,2 m", None, "Saildrive", "18 000", None],
)


def boat(project: Project, boat_id: str) -> Boat:
    return project.boats[boat_id].boat


def asked(project: Project, boat_id: str) -> Money | None:
    return boat(project, boat_id).asking_price


def test_a_table_of_boats_becomes_boats_on_the_shortlist() -> None:
    after = taken_in(BOATS)

    zoe, max_ = boat(after, "zoe"), boat(after, "max")
    assert (zoe.name, zoe.design, zoe.builder, zoe.year) == (
        "Zoë",
        "Invented 31",
        "North Shed",
        1986,
    )
    assert dict(zoe.dimensions) == {
        "loa": Quantity(Decimal("31.5"), "ft"),
        "shaft-diameter": Quantity(Decimal(25), "mm"),
    }
    assert (dict(zoe.facts), zoe.lies_at) == ({"drive": "shaft"}, "Löwen Yard")
    assert zoe.asking == (AskingPrice(Money(Decimal(24_500), "EUR"), TODAY),)
    assert (max_.year, dict(max_.facts)) == (1979, {"drive": "saildrive"})
    assert max_.dimensions["loa"] == Quantity(Decimal("9.2"), "m")
    assert asked(after, "max") == Money(Decimal(18_000), "EUR")
    assert zoe.stream != max_.stream
    assert zoe.stream


def test_the_same_table_a_second_time_changes_nothing() -> None:
    once = taken_in(BOATS)

    again = preview(BOATS, once)

    assert (again.edit, again.changes, again.unchanged) == (None, (), 2)


def test_a_known_boat_is_changed_where_the_table_says_something_else() -> None:
    data = table(
        ["Name", "Year", "Price", "Asked on", "Lies at", "Seller"],
        ["ANN", 1987, 19_500, date(2026, 5, 20), None, "a broker"],
    )

    found = preview(data)
    after = taken_in(data)

    assert [(one.what, one.old, one.new) for one in found.changes] == [
        ("seller", "", "a broker"),
        ("name", "Ann", "ANN"),
        ("year built", "1986", "1987"),
        ("asking price", "20,000 USD", "19,500 USD"),
    ]
    assert [(one.price.amount, one.on) for one in boat(after, "ann").asking] == [
        (Decimal(20_000), date(2026, 5, 1)),
        (Decimal(19_500), date(2026, 5, 20)),
    ]
    assert boat(after, "ann").dimensions == boat(search({}), "ann").dimensions


def test_an_earlier_price_takes_its_place_in_the_history() -> None:
    data = table(["Name", "Price", "Asked on"], ["Ann", 23_000, date(2025, 9, 1)])

    after = taken_in(data)

    assert [one.price.amount for one in boat(after, "ann").asking] == [23_000, 20_000]
    assert preview(data, after).edit is None


def test_an_import_of_boats_is_one_step() -> None:
    before = search({})
    edit = preview(BOATS, before).edit
    assert edit is not None

    after, back = apply(before, edit)

    assert apply(after, back)[0] == before


@pytest.mark.parametrize(("unit", "number"), [("m", 9.5), ("ft", 31.25)])
def test_a_length_without_a_unit_is_asked_about(unit: str, number: float) -> None:
    data = table(["Name", "LOA", "Lies at"], ["Zoe", number, "North"])

    (question,) = preview(data).questions
    after = taken_in(data, answers={question.key: unit})

    assert question.key == "unit/size/loa"
    assert question.text == "In which unit is the column Length?"
    assert boat(after, "zoe").dimensions["loa"] == Quantity(Decimal(str(number)), unit)


def test_feet_taken_for_metres_are_told_of_by_the_limits() -> None:
    data = table(["Name", "LOA (m)", "Lies at"], ["Zoe", 31, "North"])

    (fault,) = preview(data).faults

    assert fault.message == "Length of 31 m lies outside 3 to 30 m."
    assert fault.remedy == "Look at the unit."


@pytest.mark.parametrize(
    ("head", "value", "words"),
    [
        ("Year", 1066, "“1066” is no year she can be of."),
        ("Drive", "sculling", "“sculling” is no drive I know."),
        ("Status", "sunk", "“sunk” is no status."),
        ("Price", -1, "-1 is less than nothing."),
        ("Price", "much", "“much” is not a number."),
        ("Currency", "quids", "“quids” is not the code of a currency in use."),
    ],
)
def test_what_cannot_be_is_told_with_its_cell(head: str, value: object, words: str) -> None:
    row: list[object] = ["Zoe", "North", value]
    heads = ["Name", "Lies at", head]
    if head == "Currency":
        heads, row = [*heads, "Price"], [*row, 100]

    found = preview(table(heads, row))

    assert [one.message for one in found.faults] == [words]
    assert found.faults[0].where in {"file.xlsx, cell C2", "file.xlsx, cell D2"}
    assert found.faults[0].remedy
    assert found.edit is None


def test_a_boat_that_stands_there_twice_is_told_and_both_places_named() -> None:
    found = preview(table(["Name", "Lies at"], ["Zoe", "North"], ["zoe ", "South"]))

    (fault,) = found.faults
    assert (fault.where, fault.message) == (
        "file.xlsx, cell A3",
        "“zoe” stands there twice, first at A2.",
    )


def test_a_row_without_a_name_is_told() -> None:
    found = preview(table(["Name", "Lies at"], [None, "North"]))

    assert [one.message for one in found.faults] == ["The row names no boat."]


def test_columns_that_mean_nothing_here_are_named() -> None:
    found = preview(table(["Name", "Lies at", "Colour"], ["Zoe", "North", "red"]))

    assert "Columns that were passed over: “Colour”." in found.read_as


def test_a_status_is_taken_in() -> None:
    after = taken_in(table(["Name", "Status", "Lies at"], ["Ann", "Visited", "North"]))

    assert boat(after, "ann").status is Status.VISITED


def test_a_dollar_is_the_dollar_of_the_search_and_a_crown_is_asked_about() -> None:
    dollars = taken_in(table(["Name", "Price", "Lies at"], ["Zoe", "$ 24,500.00", "North"]))
    crowns = table(["Name", "Price", "Lies at"], ["Zoe", "200 000 kr", "North"])

    (question,) = preview(crowns).questions
    after = taken_in(crowns, answers={question.key: "DKK"})

    assert asked(dollars, "zoe") == Money(Decimal(24_500), "USD")
    assert question.text == "Which currency is “kr”?"
    assert asked(after, "zoe") == Money(Decimal(200_000), "DKK")


SOLD = table(
    ["Model", "Year", "Length (m)", "Sold price", "Currency", "Sold on", "Condition", "Source"],
    ["Invented 31", 1985, 9.4, 21_000, "EUR", date(2025, 10, 1), "good", "a broker"],
    ["Invented 31", 1985, 9.4, 18_500, "EUR", date(2025, 11, 1), -1, None],
    ["Other 30", None, None, 15_000, "EUR", None, None, None],
)


def test_a_table_of_sales_becomes_comparables() -> None:
    first, second, third = taken_in(SOLD).comparables

    assert first == Comparable(
        "comparable-1",
        "Invented 31",
        Money(Decimal(21_000), "EUR"),
        Asked.SOLD,
        1985,
        Quantity(Decimal("9.4"), "m"),
        date(2025, 10, 1),
        1,
        source="a broker",
    )
    assert (second.price.amount, second.condition) == (Decimal(18_500), -1)
    assert (third.title, third.year, third.asked) == ("Other 30", None, Asked.SOLD)


def test_sales_a_second_time_change_nothing_and_sisters_are_both_kept() -> None:
    once = taken_in(SOLD)

    again = preview(SOLD, once)

    assert len(once.comparables) == 3
    assert (again.edit, again.unchanged) == (None, 3)


def test_a_comparable_with_its_id_is_changed() -> None:
    once = taken_in(SOLD)
    data = table(
        ["Id", "Title", "Price", "Currency", "Asked or sold", "Sold on"],
        ["comparable-2", "Invented 31", 18_900, "EUR", "sold", date(2025, 11, 1)],
    )

    found = preview(data, once)

    (change,) = found.changes
    assert "18,500 EUR sold" in change.old
    assert "18,900 EUR sold" in change.new
    assert len(taken_in(data, once).comparables) == 3


def test_prices_are_asked_ones_where_nothing_says_that_they_were_paid() -> None:
    data = table(["Model", "Price", "Date"], ["Invented 31", 21_000, date(2026, 1, 1)])

    found = preview(data)

    assert "Prices are taken as asked, as no column says." in found.read_as
    assert "Prices without a currency are taken to be in USD." in found.read_as
    assert taken_in(data).comparables[0].asked is Asked.ASKED


@pytest.mark.parametrize(
    ("head", "value", "words"),
    [
        ("Condition", 3, "“3” is no condition."),
        ("Asked or sold", "swapped", "“swapped” is neither asked nor sold."),
        ("Price", 0, "A comparable needs a price above 0."),
        ("Price", None, "The row has no price."),
        ("Year", "old", "“old” is not a number."),
    ],
)
def test_a_comparable_that_cannot_be_is_told(head: str, value: object, words: str) -> None:
    heads = ["Model", "Source", "Price"]
    row: list[object] = ["Invented 31", "a broker", 20_000]
    if head == "Price":
        row[2] = value
    else:
        heads, row = [*heads, head], [*row, value]

    found = preview(table(heads, row))

    assert [one.message for one in found.faults] == [words]
    assert found.edit is None


def test_a_table_that_can_be_either_is_asked_about() -> None:
    data = table(["Boat", "Price"], ["Zoe", 20_000])

    (question,) = preview(data).questions

    assert question.key == "kind"
    assert "zoe" in taken_in(data, answers={"kind": "boats"}).boats
    assert taken_in(data, answers={"kind": "comparables"}).comparables[0].title == "Zoe"


def test_the_programs_own_workbook_comes_back_and_changes_nothing(tmp_path: Path) -> None:
    project = search(
        ALL_GOOD,
        more=[
            lambda p: put_comparable(
                p,
                Comparable(
                    "",
                    "Invented 31",
                    Money(Decimal(21_000), "EUR"),
                    Asked.SOLD,
                    1985,
                    Quantity(Decimal(31), "ft"),
                    date(2025, 10, 1),
                    1,
                    Decimal(300),
                    "a broker",
                ),
            )
        ],
    )
    made = write_workbook(assess(project, small_catalogue()), tmp_path / "w.xlsx")
    data = made.read_bytes()

    assert [one.key for one in preview(data, project).questions] == ["sheet"]
    for sheet in ("Boats", "Comparables"):
        found = preview(data, project, {"sheet": sheet})
        assert (found.edit, found.faults, found.unchanged) == (None, (), 1), sheet


def test_a_price_changed_in_the_programs_own_workbook_comes_back(tmp_path: Path) -> None:
    project = search({})
    made = write_workbook(assess(project, small_catalogue()), tmp_path / "w.xlsx")
    book = openpyxl.load_workbook(io.BytesIO(made.read_bytes()))
    boats = book["Boats"]
    assert isinstance(boats, Worksheet)
    boats["E2"] = 1990
    book.save(tmp_path / "back.xlsx")

    after = taken_in((tmp_path / "back.xlsx").read_bytes(), project, {"sheet": "Boats"})

    assert boat(after, "ann").year == 1990


def test_reading_can_be_stopped_at_any_of_its_steps() -> None:
    for many in (0, 1, 5, 20):
        left = [many]

        def stop(left: list[int] = left) -> bool:
            left[0] -= 1
            return left[0] < 0

        with pytest.raises(Stopped):
            read_incoming("file.xlsx", BOATS, stop)
        left[0] = many
        if many < 3:
            with pytest.raises(Stopped):
                read_incoming("file.csv", b"Name;Price\nZoe;1\nMax;2\n", stop)


def test_a_table_longer_than_any_shortlist_is_told_and_not_gone_through() -> None:
    rows = [["Name", "Lies at"], *([f"Boat {number}", "North"] for number in range(2_001))]

    found = preview(table(*rows))

    assert [one.message for one in found.faults] == ["It has 2,001 rows; 2,000 is the limit."]
    assert (found.edit, found.rows) == (None, 0)


def test_two_rows_that_say_the_same_are_one_comparable() -> None:
    row = ["Invented 31", 21_000, "a broker"]

    found = preview(table(["Model", "Price", "Source"], row, row))

    assert (len(found.changes), found.unchanged) == (1, 1)
