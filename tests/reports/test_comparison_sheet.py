"""The comparison: its figures are those of the assessment, and its charts show the same ones."""

from __future__ import annotations

import dataclasses
import io
from decimal import Decimal

import pytest
from pypdf import PdfReader

from tests.reports.conftest import SetAs
from tests.reports.invented import (
    BARNABY,
    DAY,
    MARIGOLD,
    assessed,
    done,
    read_text,
    read_text_again,
    two_boats,
)
from workbench.domain.boat import Boat
from workbench.domain.project import Project
from workbench.edits import boats
from workbench.figures.assessment import Assessment
from workbench.reports.comparison_sheet import comparison_document
from workbench.reports.document import CostBars, Curves, Document, KeyFigures, Table, Together
from workbench.reports.document_text import as_text
from workbench.reports.words import whole

BOTH = (MARIGOLD, BARNABY)


def bars_of(document: Document) -> CostBars:
    return next(one for one in document.blocks if isinstance(one, CostBars))


def curves_of(document: Document) -> Curves:
    tied = [part for one in document.blocks if isinstance(one, Together) for part in one.blocks]
    return next(one for one in tied if isinstance(one, Curves))


def test_every_boats_figures_stand_on_the_sheet(assessment: Assessment, as_pdf: SetAs) -> None:
    made = as_pdf(comparison_document(assessment, BOTH, DAY))

    for text in (read_text(made), read_text_again(made)):
        for name in BOTH:
            boat = assessment.boats[name]
            for amount in (
                boat.deferred.mean,
                boat.allowance.mean,
                boat.work.mean,
                boat.cost_to_ready.mean,
                boat.cost_to_ready.p50,
                boat.cost_to_ready.p80,
                boat.claim.total,
                boat.offer.walk_away,
            ):
                assert amount is not None
                assert whole(amount) in text


@pytest.mark.parametrize("name", BOTH)
def test_a_bars_parts_add_up_to_the_cost_to_ready(name: str, assessment: Assessment) -> None:
    boat = assessment.boats[name]
    bar = next(
        one
        for one in bars_of(comparison_document(assessment, BOTH, DAY)).bars
        if one.label == boat.candidate.boat.name
    )

    assert bar.asking is not None
    parts = bar.asking + bar.fees + bar.before_launching + bar.first_season + bar.allowance
    assert parts == boat.cost_to_ready.mean
    assert bar.before_launching + bar.first_season == boat.work.mean
    assert (bar.p50, bar.p80) == (boat.cost_to_ready.p50, boat.cost_to_ready.p80)


def test_curves_rise_and_pass_the_quantiles(assessment: Assessment) -> None:
    for curve in curves_of(comparison_document(assessment, BOTH, DAY)).curves:
        costs = [cost for cost, _ in curve.points]
        chances = [chance for _, chance in curve.points]
        boat = next(
            one for one in assessment.boats.values() if one.candidate.boat.name == curve.label
        )
        assert costs == sorted(costs)
        assert chances == sorted(chances)
        assert (chances[0], chances[-1]) == pytest.approx((0.0, 0.98))
        at_half = next(cost for cost, chance in curve.points if chance >= 0.5)
        assert at_half == pytest.approx(float(boat.cost_to_ready.p50), rel=0.02)


def test_the_boats_stand_in_the_order_of_their_expected_cost(assessment: Assessment) -> None:
    bars = bars_of(comparison_document(assessment, BOTH, DAY)).bars
    means = {one.candidate.boat.name: one.cost_to_ready.mean for one in assessment.boats.values()}

    costs = [means[bar.label] for bar in bars]
    assert costs == sorted(costs)


def test_the_first_figures_name_the_boats_they_are_of(assessment: Assessment) -> None:
    figures = next(
        one
        for one in comparison_document(assessment, BOTH, DAY).blocks
        if isinstance(one, KeyFigures)
    ).items
    cheapest = min(assessment.boats.values(), key=lambda one: one.cost_to_ready.mean)

    assert figures[0].figure == whole(cheapest.cost_to_ready.mean)
    assert figures[0].beside.startswith(cheapest.candidate.boat.name)
    assert figures[2].figure == "38,000"


def test_only_the_wanted_boats_are_compared(assessment: Assessment) -> None:
    text = as_text(comparison_document(assessment, [BARNABY], DAY))

    assert "Old Barnaby" in text
    assert "Marigold" not in text


def with_more_boats(count: int) -> Project:
    project = two_boats(photos=False)
    for number in range(count):
        project = done(project, [boats.add_boat(project, Boat("", f"Further Boat {number}"))])
    return project


def test_more_boats_than_fit_go_into_further_tables(as_pdf: SetAs) -> None:
    project = with_more_boats(9)
    document = comparison_document(assessed(project), list(project.boats), DAY)

    widest = max(len(one.columns) for one in document.blocks if isinstance(one, Table))
    assert widest <= 6
    text = read_text(as_pdf(document))
    for number in range(9):
        assert f"Further Boat {number}" in text


def test_a_boat_without_a_price_is_shown_without_one() -> None:
    project = with_more_boats(1)
    document = comparison_document(assessed(project), list(project.boats), DAY)

    bar = next(one for one in bars_of(document).bars if one.label == "Further Boat 0")
    assert bar.asking is None
    assert bar.fees == 0
    assert "not known" in as_text(document)


def test_without_a_budget_none_is_drawn(as_pdf: SetAs) -> None:
    project = two_boats(photos=False)
    settings = dataclasses.replace(project.settings, budget=None)
    document = comparison_document(
        assessed(dataclasses.replace(project, settings=settings)), BOTH, DAY
    )

    assert bars_of(document).budget is None
    assert "budget" not in read_text(as_pdf(document))


def test_nothing_to_compare_is_said(assessment: Assessment, as_pdf: SetAs) -> None:
    made = as_pdf(comparison_document(assessment, [], DAY))

    assert "There is no boat to compare." in read_text(made)


def test_charts_are_vectors_and_not_pictures(assessment: Assessment, as_pdf: SetAs) -> None:
    made = as_pdf(comparison_document(assessment, BOTH, DAY))

    assert all(not page.images for page in PdfReader(io.BytesIO(made)).pages)


def test_the_budget_is_written_at_its_line(assessment: Assessment, as_pdf: SetAs) -> None:
    text = read_text(as_pdf(comparison_document(assessment, BOTH, DAY)))

    assert text.count("budget 38,000") == 2
    assert assessment.project.settings.budget == Decimal(38_000)
