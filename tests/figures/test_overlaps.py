"""No work is charged twice because two findings ask for it."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

from tests.figures.small_yard import ALL_GOOD, search, seen, small_catalogue
from workbench.catalogue.model import Catalogue, Remedy
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.ledger import LineChange
from workbench.domain.vocabulary import When
from workbench.edits import costing
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment

BOTH_BAD = {**ALL_GOOD, "rigging": seen(state="bad"), "seal": seen(state="bad")}


def covering(*covers: str) -> Catalogue:
    """The small catalogue with the rigging's remedy covering other checks."""
    catalogue = small_catalogue()
    check = catalogue.checks["rigging"]
    remedies: tuple[Remedy, ...] = (dataclasses.replace(check.remedies[0], covers=covers),)
    changed = dataclasses.replace(check, remedies=remedies)
    return dataclasses.replace(catalogue, checks=catalogue.checks.set("rigging", changed))


def once(item: str) -> Catalogue:
    """The small catalogue where the seal's work is the seacocks' work, done once for a boat."""
    catalogue = small_catalogue()
    prices = catalogue.prices
    items = prices.items.set(item, dataclasses.replace(prices.items[item], once=True))
    check = catalogue.checks["seal"]
    remedy = check.remedies[0]
    work = (dataclasses.replace(remedy.work[0], item=item),)
    changed = dataclasses.replace(check, remedies=(dataclasses.replace(remedy, work=work),))
    return dataclasses.replace(
        catalogue,
        prices=dataclasses.replace(prices, items=FrozenMap(items)),
        checks=catalogue.checks.set("seal", changed),
    )


def ann(catalogue: Catalogue, readings: dict[str, Reading] = BOTH_BAD) -> BoatAssessment:
    """The figures of the one boat."""
    return assess(search(readings), catalogue).boats["ann"]


def test_work_that_is_covered_is_struck_and_says_by_what() -> None:
    boat = ann(covering("seal"))
    line = boat.lines_of("seal")[0]

    assert line.covered_by == "renew"
    assert not line.counts
    assert boat.deferred.mean == Decimal("2900.00")
    assert "seal" not in {claim.key for claim in boat.claim.lines}


def test_without_the_covering_finding_the_work_stands_by_itself() -> None:
    boat = ann(covering("seal"), {**ALL_GOOD, "seal": seen(state="bad")})

    assert boat.lines_of("seal")[0].covered_by == ""
    assert boat.deferred.mean == Decimal("100.00")


def test_leaving_the_covering_work_out_brings_the_covered_work_back() -> None:
    project = search(BOTH_BAD)
    out = costing.change_line(project, "ann", "rigging/renew/work", LineChange(left_out=True))
    boat = assess(apply(project, out)[0], covering("seal")).boats["ann"]

    assert boat.lines_of("seal")[0].counts


def test_later_work_does_not_cover_what_is_needed_sooner() -> None:
    project = search(BOTH_BAD)
    later = LineChange(when=When.FIVE_YEARS)
    edit = costing.change_line(project, "ann", "rigging/renew/work", later)
    boat = assess(apply(project, edit)[0], covering("seal")).boats["ann"]

    assert boat.lines_of("seal")[0].counts


def test_an_item_done_once_for_a_boat_is_carried_by_one_finding() -> None:
    boat = ann(once("rigging"))
    struck = [line for line in boat.lines if line.covered_by]

    assert [line.key for line in struck] == ["seal/clean/work"]
    assert boat.deferred.mean == Decimal("2900.00")


def test_two_remedies_that_cover_each_other_leave_one_standing() -> None:
    catalogue = covering("seal")
    check = catalogue.checks["seal"]
    remedy = dataclasses.replace(check.remedies[0], covers=("rigging",))
    both = dataclasses.replace(
        catalogue,
        checks=catalogue.checks.set("seal", dataclasses.replace(check, remedies=(remedy,))),
    )
    boat = ann(both)

    assert len([line for line in boat.lines if line.covered_by]) == 1
