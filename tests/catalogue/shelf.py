"""The shipped catalogue, and boats and readings in as few words as a test needs."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from workbench.catalogue.loading import Loaded, load_folder
from workbench.catalogue.model import Catalogue, Check, Rule
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.figures.findings import facts_of
from workbench.figures.verdicts import RuleResult, Verdict, judge
from workbench.paths import resources_root

AS_OF = date(2026, 6, 1)


@functools.cache
def shipped() -> Loaded:
    """The shipped files with whatever is wrong with them."""
    return load_folder(resources_root())


def catalogue() -> Catalogue:
    """The shipped catalogue, even where a file of it has a fault."""
    return shipped().catalogue


@functools.cache
def in_german() -> Catalogue:
    """The shipped catalogue in German."""
    return load_folder(resources_root(), "de").catalogue


def boat(
    dimensions: Mapping[str, str] | None = None, facts: Mapping[str, str] | None = None
) -> Boat:
    """A boat with the dimensions and facts given, such as loa = "12 m"."""
    known = catalogue().dimensions
    return Boat(
        id="example",
        name="Example",
        year=1990,
        dimensions=FrozenMap(
            {
                name: parse_quantity(text, known[name].unit)
                for name, text in (dimensions or {}).items()
            }
        ),
        facts=FrozenMap(dict(facts or {})),
    )


def reading(check: Check, values: Mapping[str, str]) -> Reading:
    """A reading as a person would type it; a number without a unit is in the entry's own."""
    made: dict[str, Quantity | str] = {}
    for name, text in values.items():
        entry = check.entry(name)
        assert entry is not None, f"{check.id} has no entry {name}"
        if entry.kind == "number":
            made[name] = parse_quantity(text, entry.unit)
        elif entry.kind == "year":
            made[name] = Quantity(Decimal(text), "calendar year")
        else:
            assert entry.kind == "text" or text in {one.id for one in entry.choices}
            made[name] = text
    return Reading(id="reading", values=FrozenMap(made), taken=AS_OF)


def verdict(
    check_id: str,
    values: Mapping[str, str],
    dimensions: Mapping[str, str] | None = None,
    facts: Mapping[str, str] | None = None,
) -> Verdict:
    """What the rules of a shipped check make of a reading on a boat."""
    check = catalogue().checks[check_id]
    hull = boat(dimensions, facts)
    return judge(check, reading(check, values), hull, facts_of(hull, catalogue()), AS_OF)


def result(
    rule_id: str,
    check_id: str,
    values: Mapping[str, str],
    dimensions: Mapping[str, str] | None = None,
    facts: Mapping[str, str] | None = None,
) -> RuleResult | None:
    """What one rule says of a reading; None where the rule does not hold for the boat."""
    results = verdict(check_id, values, dimensions, facts).results
    return next((one for one in results if one.rule.id == rule_id), None)


def rules() -> list[tuple[Check, Rule]]:
    """Every rule with its check."""
    return [(check, rule) for check in catalogue().checks.values() for rule in check.rules]
