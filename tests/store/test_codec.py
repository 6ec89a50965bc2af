"""A faulty value costs its field, never the record, and says where it stands (B7, B15, B17)."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest

from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection, Photo, PhotoMark
from workbench.domain.ledger import Ledger, LineChange, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.problem import Problem, Severity
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.domain.span import Ends, Span
from workbench.domain.vocabulary import When
from workbench.store.codec import decode, encode
from workbench.store.faults import Faults
from workbench.store.json_reading import read_json
from workbench.store.json_writing import write_json

MONEY = {"amount": "10.50", "currency": "USD"}


def read(kind: type[Any], plain: Any) -> tuple[Any, list[Problem]]:
    """The record and the problems; what was read is what is written again."""
    plain = read_json(write_json(plain)).value
    faults = Faults("boats/x/file.json", "x")
    record = decode(kind, plain, faults)
    if record is not None:
        assert write_json(encode(record)) == write_json(plain)
    return record, faults.problems


def test_values_are_written_as_the_format_says() -> None:
    line = OwnLine(
        "o1",
        "New hoses",
        Span(Decimal("80.0"), Decimal(120), Decimal(200)),
        when=When.BEFORE_LAUNCHING,
        access=("haul-out",),
    )
    quote = Quote("q1", "North Yard", Money(Decimal("24500.00"), "USD"), on=date(2026, 5, 31))

    assert encode(Ledger(own_lines=(line,), quotes=(quote,))) == {
        "own_lines": [
            {
                "access": ["haul-out"],
                "cost": {"low": "80.0", "likely": "120", "high": "200", "ends": "one-in-ten"},
                "id": "o1",
                "title": "New hoses",
                "when": "before-launching",
            }
        ],
        "quotes": [
            {
                "amount": {"amount": "24500.00", "currency": "USD"},
                "id": "q1",
                "on": "2026-05-31",
                "yard": "North Yard",
            }
        ],
    }


def test_a_quantity_keeps_its_number_and_unit_as_entered() -> None:
    plain = {"id": "a", "name": "A", "dimensions": {"loa": {"number": "31.50", "unit": "ft"}}}

    boat, problems = read(Boat, plain)

    assert problems == []
    assert boat.dimensions == FrozenMap({"loa": Quantity(Decimal("31.50"), "ft")})
    assert str(boat.dimensions["loa"].number) == "31.50"


def test_a_reading_holds_quantities_and_text_side_by_side() -> None:
    values = {"play": {"number": "1.0", "unit": "mm"}, "colour": "green"}

    inspection, problems = read(Inspection, {"readings": {"c": [{"id": "r", "values": values}]}})

    assert problems == []
    assert inspection.readings["c"][0].values == FrozenMap(
        {"play": Quantity(Decimal("1.0"), "mm"), "colour": "green"}
    )


def test_the_currency_and_the_meaning_of_ends_always_stand_beside_their_numbers() -> None:
    assert encode(Settings())["currency"] == "USD"
    assert encode(Span.exactly(Decimal(1)))["ends"] == "limits"


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("name", 5, "Text was expected, not a number."),
        ("name", None, "Text was expected, not nothing (null)."),
        ("year", "1980", "A whole number was expected, not text."),
        ("year", True, "A whole number was expected, not true or false."),
        ("archived", "yes", "true or false was expected, not text."),
        ("archived", 1, "true or false was expected, not a number."),
        ("asking", {}, "A list was expected, not an object."),
        ("dimensions", [], "An object was expected, not a list."),
        ("facts", "shaft", "An object was expected, not text."),
        ("status", "paused", "“paused” is not one of looking, visited"),
        ("distance", {"number": "x", "unit": "nmi"}, "“x” is not a number."),
        ("distance", {"number": "1"}, "It is missing."),
    ],
)
def test_a_wrong_value_costs_its_field_and_not_the_boat(
    field: str, value: object, words: str
) -> None:
    """B7."""
    plain = {"id": "a", "name": "A", "design": "Invented 31", field: value}

    boat, (problem,) = read(Boat, plain)

    assert boat.id == "a"
    assert boat.design == "Invented 31"
    assert words in problem.message
    assert problem.where.startswith(f"boats/x/file.json, {field}")
    assert problem.key.startswith(field)
    assert problem.boat == "x"
    assert problem.remedy


def test_all_faults_of_a_file_are_reported_at_once_each_with_its_place() -> None:
    plain = {
        "quotes": [
            {"id": "q1", "yard": "Y", "amount": MONEY},
            {"id": "q2", "yard": "Y", "amount": {"amount": "x", "currency": "USD"}},
            {"id": 3, "yard": "Y", "amount": MONEY},
        ],
        "changes": {"own/o1": {"when": "soon", "hours": {"rigger": {"low": "3"}}}},
    }

    ledger, problems = read(Ledger, plain)

    assert [quote.id for quote in ledger.quotes] == ["q1", "3"]
    assert {problem.key for problem in problems} == {
        "quotes[2].amount.amount",
        "quotes[3].id",
        "changes.own/o1.when",
        "changes.own/o1.hours.rigger.likely",
    }


def test_a_price_that_cannot_be_read_never_becomes_nought() -> None:
    """B88: unknown is not zero; the quote is left out and its text kept."""
    ledger, problems = read(Ledger, {"quotes": [{"id": "q1", "yard": "Y", "amount": None}]})

    assert ledger.quotes == ()
    assert "left out" in problems[0].message


def test_a_span_the_wrong_way_round_is_refused_and_not_turned() -> None:
    """B81."""
    cost = {"low": "3", "likely": "2", "high": "4", "ends": "limits"}

    change, problems = read(LineChange, {"materials": cost})

    assert change.materials is None
    assert "above likely" in problems[0].message


def test_a_span_without_spread_is_valid() -> None:
    """B82."""
    cost = {"low": "2", "likely": "2", "high": "2", "ends": "limits"}

    change, problems = read(LineChange, {"materials": cost})

    assert problems == []
    assert change.materials == Span.exactly(Decimal(2))


def test_unknown_ends_are_read_as_the_default_and_kept() -> None:
    cost = {"low": "1", "likely": "2", "high": "3", "ends": "one-in-five"}

    change, problems = read(LineChange, {"materials": cost, "hours": {"rigger": cost}})

    assert change.materials is not None
    assert change.materials.ends is Ends.ONE_IN_TEN
    assert {problem.key for problem in problems} == {"materials.ends", "hours.rigger.ends"}


@pytest.mark.parametrize("code", ["XXX", "usd", "", "US DOLLAR"])
def test_an_unknown_currency_is_a_field_error(code: str) -> None:
    """B84."""
    ledger, problems = read(Ledger, {"opening": {"amount": "1", "currency": code}})

    assert ledger.opening is None
    assert "currency" in problems[0].message


@pytest.mark.parametrize(
    "number",
    [
        *("1e400", "NaN", "Infinity", "1_000", "１２", " 1", "1,5", "+1", "0x10", "", ".5"),
        *("1" * 81, "1e999999999", "1e-999999999"),
    ],
)
def test_what_is_no_plain_decimal_is_a_field_error(number: str) -> None:
    """B4, B83, B85."""
    settings, problems = read(Settings, {"currency": "USD", "units": "metric", "budget": number})

    assert settings.budget is None
    assert len(problems) == 1


def test_more_than_a_boat_could_cost_is_a_field_error() -> None:
    """B83."""
    ledger, problems = read(Ledger, {"opening": {"amount": "1000000000.01", "currency": "USD"}})

    assert ledger.opening is None
    assert len(problems) == 1


@pytest.mark.parametrize("number", [24500, 24500.5])
def test_a_bare_number_for_a_decimal_is_taken_exactly_and_stays_as_it_was(number: float) -> None:
    settings, problems = read(Settings, {"currency": "USD", "units": "metric", "budget": number})

    assert problems == []
    assert settings.budget == Decimal(str(number))


@pytest.mark.parametrize(
    "day",
    [
        *("2026-02-30", "0000-01-01", "31.05.2026", "2026-5-1", "20260531", "2026-W01-1"),
        *("2026-05-31T10:00:00Z", "yesterday"),
    ],
)
def test_a_day_that_is_none_is_kept_as_text_and_pointed_out(day: str) -> None:
    """B17."""
    plain = {"id": "a", "name": "A", "asking": [{"price": MONEY, "on": day}]}

    boat, (problem,) = read(Boat, plain)

    assert boat.asking[0].on is None
    assert problem.key == "asking[1].on"
    assert day[:10] in problem.message


def test_a_day_that_no_boat_could_see_is_pointed_out() -> None:
    """B17."""
    plain = {"id": "a", "name": "A", "asking": [{"price": MONEY, "on": "9999-12-31"}]}

    boat, (problem,) = read(Boat, plain)

    assert boat.asking[0].on == date(9999, 12, 31)
    assert problem.severity is Severity.NOTICE


@pytest.mark.parametrize(
    ("moment", "expected"),
    [
        ("2026-05-31T14:05:00", datetime(2026, 5, 31, 14, 5)),
        ("2026-05-31T14:05", datetime(2026, 5, 31, 14, 5)),
        ("2026-05-31T14:05:00Z", None),
        ("2026-05-31T14:05:00+02:00", None),
        ("2026-05-31", None),
        ("2026-05-31T25:00:00", None),
    ],
)
def test_a_camera_time_is_local_and_a_zone_is_pointed_out(
    moment: str, expected: datetime | None
) -> None:
    """B17: local time and UTC are never mixed."""
    photo = {"id": "p", "file": "p.jpg", "sha256": "0", "taken": moment}

    found, problems = read(Photo, photo)

    assert found.taken == expected
    assert len(problems) == (expected is None)


def test_a_mark_on_a_photo_keeps_how_its_numbers_were_written() -> None:
    mark, problems = read(PhotoMark, {"x": 0.50, "y": 1, "radius": 0.125})

    assert problems == []
    assert (mark.x, mark.y, mark.radius) == (0.5, 1.0, 0.125)


def test_a_photo_without_an_id_takes_that_of_its_place() -> None:
    inspection, problems = read(Inspection, {"photos": {"abc": {"file": "a.jpg", "sha256": "0"}}})

    assert inspection.photos["abc"].id == "abc"
    assert [problem.key for problem in problems] == ["photos.abc.id"]


@pytest.mark.parametrize("plain", [None, 5, "text", [], True])
def test_a_file_that_holds_no_record_is_refused_as_a_whole(plain: object) -> None:
    record, (problem,) = read(Boat, plain)

    assert record is None
    assert problem.severity is Severity.REFUSED


def test_a_field_named_extra_is_an_unknown_field_like_any_other() -> None:
    boat, problems = read(Boat, {"id": "a", "name": "A", "extra": {"id": 1}})

    assert problems == []
    assert boat.id == "a"
