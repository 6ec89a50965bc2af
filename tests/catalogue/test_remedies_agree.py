"""Remedies, tools and units of a check do not contradict its grades, hazards and limits."""

from __future__ import annotations

from decimal import Decimal

from tests.catalogue.shelf import catalogue
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import ClaimRule, Grade, When

CHECKS = tuple(catalogue().checks.values())
REMEDIES = [(check, remedy) for check in CHECKS for remedy in check.remedies]
METAL = ("steel", "calliper", "spanner", "metal")
LATER = (When.FIVE_YEARS, When.WISH)


def test_what_is_unsafe_is_put_right_before_launching() -> None:
    assert [
        f"{check.id} / {remedy.id}: {remedy.when.value}"
        for check, remedy in REMEDIES
        if Grade.UNSAFE in remedy.grades and remedy.when is not When.BEFORE_LAUNCHING
    ] == []


def test_what_can_wait_for_years_is_never_claimed_whole() -> None:
    assert [
        f"{check.id} / {remedy.id}: {remedy.when.value}"
        for check, remedy in REMEDIES
        if remedy.when in LATER and remedy.claim is ClaimRule.WHOLE
    ] == []


def test_nobody_is_sent_to_a_battery_with_a_metal_tool() -> None:
    assert [
        f"{check.id}: {tool}"
        for check in CHECKS
        if "battery" in check.hazards
        for tool in check.tools
        if any(metal in tool for metal in METAL)
    ] == []


def test_a_reading_in_the_other_units_can_be_written_without_a_string_of_noughts() -> None:
    assert [
        f"{check.id} / {entry.id}: 1 {entry.unit} in {entry.imperial_unit}"
        for check in CHECKS
        for entry in check.entries
        if entry.kind == "number"
        and abs(Quantity(Decimal(1), entry.unit).value(entry.imperial_unit)) < 0.001
    ] == []
