"""Carriage minima against the text of 33 CFR 175, its own examples, and its boundaries."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.domain.carriage import (
    SIGNAL_KINDS,
    CarriageFacts,
    Extinguisher,
    Rating,
    SoundRules,
    Source,
    carriage_list,
    count_extinguishers,
    distress_signals,
    extinguishers,
    feet,
    flare_expired,
    latest_expiry,
    life_jackets,
    signals_cover,
    sound_requirements,
    sound_signals,
)


def a_boat(length_ft: str, **facts: bool | int) -> CarriageFacts:
    values: dict[str, bool | int] = {"persons": 4, "model_year": 1984}
    return CarriageFacts(feet(length_ft), **(values | facts))  # type: ignore[arg-type]


@pytest.mark.parametrize(("length", "throwable"), [("15.9", 0), ("16.0", 1), ("32", 1)])
def test_a_throwable_device_is_carried_from_sixteen_feet(length: str, throwable: int) -> None:
    # 33 CFR 175.15.
    numbers = {one.item: one.number for one in life_jackets(a_boat(length))}

    assert numbers["wearable life jacket"] == 4
    assert numbers.get("throwable device", 0) == throwable


def test_a_long_canoe_needs_no_throwable_device() -> None:
    # 33 CFR 175.17.
    items = life_jackets(a_boat("17", canoe_or_kayak=True))

    assert [one.number for one in items] == [4, 0]
    assert items[1].clause == "33 CFR 175.17"


@pytest.mark.parametrize(
    ("length", "without_system", "with_system"),
    [
        ("15.99", 1, 0),
        ("16", 1, 0),
        ("25.99", 1, 0),
        ("26", 2, 1),
        ("39.99", 2, 1),
        ("40", 3, 2),
        ("65.0", 3, 2),
    ],
)
def test_extinguisher_numbers_are_those_of_the_table(
    length: str, without_system: int, with_system: int
) -> None:
    # 33 CFR 175.320(a)(1), table 1; the same table stands in 46 CFR 25.30-20(a)(1).
    assert extinguishers(a_boat(length)).number == without_system
    assert extinguishers(a_boat(length, fixed_system=True)).number == with_system


def test_above_sixty_five_feet_the_table_is_not_stretched() -> None:
    requirement = extinguishers(a_boat("65.01"))

    assert requirement.number == 0
    assert "tonnage" in requirement.text
    assert requirement.clause == "33 CFR 175.320(b)"


def test_a_small_open_outboard_boat_needs_no_extinguisher() -> None:
    small = a_boat("25", inboard_engine=False, traps_vapour=False)

    assert extinguishers(small).number == 0
    assert extinguishers(a_boat("25", inboard_engine=False)).number == 1
    assert extinguishers(a_boat("26", inboard_engine=False, traps_vapour=False)).number == 2


def counted(length: str, *ratings: Rating, model_year: int = 2020) -> int:
    on_board = [Extinguisher(rating) for rating in ratings]
    return count_extinguishers(a_boat(length, model_year=model_year), on_board, 2026).missing


def test_one_twenty_b_stands_for_two_five_b_and_a_ten_b_does_not() -> None:
    # 33 CFR 175.320(a)(1), footnote 1: one 20-B may be substituted for two 5-B.
    assert counted("42", Rating.B20, Rating.B5) == 0
    assert counted("30", Rating.B20) == 0
    assert counted("30", Rating.B10) == 1
    assert counted("42", Rating.B20) == 1


@pytest.mark.parametrize(("model_year", "missing"), [(2017, 0), (2018, 2)])
def test_older_marks_are_kept_only_up_to_model_year_2017(model_year: int, missing: int) -> None:
    # 33 CFR 175.380.
    assert counted("30", Rating.OLD_B1, Rating.OLD_B1, model_year=model_year) == missing
    assert counted("30", Rating.OLD_B2, model_year=model_year) == missing


def test_an_old_mark_fitted_after_the_cut_off_does_not_count() -> None:
    # 33 CFR 175.380(b): all installed after 22 August 2016 must meet the present rules.
    late = Extinguisher(Rating.OLD_B1, fitted_after_22_august_2016=True)
    result = count_extinguishers(a_boat("24"), [late], 2026)

    assert result.missing == 1
    assert "33 CFR 175.380" in result.clauses


@pytest.mark.parametrize(
    ("model_year", "clause"), [(1953, "33 CFR 175.380"), (2017, "33 CFR 175.380"), (2018, None)]
)
def test_the_clause_for_older_boats_is_named_only_for_them(
    model_year: int, clause: str | None
) -> None:
    result = count_extinguishers(a_boat("30", model_year=model_year), [], 2026)

    assert result.clauses[1:] == ((clause,) if clause else ())
    assert result.missing == 2


def test_a_boat_older_than_1953_has_a_clause_of_her_own() -> None:
    # 33 CFR 175.390.
    result = count_extinguishers(a_boat("30", model_year=1950), [Extinguisher(Rating.OLD_B2)], 2026)

    assert result.missing == 0
    assert "33 CFR 175.390" in result.clauses


@pytest.mark.parametrize(("made", "counts"), [(2014, 1), (2013, 0)])
def test_a_disposable_extinguisher_counts_for_twelve_years(made: int, counts: int) -> None:
    # State boating course: not more than 12 years from manufacture (disposables: from memory).
    old = Extinguisher(Rating.B5, made_year=made, disposable=True)

    assert count_extinguishers(a_boat("24"), [old], 2026).on_board == counts


def test_a_bad_extinguisher_counts_for_nothing() -> None:
    bad = Extinguisher(Rating.B20, good_condition=False)

    assert count_extinguishers(a_boat("24"), [bad], 2026).on_board == 0


def test_twelve_metres_is_not_forty_feet() -> None:
    boat = CarriageFacts(Decimal(12), persons=2, model_year=2000)

    assert sound_signals(boat.length_m) == ("whistle",)
    assert extinguishers(boat).number == 2
    assert extinguishers(a_boat("40")).number == 3
    assert feet(40) == Decimal("12.192")


@pytest.mark.parametrize(
    "on_board",
    [{"160.021": 2, "160.024": 1}, {"160.021": 2, "160.036": 1}, {"160.037": 3, "161.013": 1}],
)
def test_the_regulation_s_own_combinations_cover_day_and_night(on_board: dict[str, int]) -> None:
    # 33 CFR 175.130(b), both examples (the first with either parachute flare).
    cover = signals_cover(on_board)

    assert cover.day
    assert cover.night


@pytest.mark.parametrize(
    ("on_board", "day", "night", "advice"),
    [
        ({}, False, False, "red flares, 3 more"),
        ({"160.021": 2}, False, False, "red flares, 1 more"),
        ({"160.072": 1}, True, False, "electric light"),
        ({"161.013": 1}, False, True, "orange flag"),
        ({"160.072": 1, "161.013": 1}, True, True, "covered"),
        ({"160.037": 2, "160.021": 1}, True, False, "red flares: 2 more"),
        ({"160.022": 3}, True, False, "electric light"),
        ({"160.057": 3}, True, False, "electric light"),
        ({"160.022": 2, "160.057": 1}, True, False, "red flares: 3 more"),
        ({"160.066": 3}, True, True, "covered"),
        ({"160.037": 0, "161.013": 0}, False, False, "3 more"),
    ],
)
def test_signals_cover_what_their_kinds_allow(
    on_board: dict[str, int], day: bool, night: bool, advice: str
) -> None:
    cover = signals_cover(on_board)

    assert (cover.day, cover.night) == (day, night)
    assert advice in cover.text


def test_an_unknown_approval_number_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"160\.021"):
        signals_cover({"160.999": 3})


def test_kinds_known_only_from_memory_say_so() -> None:
    remembered = {kind.approval for kind in SIGNAL_KINDS if kind.source is Source.MEMORY}

    assert remembered == {"160.022", "160.057", "160.066"}


counts = st.dictionaries(
    st.sampled_from([kind.approval for kind in SIGNAL_KINDS]), st.integers(0, 4)
)


@given(counts, st.sampled_from([kind.approval for kind in SIGNAL_KINDS]))
def test_one_more_signal_never_uncovers_anything(held: dict[str, int], more: str) -> None:
    before = signals_cover(held)
    after = signals_cover(held | {more: held.get(more, 0) + 1})

    assert after.day or not before.day
    assert after.night or not before.night


@pytest.mark.parametrize(
    ("length", "facts", "day", "night"),
    [
        ("15.9", {}, False, True),
        ("16", {}, True, True),
        ("25", {"open_without_engine": True}, False, True),
        ("26", {"open_without_engine": True}, True, True),
        ("30", {"organised_event": True}, False, True),
        ("18", {"rowed": True, "by_night": False}, False, False),
        ("30", {"coastal_waters": False}, False, False),
    ],
)
def test_day_signals_are_excused_but_night_signals_are_not(
    length: str, facts: dict[str, bool], day: bool, night: bool
) -> None:
    # 33 CFR 175.110 and 175.115.
    need = distress_signals(a_boat(length, **facts))

    assert (need.day, need.night) == (day, night)
    assert need.clause.startswith("33 CFR 175.1")


@pytest.mark.parametrize(
    ("made", "latest"),
    [
        (date(2023, 1, 15), date(2026, 7, 15)),
        (date(2022, 8, 31), date(2026, 2, 28)),
        (date(2020, 8, 31), date(2024, 2, 29)),
        (date(2023, 7, 1), date(2027, 1, 1)),
    ],
)
def test_a_flare_s_latest_date_is_forty_two_months_after_it_was_made(
    made: date, latest: date
) -> None:
    # 46 CFR 160.036-5(b): "not more than 42 months from the date of manufacture".
    assert latest_expiry(made) == latest


def test_a_flare_is_good_on_its_last_day_and_expired_on_the_next() -> None:
    made = date(2023, 1, 15)

    assert not flare_expired(made, date(2026, 7, 15))
    assert flare_expired(made, date(2026, 7, 16))
    assert flare_expired(made, date(2025, 1, 1), marked=date(2024, 12, 31))


@pytest.mark.parametrize(
    ("length", "present", "older"),
    [
        ("11.99", 1, 1),
        ("12", 1, 2),
        ("19.99", 1, 2),
        ("20", 2, 2),
        ("100", 3, 3),
    ],
)
def test_two_texts_of_rule_33_differ_between_twelve_and_twenty_metres(
    length: str, present: int, older: int
) -> None:
    # COLREG Rule 33 against an older Inland text (33 USC 2033).
    assert len(sound_signals(Decimal(length))) == present
    assert len(sound_signals(Decimal(length), SoundRules.OLDER_INLAND)) == older


def test_sound_requirements_name_the_text_they_come_from() -> None:
    boat = CarriageFacts(Decimal(15), persons=2, model_year=2000)
    older = sound_requirements(boat, SoundRules.OLDER_INLAND)

    assert [one.item for one in older] == ["whistle", "bell"]
    assert "2033" in older[0].clause
    assert "33 CFR 83.33" in sound_requirements(boat)[0].clause


def test_every_requirement_names_its_clause_and_the_list_warns_of_other_flags() -> None:
    whole = carriage_list(a_boat("32"))

    assert all(one.clause and one.text for one in whole.requirements)
    assert {"distress signals for day", "distress signals for night"} <= {
        one.item for one in whole.requirements
    }
    assert [one.number for one in whole.requirements] == [4, 1, 2, 1, 1, 1]
    assert "Other flags" in whole.caution


@given(st.decimals("3", "19.8", places=2), st.decimals("3", "19.8", places=2), st.booleans())
def test_a_longer_boat_never_carries_fewer_extinguishers(
    one: Decimal, other: Decimal, fixed: bool
) -> None:
    short, long = sorted((one, other))
    needs = [
        extinguishers(CarriageFacts(size, 2, 2000, fixed_system=fixed)).number
        for size in (short, long)
    ]

    assert needs[0] <= needs[1]
