"""What the buyer is told before a sheet leaves the house."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

from tests.reports.invented import BARNABY, DAY, MARIGOLD, assessed, done, two_boats
from workbench.domain.money import Money
from workbench.domain.problem import Problem, Severity
from workbench.domain.project import Project
from workbench.edits import costing
from workbench.reports.handing_out import before_offer


def notices(project: Project, boat: str = MARIGOLD) -> tuple[Problem, ...]:
    assessment = assessed(project)
    return before_offer(assessment.boats[boat], assessment.catalogue, DAY)


def with_budget(amount: int) -> Project:
    project = two_boats()
    settings = dataclasses.replace(project.settings, budget=Decimal(amount))
    return dataclasses.replace(project, settings=settings)


def test_an_opening_above_the_limit_is_noticed() -> None:
    poor = with_budget(21_000)
    high = done(poor, [costing.set_opening(poor, MARIGOLD, Money(Decimal(22_000), "USD"))])
    limit = assessed(high).boats[MARIGOLD].offer.walk_away
    assert limit is not None

    found = [one for one in notices(high) if "above your own limit" in one.message]
    assert len(found) == 1
    assert "22,000" in found[0].message
    assert found[0].severity is Severity.NOTICE


def test_a_sheet_that_names_no_price_is_noticed_with_the_reason() -> None:
    found = notices(with_budget(21_000))

    assert [one.message for one in found] == [
        "Asking price less claims is above your own limit, so the sheet names no price."
    ]


def test_a_lower_opening_price_settles_it() -> None:
    poor = with_budget(21_000)
    low = costing.set_opening(poor, MARIGOLD, Money(Decimal(15_000), "USD"))

    assert not any("limit" in one.message for one in notices(done(poor, [low])))


def test_words_for_a_paragraph_that_does_not_exist_are_noticed() -> None:
    project = two_boats()
    lost = costing.set_wording(project, MARIGOLD, "preamble", "Dear seller")

    found = [one for one in notices(done(project, [lost])) if "preamble" in one.message]
    assert "intro" in found[0].remedy


def test_a_boat_that_was_hardly_looked_at_is_noticed() -> None:
    assert any("are unseen" in one.message for one in notices(two_boats(), BARNABY))
    assert not any("are unseen" in one.message for one in notices(two_boats()))


def test_an_ordinary_sheet_gives_no_notice() -> None:
    assert notices(with_budget(60_000)) == ()
