"""New for old beside a claim: by Rule XIII of the York-Antwerp Rules (1974), an analogy only."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest

from tests.figures.small_yard import ALL_GOOD, mm, search, seen, small_catalogue
from workbench.domain.ledger import Quote
from workbench.domain.money import Money
from workbench.edits import costing
from workbench.edits.edit import apply
from workbench.figures.analogy import new_for_old_of
from workbench.figures.assess import assess
from workbench.figures.assessment import ClaimLine

PROJECT = search({**ALL_GOOD, "bearing": seen(play=mm("1.2"), sound="knocks")})


@pytest.fixture
def claim() -> ClaimLine:
    """A bearing that is due: 2 h x 100 + 100 of material, and 1,000 of shared work."""
    boat = assess(PROJECT, small_catalogue()).boats["ann"]
    return next(one for one in boat.claim.lines if one.key == "bearing")


def test_over_fifteen_years_a_third_comes_off_the_material_alone(claim: ClaimLine) -> None:
    """A third of 100 off 1,300; labour and the haul-out stand in full."""
    found = new_for_old_of(claim, 20, "USD")

    assert found is not None
    assert (found.allowed, found.deduction) == (Decimal("1266.67"), Decimal("33.33"))


def test_up_to_fifteen_years_nothing_comes_off(claim: ClaimLine) -> None:
    found = new_for_old_of(claim, 15, "USD")

    assert found is not None
    assert (found.allowed, found.deduction) == (Decimal("1300.00"), Decimal(0))


def test_nothing_comes_off_anchors_and_chain(claim: ClaimLine) -> None:
    line = claim.lines[0]
    assert line.finding is not None
    check = dataclasses.replace(line.finding.check, system="ground-tackle")
    finding = dataclasses.replace(line.finding, check=check)
    chain = dataclasses.replace(claim, lines=(dataclasses.replace(line, finding=finding),))
    found = new_for_old_of(chain, 40, "USD")

    assert found is not None
    assert found.deduction == 0


def test_without_her_age_or_behind_a_quote_nothing_is_said(claim: ClaimLine) -> None:
    """Nobody can tell how much of a quote is material."""
    quote = Quote("", "A yard", Money(Decimal(900), "USD"), (claim.lines[0].key,))
    quoted, _ = apply(PROJECT, costing.put_quote(PROJECT, "ann", quote))
    boat = assess(quoted, small_catalogue()).boats["ann"]
    behind = next(one for one in boat.claim.lines if one.key == "bearing")

    assert new_for_old_of(claim, None, "USD") is None
    assert new_for_old_of(behind, 40, "USD") is None
