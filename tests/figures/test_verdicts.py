"""From a reading to a grade: bands and edges, ratios, ages, leads, the spread of sources."""

from __future__ import annotations

import dataclasses
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.figures.small_yard import AS_OF, mm, seen, small_catalogue
from workbench.catalogue.model import Band, Check, Condition, Rule, Source
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Grade
from workbench.figures.verdicts import Verdict, holds, judge

SHAFT = Boat(
    "ann",
    "Ann",
    year=1986,
    dimensions=FrozenMap({"shaft-diameter": mm("25"), "loa": Quantity(Decimal(10), "m")}),
)
SOURCE = Source("common-practice")


def bearing() -> Check:
    return small_catalogue().checks["bearing"]


def with_rules(*rules: Rule) -> Check:
    return dataclasses.replace(bearing(), rules=rules)


def rule(**more: object) -> Rule:
    """A rule on the play in millimetres, worn from 0.5 and due from 1.0."""
    bands = (Band(Grade.WORN, Decimal("0.5")), Band(Grade.DUE, Decimal("1.0")))
    plain = Rule(
        "by-millimetre", "play", "bands", SOURCE, "", "wear", lead=True, unit="mm", bands=bands
    )
    return dataclasses.replace(plain, **more)  # type: ignore[arg-type]


def verdict(check: Check, boat: Boat = SHAFT, **values: Quantity | str) -> Verdict:
    return judge(check, seen(**values), boat, {"drive": "shaft"}, AS_OF)


@pytest.mark.parametrize(
    ("play", "grade"),
    [
        ("0", Grade.SOUND),
        ("0.49", Grade.SOUND),
        ("0.5", Grade.WORN),
        ("0.99", Grade.WORN),
        ("1.0", Grade.DUE),
        ("9", Grade.DUE),
    ],
)
def test_an_edge_belongs_to_the_worse_side(play: str, grade: Grade) -> None:
    assert verdict(with_rules(rule()), play=mm(play)).grade is grade


def test_an_edge_that_is_not_included_belongs_to_the_better_side() -> None:
    bands = (Band(Grade.DUE, Decimal("1.0"), inclusive=False),)
    open_ended = with_rules(rule(bands=bands))

    assert verdict(open_ended, play=mm("1.0")).grade is Grade.SOUND
    assert verdict(open_ended, play=mm("1.01")).grade is Grade.DUE


def test_less_may_be_worse() -> None:
    bands = (Band(Grade.WORN, Decimal(5)), Band(Grade.DUE, Decimal(2)))
    tread = with_rules(rule(bands=bands, worse="lower"))

    grades = [verdict(tread, play=mm(play)).grade for play in ("6", "5", "3", "2", "0")]
    assert grades == [Grade.SOUND, Grade.WORN, Grade.WORN, Grade.DUE, Grade.DUE]


def test_inches_meet_a_metric_edge_exactly() -> None:
    """25.4 mm is one inch exactly (international yard and pound, 1959)."""
    inch = with_rules(rule(bands=(Band(Grade.DUE, Decimal("25.4")),)))

    assert verdict(inch, play=Quantity(Decimal(1), "in")).grade is Grade.DUE
    assert verdict(inch, play=Quantity(Decimal("0.9999"), "in")).grade is Grade.SOUND


def test_a_ratio_is_held_to_a_size_of_the_boat() -> None:
    """Three per cent of a 25 mm shaft is 0.75 mm."""
    ratio = with_rules(
        rule(form="ratio", of="shaft-diameter", bands=(Band(Grade.DUE, Decimal("0.03")),), unit="")
    )

    assert verdict(ratio, play=mm("0.74")).grade is Grade.SOUND
    assert verdict(ratio, play=mm("0.75")).grade is Grade.DUE


def test_a_loss_and_a_difference_are_reckoned_from_another_entry() -> None:
    loss = with_rules(
        rule(form="loss", of="entry:new", bands=(Band(Grade.DUE, Decimal("0.2")),), unit="")
    )
    apart = with_rules(
        rule(form="difference", of="entry:new", bands=(Band(Grade.DUE, Decimal(2)),))
    )

    assert verdict(loss, play=mm("8"), new=mm("10")).grade is Grade.DUE
    assert verdict(loss, play=mm("8.1"), new=mm("10")).grade is Grade.SOUND
    assert verdict(apart, play=mm("12"), new=mm("10")).grade is Grade.DUE
    assert verdict(apart, play=mm("11.9"), new=mm("10")).grade is Grade.SOUND


def test_the_compared_value_may_be_taken_several_times() -> None:
    """Run-out is twice the eccentricity."""
    twice = with_rules(rule(times=Decimal(2)))

    assert verdict(twice, play=mm("0.5")).grade is Grade.DUE


