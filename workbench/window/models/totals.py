"""The words and figures of a boat's totals and of how much of her was looked at."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from workbench.window import formatting
from workbench.window.texts import tr
from workbench.window.widgets.totals_bar import TotalsFigure

if TYPE_CHECKING:
    from workbench.figures.assessment import BoatAssessment, Coverage


def progress_words(coverage: Coverage) -> str:
    """How much of a boat was looked at, in words."""
    return tr("{looked} of {all} looked at, {n} minutes left").format(
        looked=coverage.looked, all=coverage.checks, n=coverage.minutes_left
    )


def totals_of(figures: BoatAssessment) -> list[TotalsFigure]:
    """The totals that stand at the foot of the ledger."""
    shown = [_deferred(figures), _allowance(figures)]
    if figures.coverage.unpriced:
        lines = tr("{n} lines").format(n=figures.coverage.unpriced)
        shown.append(TotalsFigure("unpriced", tr("Not priced"), lines))
    return [*shown, _ready(figures)]


def _deferred(figures: BoatAssessment) -> TotalsFigure:
    deferred = figures.deferred
    spread = _between(deferred.p10, deferred.p90)
    share = ""
    if figures.asking:
        share = tr("{share} of the price").format(
            share=formatting.percent(float(deferred.mean) / float(figures.asking))
        )
    return TotalsFigure(
        "deferred",
        tr("Deferred maintenance"),
        formatting.estimate(deferred.mean),
        share or spread,
        tip=tr("Work due now and the used-up part of what is worn. {range}").format(range=spread),
    )


def _allowance(figures: BoatAssessment) -> TotalsFigure:
    allowance = figures.allowance
    return TotalsFigure(
        "allowance",
        tr("Allowance, unseen"),
        formatting.estimate(allowance.mean),
        _between(allowance.p10, allowance.p90),
        tip=tr("The chance of each unseen fault times what it would cost."),
    )


def _ready(figures: BoatAssessment) -> TotalsFigure:
    ready = figures.cost_to_ready
    return TotalsFigure(
        "ready",
        tr("Cost to ready"),
        formatting.estimate(ready.mean),
        tr("4 in 5 to stay under {amount}").format(amount=formatting.estimate(ready.p80)),
        leading=True,
        tip=tr("Price, what is paid on it, work before sailing, allowance."),
    )


def _between(low: Decimal, high: Decimal) -> str:
    return tr("{low} to {high}").format(
        low=formatting.estimate(low), high=formatting.estimate(high)
    )
