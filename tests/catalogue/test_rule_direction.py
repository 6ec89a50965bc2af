"""A worse reading never gets a better grade, whichever numeric rule reads it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.catalogue.shelf import AS_OF, catalogue, rules
from workbench.catalogue.model import Check, Entry, Rule
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Grade
from workbench.figures.findings import facts_of
from workbench.figures.verdicts import RuleResult, judge

NUMERIC = [(check, rule) for check, rule in rules() if rule.kind in ("bands", "age")]
NAMES = [f"{check.id}-{rule.id}" for check, rule in NUMERIC]
# The rules are many, so each gets a fifth of the examples that the profile asks for.
EXAMPLES = max(settings().max_examples // 5, 10)
YEARS = st.integers(min_value=1950, max_value=AS_OF.year + 5).map(Decimal)


def boat_for(check: Check, rule: Rule) -> Boat:
    """A boat that gets the check, for which the rule holds, and whose size it needs is known."""
    facts = {name: values[0] for name, values in check.applies.facts.items()}
    for name, values in rule.only_if.facts.items():
        allowed = check.applies.facts.get(name, values)
        facts[name] = next(value for value in values if value in allowed)
    sizes = {
        name: low or high
        for name, (low, high) in (*check.applies.between.items(), *rule.only_if.between.items())
    }
    dimensions = {name: size for name, size in sizes.items() if size and name == rule.of}
    if rule.of in catalogue().dimensions and rule.of not in dimensions:
        known = catalogue().dimensions[rule.of]
        dimensions[rule.of] = Quantity((known.low + known.high) / 2, known.unit)
    return Boat(
        id="x", name="X", year=1990, dimensions=FrozenMap(dimensions), facts=FrozenMap(facts)
    )


def apply_rule(check: Check, rule: Rule, values: dict[str, Quantity | str]) -> RuleResult:
    """What the rule says of a reading, through the same door as the program."""
    boat = boat_for(check, rule)
    reading = Reading(id="r", values=FrozenMap(values), taken=AS_OF)
    results = judge(check, reading, boat, facts_of(boat, catalogue()), AS_OF).results
    return next(one for one in results if one.rule.id == rule.id)


def worse_when_higher(rule: Rule) -> bool:
    """Whether a higher number typed in is the worse one."""
    higher = rule.worse == "higher"
    if rule.form == "loss" or rule.kind == "age":
        return not higher  # what is left, and the year, grow as the compared number falls
    return higher


def numbers(entry: Entry) -> st.SearchStrategy[Decimal]:
    """What can be typed into an entry."""
    if entry.kind == "year":
        return YEARS
    assert entry.low is not None
    assert entry.high is not None
    return st.decimals(entry.low, entry.high, places=3)


@pytest.mark.parametrize(("check", "rule"), NUMERIC, ids=NAMES)
@settings(max_examples=EXAMPLES)
@given(data=st.data())
def test_a_worse_reading_never_gives_a_better_grade(
    check: Check, rule: Rule, data: st.DataObject
) -> None:
    entry = check.entry(rule.entry)
    assert entry is not None
    values: dict[str, Quantity | str] = {}
    if rule.of.startswith("entry:"):
        other = check.entry(rule.of.removeprefix("entry:"))
        assert other is not None
        drawn = data.draw(numbers(other).filter(lambda number: number > 0))
        values[other.id] = Quantity(drawn, other.unit)
    low, high = sorted((data.draw(numbers(entry)), data.draw(numbers(entry))))
    better, worse = (low, high) if worse_when_higher(rule) else (high, low)

    at_better = apply_rule(check, rule, {**values, entry.id: Quantity(better, entry.unit)})
    at_worse = apply_rule(check, rule, {**values, entry.id: Quantity(worse, entry.unit)})

    assert not at_better.missing
    assert not at_worse.missing
    assert at_worse.grade.severity >= at_better.grade.severity


def typed_ends(entry: Entry) -> tuple[Decimal, Decimal]:
    """Lowest and highest that can be typed into an entry."""
    if entry.kind == "year":
        return Decimal(1900), Decimal(AS_OF.year + 5)
    assert entry.low is not None
    assert entry.high is not None
    return entry.low, entry.high


@pytest.mark.parametrize(("check", "rule"), NUMERIC, ids=NAMES)
def test_a_rule_can_give_sound_and_its_worst_grade_within_the_limits_of_its_entry(
    check: Check, rule: Rule
) -> None:
    entry = check.entry(rule.entry)
    assert entry is not None
    beside: list[dict[str, Quantity | str]] = [{}]
    if rule.of.startswith("entry:"):
        other = check.entry(rule.of.removeprefix("entry:"))
        assert other is not None
        low, high = typed_ends(other)
        some = [max(low, high / 1000), (low + high) / 2, high]
        beside = [{other.id: Quantity(number, other.unit)} for number in some]

    grades = {
        apply_rule(check, rule, {**values, entry.id: Quantity(end, entry.unit)}).grade
        for values in beside
        for end in typed_ends(entry)
    }

    assert Grade.SOUND in grades
    assert max(rule.bands, key=lambda band: band.grade.severity).grade in grades