def test_what_a_rule_lacks_is_said_and_the_grade_stays_unseen() -> None:
    ratio = with_rules(
        rule(form="ratio", of="shaft-diameter", bands=(Band(Grade.DUE, Decimal("0.03")),), unit="")
    )
    nothing = verdict(ratio, boat=Boat("ann", "Ann"), play=mm("5"))
    other = with_rules(rule(form="difference", of="entry:new"))

    assert nothing.grade is Grade.UNSEEN
    assert nothing.results[0].missing == "This rule needs the boat's shaft diameter."
    assert "“new”" in verdict(other, play=mm("5")).results[0].missing


def test_an_age_is_reckoned_to_the_day_of_the_reading() -> None:
    bands = (Band(Grade.WORN, Decimal(10)), Band(Grade.DUE, Decimal(15)))
    age = with_rules(rule(kind="age", unit="", bands=bands))
    made = {"play": Quantity(Decimal(2012), "calendar year")}
    old = Reading("", FrozenMap(made), taken=date(2020, 1, 1))

    assert judge(age, old, SHAFT, {}, AS_OF).grade is Grade.SOUND
    undated = dataclasses.replace(old, taken=None)
    assert judge(age, undated, SHAFT, {}, AS_OF).grade is Grade.WORN
    assert judge(age, undated, SHAFT, {}, date(2027, 6, 1)).grade is Grade.DUE
    assert "needs a date" in judge(age, undated, SHAFT, {}, None).results[0].missing


def test_the_lead_decides_and_the_other_source_is_shown_beside() -> None:
    mild = rule(id="handbook", lead=False, bands=(Band(Grade.DUE, Decimal(3)),))
    harsh = rule(id="yard", lead=False, bands=(Band(Grade.UNSAFE, Decimal("0.8")),))
    found = verdict(with_rules(mild, rule(), harsh), play=mm("1.0"))

    assert found.grade is Grade.DUE
    assert found.deciding is not None
    assert found.deciding.rule.id == "by-millimetre"
    assert (found.best, found.worst) == (Grade.SOUND, Grade.UNSAFE)
    assert found.split


def test_where_the_lead_cannot_be_applied_another_rule_of_the_group_decides() -> None:
    lead = rule(form="ratio", of="shaft-diameter", unit="")
    other = rule(id="handbook", lead=False)
    found = verdict(with_rules(lead, other), boat=Boat("ann", "Ann"), play=mm("1.2"))

    assert found.grade is Grade.DUE
    assert found.deciding is not None
    assert found.deciding.rule.id == "handbook"


def test_of_several_questions_the_worst_answer_counts() -> None:
    assert verdict(bearing(), play=mm("0.1"), sound="knocks").grade is Grade.DUE
    assert verdict(bearing(), play=mm("1.2"), sound="quiet").grade is Grade.DUE
    assert verdict(bearing(), play=mm("0.1"), sound="quiet").grade is Grade.SOUND


def test_a_choice_that_the_check_does_not_know_is_no_grade() -> None:
    assert verdict(bearing(), sound="sings").grade is Grade.UNSEEN


def test_a_text_where_a_number_is_needed_is_no_grade() -> None:
    assert verdict(with_rules(rule()), play="much").results[0].missing == "A number is needed."


def test_a_rule_holds_only_for_the_boats_it_is_for() -> None:
    saildrive = rule(only_if=Condition(FrozenMap({"drive": ("saildrive",)})))

    assert verdict(with_rules(saildrive), play=mm("5")).results == ()


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [("9 m", None, True), ("10 m", None, True), ("10.1 m", None, False), (None, "10 m", False)],
)
def test_a_condition_on_size_takes_its_low_end_in_and_leaves_its_high_end_out(
    low: str | None, high: str | None, expected: bool
) -> None:
    def metres(text: str | None) -> Quantity | None:
        return None if text is None else Quantity(Decimal(text.split()[0]), "m")

    condition = Condition(FrozenMap(), FrozenMap({"loa": (metres(low), metres(high))}))

    assert holds(condition, {}, SHAFT.dimensions) is expected
    assert holds(condition, {}, {})


def test_how_much_of_its_life_is_used_up_is_known_while_it_is_worn() -> None:
    """From 0 when new to 1.0 mm when due, 0.8 mm is four fifths of the way."""
    worn = with_rules(rule(new=Decimal(0)))

    assert verdict(worn, play=mm("0.8")).used_share == Decimal("0.8")
    assert verdict(worn, play=mm("1.2")).used_share is None
    assert verdict(with_rules(rule()), play=mm("0.8")).used_share is None


@given(st.decimals(0, 10, places=2), st.decimals(0, 10, places=2))
def test_a_worse_reading_never_gives_a_better_grade(one: Decimal, other: Decimal) -> None:
    low, high = sorted((one, other))
    mild = verdict(bearing(), play=Quantity(low, "mm"), sound="quiet")
    harsh = verdict(bearing(), play=Quantity(high, "mm"), sound="quiet")

    assert mild.grade.severity <= harsh.grade.severity
    assert mild.best.severity <= mild.worst.severity
